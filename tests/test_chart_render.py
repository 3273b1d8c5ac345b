"""Charts drawn: nothing lost, nothing the user writes misread, the same bytes every time, large enough in print."""

from __future__ import annotations

import json
import os
import re
import struct
import subprocess
import sys
import time
from collections import Counter
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from chart_samples import bare, depends, edges_of, flow, long_flow, zoo
from hypothesis import given, settings
from hypothesis import strategies as st

from procforge.render.chart import (
    LEAST_PT,
    NoLayout,
    book,
    describe,
    draw,
    lay,
    layout,
    layout_many,
    node_id,
    print_scale,
    safe_name,
    to_dot,
    write_chart,
)
from procforge.render.chart import layout as layout_function
from procforge.render.chart.layout import MOST
from procforge.render.chart.lettering import clean, width, wrap
from procforge.render.chart.raster import rasters
from procforge.sheet.chart import Chart, ChartEdge, ChartGroup, ChartNode, GroupKind, NodeKind

LAYOUT = sys.modules["procforge.render.chart.layout"]
SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = [
    'say "stop" \\ and \\"go\\"',
    "<b>bold</b> & <script>alert(1)</script>",
    "<>",
    "a &amp; b &lt; &#65;",
    "\\N \\G \\l \\n \\",
    "[x] {a|b} $(id) ; // -> }",
    "digraph",
    "漢字 ≤ 0,5 µm · Ω é ⚠",
    "line one\nline two\r\n\ttab",
]


def texts(svg: bytes) -> str:
    """Every word drawn, blanks aside."""
    return re.sub(r"\s", "", "".join("".join(t.itertext()) for t in ET.fromstring(svg).iter(f"{SVG}text")))


def read_back(dot: str) -> Counter[tuple[str, str, str, str]]:
    """The edges as the layout program read them: (source, target, kind, label)."""
    read = json.loads(layout(dot, "json"))
    names = [node_id(thing["name"]) for thing in read["objects"]]
    unescape = {"\\n": " ", "\\\\": "\\"}
    found: Counter[tuple[str, str, str, str]] = Counter()
    for edge in read.get("edges", []):
        label = re.sub(r"\\n|\\\\", lambda hit: unescape[hit[0]], edge.get("label", "")).replace("&amp;", "&")
        found[names[edge["tail"]], names[edge["head"]], edge["class"], bare(label)] += 1
    return found


@pytest.mark.parametrize("chart", [flow(), depends(), zoo(), long_flow(120, 4)], ids=lambda c: c.title)
def test_edges_read_back_equal_the_chart(chart: Chart) -> None:
    assert read_back(to_dot(chart)) == edges_of(chart)


def test_where_a_connector_goes_on_stands_at_its_first_arrow() -> None:
    nodes = (ChartNode("a", NodeKind.DECISION, "Dry?"), ChartNode("k", NodeKind.CONNECTOR, "K", "to chart 2"))
    edges = (ChartEdge("a", "k", "Yes"), ChartEdge("a", "k", "No"))
    found = read_back(to_dot(Chart("t", nodes, edges)))
    assert sorted(label for *_, label in found) == ["No", "Yestochart2"]


def test_an_edge_taken_out_is_noticed() -> None:
    chart = flow()
    less = Chart(chart.title, chart.nodes, chart.edges[1:], chart.groups)
    assert read_back(to_dot(less)) != edges_of(chart)


@given(st.lists(st.text(max_size=12), min_size=2, max_size=5, unique=True), st.text(max_size=60))
@settings(max_examples=60, deadline=None)
def test_any_id_and_any_text_survive(ids: list[str], text: str) -> None:
    nodes = tuple(ChartNode(ident, NodeKind.STEP, text) for ident in ids)
    chart = Chart(text, nodes, tuple(ChartEdge(a, b, text) for a, b in pairwise(ids)))
    assert [node_id(safe_name(ident)) for ident in ids] == ids
    assert all(re.fullmatch(r"n_[A-Za-z0-9_]*", safe_name(ident)) for ident in ids)
    assert read_back(to_dot(chart)) == edges_of(chart)
    assert texts(draw([chart], "svg")[0]).count(bare(text)) >= len(ids) * bool(bare(text))


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("kind", [NodeKind.STEP, NodeKind.CALL, NodeKind.DECISION, NodeKind.CONNECTOR])
def test_hostile_text_is_drawn_as_written(text: str, kind: NodeKind) -> None:
    group = ChartGroup(text, GroupKind.LANE, text, ("a",))
    nodes = (ChartNode("a", kind, text), ChartNode("b", NodeKind.STEP, "plain", "1"))
    svg = draw([Chart(text, nodes, (ChartEdge("a", "b", text),), (group,))], "svg")[0]
    assert texts(svg).count(bare(text)) >= 4  # title, frame, symbol, arrow
    assert not any(tag in svg for tag in (b"<script", b"<b>", b"<!"))


