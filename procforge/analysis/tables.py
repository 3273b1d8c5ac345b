"""The tables of grammar/semantics.md, made from the code: verbs, states, selectors, what the end compares."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from procforge.analysis.end import COMPARED
from procforge.analysis.events import VERBS_OF
from procforge.analysis.select import SELECTORS
from procforge.analysis.states import NEEDS, WORDS
from procforge.model.verbs import ROWS, Effect, Need

#: What each selector gives, in words.
WHOM: dict[str, str] = {
    "it": "the object itself",
    "machine": "the machine as a whole",
    "bounds": "the spaces the object closes; for a fastener or seal: those its parts close",
    "bounds-that-refill": "of these, the spaces that `reaccumulates`",
    "boundary": "the parts (not temporary items) that close the space",
    "near": "the motions the object, or a part it holds or seals, is `near`",
    "guarded": "the motions a guard `guards` or is `near`",
    "held-back": "the stored energies the object (a part, a space), or a part it holds or seals, `holds back`",
    "holding-back": "the items that hold the stored energy back",
    "holding-blocked": "these, for each stored energy that the item blocks",
    "fed": "the energies whose isolation the device is part of (as block, bleed or spade); a supply: the spaces it feeds",
    "fed-spaces": "of these, the pressure spaces",
    "fed-motions": "of these, the motions",
    "vents-of-refilling": "the spaces that `reaccumulates` and that this valve vents",
    "gauged-behind": "the spaces proved at a gauge with a `not above` limit that this valve is the root of",
    "gauge": "the gauge of the step: `at`, else the only one the space has",
    "supply": "the supplies of the step's `with`",
    "reached": "the object and every space the step's supplies feed",
    "reached-by-supply": "the same if the step names a supply, else nothing",
    "seals": "the seals of the part",
    "single-use-seals": "the single-use seals of the part, or of the parts the fastener holds",
    "sealed": "the parts the seal seals",
    "fasteners": "the fasteners that hold the part",
    "held": "the parts the fastener holds",
    "beneath": "what the object lies `over`",
    "unit": "the unit the inner part is `made of`",
    "inner": "the inner parts of the unit",
    "driven": "the motions the driver drives; a motion: itself",
    "protected": "the spaces protected by the safety device that this is, holds, seals or isolates the inlet of",
    "gagged-over": "the spaces protected by the safety device the item gags",
    "blocked": "the stored energies the item blocks",
    "stood-in": "the parts a blind stands in for",
    "all-motions": "every motion",
    "all-temporary": "every temporary item",
    "all-driver-isolators": "every block that isolates a motion",
}

#: What each state asks for when it is a need, in facts.
MEANS: dict[str, str] = {
    "told": "`told`", "stopped": "`stopped`", "area-clear": "`area-clear`", "set": "`set it`", "locked": "`locked it`",
    "unlocked": "not `locked it`",
    "isolated": "for each feed one scheme: its blocks and bleed `set`, its spade `in`; for each supply of the space: not `connected`, or its valve `locked`",
    "locked-off": "the same with `locked` for `set`",
    "made-safe": "`isolated`, `locked-off`; a motion: `proved`, the spaces that turn it `proved`, its blocking items `in`; a stored energy: `relieved`, and `proved` if the machine says how",
    "relieved": "`relieved it`", "relieved-first": "`relieved it`; nothing for a motion", "proved": "`proved it`",
    "witnessed": "`witnessed it` if the machine says `opening witnessed`",
    "gas-free": "`gas-free it` if it holds something flammable or toxic and the machine does not say `opening without purge`",
    "air-free": "`air-free it` if it holds something flammable", "tested": "`tested it` unless the machine says `tested in service`",
    "closed": "each boundary part `in` and its seals `seated`, or a blind for it `in`",
    "torqued-up": "the fasteners of each boundary part `torqued`, or a blind for it `in`",
    "vents-shut": "every vent of the space shut", "vents-open": "a vent of the space open",
    "supplies-off": "no supply of the space `connected`", "unpressured": "not `pressured it`",
    "pressured-for-test": "`pressured it`; nothing if the step names a supply; for a space `tested in service` also one of its blocks not `set` (nothing if it has none); for one that is `pre-charged` also not `relieved it`",
    "protected": "one safety device of the space `in`, its inlet valves not `set`, its gags not `in` (nothing if it has none)",
    "covered": "`isolated`, or `protected` by a safety device other than those the object is, holds, seals, gags or isolates the inlet of",
    "blocks-set": "for each scheme it is the bleed of: the blocks `set`", "bleeds-shut": "for each scheme it is a block of: the bleed not `set`",
    "roots-shut": "the root of each gauge with a `not above` limit shut", "root-open": "the root of the gauge open",
    "guards-on": "every guard of the motion `in`", "stopped-first": "`stopped`",
    "out-again": "not `in it`; nothing for what comes out only when the machine is running", "in": "`in it`", "all-in": "`in it`; a fastener: not `off it`; a seal: `seated it`",
    "out": "not `in it`; a fastener: `off it`; a seal: not `seated it`", "on": "not `off it`", "off": "`off it`",
    "fastened": "a part: not `in it`, or its fasteners not `off`",
    "loose": "`eased it`", "torqued": "`torqued it`", "bare": "whatever lies over it is out; for a seal the part it seals too",
    "told-apart": "for each look-alike: `in` it (a seal: `seated`) or `marked` it",
    "comes-out": "its `comes out only when` conditions", "goes-in": "its `goes in only when` conditions",
    "seated": "`seated it`", "unseated": "not `seated it`", "unspent": "not `spent it` if it is single-use",
    "looked": "`looked it` if it closes a space", "connected": "`connected it`", "disconnected": "not `connected it`",
    "supplied": "`connected it`", "fit": "`fit it / C` for each check C of it",
}  # fmt: skip


def _need(need: Need) -> str:
    return f"{need.state}" + (f" of {need.whom}" if need.whom not in ("it", "machine") else "") + f" [{need.rule}]"


def _effect(effect: Effect) -> str:
    return (
        ("" if effect.value else "no ")
        + effect.state
        + (f" of {effect.whom}" if effect.whom not in ("it", "machine") else "")
    )


def table(head: list[str], rows: list[list[str]]) -> str:
    """A table of Markdown."""
    lines = ["| " + " | ".join(head) + " |", "|" + " --- |" * len(head)]
    return "\n".join(lines + ["| " + " | ".join(row) + " |" for row in rows])


def verb_table() -> str:
    """Every row of the verb table."""
    rows = []
    for row in ROWS:
        name = row.name.removesuffix("-new") + (" … new" if row.name.endswith("-new") else "")
        passed = "; ".join(_effect(e) for e in row.passed)
        rows.append(
            [
                name,
                ", ".join(row.on),
                "; ".join(_need(n) for n in row.needs) or "–",
                "; ".join(_effect(e) for e in row.effects) or "–",
                passed or "–",
            ]
        )
    return table(["verb", "acts on", "needs [rule]", "effects", "effects of a pass"], rows)


def state_table() -> str:
    """What each state of a need means."""
    return table(["state", "holds when"], [[s, MEANS[s]] for s in NEEDS])


def whom_table() -> str:
    """What each selector gives."""
    return table(["whom", "gives"], [[w, WHOM[w]] for w in SELECTORS])


def word_table() -> str:
    """State words of conditions."""
    rows = [[w, f"`{state}`" if value else f"not `{state}`"] for w, (state, value) in WORDS.items()]
    return table(["word", "fact"], rows)


def event_table() -> str:
    """Event words and the verbs that make them happen."""
    return table(["event", "verbs"], [[w, ", ".join(sorted(v))] for w, v in VERBS_OF.items()])


def end_table() -> str:
    """Facts compared at the end."""
    rows = [
        ["in", "left-out (guard: guard-left-off; temporary: temporary-left-in)"],
        ["set", "isolation-left-set (a valve: vent-left-open)"],
    ]
    rows += [["relieved of a stored energy, or of a space that is `pre-charged`", "spring-left-slack"]]
    rows += [[s, r] for s, r in COMPARED.items()]
    return table(["fact", "rule"], rows)


TABLES = {
    "verbs": verb_table, "states": state_table, "whom": whom_table, "words": word_table, "events": event_table,
    "end": end_table,
}  # fmt: skip


def refreshed(text: str, tables: Mapping[str, Callable[[], str]] = MappingProxyType(TABLES)) -> str:
    """The text with every table between `<!-- NAME -->` and `<!-- /NAME -->` made anew."""
    for name, make in tables.items():
        begin, end = f"<!-- {name} -->", f"<!-- /{name} -->"
        if begin in text and end in text:
            before, rest = text.split(begin, 1)
            text = f"{before}{begin}\n{make()}\n{end}{rest.split(end, 1)[1]}"
    return text


if __name__ == "__main__":
    from procforge.grammar_files import grammar_folder

    page = grammar_folder() / "semantics.md"
    page.write_text(refreshed(page.read_text(encoding="utf-8")), encoding="utf-8")
