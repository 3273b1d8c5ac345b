"""Charts that the chart tests draw: an invented valve job, and long flows made from a seed."""

from __future__ import annotations

import random
import re
from collections import Counter
from itertools import pairwise

from procforge.render.chart.lettering import clean
from procforge.sheet.chart import Chart, ChartEdge, ChartGroup, ChartNode, EdgeKind, GroupKind, NodeKind

K, E = NodeKind, EdgeKind


def bare(text: str) -> str:
    """Text as drawn, blanks aside."""
    return re.sub(r"\s", "", clean(text))


def edges_of(chart: Chart) -> Counter[tuple[str, str, str, str]]:
    """The edges as (source, target, kind, label)."""
    return Counter((e.source, e.target, e.kind.value, bare(e.label)) for e in chart.edges)


def flow() -> Chart:
    """20 symbols: lanes side by side, a reading, two decisions, a stop, a hold, a block, a repeat."""
    nodes = (
        ChartNode("start", K.START, "Start"),
        ChartNode("1.1", K.STEP, "Tell the control room", "1.1"),
        ChartNode("1.2", K.STEP, "Shut down the booster", "1.2"),
        ChartNode("fork", K.FORK, ""),
        ChartNode("1.3", K.STEP, "Isolate and lock the motor breaker", "1.3"),
        ChartNode("1.4", K.STEP, "Try to start the motor", "1.4"),
        ChartNode("1.5", K.STEP, "Shut and lock the inlet block and both outlet blocks", "1.5"),
        ChartNode("1.6", K.STEP, "Open and lock the outlet bleed", "1.6"),
        ChartNode("join", K.JOIN, ""),
        ChartNode("1.7", K.STEP, "Vent the cylinder to flare", "1.7"),
        ChartNode("1.8", K.READING, "Read PI-3 and write it down", "1.8"),
        ChartNode("1.9", K.DECISION, "Is PI-3 between 0 and 0.05 bar(g)?", "1.9"),
        ChartNode("stop", K.STOP, "Stop. A block valve passes: call the operator"),
        ChartNode("H1", K.HOLD, "Zero pressure witnessed by operator", "H1"),
        ChartNode("2.1", K.STEP, "Ease the cover nuts by half a turn", "2.1"),
        ChartNode("2.2", K.STEP, "Lift off the valve cover and cage", "2.2"),
        ChartNode("2.3", K.CALL, "Rebuild the outlet valve", "2.3"),
        ChartNode("2.4", K.DECISION, "Leak drip test: dry underneath?", "2.4"),
        ChartNode("2.5", K.STEP, "Torque the cover nuts 30 %, 70 %, 100 %", "2.5"),
        ChartNode("end", K.END, "End"),
    )
    ways = ("start", "1.1", "1.2", "fork", "1.3", "1.4", "join", "1.7", "1.8", "1.9")
    edges = [ChartEdge(a, b) for a, b in pairwise(ways)]
    edges += [ChartEdge("fork", "1.5"), ChartEdge("1.5", "1.6"), ChartEdge("1.6", "join")]
    edges += [ChartEdge("1.9", "stop", "No"), ChartEdge("1.9", "H1", "Yes"), ChartEdge("H1", "2.1")]
    edges += [ChartEdge("2.1", "2.2"), ChartEdge("2.2", "2.3"), ChartEdge("2.3", "2.4")]
    edges += [ChartEdge("2.4", "2.3", "Rejected, at most 3 times", E.BACK), ChartEdge("2.4", "2.5", "Accepted")]
    edges += [ChartEdge("2.5", "end")]
    return Chart("Service the first-stage outlet valve", nodes, tuple(edges))


