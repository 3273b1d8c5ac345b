"""Flow and dependency charts made from procedures: numbers, ways, variants, blocks; and their pages as files."""

from __future__ import annotations

import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from depend_samples import HEAD, JOB, MACHINE, resolved

from procforge.analysis.build import build_program
from procforge.analysis.depends import dependencies
from procforge.analysis.machine import Machine
from procforge.analysis.program import Kind, Node
from procforge.analysis.proof import variants_of
from procforge.analysis.select import Act, bounds
from procforge.model.base import Variant
from procforge.model.procedure import Procedure
from procforge.model.tree import walk
from procforge.render.chart import LEAST_PT, NoLayout, print_scale, write_book
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve
from procforge.sheet.chart import Chart, EdgeKind, NodeKind
from procforge.sheet.depchart import dependency_chart
from procforge.sheet.flow import flow_chart
from procforge.sheet.numbering import numbers, sections

SHIPPED = sorted((Path(__file__).parent.parent / "procedures").rglob("*.proc"))
TWO_SIZES = MACHINE.replace("pressure-space", "models small, large\npressure-space", 1)

BODY = """step notify control-room
note "Before all sections."
section "Make safe"
step isolate inlet
step clean vessel only for small
step vent vessel as zero
step shut vent
when zero failed
  stop here, call fitter
end
hold H1 "Seen" by fitter
  sees vessel
only for large
  step observe vessel
  measure gap "Gap" on cover of east
end
section "Only the large one"
only for large
  step count nuts of east
end
section "Work"
ask "Tight?" by fitter
no
  step nip-up nuts of east
yes
end
either by fitter
  step mark insert of east
or
  step renew insert of east
end
repeat until look accepted, at most 3 times
  step clean insert of east
  check look on insert of east
otherwise
  step renew insert of east
end
check look on insert of west
when look accepted
otherwise
  step renew insert of west
end
handover to fitter
wait 10 min
may stop here "Lay covers over."
"""


def sized() -> tuple[Procedure, Variant, Variant]:
    procedure = resolved(BODY, HEAD, TWO_SIZES)
    small, large = variants_of(procedure)
    return procedure, small, large


def shipped(path: Path) -> Procedure:
    return resolve(Library(), path).value


# ---- numbers -------------------------------------------------------------------------------------
def test_numbers_count_what_stands_on_the_paper_of_a_variant() -> None:
    procedure, small, large = sized()
    assert [(s.number, s.title) for s in sections(procedure, small)] == [(1, ""), (2, "Make safe"), (3, "Work")]
    assert [s.title for s in sections(procedure, large)] == ["", "Make safe", "Only the large one", "Work"]
    ours = numbers(procedure, small)
    assert [ours[i] for i in ("notify.control-room", "isolate.inlet", "clean.vessel", "zero")] == [
        "1.1",
        "2.1",
        "2.2",
        "2.3",
    ]
    assert ours["hold.H1"] == "H1"
    assert "observe.vessel" not in ours
    assert (ours["ask"], ours["nip-up.nuts@east"]) == ("3.1", "3.2")
    theirs = numbers(procedure, large)
    assert (theirs["zero"], theirs["observe.vessel"], theirs["ask"]) == ("2.2", "2.5", "4.1")
    assert numbers(procedure)["observe.vessel"] == "2.6"


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_numbers_have_no_gap_and_none_is_there_twice(path: Path) -> None:
    procedure = shipped(path)
    for variant in (*variants_of(procedure), None):
        found = list(numbers(procedure, variant).values())
        assert len(set(found)) == len(found)
        counted = [tuple(map(int, n.split("."))) for n in found if n[0].isdigit()]
        assert counted == [(s, n) for s in dict(counted) for n in range(1, 1 + sum(c[0] == s for c in counted))]


# ---- the ways through ----------------------------------------------------------------------------
def ways_of_program(procedure: Procedure, variant: Variant) -> set[tuple[str, str]]:
    """What is done after what, from the graph that the proof walks; repeats, joins and branches seen through."""
    nodes = build_program(procedure, Machine(procedure.equipment, variant)).nodes
    drawn = {"step", "check", "measure", "hold", "ask", "mark", "call"}

    def shown(node: Node) -> str:
        if node.kind == Kind.END:
            return "end"
        work = node.work
        form = getattr(work, "form", "")
        seen_through = node.skipped or node.kind in (Kind.READ, Kind.ENTER, Kind.ROUND) or form == "note"
        return "" if work is None or seen_through or work.kind not in drawn else work.id

    def next_shown(index: int, own: str, seen: frozenset[int]) -> set[str]:
        if index in seen:
            return set()
        name = shown(nodes[index])
        if name and name != own:
            return {name}
        return {n for after in nodes[index].nexts for n in next_shown(after, own, seen | {index})}

    found = set()
    for node in nodes:
        for after in node.nexts if shown(node) else ():
            found |= {(shown(node), name) for name in next_shown(after, shown(node), frozenset())}
    return {(a, b) for a, b in found if a != "end"}


