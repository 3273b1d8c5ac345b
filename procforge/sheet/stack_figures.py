"""The stack pictures of a sheet: which stacks the job opens, in the words of the sheet, and before which section."""

from __future__ import annotations

from collections.abc import Iterable

from procforge.model.base import pick
from procforge.model.equipment import Seal, Solid
from procforge.quantities import Quantity
from procforge.sheet.english import joined, lower_first, nb, upper_first
from procforge.sheet.job import Job
from procforge.sheet.rows import Figure
from procforge.sheet.stack import BEHIND, Stack, fasteners, stacks
from procforge.sheet.stack_layout import Hold, Kind, Layer, drawings

#: Verbs that open a stack.
_OUT = frozenset({"remove", "ease"})
_MOST_STEPS = 2


def stack_figures(job: Job) -> dict[int, tuple[Figure, ...]]:
    """By number of a section: the stacks whose first thing is loosened or taken out there. Rows must have been made."""
    where = _steps(job)
    found: dict[int, list[Figure]] = {}
    for group in _alike(job, stacks(job.machine)):
        items = [name for stack in group for name in stack.items(job.machine)]
        opened = [number for name in items for verb, number in where.get(name, ()) if verb in _OUT]
        if opened:
            section = min(_section(number) for number in opened)
            found.setdefault(section, []).extend(_figures(job, group, where))
    return {section: tuple(figures) for section, figures in found.items()}


def _section(number: str) -> int:
    return int(number.partition(".")[0])


def _place(number: str) -> tuple[int, int]:
    section, _, step = number.partition(".")
    return (int(section), int("".join(c for c in step if c.isdigit()) or 0))


def _steps(job: Job) -> dict[str, list[tuple[str, str]]]:
    """By item: what is done to it, as verb and number of the step, in printed order."""
    found: dict[str, list[tuple[str, str]]] = {}
    for step, done in job.steps():
        number = done.number.partition("/")[0]
        for ref in step.objects:
            if number.partition(".")[0].isdigit() and (step.verb, number) not in found.setdefault(ref.name, []):
                found[ref.name].append((step.verb, number))
    return found


# ---- alike stacks ----------------------------------------------------------------------------
def _alike(job: Job, found: Iterable[Stack]) -> list[list[Stack]]:
    """Stacks that read the same from top to bottom, as two pockets may, are drawn once."""
    groups: dict[tuple[object, ...], list[Stack]] = {}
    for stack in found:
        layers = [(_layer(job, stack, name, "").name, _layer(job, stack, name, "").words) for name in stack.layers]
        edges = [tuple(stack.layers.index(n) for n in stack.under[name]) for name in stack.layers]
        holds = [(hold.held == hold.first, hold.fasteners) for hold in _holds(job, stack, {})]
        groups.setdefault((tuple(layers), tuple(edges), tuple(holds)), []).append(stack)
    return list(groups.values())


# ---- words -----------------------------------------------------------------------------------
def _figures(job: Job, group: list[Stack], where: dict[str, list[tuple[str, str]]]) -> list[Figure]:
    stack = group[0]
    twins = {name: tuple(dict.fromkeys(other.layers[at] for other in group)) for at, name in enumerate(stack.layers)}
    for names in zip(*(one.items(job.machine) for one in group), strict=True):
        twins.setdefault(names[0], tuple(dict.fromkeys(names)))
    said = {
        name: _said(
            sorted({pair for twin in names for pair in where.get(twin, ())}, key=lambda pair: _place(pair[1])),
            seal=isinstance(job.names.item(name), Seal),
        )
        for name, names in twins.items()
    }
    layers = {name: _layer(job, stack, name, said[name]) for name in stack.layers}
    made = drawings(layers, stack.under, _holds(job, stack, said), _alt(job, stack, layers))
    title = _title(job, group)
    figures = []
    for at, drawing in enumerate(made, 1):
        part = f", part {at} of {len(made)}" if len(made) > 1 else ""
        caption = f"{title}{part}, from outside to inside. Schematic, not to scale."
        figures.append(Figure(f"{title}. {drawing.alt}", caption, drawing=drawing))
    return figures


def _title(job: Job, group: list[Stack]) -> str:
    """`Inlet pocket`, `Inside the seal cartridge`, `Belt guard and what lies behind it`."""
    units = list(dict.fromkeys(unit for stack in group for unit in stack.units))
    if units:
        return f"Inside {joined([job.names.the(unit, tag=False) for unit in units])}"
    places = [{getattr(job.names.item(name), "at", "") for name in stack.layers if not _space(name)} for stack in group]
    if all(len(names - {""}) == 1 for names in places):
        return upper_first(joined([job.names.place(next(iter(names - {""}))) for names in places]))
    stack = group[0]
    covered = {name for below in stack.under.values() for name in below}
    tops = [job.names.plain(name, place=False) for name in stack.layers if name not in covered]
    them = "it" if len(tops) == 1 and not job.names.many(stack.layers[0]) else "them"
    return f"{upper_first(joined(tops))} and what lies behind {them}"


