"""The kit for one variant and for N machines: what to draw from the store, gather and sign out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from procforge.analysis.machine import Machine
from procforge.engineering.lifting import HAND_LIMIT
from procforge.model.base import Variant, pick
from procforge.model.equipment import Consumable, Fastener, Gauge, Seal, Solid, Supply
from procforge.model.procedure import Procedure
from procforge.plan.need import Need, need
from procforge.quantities import Quantity

Namer = Callable[[str], str]

INSTRUMENTS, TOOLS, PARTS, CONSUMABLES, TEMPORARY, LOCKS, LIFTING, WEAR = (
    "Instruments", "Tools", "Parts and seals", "Consumables", "Blinds and temporary items", "Locks and tags",
    "Lifting", "Protective wear",
)  # fmt: skip
GROUPS = (INSTRUMENTS, TOOLS, PARTS, CONSUMABLES, TEMPORARY, LOCKS, LIFTING, WEAR)
#: What one job uses up; the rest goes from machine to machine.
_USED_UP = (PARTS, CONSUMABLES)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the kit. `most` is what may be needed over all paths, `likely` if everything is accepted.

    `most` and `likely` are None where the file gives no number. `detail` is range and class, size or capacity.
    """

    group: str
    name: str
    title: str
    detail: str = ""
    most: Fraction | None = None
    likely: Fraction | None = None
    unit: str = ""
    stock: str = ""
    calibrated: bool = False
    why: str = ""


def kit(
    procedure: Procedure,
    variant: Variant,
    namer: Namer,
    machines: int = 1,
    hand_limit: float = HAND_LIMIT,
    unreached: frozenset[int] = frozenset(),
) -> tuple[Line, ...]:
    """The kit of a variant, by group. `namer` gives an item's words; `machines` at least 1 (ValueError below)."""
    if machines < 1:
        raise ValueError("a kit is for one machine or more")
    machine = Machine(procedure.equipment, variant)
    taken = need(procedure, variant, unreached)
    lines = [
        *_used(machine, taken, namer),
        *_parts(machine, taken, namer, variant),
        *_temporary(machine, taken, namer),
        *_locks(taken, machine),
        *_lifts(machine, taken, namer, variant, hand_limit),
        *_wear(procedure, machine, namer, sum(one.count for one in procedure.crew)),
    ]
    lines.sort(key=lambda line: GROUPS.index(line.group))
    return tuple(_for(line, machines) for line in lines)


def _for(line: Line, machines: int) -> Line:
    if machines == 1 or line.group not in _USED_UP:
        return line
    return Line(
        line.group, line.name, line.title, line.detail,
        None if line.most is None else line.most * machines, None if line.likely is None else line.likely * machines,
        line.unit, line.stock, line.calibrated, line.why,
    )  # fmt: skip


def _used(machine: Machine, taken: Need, namer: Namer) -> list[Line]:
    lines = []
    for name in taken.used:
        item = machine.items.get(name)
        if item is None or isinstance(item, Fastener | Seal) or item.kind in ("part", "temporary", "pressure-space"):
            continue
        stock = str(pick(item.stock, machine.variant) or "")
        if isinstance(item, Consumable):
            amount = pick(item.quantity, machine.variant)
            count, unit = _amount(amount)
            lines.append(Line(CONSUMABLES, name, namer(name), "", count, count, unit, stock))
            continue
        low, high, detail = getattr(item, "low", None), getattr(item, "high", None), ""
        if low is not None and high is not None:
            detail = f"{low} to {high}"
        if isinstance(item, Supply) and item.up_to is not None:
            detail = f"up to {item.up_to}"
        measures = isinstance(item, Gauge) and (item.high is not None or item.calibrated)
        if isinstance(item, Gauge) and item.accuracy:
            detail += f", class {item.accuracy}"
        lines.append(
            Line(
                INSTRUMENTS if measures else TOOLS,
                name,
                namer(name),
                detail,
                Fraction(1),
                Fraction(1),
                "",
                stock,
                measures,
            )
        )
    return lines


