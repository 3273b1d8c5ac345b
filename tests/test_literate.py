"""The collector of literate pages and the no-skips hook, tested with a check of our own."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import literate
import pytest

from procforge.findings import Finding, Severity
from procforge.text import Source, Span

SHARED = ["procedure A", '  step vent cylinder "slowly"', "step prove cylinder", "end", "end"]


def fake_check(paths: Sequence[Path]) -> list[Finding]:
    """Reports `wrong` for each WRONG, `doubtful` (a note) for each DOUBT, `unreadable` for a file with JUNK."""
    findings = []
    for path in paths:
        source = Source.of(str(path), path.read_text(encoding="utf-8"))
        for number, line in enumerate(source.lines, 1):
            text = line.partition("#")[0]
            for word, rule, severity in (("WRONG", "wrong", Severity.ERROR), ("DOUBT", "doubtful", Severity.NOTE)):
                findings += [Finding(rule, severity, f"{word} here", Span(source, number))] * text.count(word)
        if any("JUNK" in line for line in source.lines):
            findings.append(Finding("unreadable", Severity.ERROR, "can't be read", Span(source, 0)))
    return findings


@pytest.fixture
def run_page(tmp_path: Path):
    """Run all cases of a page's text; gives the faults by heading (an empty text: passed)."""
    shared = tmp_path / "shared"
    shared.mkdir()
    (shared / "sound.proc").write_text("\n".join(SHARED), encoding="utf-8")

    def run(text: str) -> dict[str, str]:
        outcome = {}
        for number, case in enumerate(literate.cases_of(text, "page")):
            try:
                literate.run(case, tmp_path / str(number), shared, fake_check)
                outcome[case.title] = ""
            except literate.Fault as fault:
                outcome[case.title] = str(fault)
        return outcome

    return run


def test_claims_and_findings_must_agree(run_page) -> None:
    outcome = run_page("""
# Met
```proc
step WRONG   # error: wrong
step fine
step WRONG DOUBT WRONG  # error: wrong, wrong, note: doubtful
```
# Not found
```proc
step fine
step fine # error: wrong
```
# Not claimed
```proc
step WRONG
```
# Other severity
```proc
step DOUBT # error: doubtful
```
# Found once, claimed twice
```proc
step WRONG # error: wrong, wrong
```
# Found twice, claimed once
```proc
step WRONG WRONG # error: wrong
```
""")
    assert outcome["Met"] == ""
    assert outcome["Not found"] == "  claimed, not found:  main.proc:2: error: wrong\n      | step fine # error: wrong"
    assert outcome["Not claimed"] == "  found, not claimed:  main.proc:1: error: wrong: WRONG here\n      | step WRONG"
    assert "claimed, not found:  main.proc:1: error: doubtful" in outcome["Other severity"]
    assert "found, not claimed:  main.proc:1: note: doubtful" in outcome["Other severity"]
    assert outcome["Found once, claimed twice"].count("claimed, not found") == 1
    assert outcome["Found twice, claimed once"].count("found, not claimed") == 1


def test_silent_cases(run_page) -> None:
    outcome = run_page("""
## Silent when proved
```proc
step fine
```
## No comment
```proc
step DOUBT
```
## Silent but claimed
```proc
step WRONG # error: wrong
```
""")
    assert outcome["Silent when proved"] == ""
    assert "found, not claimed" in outcome["No comment"]
    assert "the heading says silent" in outcome["Silent but claimed"]


def test_several_files_and_names(run_page) -> None:
    outcome = run_page("""
```text
WRONG in a fence that is not ours
```
```equip booster.equip
part WRONG # error: wrong
```
```units
tag DOUBT # note: doubtful
```
````proc deep/other.proc
```
step JUNK # error: unreadable on file
````
""")
    assert outcome == {"page": ""}


