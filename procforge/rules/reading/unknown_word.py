"""A word of a closed list, misspelt or said of the wrong thing.

The position of a valve, the state in a condition, what a hazard harms, the events of house rules, facts and holds:
each takes words of a list that the language reference gives. A word that is not on its list would be passed over in
silence, and the rule or condition with it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from difflib import get_close_matches

from procforge.analysis.events import VERBS_OF
from procforge.analysis.machine import Machine
from procforge.analysis.states import WORDS, word_literals
from procforge.findings import Finding
from procforge.model.equipment import State, Valve
from procforge.model.procedure import Hold
from procforge.model.verbs import words
from procforge.rules.base import READING, Case, static_rule
from procforge.rules.common import unread
from procforge.text import Span

POSITIONS = ("open", "shut", "on", "off")
#: What is said of a fact of the user's own.
HOLDS = "holds"
HARMED = ("person", "equipment", "environment")


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    yield from _positions(case)
    yield from _states(case)
    variants = (*case.equipment.services, *case.equipment.models)
    for item in case.equipment.items.values():
        for word in getattr(item, "not_for", ()) if variants else ():
            if word not in variants:
                yield _unknown(_at(item.where, word), "model or service", word, variants)
    for hazard in case.procedure.hazards:
        for word in hazard.harm:
            if word not in HARMED:
                yield _unknown(_at(hazard.where, word), "harm", word, HARMED)
    for work in case.works:
        if isinstance(work, Hold):
            for verb, _, where in work.before:
                if verb not in words():
                    yield _unknown(_at(where, verb), "verb", verb, words())
    yield from _events(case)


def _positions(case: Case) -> Iterator[Finding]:
    for item in case.equipment.items.values():
        if isinstance(item, Valve):
            for word in dict.fromkeys((item.in_service, item.isolates)):
                if word and word not in POSITIONS:
                    yield _unknown(_at(item.where, word), "position", word, POSITIONS)


def _states(case: Case) -> Iterator[Finding]:
    procedure = case.procedure
    listed: list[State] = [*procedure.starts, *procedure.leaves]
    facts = {f.name for f in procedure.facts}
    for state in (s for r in procedure.house_rules for s in r.states):
        if state.name not in facts:
            listed.append(state)
        elif state.state != HOLDS:
            yield _unknown(_at(state.where, state.state), "state of a fact", state.state, (HOLDS,))
    for item in case.equipment.items.values():
        listed += [*getattr(item, "comes_out", ()), *getattr(item, "goes_in", ())]
    known = tuple(dict.fromkeys((*WORDS, *POSITIONS)))
    for state in listed:
        if state.state not in known:
            yield _unknown(_at(state.where, state.state), "state", state.state, known)
            continue
        if state.name == case.equipment.name and not _of_machine(case, state):
            yield RULE.finding(_at(state.where, state.state), f"`{state.state}` says nothing of the machine as a whole")
        machines = [m for m in case.machines if state.name in m.items]
        if machines and not any(_says(m, state) for m in machines):
            kind = machines[0].items[state.name].kind
            yield RULE.finding(_at(state.where, state.state), f"`{state.state}` says nothing of a {kind}")


def _of_machine(case: Case, state: State) -> bool:
    return not case.machines or bool(word_literals(case.machines[0], state))


def _says(machine: Machine, state: State) -> bool:
    """Whether the state means something of the item: a fact that items of its kind have."""
    kind = machine.items[state.name].kind
    made = word_literals(machine, state)
    return bool(made) and all(kind in OF.get(f.partition(" ")[0], (kind,)) for f, _ in made)


def _events(case: Case) -> Iterator[Finding]:
    procedure = case.procedure
    if not case.equipment.name:
        return  # without its machine nothing can be known by name
    things = tuple(dict.fromkeys(n for i in case.equipment.items.values() for n in (i.base, i.name)))
    places = (*things, *case.equipment.places)
    undone = [(e, f.where) for f in procedure.facts for e in f.undone_by]
    undone += [(e, r.where) for r in procedure.house_rules for e in r.undone_by]
    for (name, what), where in undone:
        if name not in things and name.partition(" of ")[0] not in places:
            yield _unknown(_at(where, name), "item", name, things)
        if what not in VERBS_OF and what not in words():
            yield _unknown(_at(where, what), "event", what, (*VERBS_OF, *words()))
    named = {n for w in case.works for n in (getattr(w, "as_name", ""), getattr(w, "name", "")) if n}
    named |= {f.name for f in procedure.facts} | unread(case)
    for rule in procedure.house_rules:
        for word, thing in rule.events:
            if word not in words() and word not in named:
                yield _unknown(_at(rule.where, word), "verb, hold, check or named step", word, (*words(), *named))
            elif thing and thing not in things:
                yield _unknown(_at(rule.where, thing), "item", thing, things)


def _unknown(where: Span, what: str, word: str, known: Iterable[str]) -> Finding:
    listed = tuple(known)
    close = get_close_matches(word, listed, 2, 0.6)
    if close:
        mend = "did you mean " + " or ".join(f"`{c}`" for c in close) + "?"
    else:
        mend = "one of: " + ", ".join(listed[:12]) + (" …" if len(listed) > 12 else "")
    return RULE.finding(where, f"no {what} is called `{word}`", mend)


def _at(where: Span, word: str) -> Span:
    """The word itself, on the line or the next few."""
    for number in range(where.line, min(where.line + 30, len(where.source.lines)) + 1):
        text = where.source.line(number)
        at = text.find(word, where.column - 1 if number == where.line else 0)
        if at >= 0:
            return Span(where.source, number, at + 1, len(word))
    return where


RULE = static_rule(
    __doc__,
    "unknown-word",
    READING,
    "the language reference, grammar/README.md",
    find,
    waivable=False,
    why="a word that means nothing is a condition that nobody keeps",
    mend="use a word of the list in the language reference",
)

SOLID = ("part", "guard", "temporary", "safety-device")
SPACE = ("pressure-space",)
ENERGY = (*SPACE, "motion", "stored-energy")
#: Which kinds have a fact; a fact not listed here is left to itself.
OF: dict[str, tuple[str, ...]] = {
    "torqued": ("fastener",),
    "off": ("fastener",),
    "seated": ("seal",),
    "gas-free": SPACE,
    "air-free": SPACE,
    "tested": SPACE,
    "pressured": SPACE,
    "proved": ENERGY,
    "witnessed": ENERGY,
    "relieved": ENERGY,
    "connected": ("supply",),
    "in": SOLID,
}