def test_bidi_controls_and_broken_characters_do_not_reach_the_page() -> None:
    text = "open\u202e V-11\u2066 now\x00\ud800\u200b"
    assert clean(text) == "open V-11 now\ufffd"
    assert clean("\u05e9\u05dc\u05d5\u05dd a\u00a0b \n c") == "\u05e9\u05dc\u05d5\u05dd a\u00a0b c"


# Widths of Helvetica from Adobe's font metrics file, 1/1000 em (from memory); Arial and Arimo are made to match.
@pytest.mark.parametrize(("char", "units"), [(" ", 278), ("A", 667), ("W", 944), ("i", 222), ("m", 833), ("0", 556)])
def test_widths_are_helveticas(char: str, units: int) -> None:
    assert width(char, 1000) == units


def test_widths_agree_with_the_layout_program() -> None:
    text = "".join(map(chr, range(33, 127)))
    for char in text:
        label = {'"': '\\"', "\\": "\\\\", "&": "&amp;"}.get(char, char)
        dot = f'digraph {{ a [fontname=Arial fontsize=100 label="{label}"] }}'
        drawn = json.loads(layout(dot, "json"))["objects"][0]["_ldraw_"]
        assert [op["width"] for op in drawn if op["op"] == "T"] == [pytest.approx(width(char, 100), abs=0.06)]


@given(st.text(alphabet=st.sampled_from("abcXY -/._é漢\u00a0"), max_size=80), st.floats(20, 200))
def test_wrapping_loses_nothing_and_fits(text: str, limit: float) -> None:
    lines = wrap(text, limit)
    assert "".join(lines).replace(" ", "") == clean(text).replace(" ", "")
    assert all(width(line) <= limit for line in lines)


def test_words_are_broken_only_when_they_cannot_fit() -> None:
    assert wrap("Torque the cover nuts in a cross pattern", 90) == ("Torque the", "cover nuts in a", "cross pattern")
    assert wrap("outlet-second-block-valve", 70) == ("outlet-second-", "block-valve")


def inside(points: list[tuple[float, float]], x: float, y: float) -> bool:
    """Whether (x, y) is in a convex outline: on the same side of all its edges."""
    turns = [(bx - ax) * (y - ay) - (by - ay) * (x - ax) for (ax, ay), (bx, by) in pairwise(points)]
    return all(turn >= 0 for turn in turns) or all(turn <= 0 for turn in turns)


@pytest.mark.parametrize("chart", [flow(), long_flow(150, 1)], ids=["flow", "long"])
def test_every_symbol_holds_its_text(chart: Chart) -> None:
    """On the drawing: the capitals' corners of each line (0.72 em high) lie inside the symbol's outline."""
    checked: Counter[str] = Counter()
    for symbol in ET.fromstring(draw([chart], "svg")[0]).iter(f"{SVG}g"):
        outline, (group, _, kind) = symbol.find(f"{SVG}polygon"), symbol.get("class", "").partition(" ")
        if group != "node" or outline is None or kind in ("call", "legend"):
            continue
        pairs = [pair.split(",") for pair in outline.get("points", "").split()]
        points = [(float(x), float(y)) for x, y in pairs]
        for text in symbol.findall(f"{SVG}text"):
            middle, base, half = float(text.get("x", 0)), float(text.get("y", 0)), width(text.text or "") / 2
            for x, y in ((middle + side * half, base - up) for side in (-1, 1) for up in (0, 7.2)):
                assert inside(points, x, y), (kind, text.text)
            checked[kind] += 1
    assert {"step", "decision", "hold"} <= set(checked)


def test_shapes_tell_the_kinds_apart() -> None:
    drawn = json.loads(layout(to_dot(zoo()), "json"))["objects"]
    look = {n["class"]: (n["shape"], n.get("style"), n.get("distortion"), n["penwidth"]) for n in drawn if "shape" in n}
    same = [{"start", "end"}, {"fork", "join", "call"}]
    assert len(look) == len(NodeKind)
    assert look["hold"][0] == "octagon"
    for one in look:
        for other in look:
            if one != other and not any({one, other} <= alike for alike in same):
                assert look[one] != look[other], (one, other)


