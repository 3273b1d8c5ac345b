"""Dependencies: orders that keep them keep the procedure sound, and nothing else is asked of an order."""

from __future__ import annotations

import random
import time

import pytest
from depend_samples import HEAD, JOB, MACHINE, every_order, is_sound, mixed, resolved, straight

from procforge.analysis import order_ledger
from procforge.analysis.depends import Dependencies, Relation, closure, dependencies
from procforge.analysis.machine import Machine
from procforge.analysis.proof import variants_of
from procforge.model.procedure import Procedure, Step
from procforge.model.tree import walk

SHORT = """step isolate inlet
step isolate outlet, second
step open bleed
step lock inlet
step lock outlet, second, bleed
step vent vessel
step shut vent
step prove vessel
step remove nuts of east
step remove cover of east
stop here"""

BRANCHES = """step isolate inlet, outlet, second
step open bleed
step lock inlet, outlet, second, bleed
step vent vessel
step shut vent
step prove vessel
hold H1 "Zero seen"
  sees vessel
  before remove nuts of east
any order
  step ease nuts of east
  step ease nuts of west
end
ask "Does it hiss?"
yes
  step nip-up nuts of east, nuts of west
  stop here, call fitter "A block passes."
no
end
together
  step remove nuts of east
  step remove cover of east
  step remove insert of east
  check look on insert of east
  when look rejected
    step renew insert of east
  end
also
  step remove nuts of west
  step remove cover of west, insert of west
  step renew insert of west
end
step fit insert of east
step fit insert of west
step look-into vessel
step fit ring new
step fit cover of east
step fit cover of west
step tighten nuts of east
step tighten nuts of west
step clear area
step unlock inlet, outlet, second, bleed
step return bleed
step return inlet, outlet, second
step leak-test vessel"""


def of(procedure: Procedure) -> Dependencies:
    return dependencies(procedure, Machine(procedure.equipment, variants_of(procedure)[0]))


def named(procedure: Procedure) -> dict[tuple[str, str], dict[str, tuple[str, ...]]]:
    """The edges as (earlier id, later id) to relation and facts."""
    depends = of(procedure)
    found: dict[tuple[str, str], dict[str, tuple[str, ...]]] = {}
    for edge in depends.edges:
        ends = (depends.units[edge.source].work.id, depends.units[edge.target].work.id)
        found.setdefault(ends, {})[edge.relation.value] = edge.facts
    return found


# ---- the relations -------------------------------------------------------------------------------
def test_the_three_relations() -> None:
    edges = named(resolved(JOB))
    lock = "lock.outlet+second+bleed"
    assert edges["isolate.inlet", "lock.inlet"] == {"needs": ("set inlet",)}
    assert "locked second" in edges[lock, "vent.vessel"]["needs"]
    assert edges["vent.vessel", "shut.vent"]["sets"] == ("set vent",)
    assert "proved vessel" in edges["ease.nuts@east", "return.bleed+inlet"]["undoes"]
    assert ("isolate.inlet", "isolate.outlet+second") in edges, "both undo the proof"
    assert set(edges["isolate.inlet", "isolate.outlet+second"]) == {"repeats"}


def test_two_sides_may_run_side_by_side_and_a_proof_with_its_opening_may_not() -> None:
    procedure = resolved(
        JOB.replace("step look-into", "step remove nuts of west\nstep remove cover of west\nstep look-into", 1)
    )
    depends = of(procedure)
    at = {unit.work.id: unit.number for unit in depends.units}
    assert depends.may_run_side_by_side(at["remove.cover@east"], at["remove.cover@west"])
    assert depends.may_run_side_by_side(at["lock.inlet"], at["isolate.outlet+second"])
    assert not depends.may_run_side_by_side(at["prove.vessel"], at["remove.nuts@west"])
    assert not depends.may_run_side_by_side(at["prove.vessel"], at["prove.vessel"])


def test_several_possible_establishers_are_one_of() -> None:
    body = """step remove nuts of east
check look on insert of east
when look rejected
  step renew insert of east
end
step remove cover of east
step fit insert of east"""
    edges = named(resolved(body))
    fact = "fit insert of east / look"
    assert fact in edges["check.look", "fit.insert@east"]["one-of"]
    assert fact in edges["renew.insert@east", "fit.insert@east"]["one-of"]
    assert edges["check.look", "renew.insert@east"]["needs"] == ("result look",)