def ways_of_chart(chart: Chart) -> set[tuple[str, str]]:
    """What is done after what by the arrows, seen through symbols that are no statement."""
    own = {n.id for n in chart.nodes if not n.id.startswith(("result-", "choice-", "variant-", "start"))}

    def beyond(ident: str) -> set[str]:
        after = [e.target for e in chart.edges if e.source == ident]
        return {t for t in after if t in own}.union(*(beyond(t) for t in after if t not in own))

    return {(ident, after) for ident in own for after in beyond(ident)}


def test_the_chart_goes_the_ways_of_the_proof() -> None:
    procedure, small, large = sized()
    for variant in (small, large):
        expected = ways_of_program(procedure, variant)
        assert ways_of_chart(flow_chart(procedure, variant)) == expected
        assert len(expected) > 20


def test_each_statement_is_a_symbol_with_its_number_and_shape() -> None:
    procedure, small, _ = sized()
    chart = flow_chart(procedure, small)
    nodes = {n.id: n for n in chart.nodes}
    for ident, number in numbers(procedure, small).items():
        assert nodes[ident].ref == number
    kinds = {i: nodes[i].kind for i in ("stop", "hold.H1", "ask", "check.look~2", "handover", "check.look")}
    assert list(kinds.values()) == [
        NodeKind.STOP,
        NodeKind.HOLD,
        *[NodeKind.DECISION] * 2,
        NodeKind.STEP,
        NodeKind.DECISION,
    ]
    assert nodes["hold.H1"].title == "Seen, by fitter"
    assert any(n.title.startswith("Result of 2.3") for n in chart.nodes)
    sizes = {len(n.title) for n in chart.nodes if n.kind == NodeKind.STEP}
    assert max(sizes) <= 40, "short by construction"


def test_both_ways_of_a_decision_are_named_and_a_repeat_goes_back() -> None:
    procedure, small, _ = sized()
    chart = flow_chart(procedure, small)
    out: dict[str, list[str]] = {}
    for edge in chart.edges:
        out.setdefault(edge.source, []).append(edge.label)
    assert sorted(out["ask"]) == ["No", "Yes"]
    assert sorted(out["check.look"]) == ["Accepted", "Rejected 3 times", "Rejected: next round"]
    assert sorted(out["check.look~2"]) == ["Accepted", "Rejected"]
    ways = {(e.source, e.label): e.target for e in chart.edges}
    assert ways["check.look~2", "Rejected"] == "renew.insert@west"
    assert ways["check.look~2", "Accepted"] == "handover"
    assert ways["check.look", "Rejected 3 times"] == "renew.insert@east~2"
    assert ways["ask", "No"] == "nip-up.nuts@east"
    back = [e for e in chart.edges if e.kind == EdgeKind.BACK]
    assert [(e.source, e.target) for e in back] == [("check.look", "clean.insert@east")]
    assert "Repeat until accepted, at most 3 rounds" in [g.title for g in chart.groups]


def test_the_review_chart_asks_for_the_variant() -> None:
    procedure, _, _ = sized()
    chart = flow_chart(procedure)
    asked = {n.id: n.title for n in chart.nodes if n.id.startswith("variant-")}
    assert list(asked.values()) == ["Small?", "Large?", "Large?"]
    ways = {(e.label, e.target) for e in chart.edges if e.source == next(iter(asked))}
    assert ways == {("Yes", "clean.vessel"), ("No", "zero")}
    assert not any(n.id.startswith("variant-") for n in flow_chart(procedure, variants_of(procedure)[0]).nodes)


