"""Mistakes of the user's: each one finding, at its own place, in plain words, with a mend; what follows is read."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from procforge.findings import Finding, Outcome
from procforge.resolve.load import Library
from procforge.stages import check_file
from procforge.syntax.nodes import File
from procforge.syntax.parse import parse
from procforge.text import Source


def read(text: str) -> Outcome[File]:
    return parse(Source.of("x.proc", text))


def only(text: str) -> Finding:
    (finding,) = read(text).findings
    return finding


@pytest.mark.parametrize(
    ("text", "line", "column", "message", "mend"),
    [
        ("stepp remove cover", 1, 1, "no statement starts with `stepp`", "`step`"),
        ("aks", 1, 1, "no statement starts with `aks`", "`ask`"),
        ("Step remove cover", 1, 1, "no statement starts with `Step`", "`step`"),
        ("# fine\n\n  stpe remove cover", 3, 3, "no statement starts with `stpe`", "`step`"),
        ("!!!", 1, 1, "no statement starts with `!!!`", "start the line with a word"),
        ("step", 1, 5, "ends too early: a name is missing", "step VERB ITEM"),
        ("step remove cover at", 1, 21, "ends too early", "step VERB ITEM"),
        ("section Open", 1, 9, "`Open` does not fit", 'section "TITLE"'),
        ('section "Open" on inlet', 1, 16, "`on` does not fit", 'section "TITLE" [at PLACE, …]'),
        ('hold "Witnessed" by operator', 1, 6, '`"Witnessed"` does not fit', "hold | witness | review NAME"),
        ("step remove cover wiht wrench", 1, 19, "`wiht` does not fit", "`with`"),
        ("step remove cover; step fit cover", 1, 18, "`;` does not fit", "step VERB ITEM"),
        ("revision B 2026-09-30", 1, 12, "`2026-09-30` does not fit", "put a comma before it"),
        ("mass 4 kg now", 1, 11, "`now` does not fit", "mass QUANTITY"),
        ('step fit cover "quickly', 1, 16, "quotes is not closed", "on the same line"),
        ('note "a, b,\nstep fit cover', 1, 6, "quotes is not closed", "on the same line"),
        ("note “Stand aside.”", 1, 6, "not a quote this language reads", 'straight quotes: "…"'),
        ("step\u00a0remove cover", 1, 5, "no plain one", "type a plain space"),
        ("step a b\n  limit 1,5 bar(g)", 2, 9, "`1,5` is no number here", "write decimals with a point: 1.5"),
        ("step a b\n  limit 0,05 to x", 2, 9, "`0,05` is no number", "write decimals with a point: 0.05"),
        ("step a b\n  limit 1.5 bar(g)", 2, 19, "ends too early: `to` is missing", "limit LOW to HIGH | up to HIGH"),
        ("step a b\n  takes ten min", 2, 9, "`ten` does not fit", "takes TIME"),
        ('part a "A"\n  mass 4', 2, 9, "ends too early: a unit is missing", "mass QUANTITY"),
    ],
)
def test_an_unreadable_line(text: str, line: int, column: int, message: str, mend: str) -> None:
    finding = only(text)
    assert finding.rule == "unreadable-line"
    assert (finding.span.line, finding.span.column) == (line, column)
    assert message in finding.message
    assert mend in finding.mend
    assert not re.search(r"\b[A-Z_]{2,}\b|__|Token", finding.message), "the parser's own names are not for people"


@pytest.mark.parametrize("text", ["x" * 4000, "step " + "x" * 3900 + " !", 'note "' + "x" * 3900])
def test_long_words_are_not_repeated_whole(text: str) -> None:
    assert len(only(text).message) < 120


# ---- commas ------------------------------------------------------------------------------------
COMMA = "a comma at the end of a line joins the next line to it"


@pytest.mark.parametrize(
    ("text", "line", "column", "forms"),
    [
        ("step remove a, b,\nstep fit a\nstep fit b", 1, 17, ["step", "step", "step"]),
        ("step remove a,\n\n# a remark\nstep fit a", 1, 14, ["step", "step"]),
        ("step remove a,\n  b,\nstep fit a", 2, 4, ["step", "step"]),
        ('step remove a,\n  "Lift it."\nstep fit a', 1, 14, ["step", "step"]),
        ('fastener a "A"\n  judged by r,\n  4 x M12\nstep b c', 2, 14, ["define", "step"]),
        ('ask "Is it?"\nyes\n  step remove a,\nno\nend\nstep fit a', 3, 16, ["ask", "step"]),
        ("step remove a,\nstep fit a,\nstep fit b", 1, 14, ["step", "step", "step"]),
    ],
)
def test_a_comma_too_many_swallows_nothing(text: str, line: int, column: int, forms: list[str]) -> None:
    outcome = read(text)
    first = outcome.findings[0]
    assert first.message.startswith(COMMA)
    assert "take the comma off" in first.mend
    assert (first.span.line, first.span.column) == (line, column)
    assert [i.form for i in outcome.value.items] == forms
    commas = len(re.findall(r",\n(?:\n|#.*\n)*\s*(?:step|no|4|\")", text))
    assert len(outcome.findings) == commas


def test_a_list_over_several_lines_stays_one_statement() -> None:
    outcome = read("step remove a,\n  b, # the second\n\n  step,\n  end-cover of inlet new\nstep fit a")
    assert outcome.findings == ()
    first = outcome.value.items[0].node
    assert [str(o.name) for o in first.objects] == ["a", "b", "step", "end-cover"]  # type: ignore[union-attr]


def test_a_mistake_before_the_comma_is_told_as_itself_and_the_next_statement_is_read() -> None:
    outcome = read("step remove !a,\nstep fit a")
    assert [(f.span.line, f.span.column) for f in outcome.findings] == [(1, 13)]
    assert [i.form for i in outcome.value.items] == ["unread", "step"]


# ---- holes -------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    "text",
    [
        'aks "Does gas come out?"\nyes\n  step a b\nno\nend\nstep c d',
        'ask "Does gas come out?" now\nyes\n  step a b\nno\nend\nstep c d',
        'ask "Does gas come out?"\nyess\n  step a b\nno\nend\nstep c d',
        'ask "Does gas come out?"\nyes\n  step a b\nno way\nend\nstep c d',
        'ask "Does gas come out?"\nyes\n  step a b\nno\nedn\nstep c d',
        "repat until look accepted, at most 2 times\n  step a b\notherwise\n  step c d\nend\nstep e f",
        "repeat until look accepted at most 2 times\n  step a b\notherwise\n  step c d\nend\nstep e f",
        "for eahc x in a, b\n  step a b\nend\nstep c d",
        "on teh bench with a\n  step a b\nend\nstep c d",
        "either by\n  step a b\nor\n  step c d\nend\nstep e f",
        "together now\n  step a b\nalso\n  step c d\nend\nstep e f",
        'sectoin "Open"\nstep a b\nsection "Close"\nstep c d',
        'ask "Is it?"\nyes\n  step a b\nno\nend\nsection Close\nstep c d',
    ],
)
def test_a_broken_line_of_a_block_is_one_finding(text: str) -> None:
    outcome = read(text)
    assert [f.rule for f in outcome.findings] == ["unreadable-line"]
    assert len(outcome.value.holes) == 1


@pytest.mark.parametrize("broken", ["closses vessel", "closes", "held bye cover-nuts", "mass 4", "<<<<<<< mine", "%%%"])
def test_a_broken_line_under_a_definition_leaves_the_next_line_with_its_head(broken: str) -> None:
    outcome = read(f'part cover "Cover"\n  {broken}\n  over element\npart element "Element"')
    assert [f.span.line for f in outcome.findings] == [2]
    assert [p.form for p in outcome.value.items[0].props] == ["over"]


def test_a_broken_definition_takes_its_lines_with_it() -> None:
    outcome = read('part lid "Lid"\n  mass 1 kg\nprat cover "Cover"\n  mass 4 kg\n  over lid\npart x "X"')
    assert [f.span.line for f in outcome.findings] == [3]
    assert [p.form for p in outcome.value.items[0].props] == ["mass"]


# ---- structure ---------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("text", "rule", "line", "message"),
    [
        ("mass 4 kg", "out-of-place", 1, "none stands before it"),
        ("step a b\n  mass 4 kg", "out-of-place", 2, "`mass` does not belong under `step`"),
        ('seal a "A"\n  mass 4 kg', "out-of-place", 2, "`mass` does not belong under `seal`"),
        ('hold H1 "Seen" by operator\n  figure "a.png"', "out-of-place", 2, "`figure` does not belong under `hold`"),
        ("end", "out-of-place", 1, "closes nothing"),
        ('section "A"\nend', "out-of-place", 2, "closes nothing"),
        ("yes", "out-of-place", 1, "stands outside `ask`"),
        ("otherwise", "out-of-place", 1, "stands outside `when` or `repeat`"),
        ("when a rejected\nyes\nend", "out-of-place", 2, "stands outside `ask`"),
        ('ask "A?"\nyes\nyes\nend', "out-of-place", 3, "stands twice"),
        ("any order\n  step a b", "block-not-closed", 1, "is not closed"),
        ('any order\n  step a b\nsection "B"', "block-not-closed", 1, "is not closed"),
        ('"Nobody said this."', "out-of-place", 1, "text stands before any statement"),
        ('crew 1 fitter\n  "The best."', "out-of-place", 2, "text does not belong under `crew`"),
        ('any order\n  step a b\nend\n"And so on."', "out-of-place", 4, "text does not belong under `end`"),
        ("step a b\n  takes 5 min\n  takes 6 min", "said-twice", 3, "`takes` stands here already"),
        ('part a "A"\n  way up "x"\n  way up "y"', "said-twice", 3, "`way up` stands here already"),
    ],
)
def test_a_line_out_of_place(text: str, rule: str, line: int, message: str) -> None:
    finding = only(text)
    assert (finding.rule, finding.span.line) == (rule, line)
    assert message in finding.message
    assert finding.mend


# ---- a whole file ------------------------------------------------------------------------------
MACHINE = """\
equipment FV "Filter vessel"
pressure-space vessel "Vessel"
  holds water
  pressure 6 bar(g)
  isolated by inlet-block
  vented by vent
  proved at PI-7
  tested in service
