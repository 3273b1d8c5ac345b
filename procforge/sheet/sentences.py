"""Instructions written from verb and objects: imperative, one instruction a sentence, at most 20 words.

`sentences` gives what a technician reads, `short` the few words that fit a chart. Both are pure: a step, the names of
one variant's machine, and nothing else decide the words. Positions are said in words ("Shut the inlet block valve").
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from procforge.model.equipment import Energy, Supply, Valve
from procforge.model.procedure import Check, Measure, Ref, Step
from procforge.model.verbs import by_name
from procforge.sheet.english import LONGEST, clauses, ended, in_turn, joined, lower_first, nb, upper_first, words
from procforge.sheet.handling import ease, fit, remove, renew, tighten
from procforge.sheet.naming import Names
from procforge.sheet.phrases import amount, apart, at_gauge, pronoun, roots, the_objects, with_tools

Said = list[str]
#: Position of a device to the verb that brings it there.
TO_POSITION = {"shut": "Shut", "open": "Open", "off": "Switch off", "on": "Switch on"}
#: Verbs whose several objects get a row each, with a tick and a position.
ROW_VERBS = frozenset({"isolate", "return", "open", "shut", "switch-off", "switch-on", "lock", "unlock"})


def sentence(step: Step, names: Names, about: str = "") -> str:
    """The whole instruction of a step in one string."""
    return " ".join(sentences(step, names, about))


def sentences(step: Step, names: Names, about: str = "") -> tuple[str, ...]:
    """The sentences of a step, in the order to be done.

    `about` is what a `notify` tells ("that the booster will be shut down"): it hangs on where the step stands.
    """
    if step.text and step.verb == "carry-out":
        return (ended(upper_first(step.text)),)
    if step.text:
        return (_pattern(step, lower_first(step.text)),)
    say = _VERBS.get(step.verb)
    if say is None:
        return (_pattern(step, joined([names.the(ref.name) for ref in step.objects]) or "what is written below"),)
    if step.verb == "notify":
        return tuple(_notify(step, names, about))
    return tuple(say(step, names))


def check_name(check: Check) -> str:
    """`plate snap check`: what a check is called wherever it is named."""
    words = lower_first(check.title) or check.name.replace("-", " ")
    return words if words.split()[-1:] == ["check"] else f"{words} check"


def check_sentences(check: Check, names: Names) -> tuple[str, ...]:
    """What a check asks for."""
    words = check_name(check)
    things = [names.the(ref.name) for ref in check.objects]
    tail = with_tools(check.tools, names)
    return tuple(clauses(lambda them, more: f"Do the {words} on {them}{more}.", things, joined, tail)) or (
        f"Do the {words}.",
    )


def measure_sentences(measure: Measure, names: Names) -> tuple[str, ...]:
    """What is measured, on what, with what."""
    label = lower_first(measure.label)
    article = "" if label.split(" ")[0] in ("the", "a", "an", "each", "both") else "the "
    where = (
        f" at {_gauges(measure, names)}"
        if measure.tools and _is_gauge(measure.tools[0], names)
        else with_tools(measure.tools, names)
    )
    found = " as found" if measure.as_found else ""
    things = joined([names.the(ref.name) for ref in measure.objects])
    on = (
        f" on {things}"
        if things and not any(names.plain(ref.name, place=False) in label for ref in measure.objects)
        else ""
    )
    if measure.places:
        return (
            f"Measure {article}{label}{on}{found}{where}.",
            f"Read it at {joined([names.place(p) for p in measure.places])}.",
        )
    return (f"Measure {article}{label}{on}{found}{where}.",)


def _is_gauge(ref: Ref, names: Names) -> bool:
    item = names.item(ref.name)
    return item is not None and item.kind == "gauge"


def _gauges(measure: Measure, names: Names) -> str:
    return joined([names.the(ref.name) for ref in measure.tools])


def _pattern(step: Step, it: str) -> str:
    """The verb table's own words, for verbs that need no more than their objects."""
    rows = by_name().get(step.verb, ())
    say = rows[0].say if rows else f"{upper_first(step.verb.replace('-', ' '))} {{it}}."
    for gap in ("{set}", "{reset}", "{position}", "{to}", "{safe}", "{turn}"):
        say = say.replace(f" {gap}", "").replace(gap, "")
    return ended(upper_first(say.replace("{it}", it).strip()))


def _simple(verb: str, after: str = "", join: Callable[[Sequence[str]], str] = joined) -> Callable[[Step, Names], Said]:
    """`VERB the a, the b and the c AFTER with the tool.`"""

    def say(step: Step, names: Names) -> Said:
        return clauses(
            lambda them, more: f"{verb} {them}{after}{more}.",
            the_objects(step, names),
            join,
            with_tools(step.tools, names),
        )

    return say


