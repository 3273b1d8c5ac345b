"""Plain words for items, facts and steps in messages."""

from __future__ import annotations

from procforge.analysis.machine import Machine
from procforge.model.base import pick
from procforge.model.equipment import Energy, Equipment, Valve
from procforge.model.procedure import AnyWork, HouseRule


def title(equipment: Equipment, name: str) -> str:
    """`the valve cover at outlet-pocket`; a name outside the machine stands as it is."""
    item = equipment.items.get(name)
    if item is None:
        return name
    words = item.title or item.base
    if (
        len(words) > 1
        and words[0].isupper()
        and not words[1].isupper()
        and not words.split(" ")[0][1:].isupper()
        and not any(c.isdigit() for c in words.split(" ")[0])
    ):
        words = words[0].lower() + words[1:]
    place = f" at {item.at}" if item.at and " of " in name else ""
    return f"the {words}{place}"


class Said(str):
    """The words for an item; a format spec adds a verb in the number they have: `{it:comes} out`."""

    __slots__ = ("many",)
    many: bool

    def __format__(self, spec: str) -> str:
        if not spec:
            return str(self)
        plural = {"is": "are", "was": "were", "has": "have", "goes": "go", "does": "do"}.get(
            spec, spec.removesuffix("s")
        )
        return f"{self} {plural if self.many else spec}"


def said(equipment: Equipment, name: str) -> Said:
    """An item's words as the subject of a sentence."""
    words = Said(title(equipment, name))
    words.many = _many(equipment, name)
    return words


_YES = {
    "locked": "is locked", "relieved": "is relieved", "proved": "is proved", "witnessed": "is witnessed", "gas-free": "is gas-free",
    "air-free": "is air-free", "tested": "is leak-tested", "pressured": "is under test pressure", "connected": "is connected",
    "in": "is in place", "looked": "was looked into behind it", "marked": "is marked", "torqued": "is torqued", "eased": "is loose",
    "off": "is off", "seated": "is seated", "spent": "is spent", "released": "is released", "made": "holds", "done": "is met",
}  # fmt: skip
_NO = {
    "locked": "is not locked", "relieved": "can hold pressure", "proved": "is not proved", "witnessed": "is not witnessed",
    "gas-free": "holds gas", "air-free": "holds air", "tested": "is not leak-tested", "pressured": "has no test pressure on",
    "connected": "is not connected", "in": "is out", "looked": "was not looked into behind it", "marked": "is not marked",
    "torqued": "is not torqued", "eased": "is not loose", "off": "is on", "seated": "is not seated", "spent": "is unused",
    "released": "is not released", "made": "does not hold", "done": "is not met",
}  # fmt: skip
_WHOLE = {
    ("told", True): "people are told", ("told", False): "people are not told", ("stopped", True): "the machine is shut down",
    ("stopped", False): "the machine may run", ("area-clear", True): "the area is clear", ("area-clear", False): "the area is not seen clear",
}  # fmt: skip


def fact_words(machine: Machine, fact: str, value: bool) -> str:
    """A fact and its value in plain words: `the vent is open`."""
    state, _, name = fact.partition(" ")
    if not name:
        return _WHOLE.get((state, value), f"{state}: {'yes' if value else 'no'}")
    equipment = machine.equipment
    if state == "fit":
        item, _, check = name.partition(" / ")
        words = "judged sound" if value else "not judged sound"
        return f"{title(equipment, item)} is {words}" + ("" if check == "any" else f" by {check}")
    if state == "set" and isinstance(equipment.items.get(name), Valve):
        return f"{title(equipment, name)} is {machine.away(name) if value else machine.home(name)}"
    if state == "relieved" and not value and machine.kind(name) == "stored-energy":
        return f"{title(equipment, name)} is loaded"
    if state == "released":
        return f"hold {name} is {'' if value else 'not '}released"
    if state == "allowed":
        return "the house rule never allows it"
    if state == "done":
        return f"the house rule's first part is {'' if value else 'not '}done"
    words = (_YES if value else _NO).get(state, f"is {'' if value else 'not '}{state}")
    if state == "spent" and value and machine.kind(name) not in ("seal",):
        words = "is used"
    text = f"{title(equipment, name)} {words}"
    return _plural(text, equipment, name)


def _many(equipment: Equipment, name: str) -> bool:
    """Whether an item's title names several: `Cover nuts`, `Plate springs`, not `Sight glass`."""
    item = equipment.items.get(name)
    last = (item.title or "").partition(" of ")[0].partition(",")[0].rstrip(")") if item is not None else ""
    return (
        item is not None
        and item.kind in ("fastener", "part", "seal")
        and last.endswith("s")
        and not last.endswith("ss")
    )


def _plural(text: str, equipment: Equipment, name: str) -> str:
    if _many(equipment, name):
        return text.replace(" is ", " are ", 1).replace(" was ", " were ", 1)
    return text


def pressure_words(machine: Machine, space: str) -> str:
    """`up to 11 bar(g)`, empty where the machine does not say."""
    item = machine.energies.get(space)
    pressure = pick(item.pressure, machine.variant) if isinstance(item, Energy) else None
    return f"up to {pressure}" if pressure is not None else ""


#: What each form of house rule asks, and what to do about it.
_HOUSE = {
    "before": ("{first} must come before this step, and nothing may undo it between", "do first what the house rule asks"),
    "never": ("the rule bars this step altogether", "take the step out, or take the rule off"),
    "never-while": ("the rule bars this step in that state", "do the step while the state is another"),
    "never-after": ("after {first} this step is barred", "do the step before it, or undo it first"),
    "once": ("{first} must be done on every way to the end", "do it on every way"),
    "every": ("after {first} must come {answer}, in time for {then}", "do what must follow"),
}  # fmt: skip


def house_words(rule: HouseRule) -> dict[str, str]:
    """The words of a house rule for its finding: its title, what it asks (with its reason), what to do."""
    first, answer, then = (" ".join(p).strip() for p in (rule.first, rule.answer, rule.then))
    why, mend = _HOUSE.get(rule.form, _HOUSE["before"])
    why = why.format(first=first, answer=answer, then=then or "the end of the job")
    return {"house": rule.text, "asked": f"{why}. {rule.because}".removesuffix(". "), "do": mend}


def work_words(work: AnyWork | None) -> str:
    """A statement as it is written, without its indentation; the end of the job for None."""
    if work is None:
        return "end of the job"
    return work.where.source.line(work.where.line).strip().rstrip(",")
