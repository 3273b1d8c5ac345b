"""Critical path, PERT and crew schedules: textbook networks, networkx, PSPLIB, and an exact solver on invented jobs."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from random import Random

import networkx as nx
import psplib
import pytest
from ortools.sat.python import cp_model

from procforge.engineering.base import Outside
from procforge.engineering.network import (
    Activity,
    Network,
    chance_by,
    critical_path,
    path_variance,
    three_point,
)
from procforge.engineering.schedule import LIMITS, Schedule, one_more, schedule

DATA = Path(__file__).parent / "project_data"

#: Heizer and Render, Operations Management: (activity, weeks, after) and the three estimates.
FOUNDRY = [
    *(("A", 2, ""), ("B", 3, ""), ("C", 2, "A"), ("D", 4, "B")),
    *(("E", 4, "C"), ("F", 3, "C"), ("G", 5, "DE"), ("H", 2, "FG")),
]
ESTIMATES = {
    **{"A": (1, 2, 3), "B": (2, 3, 4), "C": (1, 2, 3), "D": (2, 4, 6)},
    **{"E": (1, 4, 7), "F": (1, 2, 9), "G": (3, 4, 11), "H": (1, 2, 3)},
}
#: Hillier and Lieberman, Introduction to Operations Research: Reliable Construction.
RELIABLE = [
    *(("A", 2, ""), ("B", 4, "A"), ("C", 10, "B"), ("D", 6, "C"), ("E", 4, "C"), ("F", 5, "E"), ("G", 7, "D")),
    *(("H", 9, "EG"), ("I", 7, "C"), ("J", 8, "FI"), ("K", 4, "J"), ("L", 5, "J"), ("M", 2, "H"), ("N", 6, "KL")),
]


def network(rows: list[tuple[str, int, str]], needs: tuple[tuple[str, int], ...] = ()) -> list[Activity]:
    return [Activity(name, duration, needs, tuple(after)) for name, duration, after in rows]


def paths(found: Network | Outside) -> Network:
    assert isinstance(found, Network), found
    return found


def crewed(found: Schedule | Outside) -> Schedule:
    assert isinstance(found, Schedule), found
    return found


# ---- the network alone


def test_general_foundry() -> None:
    """15 weeks, critical A-C-E-G-H, slack B 1, D 1, F 6."""
    found = paths(critical_path(network(FOUNDRY)))
    assert found.length.value == 15
    assert found.critical == ("A", "C", "E", "G", "H")
    assert {t.name: t.slack for t in found.times if t.slack} == {"B": 1, "D": 1, "F": 6}
    by_name = {t.name: t for t in found.times}
    assert (by_name["F"].early_start, by_name["F"].early_finish) == (4, 7)
    assert (by_name["F"].late_start, by_name["F"].late_finish) == (10, 13)


def test_general_foundry_pert() -> None:
    """Variance of the critical path 3.111; the chance of 16 weeks is given as 0.7157 (from memory)."""
    results = {name: three_point(*estimate) for name, estimate in ESTIMATES.items()}
    assert all(not isinstance(r, Outside) for r in results.values())
    means = {n: r[0].value for n, r in results.items() if not isinstance(r, Outside)}
    variances = {n: r[1].value for n, r in results.items() if not isinstance(r, Outside)}
    assert means == pytest.approx({name: weeks for name, weeks, _ in FOUNDRY})
    total = path_variance(variances, "ACEGH")
    assert not isinstance(total, Outside) and total.value == pytest.approx(3.111, abs=5e-4)
    chance = chance_by(16, 15, total.value)
    assert not isinstance(chance, Outside) and chance.value == pytest.approx(0.7157, abs=2e-3)


def test_reliable_construction() -> None:
    """44 weeks, critical A-B-C-E-F-J-L-N, slack D, G, H, M 4, I 2, K 1."""
    found = paths(critical_path(network(RELIABLE)))
    assert found.length.value == 44
    assert "".join(found.critical) == "ABCEFJLN"
    slack = {t.name: t.slack for t in found.times if t.slack}
    assert slack == {"D": 4, "G": 4, "H": 4, "M": 4, "I": 2, "K": 1}


@pytest.mark.parametrize("seed", range(8))
def test_critical_path_against_networkx(seed: int) -> None:
    """The longest path of the same graph, weights on the edges; one chain of critical activities has that length."""
    activities = job(Random(seed), 40)
    found = paths(critical_path(activities))
    graph = nx.DiGraph()
    for a in activities:
        graph.add_edge(("start", a.name), ("end", a.name), weight=a.duration)
        graph.add_edges_from(((("end", b), ("start", a.name)) for b in a.after), weight=0)
    assert found.length.value == nx.dag_longest_path_length(graph)
    on_longest = {name for _, name in nx.dag_longest_path(graph)}
    assert on_longest <= set(found.critical)


@pytest.mark.parametrize(
    ("activities", "reason"),
    [
        ([Activity("a", 1, after=("c",)), Activity("b", 1, after=("a",)), Activity("c", 1, after=("b",))], "circle"),
        ([Activity("a", 1, after=("a",))], "circle: a → a"),
        ([Activity("a", 1, after=("x",))], "comes after x"),
        ([Activity("a", 1), Activity("a", 2)], "two activities"),
        ([Activity("a", -1)], "duration of a"),
        ([Activity("a", float("nan"))], "duration of a"),
        ([], "no activities"),
        ([Activity("a", 1, (("rigger", 1),))], "needs 1 rigger, the crew has 0"),
        ([Activity("a", 1, (("fitter", 2), ("fitter", 1)))], "needs 3 fitter, the crew has 2"),
        ([Activity("a", 1, (("fitter", -1),))], "needs -1"),
    ],
)
def test_faulty_jobs(activities: list[Activity], reason: str) -> None:
    found = schedule(activities, {"fitter": 2})
    assert isinstance(found, Outside) and reason in found.message, found
    assert isinstance(one_more(activities, {"fitter": 2}), Outside)


def test_a_circle_is_told_in_its_own_order() -> None:
    rows = [("x", 1, ""), ("a", 1, "xc"), ("b", 1, "a"), ("c", 1, "b"), ("d", 1, "c")]
    found = critical_path(network(rows))
    assert isinstance(found, Outside)
    names = found.message.rpartition(": ")[2].split(" → ")
    after = {name: preds for name, _, preds in rows}
    assert names[0] == names[-1] and len(names) == 4
    assert all(earlier in after[later] for earlier, later in pairwise(names))


def test_faulty_estimates() -> None:
    for estimate in ((3, 2, 4), (-1, 2, 3), (1, 5, 4), (1, 2, float("inf"))):
        assert isinstance(three_point(*estimate), Outside)
    assert isinstance(path_variance({"A": 1}, "AB"), Outside)
    assert isinstance(chance_by(1, 1, 0), Outside)


# ---- with a crew


def check(activities: list[Activity], crew: dict[str, int], found: Schedule) -> None:
    """Feasible, counted afresh from the slots: order kept, people of the crew, nobody in two places."""
    slots = {slot.name: slot for slot in found.slots}
    assert sorted(slots) == sorted(a.name for a in activities)
    work: dict[tuple[str, int], list[tuple[float, float]]] = {}
    for a in activities:
        slot = slots[a.name]
        assert slot.finish == slot.start + a.duration and slot.start >= 0
        assert all(slot.start >= slots[b].finish - 1e-9 for b in a.after)
        for role in crew:
            assert sum(r == role for r, _ in slot.people) == sum(n for r, n in a.needs if r == role)
        assert len(set(slot.people)) == len(slot.people)
        for role, number in slot.people:
            assert 1 <= number <= crew[role]
            if a.duration:
                work.setdefault((role, number), []).append((slot.start, slot.finish))
    for spans in work.values():
        spans.sort()
        assert all(a[1] <= b[0] + 1e-9 for a, b in pairwise(spans))
    assert found.length.value == max(slot.finish for slot in found.slots) >= found.bound.value - 1e-9
    for person, idle in found.idle.items():
        done = sum(b - a for a, b in work.get(person, []))
        assert found.busy[person] == pytest.approx(done) and idle == pytest.approx(found.length.value - done)


@pytest.mark.parametrize(("workers", "weeks"), [(1, 79), (2, 48), (3, 44)])
def test_reliable_construction_with_one_worker_an_activity(workers: int, weeks: int) -> None:
    """79, 48 and 44 weeks with 1, 2 and 3 workers (computed with an exact solver)."""
    activities = network(RELIABLE, (("worker", 1),))
    found = crewed(schedule(activities, {"worker": workers}))
    check(activities, {"worker": workers}, found)
    assert found.length.value == weeks
    assert exact(activities, {"worker": workers}) == weeks
    saved = one_more(activities, {"worker": workers})
    assert saved == {"worker": {1: 31, 2: 4, 3: 0}[workers]}


def instance(path: Path) -> tuple[list[Activity], dict[str, int]]:
    """A PSPLIB file as read by the library of that name."""
    read = psplib.parse(path, instance_format="psplib")
    before: dict[int, list[str]] = {n: [] for n in range(read.num_activities)}
    for n, a in enumerate(read.activities):
        for later in a.successors:
            before[later].append(str(n))
    activities = [
        Activity(
            str(n),
            a.modes[0].duration,
            tuple((f"R{r}", count) for r, count in enumerate(a.modes[0].demands) if count),
            tuple(before[n]),
        )
        for n, a in enumerate(read.activities)
    ]
    return activities, {f"R{r}": resource.capacity for r, resource in enumerate(read.resources)}


def test_psplib_j301_1() -> None:
    """CPM 38 (in the file), optimum 43 (PSPLIB). The file is the one in the source release of psplib 0.4.0, MIT."""
    activities, crew = instance(DATA / "j301_1.sm")
    assert paths(critical_path(activities)).length.value == 38
    found = crewed(schedule(activities, crew))
    check(activities, crew, found)
    assert exact(activities, crew) == 43
    assert 38 <= found.bound.value <= 43 <= found.length.value <= 43 * 1.05


def job(chance: Random, count: int) -> list[Activity]:
    """An invented job for a crew of fitters, an operator and an electrician."""
    roles = {"fitter": 2, "operator": 1, "electrician": 1}
    return [
        Activity(
            str(i),
            chance.randint(0, 12),
            tuple((role, chance.randint(1, most)) for role, most in roles.items() if chance.random() < 0.45),
            tuple(str(j) for j in range(i) if chance.random() < 2 / count),
        )
        for i in range(count)
    ]


CREW = {"fitter": 2, "operator": 1, "electrician": 1}


def exact(activities: list[Activity], crew: dict[str, int]) -> float:
    """The shortest time, proved by OR-tools' CP-SAT."""
    model = cp_model.CpModel()
    horizon = int(sum(a.duration for a in activities))
    starts = {a.name: model.new_int_var(0, horizon, a.name) for a in activities}
    spans = {a.name: model.new_fixed_size_interval_var(starts[a.name], int(a.duration), a.name) for a in activities}
    durations = {a.name: int(a.duration) for a in activities}
    end = model.new_int_var(0, horizon, "end")
    for a in activities:
        model.add(end >= starts[a.name] + durations[a.name])
        for b in a.after:
            model.add(starts[a.name] >= starts[b] + durations[b])
    for role, people in crew.items():
        wanted = [(spans[a.name], n) for a in activities if a.duration for r, n in a.needs if r == role]
        if wanted:
            model.add_cumulative([s for s, _ in wanted], [n for _, n in wanted], people)
    model.minimize(end)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = 30
    assert solver.solve(model) == cp_model.OPTIMAL
    return solver.objective_value