def test_lanes_stand_between_bars_and_many_members_under_each_other() -> None:
    lanes = "".join(f"also\n  step clean nuts of {side}\n  step count nuts of {side}\n" for side in ("east", "west"))
    body = (
        lanes.replace("also", "together", 1)
        + "end\nany order\n"
        + "".join(f"  step {v} vessel\n" for v in ("clean", "inspect", "count", "observe"))
        + "end"
    )
    chart = flow_chart(resolved(body))
    assert [n.kind for n in chart.nodes if n.kind in (NodeKind.FORK, NodeKind.JOIN)] == [NodeKind.FORK, NodeKind.JOIN]
    fork = next(n.id for n in chart.nodes if n.kind == NodeKind.FORK)
    assert [e.target for e in chart.edges if e.source == fork] == ["clean.nuts@east", "clean.nuts@west"]
    assert [g.title for g in chart.groups if g.parent] == ["Side by side", "In any order"]


def test_long_lanes_are_a_symbol_each_and_are_drawn_on_charts_of_their_own() -> None:
    verbs = ("clean", "count", "inspect", "observe", "mark", "wipe", "look-at")[:5]
    lane = "".join(f"  step {verb} nuts of {{side}} by fitter\n" for verb in verbs)
    check = "  check look on insert of {side}\n  when look rejected\n    step renew insert of {side}\n  end\n"
    body = "together\n" + "also\n".join((lane + check).format(side=side) for side in ("east", "west")) + "end"
    chart = flow_chart(resolved(body))
    fork = next(n.id for n in chart.nodes if n.kind == NodeKind.FORK)
    lanes = [e.target for e in chart.edges if e.source == fork]
    by_id = {n.id: n for n in chart.nodes}
    assert [(by_id[i].kind, by_id[i].ref, by_id[i].title) for i in lanes] == [
        (NodeKind.CALL, "1.1 to 1.7", "Lane A: fitter"),
        (NodeKind.CALL, "1.8 to 1.14", "Lane B: fitter"),
    ]
    assert [g.title for g in chart.groups if g.kind == "section"][1:] == [
        "Section 1, lane A (1.1 to 1.7)",
        "Section 1, lane B (1.8 to 1.14)",
    ]
    assert [n.ref for n in chart.nodes if n.kind in (NodeKind.STEP, NodeKind.DECISION)] == [
        f"1.{n}" for n in range(1, 15)
    ]
    apart = flow_chart(resolved(body.replace("  step observe", "  step wipe")))
    assert ways_of_chart(chart) != ways_of_chart(apart)


def test_a_called_block_is_one_symbol_and_is_drawn_once() -> None:
    block = 'block tidy "Tidy up"\n  step clean vessel\n  do sweep\nend\nblock sweep "Sweep"\n  step count nuts of east\nend'
    chart = flow_chart(resolved(f"step inspect vessel\ndo tidy\nstep observe vessel\ndo tidy\n{block}"))
    calls = [(n.ref, n.title) for n in chart.nodes if n.kind == NodeKind.CALL]
    assert calls == [("1.2 to 1.3", "Tidy up"), ("1.5 to 1.6", "Tidy up"), ("1.3", "Sweep")]
    assert [n.ref for n in chart.nodes if n.kind == NodeKind.STEP] == ["1.1", "1.4", "1.2", "1.3"]
    assert [g.title for g in chart.groups][1:] == ["Tidy up (1.2 to 1.3)", "Sweep (1.3)"]
    assert [n.title for n in chart.nodes if n.kind == NodeKind.END] == ["End", "Go back", "Go back"]


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_every_number_of_a_shipped_sheet_is_on_its_chart(path: Path) -> None:
    procedure = shipped(path)
    for variant in (variants_of(procedure)[0], None):
        chart = flow_chart(procedure, variant)
        there = {n.ref for n in chart.nodes}
        called = {id(w) for g in walk(procedure.body) if getattr(g, "form", "") == "called" for w in walk((g,))}
        ours = numbers(procedure, variant)
        wanted = {ours[w.id] for w in walk(procedure.body) if w.id in ours and id(w) not in called}
        assert wanted <= there


# ---- dependencies --------------------------------------------------------------------------------
def test_the_dependency_chart_leaves_out_what_nothing_hangs_on() -> None:
    procedure = resolved(
        JOB.replace("step ease nuts of east", 'step observe vessel\nhold H1 "Seen"\nstep ease nuts of east')
    )
    chart = dependency_chart(procedure, Machine(procedure.equipment, variants_of(procedure)[0]))
    ids = {n.id for n in chart.nodes}
    assert "observe.vessel" not in ids
    assert {"prove.vessel", "hold.H1", "ease.nuts@east"} <= ids
    kinds = {(e.source, e.target): e.kind for e in chart.edges}
    assert kinds["isolate.inlet", "lock.inlet"] == EdgeKind.NEEDS
    assert kinds["prove.vessel", "hold.H1"] == EdgeKind.GUARDS
    assert kinds["vent.vessel", "shut.vent"] == EdgeKind.SAME
    assert not [e for e in chart.edges if e.kind in (EdgeKind.FLOW, EdgeKind.BACK)]