def depends() -> Chart:
    """17 steps with each kind of dependency."""
    titles = (
        "Shut down",
        "Isolate",
        "Lock",
        "Vent",
        "Purge",
        "Prove zero",
        "Ease cover nuts",
        "Remove cover",
        "Remove cage",
        "Remove outlet valve",
        "Fit valve gasket new",
        "Fit outlet valve",
        "Fit cage",
        "Fit cover",
        "Torque cover nuts",
        "Leak test",
        "Take locks off",
    )
    nodes = tuple(ChartNode(f"s{i}", K.STEP, title, f"{1 + i // 8}.{1 + i % 8}") for i, title in enumerate(titles))
    edges = [ChartEdge(f"s{i}", f"s{i + 1}", "", E.NEEDS) for i in range(16)]
    edges += [ChartEdge("s4", "s6", "", E.ONE_OF), ChartEdge("s5", "s7", "", E.ONE_OF)]
    edges += [ChartEdge("s2", "s16", "", E.AFTER), ChartEdge("s9", "s11", "", E.SAME)]
    return Chart("What must come before what", nodes, tuple(edges))


def zoo() -> Chart:
    """Every node kind and every frame kind at once."""
    nodes = tuple(ChartNode(kind.value, kind, f"A {kind.value}", "7.1" if kind != K.CONNECTOR else "") for kind in K)
    edges = tuple(ChartEdge(a.id, b.id, "Yes" if a.kind == K.DECISION else "") for a, b in pairwise(nodes))
    groups = (
        ChartGroup("s", GroupKind.SECTION, "Section", ("start",)),
        ChartGroup("o", GroupKind.ANY_ORDER, "In any order", ("step", "decision"), "s"),
        ChartGroup("l", GroupKind.LANE, "", ("hold",), "s"),
        ChartGroup("r", GroupKind.LOOP, "At most 3 times", ("loop-start", "call")),
        ChartGroup("p", GroupKind.PLACE, "On the bench", ("join",)),
    )
    return Chart("Every symbol", nodes, edges, groups)


def long_flow(count: int, sections: int, seed: int = 3) -> Chart:
    """About `count` nodes in sections, with decisions that rejoin, stops, holds, lanes and repeats."""
    pick = random.Random(seed)
    nodes = [ChartNode("start", K.START, "Start")]
    edges: list[ChartEdge] = []
    groups: list[ChartGroup] = []
    ends = [("start", "")]

    def add(ident: str, kind: NodeKind, title: str, members: list[str]) -> None:
        members.append(ident)
        nodes.append(ChartNode(ident, kind, title, f"{len(groups) + 1}.{len(members)}"))
        edges.extend(ChartEdge(a, ident, label) for a, label in ends)
        ends[:] = [(ident, "")]

    for section in range(sections):
        members: list[str] = []
        while len(members) < count // sections:
            at = f"{section}-{len(members)}"
            thing = pick.choice(("valve cover", "cage", "outlet valve", "cover ring", "cover nuts", "guard plate"))
            chance = pick.random()
            if chance < 0.16:
                add("ask" + at, K.DECISION, f"Is the {thing} in good order?", members)
                ends[:] = [("ask" + at, "No")]
                add("mend" + at, K.STOP if chance < 0.04 else K.STEP, f"Renew the {thing}", members)
                ends[:] = [("ask" + at, "Yes")] + ([] if chance < 0.04 else [("mend" + at, "")])
            elif chance < 0.2:
                add("hold" + at, K.HOLD, f"{thing.capitalize()} witnessed", members)
            elif chance < 0.24:
                add("fork" + at, K.FORK, "", members)
                for lane in "ab":
                    ends[:] = [("fork" + at, "")]
                    add(lane + at, K.STEP, f"Clean the {thing}", members)
                ends[:] = [("a" + at, ""), ("b" + at, "")]
                add("join" + at, K.JOIN, "", members)
            else:
                add("step" + at, K.STEP, f"{pick.choice(('Remove', 'Fit', 'Clean', 'Measure'))} the {thing}", members)
                if chance < 0.28:
                    add("dry" + at, K.DECISION, "Is it dry?", members)
                    edges.append(ChartEdge("dry" + at, "step" + at, "No", E.BACK))
                    ends[:] = [("dry" + at, "Yes")]
        groups.append(ChartGroup(f"g{section}", GroupKind.SECTION, f"Section {section + 1}", tuple(members)))
    add("end", K.END, "End", [])
    return Chart("Service the valves", tuple(nodes), tuple(edges), tuple(groups))
