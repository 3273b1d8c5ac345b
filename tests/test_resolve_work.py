"""Nodes to a procedure: names where they are written, endings, loops, blocks, calls, marks."""

from __future__ import annotations

import pytest
from resolving import MACHINE, doings, job, only, sound, told

from procforge.model.procedure import Check, Group, Hole, Mark, Measure, Step
from procforge.model.tree import walk


# ---- names in a procedure ----------------------------------------------------------------------
def test_a_bare_name_means_all_places_in_order_and_of_picks_one() -> None:
    body = "step remove cover\nstep remove cover of outlet\nstep fit ring new at outlet\nstep remove cage from inlet\n"
    assert doings(sound(body)) == [
        ("remove", ["cover of inlet", "cover of outlet"]),
        ("remove", ["cover of outlet"]),
        ("fit", ["ring of outlet"]),
        ("remove", ["cage of inlet"]),
    ]


def test_a_section_at_a_place_speaks_of_that_place() -> None:
    body = 'section "A" at outlet\nstep remove cover, valve-a\nsection "B"\nstep remove cover\n'
    assert doings(sound(body)) == [
        ("remove", ["cover of outlet", "valve-a"]),
        ("remove", ["cover of inlet", "cover of outlet"]),
    ]


@pytest.mark.parametrize(
    ("body", "rule", "message", "mend"),
    [
        ("step remove covr", "unknown-name", "no item is called `covr`", "did you mean `cover`"),
        ("step remove cover of top", "wrong-place", "there is no `cover` at `top`", "it stands at inlet, outlet"),
        ("step remove block of inlet", "wrong-place", "there is no `block` at `inlet`", "no named place"),
        ("step prove space at PI-2", "unknown-name", "no gauge or place is called `PI-2`", "did you mean `PI-1`"),
        ("step tighten nuts with spanner", "unknown-name", "no tool, supply or consumable", "tool spanner"),
        ("step remove cover by welder", "unknown-name", "no role is called `welder`", "crew …, 1 welder"),
        ("step remove cover only for medium", "unknown-name", "no model or service is called `medium`", ""),
        ("step remove cover\n  meets jet", "unknown-name", "no hazard is called `jet`", 'hazard jet "…"'),
        ("step remove cover\n  needs aired", "unknown-name", "no fact is called `aired`", 'fact aired "…"'),
        ("do rebuild", "unknown-name", "no block is called `rebuild`", "block rebuild … end"),
        ('section "A" at top', "unknown-name", "no place is called `top`", ""),
        ("for each x in top\nend", "unknown-name", "no item or place is called `top`", ""),
        ("when look acepted\nend", "unknown-name", "no outcome is called `acepted`", "`accepted`"),
        ("step remove cover\n  takes 5 bar(g)", "wrong-quantity", "here stands time", "give time"),
        ("step prove space\n  limit 0 to 5 bor", "unreadable-quantity", "bor", ""),
        ("step prove space\n  limit 5 bar(g) to 1 bar(g)", "limits-crossed", "is above", "swap"),
        ("step prove space\n  limit 1 mm to 5 bar(g)", "wrong-quantity", "different kinds", "one unit"),
        ("step remove cover by fitter by operator", "said-twice", "`by` stands twice", "keep one"),
        ("check look on cover at PI-1\n  accept \"A\"", "out-of-place", "`at` says nothing in a `check`", "`with`"),
        ('hold H1 "A" with wrench', "out-of-place", "`with` says nothing in a `hold`", "take it off"),
        ("repeat until look rejected, at most 2 times\nend", "repeat-until-rejected", "until a check is accepted", ""),
        ("crew 0 helper", "wrong-quantity", "not a whole number from 1", ""),
        ("before starting", "nothing-before-starting", "lists nothing", "before starting none"),
        ('revision A\nrevision B', "said-twice", "stands on line", "keep one"),
        ('ask "A?"\n  step remove cover\nyes\nend', "out-of-place", "between the question and its first answer", ""),
    ],
)  # fmt: skip
def test_a_fault_of_a_procedure(body: str, rule: str, message: str, mend: str) -> None:
    finding = only(body)
    assert finding.rule == rule
    assert message in finding.message
    assert mend in finding.mend
    assert finding.span.line >= 4


def test_a_statement_with_an_unknown_name_is_a_hole_and_the_rest_stands() -> None:
    procedure, findings = job("step remove covr\nstep remove cage\n")
    assert [f.rule for f in findings] == ["unknown-name"]
    assert [type(w) for w in procedure.body] == [Hole, Step]
    assert procedure.holes == 1


def test_names_in_an_unread_line_are_nobodys_fault() -> None:
    procedure, findings = job("step fit lid\n", MACHINE + 'prat lid "Lid"\n')
    assert told(findings) == [("unreadable-line", "m.equip", MACHINE.count("\n") + 1)]
    assert any(isinstance(w, Hole) for w in procedure.body)


def test_free_names_need_no_definition() -> None:
    assert doings(sound("step notify control-room\nstep clear area\nstep shut-down machine\n"))[0][1] == [
        "control-room"
    ]