def _space(name: str) -> bool:
    return name.startswith(BEHIND)


def _layer(job: Job, stack: Stack, name: str, steps: str) -> Layer:
    if _space(name):
        room = [job.names.the(one, tag=False) for one in stack.rooms.get(name, ())]
        spaces = "; ".join(_space_words(job, one) for one in stack.spaces[name])
        return Layer(Kind.SPACE, f"Behind it: {spaces}", f"In it: {joined(room)}" if room else "")
    item = job.names.item(name)
    title = upper_first(job.names.plain(name, place=False))
    tag = job.names.tag(name)
    title += f" ({tag})" if tag and tag not in title else ""
    if isinstance(item, Seal):
        words = ["new each time"] if item.single_use else []
        return Layer(Kind.SEAL, title, ". ".join([*words, *_way_up(item.way_up)]), steps)
    words = []
    if isinstance(item, Solid):
        mass = pick(item.mass, job.variant)
        words += [nb(mass)] if isinstance(mass, Quantity) else []
        words += ["new each time"] if item.single_use else []
        words += _way_up(item.way_up)
    return Layer(Kind.PART, title, ". ".join(upper_first(word) for word in words), steps)


def _way_up(text: str) -> list[str]:
    return [f"Way up: {text}"] if text else []


def _space_words(job: Job, space: str) -> str:
    """`first-stage cylinder (biogas, 4.5 bar(g) in service)`."""
    pressure = pick(job.machine.energies[space].pressure, job.variant)
    fluid = [word.replace("-", " ") for word in job.machine.fluid(space)[:1]]
    known = [*fluid, *([f"{nb(pressure)} in service"] if isinstance(pressure, Quantity) else [])]
    return job.names.plain(space) + (f" ({', '.join(known)})" if known else "")


def _holds(job: Job, stack: Stack, said: dict[str, str]) -> list[Hold]:
    """What holds the layers; fasteners of one part that go through the same layers stand together."""
    found: dict[tuple[str, str], list[tuple[str, str, str]]] = {}
    for part in (name for name in stack.layers if not _space(name)):
        for name in fasteners(job.machine, part):
            over = [n for n in job.machine.beneath(name) if n in stack.layers]
            first = min((*over, part), key=stack.layers.index)
            entry = (upper_first(job.names.plain(name, place=False)), job.names.bolts(name), said.get(name, ""))
            found.setdefault((part, first), []).append(entry)
    return [Hold(part, first, tuple(entries)) for (part, first), entries in found.items()]


def _said(done: list[tuple[str, str]], *, seal: bool) -> str:
    """`out 3.4, in 5.2`; for fasteners `off 3.4, tight 5.4`."""
    tight = [number for verb, number in done if verb == "tighten"]
    off = [number for verb, number in done if verb == "remove"]
    if tight:
        return _numbers((("off", off), ("tight", tight)))
    on = [number for verb, number in done if verb == "fit" or (verb == "renew" and seal)]  # a seal is renewed in place
    return _numbers((("out", off), ("in", on)))


def _numbers(pairs: tuple[tuple[str, list[str]], ...]) -> str:
    """The steps; the sections alone for what is done time and again, in a block that is called."""
    told = [(word, list(dict.fromkeys(numbers))) for word, numbers in pairs if numbers]
    if all(len(numbers) <= _MOST_STEPS for _, numbers in told):
        return ", ".join(f"{word}\u00a0{joined(numbers, 'or')}" for word, numbers in told)
    found = sorted({_section(number) for _, numbers in told for number in numbers})
    return f"see section{'s' * (len(found) > 1)}\u00a0{joined([str(number) for number in found])}"


def _alt(job: Job, stack: Stack, layers: dict[str, Layer]) -> str:
    """The stack in sentences, from outside to inside."""
    held = {hold.held: hold for hold in _holds(job, stack, {})}
    sentences = []
    for name, layer in layers.items():
        below = [_called(layers[n]).partition(" (")[0] for n in stack.under[name]]
        text = upper_first(_called(layer))
        if name in held:
            text += ", held by " + joined(
                [", ".join(filter(None, (lower_first(n), s))) for n, s, _ in held[name].fasteners]
            )
        sentences.append(text + (f", over {joined(below)}." if below else "."))
    return "From outside to inside. " + " ".join(sentences)


def _called(layer: Layer) -> str:
    return lower_first(layer.name.removeprefix("Behind it: ")) if layer.kind is Kind.SPACE else lower_first(layer.name)