def test_shared_files_and_edits(run_page) -> None:
    outcome = run_page("""
# Used as it is
```use sound.proc
```
# Edited
```proc base=sound.proc
= step vent cylinder "slowly"

+   step WRONG # error: wrong
+ step fine
- step prove cylinder
+ step WRONG again # error: wrong
```
# Claim on a kept line
```proc base=sound.proc
= procedure A   # error: wrong
```
# Twice in the base
```proc base=sound.proc
- end
```
# Not in the base
```proc base=sound.proc
= step fly
```
# No place
```proc base=sound.proc
+ step fine
```
# No such edit
```proc base=sound.proc
step fine
```
# No such file
```use unheard-of.proc
```
# Body in a use
```use sound.proc
- end
```
""")
    assert outcome["Used as it is"] == outcome["Edited"] == ""
    assert "claimed, not found:  sound.proc:1: error: wrong" in outcome["Claim on a kept line"]
    assert "exactly once in the base, but is on lines 4, 5: end" in outcome["Twice in the base"]
    assert "is not in the file: step fly" in outcome["Not in the base"]
    assert "has no place" in outcome["No place"]
    assert "page line 32: an edit starts with" in outcome["No such edit"]
    assert "no shared file unheard-of.proc" in outcome["No such file"]
    assert "has no body" in outcome["Body in a use"]


def test_edits_give_the_text_they_say() -> None:
    edits = ['= step vent cylinder "slowly"  # note: slow', "+   step wait", "- step prove cylinder", "+ step go"]
    lines = literate.edited(SHARED, edits, 1)
    assert lines == [SHARED[0], SHARED[1] + "  # note: slow", "  step wait", "step go", "end", "end"]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("prose only", "no snippet"),
        ("```proc\nstep x", "not closed"),
        ("```proc\n```\n```proc\n```", "called main.proc"),
        ("```use\n```", "can't read the head"),
        ("```proc a b\n```", "can't read the head"),
    ],
)
def test_a_page_that_is_wrong(text: str, fault: str) -> None:
    with pytest.raises(literate.Fault, match=fault):
        literate.cases_of(text, "page")


CONFTEST = """
from pathlib import Path
import literate
from test_literate_fake import fake_check
def pytest_collect_file(file_path, parent):
    return literate.collect(file_path, parent, Path(__file__).parent / "pages", fake_check)
"""


def test_pages_are_collected_by_pytest(pytester: pytest.Pytester, monkeypatch: pytest.MonkeyPatch) -> None:
    pytester.makepyfile(test_literate_fake=Path(__file__).read_text(encoding="utf-8").replace("def test_", "def no_"))
    pytester.makeconftest(CONFTEST)
    pages = {
        "rule.md": "# Fires\n```proc\nstep WRONG # error: wrong\n```\n# Silent\n```proc\nstep WRONG\n```\n",
        "empty.md": "prose\n",
        "shared/ignored.md": "prose\n",
    }
    for name, text in pages.items():
        path = pytester.path / "pages" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    monkeypatch.setenv("PYTHONPATH", f"{Path(__file__).parent}:{Path(__file__).parent.parent}")
    result = pytester.runpytest_subprocess("pages", "--continue-on-collection-errors")
    result.assert_outcomes(passed=1, failed=1, errors=1)
    result.stdout.fnmatch_lines(
        ["*rule.md, line 5: Silent", "  found, not claimed:  main.proc:1: error: wrong: WRONG here"]
    )
    result.stdout.fnmatch_lines(["*the page has no snippet to check*"])


@pytest.mark.parametrize(("ci", "status"), [("true", 1), ("", 0)])
def test_a_skip_fails_the_run_in_ci(
    pytester: pytest.Pytester, monkeypatch: pytest.MonkeyPatch, ci: str, status: int
) -> None:
    here = Path(__file__).parent
    pytester.makeconftest((here / "conftest.py").read_text(encoding="utf-8"))
    pytester.makepyfile(
        "import pytest\n"
        "def test_shown(): pass\n"
        "@pytest.mark.xfail\ndef test_expected(): assert False\n"
        "def test_skipped(): pytest.skip('no such reader')\n"
    )
    monkeypatch.setenv("CI", ci)
    monkeypatch.setenv("PYTHONPATH", f"{here}:{here.parent}")
    result = pytester.runpytest_subprocess()
    assert result.ret == status
    result.assert_outcomes(passed=1, skipped=1, xfailed=1)
    named = [line for line in result.outlines if "test_skipped: " in line and "no such reader" in line]
    assert len(named) == status
