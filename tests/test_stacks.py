"""Stack pictures: what lies over what is the machine file's, and nothing in them is cut, crossed or lost."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

import pytest
from drawing_checks import capitals, crossed, faults, overlap
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from procforge.analysis.machine import Machine
from procforge.analysis.proof import variants_of
from procforge.model.base import Variant
from procforge.model.procedure import Procedure
from procforge.render.word.writer import docx_bytes
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve, resolve_equipment
from procforge.sheet.build import build_sheet
from procforge.sheet.drawing import Rect, Tone
from procforge.sheet.labels import Labels
from procforge.sheet.outline import Figure, Heading, Sheet, Steps
from procforge.sheet.stack import BEHIND, stacks
from procforge.sheet.stack_layout import TALLEST, WIDTH, drawings
from procforge.sheet.stack_parts import Hold, Kind, Layer
from procforge.sheet.stack_ways import MOST_COLUMNS, groups

SHIPPED = sorted((Path(__file__).parent.parent / "procedures").glob("*/*.proc"))

MACHINE = """\
equipment PMP "Pump"
pressure-space casing "Casing"
  holds water
  pressure 6 bar(g)
part cover "Cover"
  closes casing
  held by cover-nuts, long-nuts
  sealed by cover-gasket
  over rotor
  mass 12 kg
fastener cover-nuts "Cover nuts"
  6 x M12, class 8.8
fastener long-nuts "Long nuts"
  2 x M16
  over hood
part hood "Hood"
  over cover
seal cover-gasket "Cover gasket"
  single-use
part rotor "Rotor"
  way up "vanes towards the cover"
  under hood
part lonely "Lonely part"
  held by lonely-screws
fastener lonely-screws "Lonely screws"
  4 x M6