def test_arms_of_one_decision_do_not_depend_on_each_other() -> None:
    body = 'ask "Is it dry?"\nyes\n  step open vent\nno\n  step shut vent\nend\nstep purge vessel'
    procedure = resolved(body)
    edges, depends = named(procedure), of(procedure)
    assert ("open.vent", "shut.vent") not in edges
    assert edges["ask", "open.vent"] == edges["ask", "shut.vent"] == {"needs": ("answer",)}
    at = {unit.work.id: unit.number for unit in depends.units}
    assert depends.independent(at["open.vent"], at["shut.vent"])
    assert not depends.may_run_side_by_side(at["open.vent"], at["shut.vent"]), "no path has both"


def test_a_hold_stands_between_what_is_before_and_after_it_in_its_block() -> None:
    body = """step clean vessel
hold H1 "Seen"
section "More"
step inspect vessel
together
  hold H2 "Seen"
  step count nuts
also
  step record nuts
end"""
    edges = named(resolved(body))
    assert edges["clean.vessel", "hold.H1"] == edges["hold.H1", "inspect.vessel"] == {"guards": ("barrier",)}
    assert {("hold.H2", "count.nuts"), ("hold.H1", "record.nuts")} <= set(edges)
    assert ("hold.H2", "record.nuts") not in edges, "a hold binds its own lane"


def test_what_follows_a_question_that_may_stop_the_job_waits_for_its_answer() -> None:
    body = 'step clean vessel\nask "Fit to go on?"\nyes\nno\n  stop here, call fitter\nend\nstep inspect vessel'
    edges = named(resolved(body))
    assert edges["ask", "inspect.vessel"] == {"guards": ("barrier",)}
    assert edges["clean.vessel", "stop"] == {"guards": ("barrier",)}
    assert ("clean.vessel", "ask") not in edges


def test_a_wait_comes_after_its_event_and_before_the_next_statement_only() -> None:
    edges = named(
        resolved(
            "step vent vessel\nstep clean nuts\nwait 10 min after vent vessel\nstep inspect vessel\nstep count nuts"
        )
    )
    assert {("vent.vessel", "wait"), ("wait", "inspect.vessel")} <= set(edges)
    assert not {("clean.nuts", "wait"), ("wait", "count.nuts")} & set(edges)


def test_a_repeat_is_one_unit() -> None:
    body = """step remove nuts of east
repeat until look accepted, at most 3 times
  step clean insert of east
  check look on insert of east
otherwise
  step renew insert of east
end
step fit insert of east"""
    procedure = resolved(body)
    assert [u.work.kind for u in of(procedure).units] == ["step", "repeat", "step"]
    assert "fit insert of east / look" in named(procedure)["repeat.look", "fit.insert@east"]["needs"]


def test_an_or_rests_on_the_way_that_surely_holds() -> None:
    """The second feed of the machine below may be isolated by a spade too: nobody fitted it, so nothing hangs on it."""
    machine = MACHINE.replace("bleed bleed)", "bleed bleed) or spade") + 'temporary spade "Spade"\n'
    procedure = resolved(JOB, HEAD, machine)
    assert is_sound(procedure)
    facts = {f for edge in of(procedure).edges for f in edge.facts}
    assert "locked bleed" in facts
    assert "in spade" not in facts


# ---- soundness -----------------------------------------------------------------------------------
def test_every_order_that_keeps_the_dependencies_is_sound_and_no_other_is_needed() -> None:
    procedure = resolved(SHORT)
    assert is_sound(procedure)
    depends = of(procedure)
    pairs = [(e.source, e.target) for e in depends.binding]
    made = list(every_order(len(depends.units), pairs))
    assert len(made) > 5
    for order in made:
        assert is_sound(procedure.but(body=tuple(procedure.body[n] for n in order))), order


@pytest.mark.parametrize("seed", range(20))
def test_a_job_in_other_orders_stays_sound(seed: int) -> None:
    procedure = straight(seed)
    assert is_sound(procedure)
    depends, pick = of(procedure), random.Random(seed)
    orders = [mixed(procedure, depends, depends.binding, pick) for _ in range(15)]
    assert len({tuple(w.id for w in other.body) for other in orders}) > 3
    for other in orders:
        assert is_sound(other), [w.id for w in other.body]


def test_blocks_with_branches_and_lanes_in_other_orders_stay_sound() -> None:
    procedure = resolved(BRANCHES)
    assert is_sound(procedure)
    depends, pick = of(procedure), random.Random(5)
    orders = [mixed(procedure, depends, depends.binding, pick) for _ in range(60)]
    assert len({tuple(w.id for w in walk(other.body)) for other in orders}) > 20
    for other in orders:
        assert is_sound(other), [w.id or w.kind for w in walk(other.body)]


