"""Every chart of every shipped procedure as DOT, read back by the layout program: the same arrows, ways and words."""

from __future__ import annotations

from pathlib import Path

import pytest
from chart_samples import edges_of
from test_chart_render import read_back

from procforge.analysis.machine import Machine
from procforge.analysis.proof import variants_of
from procforge.render.chart import book, to_dot
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve
from procforge.sheet.chart import Chart, EdgeKind, NodeKind
from procforge.sheet.depchart import dependency_chart
from procforge.sheet.flow import flow_chart

SHIPPED = sorted((Path(__file__).parent.parent / "procedures").rglob("*.proc"))


def charts(path: Path) -> list[Chart]:
    """Flow and dependencies of each variant, whole; the pages of the first; the flow of all variants in one."""
    procedure = resolve(Library(), path).value
    variants = variants_of(procedure)
    whole = [flow_chart(procedure, variant) for variant in (*variants, None)]
    whole += [dependency_chart(procedure, Machine(procedure.equipment, variant)) for variant in variants]
    first = (whole[0], whole[len(variants) + 1])
    return [*whole, *(page for chart in first for page in book(chart).pages)]


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_the_arrows_read_back_are_those_of_the_chart(path: Path) -> None:
    for chart in charts(path):
        ours, theirs = edges_of(chart), read_back(to_dot(chart))
        if any(node.kind == NodeKind.CONNECTOR for node in chart.nodes):  # where it goes on is written at an arrow
            places = {node.id: node.ref.replace(" ", "") for node in chart.nodes if node.kind == NodeKind.CONNECTOR}
            bare = [(s, t, kind) for s, t, kind, _ in ours.elements()]
            assert sorted(bare) == sorted((s, t, kind) for s, t, kind, _ in theirs.elements())
            more = [
                words.removesuffix(places.get(t, "")) if t in places else words.removesuffix(places.get(s, ""))
                for s, t, _, words in theirs.elements()
            ]
            assert sorted(more) == sorted(words for *_, words in ours.elements())
        else:
            assert ours == theirs, chart.title


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_each_way_out_of_a_decision_is_named_and_each_hold_has_its_shape(path: Path) -> None:
    """ISO 5807:1985 10.3.1.2 (from memory): each exit of a decision is labelled."""
    for chart in charts(path):
        kinds = {node.id: node.kind for node in chart.nodes}
        for ident, kind in kinds.items():
            ways = [e for e in chart.edges if e.source == ident and e.kind in (EdgeKind.FLOW, EdgeKind.BACK)]
            if kind == NodeKind.DECISION and ways:
                assert len(ways) >= 2, ident
                assert len({e.label for e in ways}) == len(ways), ident
                assert all(e.label for e in ways)
        dot = to_dot(chart)
        assert dot.count('shape="octagon" fillcolor=') == sum(kind == NodeKind.HOLD for kind in kinds.values())