seal stray-ring "Stray ring"
"""


def machine(folder: Path, text: str) -> Machine:
    path = folder / "pump.equip"
    path.write_text(text, encoding="utf-8")
    outcome = resolve_equipment(Library(), path)
    assert [f.message for f in outcome.findings] == []
    return Machine(outcome.value, Variant.make(model="", service=""))


# ---- what lies over what ---------------------------------------------------------------------
def test_layers_stand_as_the_machine_file_has_them(tmp_path: Path) -> None:
    (stack,) = stacks(machine(tmp_path, MACHINE))
    space = f"{BEHIND}cover"
    assert stack.layers == ("hood", "cover", "cover-gasket", space, "rotor")
    # over the cover, and so over what is under it: the rotor is not told twice
    assert stack.under == {
        "hood": ("cover",), "cover": ("cover-gasket",), "cover-gasket": (space,), space: ("rotor",), "rotor": ()
    }  # fmt: skip
    assert stack.spaces == {space: ("casing",)}


def test_one_part_alone_is_no_stack_and_a_circle_is_none(tmp_path: Path) -> None:
    lines = MACHINE.replace("part hood", "part other").replace("  over hood\n", "").replace("  under hood\n", "")
    assert all("lonely" not in stack.layers for stack in stacks(machine(tmp_path, lines)))
    circle = MACHINE + 'part top "Top"\n  over low\npart low "Low"\n  over top\n'
    assert stacks(machine(tmp_path, circle)) == ()


def test_a_space_with_several_things_in_it_ends_the_stack(tmp_path: Path) -> None:
    more = (
        MACHINE.replace("  over rotor\n", "  over rotor, strainer\n")
        + 'part strainer "Strainer"\n  over screen\npart screen "Screen"\n'
    )
    found = stacks(machine(tmp_path, more))
    assert [stack.layers[-1] for stack in found] == [f"{BEHIND}cover", "screen"]
    assert found[0].rooms == {f"{BEHIND}cover": ("rotor", "strainer")}


def test_a_space_lies_behind_the_innermost_of_what_closes_it(tmp_path: Path) -> None:
    deeper = MACHINE.replace('part rotor "Rotor"\n', 'part rotor "Rotor"\n  closes casing\n')
    (stack,) = stacks(machine(tmp_path, deeper))
    assert stack.layers[-2:] == ("rotor", f"{BEHIND}rotor")
    assert f"{BEHIND}cover" not in stack.layers


def test_what_covers_a_fastener_lies_over_what_it_holds(tmp_path: Path) -> None:
    capped = MACHINE + 'part cap "Cap"\n  over cover-nuts\n'
    (stack,) = stacks(machine(tmp_path, capped))
    assert stack.under["cap"] == ("cover",)


# ---- layout ----------------------------------------------------------------------------------
WORDS = st.lists(st.sampled_from(["Valve", "cover", "O-ring", "of", "the", "distance-piece", "M12", "(V-11)", "é×Ω"]), min_size=1, max_size=9).map(" ".join)  # fmt: skip


@st.composite
def piles(draw: st.DrawFn) -> tuple[dict[str, Layer], dict[str, tuple[str, ...]], list[Hold]]:
    """Layers in order, each over some later ones; fasteners on some."""
    count = draw(st.integers(2, 9))
    names = [f"n{at}" for at in range(count)]
    layers = {
        name: Layer(draw(st.sampled_from(list(Kind))), draw(WORDS), draw(st.just("") | WORDS), draw(st.sampled_from(["", "out 3.4, in 5.12"])))
        for name in names
    }  # fmt: skip
    under = {
        name: tuple(draw(st.lists(st.sampled_from(names[at + 1 :]), max_size=3, unique=True))) if at + 1 < count else ()
        for at, name in enumerate(names)
    }
    entry = st.tuples(WORDS, st.sampled_from(["", "4 × M12, class 8.8"]), st.sampled_from(["", "off 3.4, tight 5.12"]))
    held = draw(st.lists(st.sampled_from(names), max_size=4, unique=True))
    holds = [
        Hold(name, draw(st.sampled_from(names[: names.index(name) + 1])), tuple(draw(st.lists(entry, min_size=1, max_size=4))))
        for name in held
    ]  # fmt: skip
    return layers, under, holds


@settings(max_examples=150, deadline=None)
@given(piles())
def test_nothing_is_cut_crossed_or_lost_whatever_the_stack(
    pile: tuple[dict[str, Layer], dict[str, tuple[str, ...]], list[Hold]],
) -> None:
    layers, under, holds = pile
    reached: dict[str, set[str]] = {}
    for name in reversed(layers):
        reached[name] = {deeper for below in under[name] for deeper in {below} | reached[below]}
    thinned = {
        name: tuple(n for n in below if not any(n in reached[o] for o in below if o != n))
        for name, below in under.items()
    }
    made = drawings(layers, thinned, holds, "alt", Labels())
    said = ""
    for drawing in made:
        assert faults(drawing) == []
        assert crossed(drawing) == []
        assert drawing.width == WIDTH
        said += " ".join(text.text for text in drawing.texts()) + " "
    squeezed = re.sub(r"\s", "", said)
    for layer in layers.values():
        for words in (layer.name, layer.words, layer.steps):
            assert re.sub(r"\s", "", words) in squeezed
    for hold in holds:
        for name, size, steps in hold.fasteners:
            assert all(re.sub(r"\s", "", words).lower() in squeezed.lower() for words in (name, size, steps))


def test_text_of_a_part_stays_in_its_block(tmp_path: Path) -> None:
    layers = {
        "a": Layer(Kind.PART, "Cover", "12 kg", "out 3.4, in 5.6"),
        "b": Layer(Kind.PART, "Rotor " * 20, "Way up: " + "x" * 200),
    }
    (drawing,) = drawings(
        layers, {"a": ("b",), "b": ()}, [Hold("a", "a", (("Nuts", "4 × M12", "off 3.3"),))], "alt", Labels()
    )
    blocks = [shape.box for shape in drawing.shapes if isinstance(shape, Rect) and shape.fill is Tone.PALE]
    assert len(blocks) == 2
    inside = [
        any(b[0] <= t.box[0] and t.box[2] <= b[2] and b[1] <= t.box[1] and t.box[3] <= b[3] for b in blocks)
        for t in drawing.texts()
    ]
    outside = [text.text for text, ok in zip(drawing.texts(), inside, strict=True) if not ok]
    assert outside == ["outside", "inside", "Nuts", "4 × M12", "off 3.3"]


def test_a_tall_stack_goes_on_in_a_second_picture() -> None:
    layers = {f"n{at}": Layer(Kind.PART, f"Ring {at}", "Way up: cuts towards the crank") for at in range(40)}
    under = {f"n{at}": (f"n{at + 1}",) if at < 39 else () for at in range(40)}
    made = drawings(layers, under, [], "alt", Labels())
    assert len(made) == 3 and all(drawing.height <= TALLEST for drawing in made)
    assert [faults(drawing) for drawing in made] == [[], [], []]
    rings = [text.text for drawing in made for text in drawing.texts() if text.text.startswith("Ring")]
    assert rings == [f"Ring {at}" for at in range(40)]


def test_ways_are_grouped_so_that_each_layer_is_one_block() -> None:
    crossing = {"a": ("c", "d"), "b": ("c", "d"), "c": (), "d": ()}
    for group in groups(tuple(crossing), crossing):
        assert len(group) <= MOST_COLUMNS
        for name in {name for way in group for name in way}:
            columns = [at for at, way in enumerate(group) if name in way]
            assert columns == list(range(columns[0], columns[-1] + 1))
    assert {way for group in groups(tuple(crossing), crossing) for way in group} == {
        ("a", "c"), ("a", "d"), ("b", "c"), ("b", "d"),
    }  # fmt: skip


# ---- the shipped procedures ------------------------------------------------------------------
def shipped(path: Path) -> Procedure:
    return resolve(Library(), path).value


def piles_of(sheet: Sheet) -> dict[str, list[Figure]]:
    """Stack pictures by the number of the section at whose head they stand."""
    found: dict[str, list[Figure]] = {}
    head = ""
    for block in sheet.blocks:
        if isinstance(block, Heading):
            head = block.number
        elif isinstance(block, Figure) and block.drawing is not None and "outside to inside" in block.caption:
            found.setdefault(head, []).append(block)
    return found


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_shipped_stacks_can_be_read_and_stand_where_they_are_opened(path: Path) -> None:
    procedure = shipped(path)
    for variant in variants_of(procedure):
        sheet = build_sheet(procedure, variant, source_hash="0")
        for section, figures in piles_of(sheet).items():
            for figure in figures:
                assert figure.drawing is not None
                assert faults(figure.drawing) == [], figure.caption
                assert crossed(figure.drawing) == [], figure.caption
                assert figure.alt.startswith(figure.caption.partition(", from outside")[0].partition(", part")[0])
                opened = [
                    int(number) for text in figure.drawing.texts()
                    for number in re.findall(r"(?:out|off)\u00a0(\d+)\.", text.text)
                ]  # fmt: skip
                assert min(opened, default=int(section)) == int(section), figure.caption
        for before, block in zip(sheet.blocks, sheet.blocks[1:], strict=False):
            if isinstance(before, Figure) and before.drawing:
                assert isinstance(block, Figure | Steps)


def test_the_pockets_of_the_booster() -> None:
    path = next(p for p in SHIPPED if p.stem == "valve-service")
    procedure = shipped(path)
    sheet = build_sheet(procedure, variants_of(procedure)[0], source_hash="0")
    found = piles_of(sheet)
    captions = [figure.caption.partition(",")[0] for figure in found["3"]]
    assert captions == ["Inlet pocket", "Outlet pocket"]
    drawing = found["3"][0].drawing
    assert drawing is not None
    said = [text.text for text in drawing.texts()]
    order = ["Valve cover", "Cover ring", "Valve cage", "Inlet valve", "Valve gasket"]
    heights = [next(text.y for text in drawing.texts() if text.text == name) for name in order]
    assert heights == sorted(heights)
    assert {"Cover nuts", "Hold-down screw", "outside", "inside"} <= set(said)
    assert any(text.startswith("Behind it: first-stage cylinder") for text in said)


def test_nothing_is_drawn_where_nothing_is_opened() -> None:
    path = next(p for p in SHIPPED if p.stem == "make-safe")
    procedure = shipped(path)
    assert piles_of(build_sheet(procedure, variants_of(procedure)[0], source_hash="0")) == {}


def test_labels_beside_a_stack_keep_clear_of_its_blocks() -> None:
    path = next(p for p in SHIPPED if p.stem == "rod-packing")
    procedure = shipped(path)
    for figures in piles_of(build_sheet(procedure, variants_of(procedure)[-1], source_hash="0")).values():
        for figure in figures:
            assert figure.drawing is not None
            blocks = [s.box for s in figure.drawing.shapes if isinstance(s, Rect) and s.width > 20]
            for text in figure.drawing.texts():
                touched = [box for box in blocks if overlap(box, capitals(text))]
                within = [b for b in touched if b[0] <= text.box[0] and text.box[2] <= b[2]]
                assert touched == within, text


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("stem", ["valve-service", "rod-packing", "seal-change"])
def test_drawings_are_printed_at_their_own_size(paper: str, stem: str) -> None:
    """A drawing that a page scales down has smaller type than it was measured for."""
    procedure = shipped(next(p for p in SHIPPED if p.stem == stem))
    sheet = build_sheet(procedure, variants_of(procedure)[0], source_hash="0")
    with zipfile.ZipFile(io.BytesIO(docx_bytes(sheet, paper=paper))) as archive:
        root = etree.fromstring(archive.read("word/document.xml"))
    space = "{http://schemas.openxmlformats.org/drawingml/2006/wordprocessingDrawing}"
    found = [
        (inline.find(f"{space}docPr"), inline.find(f"{space}extent"))
        for inline in root.iter(f"{space}inline")
    ]  # fmt: skip
    drawn = [extent for named, extent in found if named is not None and "from outside" in (named.get("descr") or "")]
    assert len(drawn) >= 3
    for extent in drawn:
        assert extent is not None and int(extent.get("cx", 0)) == int(WIDTH * 36_000)
