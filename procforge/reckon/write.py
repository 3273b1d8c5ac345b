"""An answer written: as text for a reader who wants to check it by hand, or as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from procforge.engineering.base import Input, Outside, Result
from procforge.engineering.figures import exact, shown
from procforge.quantities import Problem, Unit, rounded, unit
from procforge.quantities.quantity import shortest, with_unit
from procforge.reckon.base import Answer, Calculation, Figure, Words, Wrong

#: SI unit of a result: the units it is read in, the first whose number is at least the bound.
_READABLE: dict[str, tuple[tuple[str, float], ...]] = {
    "m": (("m", 1.0), ("mm", 1e-3), ("μm", 0.0)),
    "m²": (("m²", 1.0), ("mm²", 0.0)),
    "m³": (("m³", 1.0), ("L", 1e-3), ("mL", 0.0)),
    "Pa": (("bar", 1e3), ("Pa", 0.0)),
    "N/m²": (("N/mm²", 1e4), ("N/m²", 0.0)),
    "N": (("MN", 1e6), ("kN", 1e3), ("N", 0.0)),
    "J": (("MJ", 1e6), ("kJ", 1e3), ("J", 0.0)),
    "s": (("h", 7200.0), ("min", 180.0), ("s", 0.0)),
    "kg": (("kg", 1e-1), ("g", 0.0)),
    "m³/s": (("m³/h", 1e-3), ("mL/min", 0.0)),
    "kg/mol": (),
}


def printed(value: float, si: str, wanted: str = "", digits: int = 3, units: Sequence[Unit] = ()) -> str:
    """An SI value in `wanted`, in the first of `units` of its kind, or in a unit it is well read in."""
    base = unit(si) if si else None
    if isinstance(base, Problem) or base is None:
        return f"{_plain(value, digits)} {si}".strip()
    for asked in (*units, *([] if not wanted else [unit(wanted)])):
        if isinstance(asked, Unit) and _alike(asked.kind, base.kind):
            kept = max(digits, 4 if asked in units else digits)
            return with_unit(shortest((exact(value) - asked.offset) / asked.factor, kept), asked)
    for symbol, bound in _READABLE.get(base.symbol, ()):
        if abs(value) >= bound and value != 0:
            return shown(value, symbol, digits)
    return shown(value, base.symbol, digits)


def _alike(one: str, other: str) -> bool:
    return one == other or (one.startswith("pressure") and other.startswith("pressure") and "rate" not in one + other)


def _plain(value: float, digits: int) -> str:
    if value == int(value) and abs(value) < 1e9:
        return str(int(value))
    return shortest(exact(value), digits) if 1e-6 <= abs(value) < 1e15 else f"{value:.{digits}g}"


def as_text(calculation: Calculation, answer: Answer, units: Sequence[Unit] = ()) -> str:
    """Title, then each figure with formula, inputs, source and limits; faults last."""
    lines = [calculation.title, ""]
    width = max((len(part.name) for part in answer.parts), default=0)
    for part in answer.parts:
        value = part.text if isinstance(part, Words) else _value(part, units)
        lines.append(f"  {part.name:<{width}}  {value}")
        if isinstance(part, Words):
            lines += _table(part.rows)
    groups: list[tuple[list[str], Result]] = []
    for figure in answer.parts:
        if isinstance(figure, Figure):
            same = next(
                (g for g in groups if g[1].formula == figure.result.formula and g[1].inputs == figure.result.inputs),
                None,
            )
            if same:
                same[0].append(figure.name)
            else:
                groups.append(([figure.name], figure.result))
    for names, result in groups:
        lines += ["", f"  {' and '.join(names)}: {result.formula}"]
        room = max((len(one.name) for one in result.inputs), default=0)
        lines += [f"    {one.name:<{room}}  {_input(one)}" for one in result.inputs]
        lines.append(f"    source: {result.source}")
    for words in answer.parts:
        if isinstance(words, Words) and words.source:
            lines += ["", f"  {words.name}: source: {words.source}"]
    limits = dict.fromkeys(limit for part in answer.parts if isinstance(part, Figure) for limit in part.result.limits)
    if limits:
        lines += ["", "  Holds for:", *(f"    - {limit}" for limit in limits)]
    for fault in answer.faults:
        lines += ["", f"  {fault.severity.word}: {fault.message}  [{fault.kind}]"]
        lines += [f"    mend: {fault.hint}"] if fault.hint else []
    return "\n".join([*lines, "", "  The maker's manual, site rules and local codes go before this figure."])


def _value(part: Figure, units: Sequence[Unit]) -> str:
    if part.unit == "%":
        return f"{rounded(exact(part.result.value * 100), part.digits)} %"
    return printed(part.result.value, part.result.unit, part.unit, part.digits, units)


def _input(one: Input) -> str:
    return printed(one.value, one.unit, digits=5)


def _table(rows: tuple[tuple[str, ...], ...]) -> list[str]:
    if not rows:
        return []
    widths = [max(len(row[k]) for row in rows if k < len(row)) for k in range(max(map(len, rows)))]
    return ["    " + "  ".join(f"{cell:<{widths[k]}}" for k, cell in enumerate(row)).rstrip() for row in rows]


def as_json(calculation: Calculation, answer: Answer, units: Sequence[Unit] = ()) -> dict[str, Any]:
    """The same for a program: values in SI beside what is printed."""
    return {
        "calculation": calculation.name,
        "figures": [
            {
                "name": part.name,
                "value": part.result.value,
                "unit": part.result.unit,
                "printed": _value(part, units),
                "formula": part.result.formula,
                "inputs": [{"name": one.name, "value": one.value, "unit": one.unit} for one in part.result.inputs],
                "source": part.result.source,
                "limits": list(part.result.limits),
            }
            for part in answer.parts
            if isinstance(part, Figure)
        ],
        "words": [
            {"name": part.name, "text": part.text, "rows": [list(row) for row in part.rows], "source": part.source}
            for part in answer.parts
            if isinstance(part, Words)
        ],
        "faults": [
            {"kind": f.kind, "severity": f.severity.word, "message": f.message, "mend": f.hint} for f in answer.faults
        ],
    }


def refusal(wrong: Wrong | Outside) -> dict[str, Any]:
    """A refusal for a program."""
    option = wrong.option if isinstance(wrong, Wrong) else ""
    return {"refused": {"option": option, "message": wrong.message, "mend": wrong.hint}}