isolator inlet-block "Inlet block valve"
  in service open, isolates when shut
valve vent "Vent"
  in service shut
gauge PI-7 "Gauge"
  0 bar(g) to 1 bar(g), class 1.0
part cover "Cover"
  closes vessel
  held by cover-nuts
  sealed by cover-gasket
fastener cover-nuts "Cover nuts"
  4 x M12
  torque 60 N.m
seal cover-gasket "Gasket"
  single-use
"""

#: A sound procedure; where a line has `>>`, what follows takes its place and is a mistake.
TWENTY = """\
procedure FV-1 "Change the gasket"
revision A, 2026-03-02, "First issue"         >> revision A 2026-03-02, "First issue"
use "fv.equip"                                 >>
author "Planner"
approver "Manager"                             >> aprover "Manager"
reviewer "Engineer"
crew 1 fitter, 1 operator
tool torque-wrench "Torque wrench"
  range 20 N.m to 120 N.m                      >> range 20 N.m to 120 kg
hazard jet "Water jet"
  severity serious, harm person
  "Water can jet out."
  avoid "Stand aside."
  avoid "Keep the face away."
before starting none
section "Make safe"                            >> section Make safe
step notify control-room by operator
step isolate inlet-block by operator           >> step isolate inlet-block by opertor
step lock inlet-block by operator              >> step lock inlet-block bye operator
step vent vessel                               >> step vent vesel
step shut vent                                 >> step shut vent,
step prove vessel at PI-7                      >> step prove vessel at PI-77
  limit 0 to 0.05 bar(g)                       >> limit 0 to 0,05 bar(g)
  takes 5 min                                  >> takes 5 bar(g)
