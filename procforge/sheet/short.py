"""A step in a few words, for charts, tables and references: at most 40 characters by construction, never cut."""

from __future__ import annotations

from collections.abc import Iterator

from procforge.model.procedure import AnyWork, Ask, Call, Check, Group, Hold, Mark, Measure, Repeat, Step, When
from procforge.sheet.english import lower_first, upper_first
from procforge.sheet.naming import Names
from procforge.sheet.sentences import TO_POSITION, position

LONGEST = 40
#: What a number of things is called where their names don't fit.
_KINDS = {
    "isolator": "isolators", "valve": "valves", "part": "parts", "seal": "seals", "fastener": "bolt sets",
    "guard": "guards", "pressure-space": "spaces", "safety-device": "safety devices", "gauge": "gauges",
}  # fmt: skip
_ONE = {"isolator": "isolator", "valve": "valve", "seal": "seal", "fastener": "bolts", "guard": "guard", "part": "part"}
#: Verbs in fewer words than their own.
_VERBS = {
    "notify": "Tell", "look-into": "Look into", "try-start": "Try to start", "leak-test": "Leak-test",
    "gas-test": "Gas-test", "nip-up": "Nip up", "shut-down": "Shut down", "let-down": "Let down",
    "switch-off": "Switch off", "switch-on": "Switch on", "carry-out": "Do", "unlock": "Unlock", "return": "Set back",
}  # fmt: skip


def short(work: AnyWork, names: Names) -> str:
    """The title of a statement: `Remove cover nuts`, `Shut 3 valves`; the user's own title where it fits."""
    for text in _candidates(work, names):
        if 0 < len(text) <= LONGEST:
            return text
    return upper_first(work.kind)


def _candidates(work: AnyWork, names: Names) -> Iterator[str]:
    if isinstance(work, Check) and work.title:
        yield from _judged(work, names)
    elif isinstance(work, Step | Measure) and work.title:
        yield work.title
    match work:
        case Step(text=text) if text:
            yield text.rstrip(".")
            yield f"{_verb(work, names)} as written"
        case Step():
            yield from _objects(
                _verb(work, names), [ref.name for ref in work.objects], names, new=any(r.new for r in work.objects)
            )
        case Check():
            yield from _objects(f"Check {work.name.replace('-', ' ')},", [ref.name for ref in work.objects], names)
            yield f"Check {work.name.replace('-', ' ')}"
            yield "Check"
        case Measure():
            yield f"Measure {lower_first(work.label)}"
            yield f"Measure {work.name.replace('-', ' ')}"
        case Hold():
            yield f"{work.name}: {work.text.rstrip('.')}"
            yield f"{upper_first(work.point)} point {work.name}"
        case Ask():
            yield work.text
            yield "Question"
        case When():
            yield f"{upper_first(work.check.replace('-', ' '))} accepted?"
            yield "Accepted?"
        case Repeat():
            yield f"Until {work.check.replace('-', ' ')} accepted"
        case Call():
            if work.title:
                yield f"{work.number}: {work.title}" if work.number else work.title
                yield work.title
            yield f"Do procedure {work.number or work.file.removesuffix('.proc')}"
        case Mark():
            yield from _mark(work)
        case Group():
            yield work.title
            yield work.name.replace("-", " ")


def _judged(check: Check, names: Names) -> Iterator[str]:
    """A check by its title and what it is made on, which may tell the title: `Face, end cover`, `Strainer basket`."""
    titles = list(dict.fromkeys(names.plain(ref.name) for ref in check.objects))
    if len(titles) == 1:
        one = titles[0]
        if set(check.title.lower().split()) <= set(one.lower().split()):
            yield upper_first(one)
        elif one.lower() not in check.title.lower():
            yield f"{check.title}, {one}"
            yield f"{check.title}, {names.plain(check.objects[0].name, place=False)}"
    yield check.title


def judged(check: Check, names: Names, room: int) -> str:
    """What a check is about, in at most `room` characters if it can be said so."""
    said = (
        list(_judged(check, names))
        if check.title
        else list(_judged(check.but(title=check.name.replace("-", " ")), names))
    )
    return upper_first(next((text for text in said if len(text) <= room), said[-1]))


def _verb(step: Step, names: Names) -> str:
    found = {position(step.verb, ref.name, names) for ref in step.objects}
    if step.verb in ("isolate", "return") and len(found) == 1 and (verb := TO_POSITION.get(next(iter(found)))):
        return verb
    return _VERBS.get(step.verb) or upper_first(step.verb.replace("-", " "))


def _objects(verb: str, objects: list[str], names: Names, *, new: bool = False) -> Iterator[str]:
    """From all titles down to a number of things."""
    fresh = "new " if new else ""
    if objects and len(objects) < 4:
        for place in (True, False):
            titles = list(dict.fromkeys(names.plain(name, place=place) for name in objects))
            yield f"{verb} {fresh}" + " and ".join(filter(None, (", ".join(titles[:-1]), titles[-1])))
    kinds = {names.machine.kind(name) for name in objects}
    if len(objects) == 1:
        item = names.item(objects[0])
        yield f"{verb} {fresh}" + ((item.base if item else "") or objects[0]).replace("-", " ")
        yield f"{verb} {fresh}{_ONE.get(next(iter(kinds)), 'item')}"
    elif objects:
        word = (
            _KINDS.get(next(iter(kinds)), "items")
            if len(kinds) == 1
            else "devices"
            if kinds <= {"isolator", "valve"}
            else "items"
        )
        if word in ("items", "parts") and len(objects) > 2:
            more = f" and {len(objects) - 1} more"
            yield f"{verb} {fresh}{names.plain(objects[0])}{more}"
            yield f"{verb} {fresh}{names.plain(objects[0], place=False)}{more}"
        yield f"{verb} {len(objects)} {fresh}{word}"
    yield verb


def _mark(mark: Mark) -> Iterator[str]:
    if mark.form == "wait" and mark.duration is not None:
        yield f"Wait {mark.duration}" + (f" after {mark.after.replace('-', ' ')}" if mark.after else "")
        yield f"Wait {mark.duration}"
    if mark.form == "note":
        yield "Note"
    yield {
        "stop": f"Stop, call {mark.role.replace('-', ' ')}" if mark.role else "Stop",
        "may-stop": "May stop here", "handover": "Handover", "wait": "Wait",
    }.get(mark.form, "Note")  # fmt: skip
    yield "Stop"