def test_endings_and_lines_land_where_they_belong() -> None:
    body = """\
hazard jet "Jet"
step tighten nuts of inlet with wrench by fitter only for large as last-pass
  takes 10 min
  meets jet
  "Slowly."
measure gap "Gap" on cover with wrench
  limit 0.1 to 0.3 mm
readings lift "Lift" at north, south
"""
    procedure = sound(body)
    step, gap, lift = procedure.body
    assert isinstance(step, Step)
    assert isinstance(gap, Measure)
    assert isinstance(lift, Measure)
    assert ([t.name for t in step.tools], step.role, step.only_for.words, step.as_name) == (
        ["wrench"], "fitter", "large", "last-pass",
    )  # fmt: skip
    assert (str(step.takes), [h.name for h in step.meets], step.prose) == ("10 min", ["jet"], ("Slowly.",))
    assert gap.limit is not None
    assert (str(gap.limit.low), str(gap.limit.high)) == ("0.1 mm", "0.3 mm")
    assert lift.places == ("north", "south")


# ---- loops, blocks, calls ----------------------------------------------------------------------
def test_for_each_is_laid_out_in_order_and_keeps_results_apart() -> None:
    body = """\
for each pocket in outlet, inlet
  step remove cover
  check look on cage of pocket
    accept "Clean."
  when look rejected
    step renew cage
  end
end
for each valve in valve-a, valve-b
  step clean valve
end
"""
    procedure = sound(body)
    assert doings(procedure) == [
        ("remove", ["cover of outlet"]), ("renew", ["cage of outlet"]),
        ("remove", ["cover of inlet"]), ("renew", ["cage of inlet"]),
        ("clean", ["valve-a"]), ("clean", ["valve-b"]),
    ]  # fmt: skip
    assert [w.result for w in walk(procedure.body) if isinstance(w, Check)] == ["look of outlet", "look of inlet"]


def test_ids_are_unique_and_stay_when_something_else_changes() -> None:
    body = "block b\n  step remove cover\nend\ndo b\nfor each p in inlet, outlet\n  step remove cover\n  do b\nend\n"
    ids = [w.id for w in walk(sound(body).body) if isinstance(w, Step)]
    assert len(set(ids)) == len(ids) == 5
    more = sound("step clean cage\n" + body)
    assert [w.id for w in walk(more.body) if isinstance(w, Step)][1:] == ids


def test_a_block_is_done_where_it_is_called_with_the_names_of_the_place() -> None:
    body = (
        'section "A" at inlet\ndo open\nsection "B" at outlet\ndo open\nblock open "Open"\n  step remove cover\nend\n'
    )
    procedure = sound(body)
    assert doings(procedure) == [("remove", ["cover of inlet"]), ("remove", ["cover of outlet"])]
    called = [w for w in walk(procedure.body) if isinstance(w, Group) and w.form == "called"]
    assert [(g.name, g.title) for g in called] == [("open", "Open")] * 2


def test_blocks_that_call_each_other_in_a_circle_are_told_with_the_chain() -> None:
    finding = only("do a\nblock a\n  do b\nend\nblock b\n  do a\nend\n")
    assert finding.rule == "calls-in-a-circle"
    assert "a -> b -> a" in finding.message


def test_a_called_procedure_is_resolved_with_it() -> None:
    procedure, findings = job('do "sub.proc"\n', sub_proc='procedure P-2 "Sub"\nuse "m.equip"\nstep remove cover\n')
    assert findings == []
    assert doings(procedure.callees["sub.proc"]) == [("remove", ["cover of inlet", "cover of outlet"])]


@pytest.mark.parametrize(
    ("sub", "rule"),
    [
        (None, "file-not-found"),
        ('procedure P-2 "Sub"\nuse "m.equip"\ndo "p.proc"\n', "calls-in-a-circle"),
        ('procedure P-2 "Sub"\nuse "m.equip"\nstep remove lid\n', "called-procedure-faulty"),
    ],
)
def test_a_called_procedure_that_is_missing_circular_or_faulty(sub: str | None, rule: str) -> None:
    _, findings = job('do "sub.proc"\n', **({"sub_proc": sub} if sub else {}))
    assert rule in [f.rule for f in findings] or any(
        rule in m.label or "itself" in m.label for f in findings for m in f.marks
    )
    assert findings[0].span.line == 4


def test_stops_waits_and_handovers() -> None:
    body = (
        'wait 4 h after tighten nuts of inlet, at most 24 h\nhandover to operator\nstop here, call operator "Leak."\n'
    )
    wait, handover, stop = sound(body).body
    assert all(isinstance(w, Mark) for w in (wait, handover, stop))
    assert (str(wait.duration), wait.after, str(wait.longest)) == ("4 h", "tighten nuts of inlet", "24 h")  # type: ignore[union-attr]
    assert (handover.role, stop.role, stop.text) == ("operator", "operator", "Leak.")  # type: ignore[union-attr]