def test_legend_names_what_is_there_and_nothing_else() -> None:
    drawn = texts(draw([flow()], "svg")[0])
    assert "Hold:waitforrelease" in drawn
    assert "Repeatbegins" not in drawn
    plain = Chart("t", (ChartNode("a", NodeKind.HOLD, "x"),), (), legend=False)
    assert "Hold:waitforrelease" not in texts(draw([plain], "svg")[0])
    kinds = texts(draw([depends()], "svg")[0])
    assert "neededby" in kinds
    assert "mustcomebefore" in kinds


def test_svg_stands_alone() -> None:
    chart = flow()
    svg = draw([chart], "svg")[0]
    root = ET.fromstring(svg)
    assert root.get("role") == "img"
    assert [child.tag for child in root][:2] == [f"{SVG}title", f"{SVG}desc"]
    assert root[0].text == chart.title
    assert "1.9 Is PI-3 between 0 and 0.05 bar(g)?. Leads to No: Stop" in (root[1].text or "")
    assert set(re.findall(rb"https?://[^\"' ]+", svg)) == {b"http://www.w3.org/2000/svg"}
    assert not re.search(rb"<script|<a |href|<image|<!DOCTYPE|<!ENTITY|url\(| on[a-z]+=| id=", svg)
    assert describe(chart).count("\n") == len(chart.nodes) - 1


def test_a_chart_of_20_symbols_prints_at_7_points() -> None:
    assert len(flow().nodes) == 20
    assert print_scale(draw([flow()], "svg")[0]) >= LEAST_PT


def test_print_scale_is_the_smallest_text_on_a_page_of_either_paper() -> None:
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="{}pt" height="{}pt"><text font-size="10.00">a</text></svg>'
    assert print_scale(svg.format(100, 100)) == 10
    assert print_scale(svg.format(175 / 25.4 * 144, 100)) == pytest.approx(5)  # twice the text width: half the size
    assert print_scale(svg.format(100, 225 / 25.4 * 144)) == pytest.approx(5)


def test_500_nodes_take_a_few_seconds(tmp_path: Path) -> None:
    chart = long_flow(500, 7)
    begun = time.perf_counter()
    for suffix in ("svg", "png", "dot"):
        write_chart(chart, tmp_path / f"all.{suffix}")
    draw(book(chart).pages, "svg")
    assert time.perf_counter() - begun < 20  # about 4 s alone on a small machine
    across, down = struct.unpack(">II", (tmp_path / "all.png").read_bytes()[16:24])
    assert max(across, down) <= 60_000


def test_files_are_the_same_on_every_run_and_hash_seed(tmp_path: Path) -> None:
    program = (
        "import sys; from chart_samples import *; from procforge.render.chart import *\n"
        "for n, c in (('flow', flow()), ('depends', depends()), ('page', split(long_flow(90, 2)).charts[1])):\n"
        "    for s in ('svg', 'png', 'dot'): write_chart(c, f'{sys.argv[1]}/{n}.{s}')\n"
    )
    here = Path(__file__).parent
    for seed in ("0", "1"):
        (tmp_path / seed).mkdir()
        path = os.pathsep.join((str(here), str(here.parent)))
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": path}
        subprocess.run([sys.executable, "-c", program, str(tmp_path / seed)], env=environment, check=True, timeout=60)
    files = sorted(path.name for path in (tmp_path / "0").iterdir())
    assert len(files) == 9
    for name in files:
        assert (tmp_path / "0" / name).read_bytes() == (tmp_path / "1" / name).read_bytes(), name
    assert (tmp_path / "0" / "flow.png").read_bytes().startswith(b"\x89PNG\r\n\x1a\n")


@pytest.mark.parametrize("form", ["svg", "png", "json", "plain", "dot"])
def test_many_graphs_through_one_process_come_back_apart(form: str) -> None:
    dots = [to_dot(chart) for chart in (flow(), depends(), zoo())]
    together = layout_many(dots, form)  # type: ignore[arg-type]
    assert [piece.strip() for piece in together] == [layout(dot, form).strip() for dot in dots]  # type: ignore[arg-type]


def test_the_systems_program_stands_in(monkeypatch: pytest.MonkeyPatch) -> None:
    if LAYOUT.system() is None:
        pytest.skip("no dot on the PATH")
    ours = draw([flow()], "svg")[0]
    monkeypatch.setattr(LAYOUT, "bundled", lambda: None)
    theirs = draw([flow()], "svg")[0]
    assert texts(theirs) == texts(ours)
    assert print_scale(theirs) == pytest.approx(print_scale(ours), rel=0.03)
    assert read_back(to_dot(flow())) == edges_of(flow())
    assert draw([flow()], "png")[0].startswith(b"\x89PNG")