@pytest.mark.parametrize("dropped", [Relation.UNDOES, Relation.SETS])
def test_each_relation_is_wanted(dropped: Relation) -> None:
    """Needs alone is unsound, and so is leaving out either of the other two."""
    procedure = resolved("step retighten nuts of east\n" + JOB)
    depends, pick = of(procedure), random.Random(1)
    fewer = tuple(e for e in depends.edges if e.relation not in (dropped, Relation.REPEATS))
    needs_only = tuple(e for e in depends.edges if e.relation in (Relation.NEEDS, Relation.ONE_OF))
    for edges in (fewer, needs_only):
        assert any(not is_sound(mixed(procedure, depends, edges, pick)) for _ in range(600))


def test_needs_alone_lets_the_vent_be_shut_first() -> None:
    """The example: `shut vent` needs nothing, so by needs alone it may come before `vent`; the proof is then worthless."""
    procedure = resolved(SHORT)
    depends = of(procedure)
    at = {unit.work.id: unit.number for unit in depends.units}
    needs = [(e.source, e.target) for e in depends.edges if e.relation in (Relation.NEEDS, Relation.ONE_OF)]
    assert not closure(len(depends.units), sorted(needs, key=lambda p: p[1]))[at["shut.vent"]]
    assert depends.before[at["shut.vent"]] >> at["vent.vessel"] & 1
    first = at["shut.vent"]
    order = [first, *(n for n in range(len(depends.units)) if n != first)]
    assert not is_sound(procedure.but(body=tuple(procedure.body[n] for n in order)))


# ---- reduction, size -----------------------------------------------------------------------------
@pytest.mark.parametrize("seed", range(6))
def test_the_reduction_keeps_what_comes_before_what(seed: int) -> None:
    depends = of(straight(seed))
    kept = depends.reduced()
    count = len(depends.units)
    assert closure(count, [(e.source, e.target) for e in kept]) == depends.before
    for edge in kept:
        rest = [(e.source, e.target) for e in kept if e is not edge]
        if edge.relation != Relation.ONE_OF:
            assert not closure(count, rest)[edge.target] >> edge.source & 1, "implied by a longer way"


@pytest.mark.parametrize("seed", range(4))
def test_knots_change_nothing(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """A crowd tied into one node stands for all its members."""
    procedure = straight(seed)
    monkeypatch.setattr(order_ledger, "MOST", 10**9)
    plain = of(procedure)
    monkeypatch.setattr(order_ledger, "MOST", 2)
    tied = of(procedure)
    assert any(source < 0 for source, *_ in tied.arcs)
    assert tied.before == plain.before
    assert {(e.source, e.target) for e in tied.binding} >= {(e.source, e.target) for e in plain.reduced()}


def many(times: int) -> Procedure:
    """The same job over and over: `times` times 21 steps, in which openings rest on proofs that returns undo."""
    procedure = resolved(JOB)
    steps = [w for w in procedure.body if isinstance(w, Step)]
    body = [w.but(id=f"{w.id}#{n}") for n in range(times) for w in steps]
    return procedure.but(body=tuple(body))


def test_ten_thousand_steps_cost_arcs_in_proportion() -> None:
    small, large = of(many(60)), of(many(480))
    assert len(large.units) > 10_000
    assert len(large.arcs) < 8.5 * len(small.arcs)
    assert len(large.arcs) < 40 * len(large.units)


def test_ten_thousand_openings_on_one_proof_cost_arcs_in_proportion() -> None:
    """Each of 5,000 steps needs the proof that each of 5,000 others would undo: 25 million pairs, if taken singly."""
    procedure = resolved(JOB)
    eases = next(w for w in procedure.body if w.id == "remove.nuts@east")
    isolates = next(w for w in procedure.body if w.id == "isolate.inlet")
    head = procedure.body[:8]
    body = [eases.but(id=f"r{n}") for n in range(5000)] + [isolates.but(id=f"i{n}") for n in range(5000)]
    started = time.perf_counter()
    depends = of(procedure.but(body=(*head, *body)))
    assert len(depends.arcs) < 400_000
    assert time.perf_counter() - started < 20
    assert depends.before[5008] >> 8 & 1
    assert depends.before[10007] >> 5007 & 1
