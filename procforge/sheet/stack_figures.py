"""The stack pictures of a sheet: which stacks the job opens, in the words of the sheet, and before which section."""

from __future__ import annotations

from collections.abc import Iterable

from procforge.model.base import pick
from procforge.model.equipment import Seal, Solid
from procforge.quantities import Quantity
from procforge.sheet.english import joined, lower_first, upper_first
from procforge.sheet.inline import plain
from procforge.sheet.job import Job
from procforge.sheet.labels import Labels
from procforge.sheet.rows import Figure
from procforge.sheet.stack import BEHIND, Stack, fasteners, stacks
from procforge.sheet.stack_layout import drawings
from procforge.sheet.stack_parts import Hold, Kind, Layer

#: Verbs that open a stack.
_OUT = frozenset({"remove", "ease"})
_MOST_STEPS = 2


def stack_figures(job: Job) -> dict[int, tuple[Figure, ...]]:
    """By number of a section: the stacks whose first thing is loosened or taken out there. Rows must have been made."""
    where = _steps(job)
    found: dict[int, list[list[Stack]]] = {}
    for group in _alike(job, stacks(job.machine)):
        items = [name for stack in group for name in stack.items(job.machine)]
        opened = [number for name in items for verb, number in where.get(name, ()) if verb in _OUT]
        if opened:
            section = min(_section(number) for number in opened)
            found.setdefault(section, []).append(group)
    return {section: _told_apart(job, groups, where) for section, groups in found.items()}


def _told_apart(job: Job, groups: list[list[Stack]], where: dict[str, list[tuple[str, str]]]) -> tuple[Figure, ...]:
    """The pictures of a section; two piles in one unit are told apart by their ends."""
    titles = [_title(job, group) for group in groups]
    figures: list[Figure] = []
    for group, title in zip(groups, titles, strict=True):
        if titles.count(title) > 1:
            ends = [job.names.plain(name, place=False) for name in group[0].layers if not _space(name)]
            title = job.labels.stack_from_to.format(title=title, first=ends[0], last=ends[-1])
        figures += _figures(job, group, where, title)
    return tuple(figures)


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
def _figures(job: Job, group: list[Stack], where: dict[str, list[tuple[str, str]]], title: str) -> list[Figure]:
    stack = group[0]
    twins = {name: tuple(dict.fromkeys(other.layers[at] for other in group)) for at, name in enumerate(stack.layers)}
    for names in zip(*(one.items(job.machine) for one in group), strict=True):
        twins.setdefault(names[0], tuple(dict.fromkeys(names)))
    said = {
        name: _said(
            sorted({pair for twin in names for pair in where.get(twin, ())}, key=lambda pair: _place(pair[1])),
            job.labels,
            seal=isinstance(job.names.item(name), Seal),
        )
        for name, names in twins.items()
    }
    layers = {name: _layer(job, stack, name, said[name]) for name in stack.layers}
    made = drawings(layers, stack.under, _holds(job, stack, said), _alt(job, stack, layers), job.labels)
    ends = f"from {job.labels.stack_outside} to {job.labels.stack_inside}"
    figures = []
    for at, drawing in enumerate(made, 1):
        named = job.labels.stack_part.format(title=title, number=at, most=len(made)) if len(made) > 1 else title
        figures.append(
            Figure(f"{named}, {ends}. {drawing.alt}", job.labels.stack_caption.format(title=named), drawing=drawing)
        )
    return figures


def _title(job: Job, group: list[Stack]) -> str:
    """`Inlet pocket`, `Inside the seal cartridge`, `Belt guard and what lies behind it`."""
    units = list(dict.fromkeys(unit for stack in group for unit in stack.units))
    if units:
        return job.labels.stack_of_unit.format(units=joined([job.names.the(unit, tag=False) for unit in units]))
    places = [{getattr(job.names.item(name), "at", "") for name in stack.layers if not _space(name)} for stack in group]
    if all(len(names - {""}) == 1 for names in places):
        return upper_first(joined([job.names.place(next(iter(names - {""}))) for names in places]))
    stack = group[0]
    covered = {name for below in stack.under.values() for name in below}
    tops = [job.names.plain(name, place=False) for name in stack.layers if name not in covered]
    one = len(tops) == 1 and not job.names.many(stack.layers[0])
    words = job.labels.stack_behind_it if one else job.labels.stack_behind_them
    return words.format(parts=upper_first(joined(tops)))