# ---- people --------------------------------------------------------------------------------------------------------
def _notify(step: Step, names: Names, about: str) -> Said:
    them = joined(the_objects(step, names))
    whole = f"Tell {them} {about}." if about else f"Tell {them}."
    return [whole] if words(whole) <= LONGEST else [f"Tell {them}.", f"Say {about}."]


def _start(verb: str) -> Callable[[Step, Names], Said]:
    return lambda step, names: clauses(
        lambda them, _: f"{verb} {them}.", the_objects(step, names) or [names.machine_words()], joined
    )


def _clear(step: Step, names: Names) -> Said:
    return clauses(
        lambda them, _: f"See that {them} is clear of people, tools and loose objects.",
        the_objects(step, names),
        joined,
    )


# ---- devices -------------------------------------------------------------------------------------------------------
def position(verb: str, name: str, names: Names) -> str:
    """The position a step leaves a device in, in words: `shut`, `locked open`, `lock and tag off`."""
    machine = names.machine
    if not isinstance(names.item(name), Valve):
        return {"lock": "locked", "unlock": "lock and tag off", "return": "back in service"}.get(verb, "set")
    return {
        "isolate": machine.away(name), "return": machine.home(name), "open": "open", "shut": "shut", "switch-off": "off",
        "switch-on": "on", "lock": f"locked {machine.away(name)}", "unlock": "lock and tag off",
    }.get(verb, "set")  # fmt: skip


def _set(step: Step, names: Names) -> Said:
    if len(step.objects) > 1:
        return ["Set each device below to the position given, from top to bottom."]
    return [
        f"{TO_POSITION.get(position(step.verb, ref.name, names), 'Set')} {names.the(ref.name)}." for ref in step.objects
    ]


def _lock(step: Step, names: Names) -> Said:
    if len(step.objects) > 1:
        return ["Lock and tag each device below in the position given.", "Write down the number of each lock."]
    return [f"Lock {names.the(r.name)} {position('isolate', r.name, names)} and tag it." for r in step.objects]


def _unlock(step: Step, names: Names) -> Said:
    own = "Each person takes off only the locks that person put on."
    if len(step.objects) > 1:
        return ["Take the lock and the tag off each device below.", own]
    return [f"Take the lock and the tag off {names.the(ref.name)}." for ref in step.objects] + [own]


# ---- pressure ------------------------------------------------------------------------------------------------------
def _vent(say_it: str) -> Callable[[Step, Names], Said]:
    def say(step: Step, names: Names) -> Said:
        out: Said = []
        opened = 0
        for ref in step.objects:
            vents = names.machine.vents(ref.name) if ref.name in names.machine.energies else ()
            to = step.to or next((v.to for v in vents if v.to), "")
            where = f" to the {to.replace('-', ' ')}" if to else ""
            if vents:
                valves = joined([names.the(v.valve) for v in vents], "or" if len(vents) > 1 else "and")
                out.append(f"Open {valves}.")
            out.append(say_it.format(it=names.the(ref.name), to=where + with_tools(step.tools, names)))
            opened += bool(vents)
        if opened:
            that, it = ("those valves", "them") if opened > 1 else ("that valve", "it")
            out.append(f"Leave {that} open until a step says to shut {it}.")
        return out

    return say


def _purge(step: Step, names: Names) -> Said:
    held, used = apart(step.tools, names)
    sources = tuple(ref for ref in held if names.machine.kind(ref.name) == "supply")
    read = [ref for ref in held if ref not in sources]
    out = clauses(
        lambda them, more: f"Purge {them}{more}.",
        the_objects(step, names),
        joined,
        amount(step) + with_tools((*used, *sources), names),
    )
    return [*out, f"Read {joined([names.the(ref.name) for ref in read])}."] if read else out


def _prove(step: Step, names: Names) -> Said:
    out: Said = []
    for ref in step.objects:
        item = names.item(ref.name)
        kind = item.kind if item else ""
        if kind == "motion":
            out.append(f"Prove that {names.the(ref.name)} cannot move.")
        elif kind == "stored-energy":
            out.append(f"Prove that {names.the(ref.name)} {'hold' if names.many(ref.name) else 'holds'} no energy.")
        else:
            out.append(f"Prove that {names.the(ref.name)} {'hold' if names.many(ref.name) else 'holds'} no pressure.")
    if gauge := at_gauge(step, names):
        out += [f"See that {root} is open." for root in roots(step, names)]  # or the gauge reads itself
        out.append(f"Read {gauge.removeprefix(' at ')}.")
    elif tail := with_tools(step.tools, names):
        out.append(f"Do it{tail}.")
    return out


def _try_start(step: Step, names: Names) -> Said:
    return [
        "See that everybody is clear of the machine.",
        *clauses(lambda them, _: f"Try to start {them}.", the_objects(step, names), joined),
        "Set the control back to off.",
    ]


