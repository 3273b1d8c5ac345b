"""Every rule of the registry has a page of literate tests: one case at least that fires it, one at least that is silent.

The pages stand in `tests/pages/<family>/<rule>.md`; `literate.py` says how they are written and run.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from literate import CLAIMS, PAGES, Case, cases_of, claims_on

from procforge.rules.base import Rule
from procforge.rules.registry import RULES


def page_of(rule: Rule) -> Path:
    """Where the page of a rule stands."""
    return PAGES / rule.family / f"{rule.name}.md"


def claimed(case: Case) -> set[tuple[str, str]]:
    """The severities and rules that a case claims, the lines of edits included."""
    found = set()
    for fence in case.fences:
        lines = fence.body if not fence.base else [line[2:] for line in fence.body]
        found |= {(claim.severity, claim.rule) for claim in claims_on(fence.name, lines)}
    return found


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_rule_has_a_firing_and_a_silent_case(rule: Rule) -> None:
    page = page_of(rule)
    assert page.is_file(), f"no page tests/pages/{rule.family}/{rule.name}.md"
    text = page.read_text(encoding="utf-8")
    cases = cases_of(text, page.stem)
    assert any((rule.severity.word, rule.name) in claimed(case) for case in cases), "no case fires the rule"
    assert any("silent" in case.title.lower().split(":")[0].split() for case in cases), "no case is silent"
    prose = text.partition("##")[0].partition("\n")[2].strip()
    assert text.startswith(f"# {rule.name}\n"), "the page is headed by the name of its rule"
    assert prose, "no prose says what the rule is about"


def test_every_page_is_of_a_rule() -> None:
    named = {page_of(rule) for rule in RULES}
    strays = [
        p for rule in {r.family: r for r in RULES}.values() for p in page_of(rule).parent.glob("*.md") if p not in named
    ]
    assert not strays


def test_every_rule_explains_itself() -> None:
    thin = [rule.name for rule in RULES if "\n\n" not in rule.page.strip() or not rule.basis]
    assert not thin, "the manual page of these is a title only, or has no basis"


def test_shared_bases_are_used_and_clean() -> None:
    """A base that no page takes as it stands could be faulty unseen: a silent case has to `use` it or build on it."""
    silent: set[str] = set()
    for page in PAGES.glob("*/*.md"):
        for case in cases_of(page.read_text(encoding="utf-8"), page.stem):
            if not claimed(case):
                silent |= {fence.name for fence in case.fences if fence.kind == "use"}
    procedures = {p.name for p in (PAGES / "shared").glob("*.proc")}
    assert not procedures - silent


def test_claims_are_found() -> None:
    assert CLAIMS.search("- step x  # error: a-rule, note: another-rule")
    case = cases_of("# t\n```proc base=b.proc\n+ step x  # error: a-rule\n```\n", "t")[0]
    assert claimed(case) == {("error", "a-rule")}