def _space(name: str) -> bool:
    return name.startswith(BEHIND)


def _layer(job: Job, stack: Stack, name: str, steps: str) -> Layer:
    labels = job.labels
    if _space(name):
        room = [job.names.the(one, tag=False) for one in stack.rooms.get(name, ())]
        spaces = "; ".join(_space_words(job, one) for one in stack.spaces[name])
        inside = labels.stack_room.format(things=joined(room)) if room else ""
        return Layer(Kind.SPACE, labels.stack_space.format(spaces=spaces), inside)
    item = job.names.item(name)
    title = upper_first(job.names.plain(name, place=False))
    tag = job.names.tag(name)
    title += f" ({tag})" if tag and tag not in title else ""
    words: list[str] = []
    if isinstance(item, Solid | Seal):
        mass = pick(item.mass, job.variant) if isinstance(item, Solid) else None
        words += [plain(job.profile.seconds.words(mass))] if isinstance(mass, Quantity) else []
        words += [labels.stack_new] if item.single_use else []
        words += [labels.stack_way_up.format(way=item.way_up)] if item.way_up else []
    kind = Kind.SEAL if isinstance(item, Seal) else Kind.PART
    return Layer(kind, title, ". ".join(words), steps)


def _space_words(job: Job, space: str) -> str:
    """`first-stage cylinder (biogas, 4.5 bar(g) in service)`."""
    pressure = pick(job.machine.energies[space].pressure, job.variant)
    fluid = [word.replace("-", " ") for word in job.machine.fluid(space)[:1]]
    known = list(fluid)
    if isinstance(pressure, Quantity):
        known.append(job.labels.stack_pressure.format(pressure=plain(job.profile.seconds.words(pressure))))
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


def _said(done: list[tuple[str, str]], labels: Labels, *, seal: bool) -> str:
    """`out 3.4, in 5.2`; for fasteners `off 3.4, tight 5.4`."""
    tight = [number for verb, number in done if verb == "tighten"]
    off = [number for verb, number in done if verb == "remove"]
    on = [number for verb, number in done if verb == "fit" or (verb == "renew" and seal)]  # a seal is renewed in place
    pairs = (
        ((labels.stack_off, off), (labels.stack_tight, tight))
        if tight
        else ((labels.stack_out, off), (labels.stack_in, on))
    )
    told = [(word, list(dict.fromkeys(numbers))) for word, numbers in pairs if numbers]
    if all(len(numbers) <= _MOST_STEPS for _, numbers in told):
        return ", ".join(_glued(word, joined(numbers, "or")) for word, numbers in told)
    # what is done time and again, in a block that is called
    sections = sorted({_section(number) for _, numbers in told for number in numbers})
    return _glued(labels.stack_section, joined([str(number) for number in sections]))


def _glued(words: str, numbers: str) -> str:
    """A label with its numbers, the first of them on the line of the word before it."""
    return words.replace(" {numbers}", "\u00a0{numbers}").format(numbers=numbers)


def _alt(job: Job, stack: Stack, layers: dict[str, Layer]) -> str:
    """The stack in sentences, from outside to inside."""
    held: dict[str, list[str]] = {}
    for hold in _holds(job, stack, {}):
        held.setdefault(hold.held, []).extend(
            ", ".join(filter(None, (lower_first(name), size))) for name, size, _ in hold.fasteners
        )
    called = {
        name: joined([job.names.plain(space) for space in stack.spaces[name]])
        if _space(name)
        else lower_first(layer.name)
        for name, layer in layers.items()
    }
    sentences = []
    for name, layer in layers.items():
        text = layer.name if _space(name) else upper_first(called[name])
        text += f", {job.labels.stack_held.format(fasteners=joined(held[name]))}" if name in held else ""
        below = [called[other] for other in stack.under[name]]
        sentences.append(text + (f", over {joined(below)}." if below else "."))
    return " ".join(sentences)