def _amount(value: object) -> tuple[Fraction | None, str]:
    """A stated quantity as a number and its unit."""
    if isinstance(value, Quantity):
        return value.value, value.unit.symbol
    text = str(value or "")
    return (Fraction(text), "") if text.isdigit() else (None, "")


def _parts(machine: Machine, taken: Need, namer: Namer, variant: Variant) -> list[Line]:
    """A line for each kind of part: the same part at several places is one line with its sum."""
    groups: dict[tuple[str, str], list[str]] = {}
    for name in taken.most:
        item = machine.items.get(name)
        stock = str(pick(item.stock, variant) or "") if item else ""
        groups.setdefault((item.base if item and item.base else name, stock), []).append(name)
    lines = []
    for (base, stock), names in groups.items():
        most = sum((_each(machine, n, variant) * taken.most[n] for n in names), Fraction(0))
        likely = sum((_each(machine, n, variant) * taken.likely[n] for n in names), Fraction(0))
        item = machine.items.get(names[0])
        detail = ""
        if isinstance(item, Fastener):
            detail = ", ".join(filter(None, (item.thread, f"class {item.strength}" if item.strength else "")))
        why = "always" if likely == most else "if rejected" if not likely else "more if rejected"
        lines.append(
            Line(PARTS, base, namer(names[0] if len(names) == 1 else base), detail, most, likely, "", stock, why=why)
        )
    return lines


def _each(machine: Machine, name: str, variant: Variant) -> Fraction:
    """How many pieces one item stands for."""
    item = machine.items.get(name)
    if item is None:
        return Fraction(1)
    count, unit = _amount(pick(item.quantity, variant))
    if count is not None and not unit:
        return count
    return Fraction(item.count) if isinstance(item, Fastener) and item.count else Fraction(1)


def _temporary(machine: Machine, taken: Need, namer: Namer) -> list[Line]:
    lines = []
    for name in taken.fitted:
        item = machine.items.get(name)
        if isinstance(item, Solid) and item.kind == "temporary":
            stock = str(pick(item.stock, machine.variant) or "")
            lines.append(
                Line(TEMPORARY, name, namer(name), "", Fraction(1), Fraction(1), "", stock, why="comes off again")
            )
    return lines


def _locks(taken: Need, machine: Machine) -> list[Line]:
    count = Fraction(sum(1 for name in taken.locked if name in machine.items))
    if not count:
        return []
    return [
        Line(
            LOCKS, "locks", "Padlocks with one key each", "one a device, and one a person at the lock box", count, count
        ),
        Line(LOCKS, "tags", "Isolation tags", "", count, count),
    ]


def _lifts(machine: Machine, taken: Need, namer: Namer, variant: Variant, limit: float) -> list[Line]:
    """What weighs more than one person may lift; the aid is the step's own tool and stands among the tools."""
    lines = []
    for name in taken.handled:
        item = machine.items.get(name)
        mass = pick(item.mass, variant) if isinstance(item, Solid | Fastener) else None
        if isinstance(mass, Quantity) and mass.si > limit:
            detail = f"rated {mass} or more, with tackle"
            lines.append(
                Line(
                    LIFTING,
                    name,
                    f"Lifting gear for: {namer(name)}",
                    detail,
                    Fraction(1),
                    Fraction(1),
                    why=f"above {limit:g} kg",
                )
            )
    return lines


def _wear(procedure: Procedure, machine: Machine, namer: Namer, people: int) -> list[Line]:
    names = dict.fromkeys(ref.name for ref in procedure.wear)
    for hazard in procedure.hazards:
        names |= dict.fromkeys(ref.name for ref in hazard.wear)
    count = Fraction(people) if people else None
    lines = []
    for name in names:
        title = procedure.wear_titles.get(name) or (
            namer(name) if name in machine.items else name.replace("-", " ").capitalize()
        )
        lines.append(Line(WEAR, name, title, "", count, count, why="one a person"))
    return lines
