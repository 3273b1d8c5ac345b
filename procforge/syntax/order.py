"""Where each statement may stand: what belongs under what, what opens a block, what its arms are."""

from __future__ import annotations

_ENERGY = "pressure-space motion stored-energy"
_SOLID = "part guard safety-device temporary"
_OTHERS = "isolator valve check-valve gauge fastener seal supply driver tool consumable contact"
_WORK = "step check measure readings hold ask"


def _under(table: dict[str, str]) -> dict[str, frozenset[str]]:
    return {form: frozenset(parents.split()) for forms, parents in table.items() for form in forms.split()}


#: A property line and the heads it may stand under (a definition goes by its kind, a statement by its form).
PROPERTIES: dict[str, frozenset[str]] = _under(
    {
        "holds test_limit volume vented_by proved_at opening_ungassed tested_in_service pre_charged": "pressure-space",
        "pressure": "pressure-space supply",
        "isolated_by not_isolated_by opening_witnessed reaccumulates proof_good": _ENERGY,
        "proved_by blocked_by": "motion stored-energy",
        "driven_by also_turned": "motion",
        "relieved_by": "stored-energy",
        "in_service": "isolator valve",
        "range calibrated": "gauge tool",
        "behind": "gauge",
        "at_places": f"{_SOLID} fastener seal gauge valve isolator",
        "closes sealed_by": _SOLID,
        "held_by near over under": f"{_SOLID} fastener seal",
        "holds_back": f"{_SOLID} fastener seal pressure-space",
        "guards": "guard",
        "mass": f"{_SOLID} fastener",
        "looks_like": "part seal safety-device",
        "way_up": "part seal safety-device temporary step",
        "judged_by": "part seal safety-device fastener",
        "made_of": "part safety-device",
        "comes_out goes_in": f"{_SOLID} fastener seal",
        "interchangeable": "part",
        "kind": "part seal consumable step",
        "stock": f"{_SOLID} fastener seal tool consumable supply gauge",
        "single_use": "seal part fastener",
        "hand_tight bolts first_bolt retighten lubricant": "fastener",
        "torque pattern passes": "fastener step",
        "protects inlet_isolated": "safety-device",
        "gags stands_in": "temporary",
        "feeds through up_to": "supply",
        "only_for": f"{_ENERGY} {_SOLID} isolator valve check-valve gauge fastener seal tool consumable supply driver",
        "quantity": f"{_SOLID} fastener seal tool consumable",
        "not_with not_for": "part seal consumable",
        "model service serial tag": "unit",
        "precondition permit": "before_starting",
        "wear": "before_starting hazard",
        "severity avoid harm_where": "hazard",
        "because basis": "house_rule",
        "task": "closing_out",
        "meets": _WORK,
        "takes waive": "step check measure readings hold",
        "figure title expect": "step check measure readings",
        "limit": "step check measure readings",
        "needs makes undoes": "step check measure",
        "sees hold_before criterion": "hold",
        "accept reject": "check",
        "as_found keep_as": "measure readings",
        "look_up no_value": "fastener step check measure",
    }
)

#: Property lines that say one thing: a second one under the same head would say another.
ONCE = frozenset(
    {
        "opening_witnessed", "opening_ungassed", "reaccumulates", "proof_good", "tested_in_service", "pre_charged", "driven_by",
        "proved_by", "in_service", "range", "behind", "calibrated", "way_up", "interchangeable", "single_use", "bolts",
        "pattern", "first_bolt", "passes", "lubricant", "hand_tight", "retighten", "gags", "through", "up_to", "model", "service",
        "serial", "severity", "harm_where", "only_for", "takes", "limit", "title", "expect", "sees", "criterion",
        "as_found", "keep_as", "look_up", "no_value", "because", "basis",
    }
)  # fmt: skip

#: Statements that open a block closed by `end`, and the arms each may have.
BLOCKS: dict[str, tuple[str, ...]] = {
    "ask": ("yes", "no"),
    "when": ("otherwise",),
    "for_each": (),
    "repeat": ("otherwise",),
    "any_order": (),
    "together": ("also",),
    "only_for": (),
    "either": ("alternative",),
    "block": (),
    "bench": (),
    "lend_back": (),
}

ARMS = frozenset(arm for arms in BLOCKS.values() for arm in arms)

#: Work: stands in a section or a block; the rest of the statements stands at the top.
WORK = frozenset(BLOCKS) | {
    "step", "hold", "check", "measure", "readings", "call", "may_stop", "handover", "stop", "wait", "note",
}  # fmt: skip

#: Heads and definitions: they close whatever is open.
TOP = frozenset(
    {
        "use", "equipment", "models", "services", "places", "define", "procedure", "revision", "applies", "crew",
        "signed", "status", "reference", "qualified", "due", "purpose", "starts", "leaves", "before_starting", "fact",
        "house_rule", "closing_out", "leave", "section",
    }
)  # fmt: skip

#: Statements and kinds of definition that text in quotes may follow.
PROSE = WORK | {"section", "purpose", "closing_out", "hazard", "unread"} | frozenset(
    f"{_ENERGY} {_SOLID} {_OTHERS}".split()
)  # fmt: skip

#: How each form is named to the user: its first words.
KEYWORD: dict[str, str] = {
    "range": "range", "bolts": "4 x M12", "signed": "author", "precondition": "condition", "harm_where": "where",
    "hold_before": "before", "call": "do", "alternative": "or", "applies": "applies to", "driven_by": "driven by",
    "test_limit": "test limit", "also_turned": "also turned by", "single_use": "single-use", "hand_tight": "hand-tight",
    "way_up": "way up", "lend_back": "lend-back", "inlet_isolated": "inlet isolated by", "stands_in": "stands in for",
    "not_isolated_by": "not isolated by", "proof_good": "proof good for", "may_stop": "may stop here",
    "stop": "stop here", "at_places": "at", "no_value": "no value given", "comes_out": "comes out only when",
    "goes_in": "goes in only when", "pre_charged": "pre-charged", "look_up": "look up", "bench": "on the bench", "house_rule": "house rule",
}  # fmt: skip


def keyword(form: str) -> str:
    """The words a form starts with, for messages."""
    return KEYWORD.get(form, form.replace("_", " "))


def _first_words() -> dict[str, tuple[str, ...]]:
    kinds = f"{_ENERGY} {_SOLID} {_OTHERS} hazard unit"
    several = {
        "define": kinds,
        "signed": "author reviewer approver",
        "hold": "hold witness review",
        "bolts": "",
        "range": "range",
    }
    several |= {"places": "place places", "at_places": "at"}
    found: dict[str, list[str]] = {}
    for form in [*PROPERTIES, *BLOCKS, *sorted(ARMS), *sorted(WORK), *sorted(TOP), "end"]:
        for word in several.get(form, keyword(form).split()[0]).split():
            if form not in found.setdefault(word, []):
                found[word].append(form)
    return {word: tuple(forms) for word, forms in found.items()}


#: Every word a statement may start with, and the forms that start with it.
FIRST = _first_words()

#: Words that are a whole statement.
ALONE = frozenset(
    {
        "yes",
        "no",
        "otherwise",
        "end",
        "also",
        "or",
        "together",
        "interchangeable",
        "reaccumulates",
        "pre-charged",
        "single-use",
        "hand-tight",
    }
)