def _pressurise(step: Step, names: Names) -> Said:
    tail = amount(step) + with_tools(step.tools, names)
    out = clauses(lambda them, more: f"Pressurise {them}{more}.", the_objects(step, names), joined, tail)
    return out + ([f"Read the pressure{at_gauge(step, names)}."] if step.at else [])


def _leak_test(step: Step, names: Names) -> Said:
    pressure = step.at_amount or step.to_amount
    tail = (f" at {nb(pressure)}" if pressure is not None else "") + with_tools(step.tools, names)
    return clauses(lambda them, more: f"Leak-test {them}{more}.", the_objects(step, names), joined, tail)


def _let_down(step: Step, names: Names) -> Said:
    spaces = {ref.name for ref in step.objects}
    sets = [n for n, supply in names.machine.supplies.items() if spaces & set(supply.feeds)]
    at = f" at {joined([names.the(n) for n in sets], 'or')}" if sets else ""
    return clauses(
        lambda them, more: f"Let the test pressure in {them} down{more}.",
        the_objects(step, names),
        joined,
        amount(step) + at,
    )


def _connect(verb: str, word: str) -> Callable[[Step, Names], Said]:
    def say(step: Step, names: Names) -> Said:
        out: Said = []
        for ref in step.objects:
            item = names.item(ref.name)
            fed = [names.the(s) for s in item.feeds if names.item(s)] if isinstance(item, Supply) else []
            out.append(f"{verb} {names.the(ref.name)}{f' {word} {joined(fed)}' if fed else ''}.")
        return out

    return say


# ---- stored energy -------------------------------------------------------------------------------------------------
def _relieve(step: Step, names: Names) -> Said:
    tools = step.tools
    if not tools and len(step.objects) == 1 and isinstance(item := names.item(step.objects[0].name), Energy):
        tools = tuple(Ref.make(name=n) for n in item.relieved_by if names.item(n))
    return clauses(
        lambda them, more: f"Relieve {them}{more}.", the_objects(step, names), joined, with_tools(tools, names)
    )


def _tension(verb: str) -> Callable[[Step, Names], Said]:
    return lambda step, names: clauses(
        lambda them, more: f"{verb} {them}{more}.",
        the_objects(step, names),
        joined,
        amount(step) + with_tools(step.tools, names),
    )


# ---- serials, marks and counts -----------------------------------------------------------------------------------
def _exchange(step: Step, names: Names) -> Said:
    sound = " for sound ones" if pronoun(step.objects, names) == "them" else " for a sound one"
    out = clauses(lambda them, more: f"Exchange {them}{more}.", the_objects(step, names), joined, sound)
    return [*out, "Write down both serial numbers."]


def _mark(step: Step, names: Names) -> Said:
    them = pronoun(step.objects, names)
    goes = "goes" if them == "it" else "go"
    return [*_simple("Mark")(step, names), f"The mark must show where {'they' if them == 'them' else 'it'} {goes}."]


def _count(step: Step, names: Names) -> Said:
    return [*_simple("Count")(step, names), "Write down the number."]


_VERBS: dict[str, Callable[[Step, Names], Said]] = {
    "notify": lambda step, names: _notify(step, names, ""),
    "shut-down": _start("Shut down"), "start": _start("Start"), "clear": _clear,
    "isolate": _set, "return": _set, "open": _set, "shut": _set, "switch-off": _set, "switch-on": _set,
    "lock": _lock, "unlock": _unlock,
    "vent": _vent("Let the pressure in {it} down{to}."), "drain": _vent("Drain {it}{to}."), "purge": _purge, "prove": _prove,
    "gas-test": _simple("Test", " for gas"), "pressurise": _pressurise, "leak-test": _leak_test, "let-down": _let_down,
    "connect": _connect("Connect", "to"), "disconnect": _connect("Disconnect", "from"),
    "look-into": _simple("Look into", " for loose objects"), "try-start": _try_start, "relieve": _relieve,
    "tension": _tension("Tension"), "charge": _tension("Charge"),
    "ease": ease, "nip-up": _simple("Nip up", "", in_turn), "remove": remove, "mark": _mark,
    "clean": _simple("Clean"), "inspect": _simple("Inspect"), "lubricate": _simple("Lubricate"), "count": _count,
    "record": _simple("Write down the data of"), "observe": _simple("Observe"), "lift": _simple("Lift"),
    "support": _simple("Support"), "align": _simple("Align"), "rebuild": _simple("Rebuild"),
    "renew": renew, "exchange": _exchange, "fit": fit, "tighten": tighten("Tighten"), "retighten": tighten("Retighten"),
    "carry-out": _simple("Carry out"),
}  # fmt: skip