hold H1 "Zero pressure seen" by operator       >> hold H1 "Zero pressure seen by operator
  sees vessel
  before ease cover-nuts
section "Open"
step ease cover-nuts                           >> step eese cover-nuts
  meets jet                                    >> meets jett
ask "Does water come out?"                     >> aks "Does water come out?"
yes
  step nip-up cover-nuts                       >> stpe nip-up cover-nuts
  stop here, call operator "The valve passes."
no
end
step remove cover-nuts
step remove cover                              >> step remove cover of inlet
section "Close"
step look-into vessel
step fit cover-gasket new                      >> step fit cover-gasket nwe
step fit cover                                 >> step fit cover; step fit cover
  waive no-last-look by operator "Seen."       >>
step tighten cover-nuts with torque-wrench     >> step tighten cover-nuts with torqe-wrench
section "Return"
step clear area
step unlock inlet-block by operator
step return inlet-block by operator
step leak-test vessel
  expect "No drops."
"""


def twenty(mistaken: bool) -> tuple[str, list[int]]:
    lines, faulty = [], []
    for number, line in enumerate(TWENTY.rstrip("\n").split("\n"), 1):
        good, _, bad = (part.rstrip() for part in line.partition(">>"))
        bad = bad.strip()
        if good.strip().startswith("waive"):
            good = ""
        lines.append(bad if mistaken and bad else good)
        if mistaken and bad:
            faulty.append(number)
    return "\n".join(lines) + "\n", faulty


def check(folder: Path, text: str) -> list[Finding]:
    (folder / "fv.equip").write_text(MACHINE, encoding="utf-8")
    (folder / "fv.proc").write_text(text, encoding="utf-8")
    return list(check_file(Library(), folder / "fv.proc").findings)


def test_the_file_of_mistakes_is_sound_without_them(tmp_path: Path) -> None:
    assert [(f.span.line, f.rule, f.message) for f in check(tmp_path, twenty(False)[0])] == []


def test_twenty_mistakes_are_twenty_findings_each_at_its_line_and_none_besides(tmp_path: Path) -> None:
    text, faulty = twenty(True)
    assert len(faulty) == 20
    found = check(tmp_path, text)
    assert [(f.span.line) for f in found] == faulty, [(f.span.line, f.rule, f.message) for f in found]


@pytest.mark.parametrize("row", range(20))
def test_each_of_the_twenty_alone_is_one_finding_and_raises_no_false_one(tmp_path: Path, row: int) -> None:
    good, bad = twenty(False)[0].split("\n"), twenty(True)[0].split("\n")
    number = twenty(True)[1][row]
    lines = [*good[: number - 1], bad[number - 1], *good[number:]]
    found = check(tmp_path, "\n".join(lines))
    assert [f.span.line for f in found] == [number], [(f.span.line, f.rule, f.message) for f in found]


@pytest.mark.parametrize("broken", ["use machine.equip", 'usee "fv.equip"', 'use "vf.equip"'])
def test_a_machine_that_is_not_found_is_one_finding(tmp_path: Path, broken: str) -> None:
    good = twenty(False)[0].replace('use "fv.equip"', "", 1)
    found = check(tmp_path, good.replace("\n\n", f"\n{broken}\n", 1))
    assert [f.span.line for f in found] == [3], [(f.span.line, f.rule, f.message) for f in found]


def test_a_machine_file_that_is_no_text_is_one_finding(tmp_path: Path) -> None:
    (tmp_path / "other.equip").write_bytes(b"\x00\x01")
    found = check(tmp_path, twenty(False)[0].replace("author", 'use "other.equip"\nauthor', 1))
    assert [f.rule for f in found] == ["unreadable-file"], [(f.span.line, f.rule, f.message) for f in found]


@pytest.mark.parametrize("row", range(4, 47))
def test_any_line_of_a_sound_procedure_garbled_is_one_finding(tmp_path: Path, row: int) -> None:
    lines = twenty(False)[0].split("\n")
    lines[row - 1] = re.sub(r"^(\s*)(\w)", r"\1~\2", lines[row - 1])
    if "~" not in lines[row - 1]:
        return
    found = check(tmp_path, "\n".join(lines))
    assert [f.span.line for f in found] == [row], [(f.span.line, f.rule, f.message) for f in found]