def test_a_broken_bundled_program_gives_way(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    good = LAYOUT.bundled() or LAYOUT.system()
    broken = tmp_path / "graphviz-pure"
    broken.write_text("#!/bin/sh\nexit 3\n")
    broken.chmod(0o755)
    monkeypatch.setattr(LAYOUT, "bundled", lambda: str(broken))
    monkeypatch.setattr(LAYOUT, "system", lambda: good)
    assert layout(to_dot(flow()), "svg").rstrip().endswith(b"</svg>")


def test_without_a_program_the_message_says_what_to_install(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(LAYOUT, "bundled", lambda: None)
    monkeypatch.setattr(LAYOUT, "system", lambda: None)
    target = tmp_path / "a.svg"
    target.write_text("before")
    with pytest.raises(NoLayout, match="pip install graphviz-pure"):
        write_chart(flow(), target)
    assert target.read_text() == "before"
    assert [path.name for path in tmp_path.iterdir()] == ["a.svg"]
    write_chart(flow(), tmp_path / "a.dot")  # needs no program


def test_a_graph_the_program_refuses_is_no_layout() -> None:
    with pytest.raises(NoLayout, match="failed"):
        layout_function("digraph { a [", "svg")


def test_write_refuses_other_suffixes(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"not \.pdf"):
        write_chart(flow(), tmp_path / "a.pdf")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("nodes", "edges", "groups", "says"),
    [
        ("aa", [], [], "'a' is there 2 times"),
        ("a", [ChartEdge("a", "z")], [], "unknown node 'z'"),
        ("ab", [], [ChartGroup("g", GroupKind.LANE, "", ("a", "z"))], "unknown node 'z'"),
        ("a", [], [ChartGroup(g, GroupKind.LANE, "", ("a",)) for g in "gh"], "frame member 'a'"),
        ("a", [], [ChartGroup("g", GroupKind.LANE, "", ("a",), "g")], "holds it"),
        ("a", [], [ChartGroup("g", GroupKind.LANE, "", ("a",), "h")], "is unknown"),
    ],
)
def test_a_chart_that_cannot_be_drawn_cannot_be_made(
    nodes: str, edges: list[ChartEdge], groups: list[ChartGroup], says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        Chart("t", tuple(ChartNode(n, NodeKind.STEP, n) for n in nodes), tuple(edges), tuple(groups))


def test_each_way_out_of_a_decision_has_its_answer() -> None:
    nodes = (ChartNode("d", NodeKind.DECISION, "Dry?"), ChartNode("a", NodeKind.STEP, "a"))
    with pytest.raises(ValueError, match="no answer"):
        Chart("t", nodes, (ChartEdge("d", "a", "Yes"), ChartEdge("d", "a", " ")))


def test_the_package_loads_no_picture_library_before_it_draws() -> None:
    program = (
        "import sys, procforge.render.chart; sys.exit(bool({'PIL', 'resvg_py', 'docx', 'lxml'} & set(sys.modules)))"
    )
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parent.parent)}
    assert subprocess.run([sys.executable, "-c", program], env=environment, check=False, timeout=30).returncode == 0


def test_a_picture_holds_the_title_over_the_chart_and_the_key_under_it() -> None:
    """By its size, and by ink where each should stand."""
    from PIL import Image

    drawn = lay([flow()])[0]
    bare, whole = (Image.open(BytesIO(rasters([drawn], dpi=72, dressed=dressed)[0])) for dressed in (False, True))
    assert whole.height > bare.height + 40
    assert whole.getcolors() is not None
    assert whole.info["dpi"] == pytest.approx((72, 72), abs=0.1)
    grey = whole.convert("L")
    for top, bottom in ((0, 16), (whole.height - 40, whole.height)):
        assert grey.crop((0, top, whole.width, bottom)).getextrema()[0] < 90


def test_very_many_charts_come_back_in_order_from_several_processes() -> None:
    charts = [Chart(f"C{n}", (ChartNode("a", NodeKind.STEP, f"Number {n}"),), ()) for n in range(2 * MOST + 3)]
    assert [f"Number{n}" in texts(one.svg().encode()) for n, one in enumerate(lay(charts))] == [True] * len(charts)
    assert [one.chart for one in lay(iter(charts))] == charts