#: Jobs that only make safe, return to service, or whose lid has no joint to ease.
NOTHING_EASED = ("CDP-M-001", "CDP-M-002", "CDP-M-010", "SRA-M-006")


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_what_a_shipped_job_must_do_first_leads_to_its_openings(path: Path) -> None:
    """Nothing is opened before it was proved: by the arrows alone (a fact of the trade, common practice, no source)."""
    procedure = shipped(path)
    machine = Machine(procedure.equipment, variants_of(procedure)[0])
    depends = dependencies(procedure, machine)
    chart = dependency_chart(procedure, machine, depends)
    before: dict[str, set[str]] = {}
    for edge in sorted(chart.edges, key=lambda e: [n.id for n in chart.nodes].index(e.target)):
        before.setdefault(edge.target, set()).update({edge.source} | before.get(edge.source, set()))
    nodes = {n.id for n in chart.nodes}
    proofs = {w.id: {r.name for r in w.objects} for w in walk(procedure.body) if getattr(w, "verb", "") == "prove"}
    for call in (w for w in walk(procedure.body) if w.kind == "call"):
        left = {state.name for state in procedure.callees[call.file].leaves if state.state == "proved"}
        proofs[call.id] = left
    openings = [w for w in walk(procedure.body) if getattr(w, "verb", "") == "ease" and w.id in nodes]
    for opening in openings:
        for space in {s for r in opening.objects for s in bounds(machine, Act(r.name))}:
            assert any(space in proofs.get(one, ()) for one in before[opening.id]), (opening.id, space)
    assert openings or procedure.number in NOTHING_EASED, "a job that eases nothing stands on the list"


# ---- files ---------------------------------------------------------------------------------------
def test_a_book_is_the_overview_and_numbered_charts(tmp_path: Path) -> None:
    chart = flow_chart(resolved(JOB + "\n" + JOB.replace("step clear", "step observe vessel\nstep clear")))
    made = write_book(chart, tmp_path / "flow.svg")
    assert made[0] == tmp_path / "flow.svg"
    assert [p.name for p in made[1:]] == [f"flow-{n}.svg" for n in range(1, len(made))]
    assert len(made) > 2
    assert sorted(tmp_path.iterdir()) == sorted(made)
    title = "{http://www.w3.org/2000/svg}title"
    assert "overview" in (ET.fromstring(made[0].read_bytes()).findtext(title) or "")
    assert (ET.fromstring(made[1].read_bytes()).findtext(title) or "").startswith("Chart 1: ")


def test_one_page_one_picture_and_dot_are_one_file(tmp_path: Path) -> None:
    short, long = flow_chart(resolved("step clean vessel")), flow_chart(resolved(JOB + "\n" + JOB))
    assert write_book(short, tmp_path / "a.png") == [tmp_path / "a.png"]
    assert write_book(long, tmp_path / "b.dot") == [tmp_path / "b.dot"]
    assert write_book(long, tmp_path / "c.svg", whole=True) == [tmp_path / "c.svg"]
    assert len(list(tmp_path.iterdir())) == 3
    with pytest.raises(ValueError, match=r"not \.pdf"):
        write_book(short, tmp_path / "d.pdf")


def test_a_book_is_written_whole_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    layout = sys.modules["procforge.render.chart.layout"]
    monkeypatch.setattr(layout, "bundled", lambda: None)
    monkeypatch.setattr(layout, "system", lambda: None)
    with pytest.raises(NoLayout):
        write_book(flow_chart(resolved(JOB + "\n" + JOB)), tmp_path / "flow.svg")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_every_chart_of_a_shipped_procedure_prints_at_7_points(path: Path, tmp_path: Path) -> None:
    procedure = shipped(path)
    machine = Machine(procedure.equipment, variants_of(procedure)[0])
    charts = [flow_chart(procedure), flow_chart(procedure, machine.variant), dependency_chart(procedure, machine)]
    for number, chart in enumerate(charts):
        for page in write_book(chart, tmp_path / f"{number}.svg"):
            assert print_scale(page.read_bytes()) >= LEAST_PT, page.name