def test_invented_jobs_against_an_exact_solver() -> None:
    """Never below the proved shortest, the bound never above it, and the mean within 5 % of it."""
    excess = []
    for seed in range(20):
        activities = job(Random(seed), 12 + seed % 8)
        found = crewed(schedule(activities, CREW))
        check(activities, CREW, found)
        shortest = exact(activities, CREW)
        assert found.bound.value <= shortest <= found.length.value, seed
        excess.append(found.length.value / shortest - 1 if shortest else 0.0)
    assert sum(excess) / len(excess) <= 0.05
    assert sum(e == 0 for e in excess) >= 15, "most are as short as can be"


def test_the_same_job_gives_the_same_schedule() -> None:
    activities = job(Random(3), 60)
    assert crewed(schedule(activities, CREW)).slots == crewed(schedule(activities, CREW)).slots


def test_hundredths_of_an_hour_do_not_split_a_person() -> None:
    activities = [
        Activity(a.name, a.duration * 0.1, a.needs, a.after) for seed in range(1) for a in job(Random(seed), 50)
    ]
    check(activities, CREW, crewed(schedule(activities, CREW)))


def test_a_wait_takes_nobody_and_a_moment_takes_no_time() -> None:
    activities = [
        Activity("apply sealant", 10, (("fitter", 1),)),
        Activity("cure", 60, after=("apply sealant",)),
        Activity("dress studs", 60, (("fitter", 1),), after=("apply sealant",)),
        Activity("sign", 0, (("fitter", 1),), after=("cure",)),
    ]
    found = crewed(schedule(activities, {"fitter": 1}))
    check(activities, {"fitter": 1}, found)
    assert found.length.value == 70 and found.busy == {("fitter", 1): 70}


def test_it_never_claims_the_best() -> None:
    found = crewed(schedule(network(RELIABLE, (("worker", 1),)), {"worker": 2}))
    text = " ".join((*found.length.limits, *found.bound.limits, found.length.formula, found.rule)).lower()
    assert found.length.limits == LIMITS and "feasible, not below the bound" in text
    assert "optimal" not in text and "optimum" not in text
