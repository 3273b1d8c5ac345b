"""grammar/semantics.md says what the code does: its tables are made from the code's."""

from __future__ import annotations

from procforge.analysis.select import SELECTORS
from procforge.analysis.states import NEEDS
from procforge.analysis.tables import MEANS, TABLES, WHOM, refreshed
from procforge.grammar_files import grammar_text


def test_every_table_stands_on_the_page() -> None:
    page = grammar_text("semantics.md")
    for name in TABLES:
        assert f"<!-- {name} -->" in page, name


def test_the_tables_are_those_of_the_code() -> None:
    page = grammar_text("semantics.md")
    assert refreshed(page) == page, "run: python -m procforge.analysis.tables"


def test_every_state_and_selector_is_explained_and_no_other() -> None:
    assert set(MEANS) == set(NEEDS)
    assert set(WHOM) == set(SELECTORS)


def test_a_stale_table_is_made_anew_and_the_rest_is_kept() -> None:
    """Without this, a `refreshed` that changes nothing would pass as a page that is up to date."""
    page = "before\n<!-- verbs -->\nold\n<!-- /verbs -->\nafter <!-- states --> has no end\n"
    made = refreshed(page, {"verbs": lambda: "new", "states": lambda: "lost"})
    assert made == page.replace("old", "new")
