"""The tables of grammar/README.md, made from the code: verbs, state words, event words, units."""

from __future__ import annotations

from procforge.analysis import tables
from procforge.analysis.events import VERBS_OF
from procforge.analysis.states import WORDS
from procforge.model.verbs import ROWS, Verb
from procforge.quantities import kind_words
from procforge.quantities.table import rows as unit_rows

#: Gaps of a sentence that an ending fills.
_GAPS = {"{to}": "`to PLACE`", "{turn}": "`by half a turn`"}
_PRINTS = {
    "{it}": "…", "{to}": "", "{turn}": "", "{set}": "Shut / Switch off", "{reset}": "Open / Switch on",
    "{position}": "shut / off", "{safe}": "free of pressure / at rest / slack",
}  # fmt: skip
_KINDS = {"free": "free names", "machine": "the machine", "any": "any item", "text": "text"}
#: Conditions that only make sense of some kinds of item, in words.
_OF = {
    "set": "valves, energies", "locked": "valves, energies", "relieved": "energies", "proved": "energies",
    "witnessed": "energies", "gas-free": "pressure spaces", "air-free": "pressure spaces", "tested": "pressure spaces",
    "pressured": "pressure spaces", "in": "parts, guards, temporary items", "torqued": "fasteners", "off": "fasteners",
    "seated": "seals", "spent": "seals, single-use items", "marked": "parts, seals, fasteners", "connected": "supplies",
    "told": "the machine", "stopped": "the machine", "looked": "parts that close a space",
}  # fmt: skip
#: The kinds of quantity the language asks for, with what each is given for.
_ASKED = {
    "pressure-gauge": "pressures, limits of gauges", "pressure-absolute": "pressures", "torque": "torques",
    "mass": "masses", "volume": "volumes", "length": "bores, gaps", "time": "times", "calendar": "`due`",
    "ratio": "passes, tolerances", "temperature": "readings", "angle": "turns",
}  # fmt: skip


def _endings(row: Verb) -> str:
    found = [words for gap, words in _GAPS.items() if gap in row.say and words]
    selectors = {n.whom for n in row.needs} | {e.whom for e in row.effects}
    if "gauge" in selectors:
        found.append("`at GAUGE`")
    if selectors & {"supply", "reached", "reached-by-supply"}:
        found.append("`with SUPPLY`")
    if row.reads:
        found.append("a `limit` line")
    return ", ".join(found)


def _prints(row: Verb) -> str:
    text = row.say
    for gap, words in _PRINTS.items():
        text = text.replace(gap, words)
    return " ".join(text.split())


def verb_table() -> str:
    """Each verb with what it acts on, the endings of its own, and the sentence it prints."""
    new = {(r.name.removesuffix("-new"), kind) for r in ROWS if r.name.endswith("-new") for kind in r.on}
    rows: dict[tuple[str, str, str], list[str]] = {}
    for row in ROWS:
        if row.name.endswith("-new"):
            continue
        for kind in row.on:
            endings = ", ".join(filter(None, ["`new`" if (row.name, kind) in new else "", _endings(row)])) or "–"
            rows.setdefault((row.name, _prints(row), endings), []).append(_KINDS.get(kind, kind))
    return tables.table(
        ["verb", "acts on", "endings", "prints"], [[f"`{n}`", ", ".join(k), e, p] for (n, p, e), k in rows.items()]
    )


def word_table() -> str:
    """State words that have one meaning, each with the words that say the same or the opposite."""
    by_state: dict[str, tuple[list[str], list[str]]] = {}
    for word, (state, value) in WORDS.items():
        by_state.setdefault(state, ([], []))[0 if value else 1].append(f"`{word}`")
    rows = [[_OF[state], ", ".join(yes) or "–", ", ".join(no) or "–"] for state, (yes, no) in by_state.items()]
    return tables.table(["said of", "words", "words for the opposite"], rows)


def event_table() -> str:
    """Event words and the verbs that make them happen."""
    return tables.table(
        ["event", "happens at"], [[f"`{w}`", ", ".join(f"`{v}`" for v in sorted(vs))] for w, vs in VERBS_OF.items()]
    )


def unit_table() -> str:
    """The units of the kinds the language asks for."""
    symbols: dict[str, list[str]] = {}
    for unit, _ in unit_rows():
        symbols.setdefault(unit.kind, []).append(f"`{unit.symbol}`")
    rows = [[kind_words(kind), use, " ".join(symbols[kind])] for kind, use in _ASKED.items()]
    return tables.table(["quantity", "used for", "units"], rows)


TABLES = {"verbs": verb_table, "words": word_table, "events": event_table, "units": unit_table}


def refreshed(text: str) -> str:
    """The page with its tables made anew."""
    return tables.refreshed(text, TABLES)


if __name__ == "__main__":
    from procforge.grammar_files import grammar_folder

    page = grammar_folder() / "README.md"
    page.write_text(refreshed(page.read_text(encoding="utf-8")), encoding="utf-8")
