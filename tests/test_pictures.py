"""Pictures: drawings made into PNG with nothing lost, photographs read and judged, and how a sheet shows both."""

from __future__ import annotations

import hashlib
import io
import os
import struct
import subprocess
import sys
import zipfile
import zlib
from pathlib import Path

import pytest
from demo_figures import FIGURES, PROCEDURES
from drawing_checks import faults
from fontTools.ttLib import TTFont
from lxml import etree
from PIL import Image

import procforge.render.picture.raster as module
from procforge.model.procedure import Figure as Given
from procforge.render.picture import DPI, Unlettered, png, svg
from procforge.render.picture.raster import FONTS, unlettered
from procforge.render.word import write_docx
from procforge.resolve.load import Library
from procforge.resolve.picture import MOST_BYTES, Amiss, Picture, read_picture
from procforge.sheet.bolts import bolt_drawing, order_of
from procforge.sheet.drawing import Circle, Drawing, Line, Polygon, Rect, Side, Text, Tone
from procforge.sheet.labels import Labels
from procforge.sheet.lettering import width
from procforge.sheet.outline import Control, Heading, Sheet, Steps, TorqueRecord
from procforge.sheet.pictures import missing, numbered, pictures
from procforge.sheet.rows import Figure, StepRow
from procforge.stages import source_hash
from procforge.text import Source, Span

WORD = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
DRAWN = "{http://schemas.openxmlformats.org/drawingml/2006/wordprocessingDrawing}"


def drawing(*shapes: Line | Circle | Rect | Polygon | Text, alt: str = "A test") -> Drawing:
    return Drawing(60.0, 20.0, shapes, alt)


def opened(picture: bytes) -> Image.Image:
    return Image.open(io.BytesIO(picture))


# ---- letters ---------------------------------------------------------------------------------
@pytest.mark.parametrize("bold", [False, True])
def test_widths_are_those_of_the_font(bold: bool) -> None:
    """Advance widths in the font's own table, read by fontTools."""
    font = TTFont(FONTS[bold])
    glyphs, advances, em = font.getBestCmap(), font["hmtx"], font["head"].unitsPerEm
    signs = [chr(code) for code in range(32, 127)] + list("°±×·µ–—…→≤éÄ")
    for sign in signs:
        assert width(sign, 1000, bold=bold) == pytest.approx(advances[glyphs[ord(sign)]][0] * 1000 / em, abs=1), sign


def test_the_fonts_are_whole_named_and_licensed() -> None:
    folder = FONTS[0].parent
    assert {path.name for path in folder.iterdir()} == {*(font.name for font in FONTS), "OFL.txt"}
    licence = (folder / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence and "Reserved Font Name Liberation" in licence
    for font, style in zip(FONTS, ("Regular", "Bold"), strict=True):
        names = TTFont(font)["name"]
        assert (names.getDebugName(1), names.getDebugName(2)) == ("Liberation Sans", style)
        assert "OFL" in names.getDebugName(13) or "Open Font License" in names.getDebugName(13)


def test_letters_the_fonts_lack_are_told() -> None:
    """Coverage by the font's own character table."""
    known = TTFont(FONTS[0]).getBestCmap()
    for char in "Ωжא→№漢ไ😀\u2603":
        assert (unlettered(char) == ()) == (ord(char) in known), char
    with pytest.raises(Unlettered, match="漢"):
        png(drawing(Text(2, 10, "valve 漢")))


# ---- drawings to PNG -------------------------------------------------------------------------
def test_a_picture_has_the_size_the_greys_and_the_resolution() -> None:
    picture = opened(png(bolt_drawing(order_of(16), "bolt", "passes 1 to 3", "Pass 4: round.", Labels())))
    assert picture.size[0] == round(165 / 25.4 * DPI)
    assert picture.info["dpi"] == pytest.approx((DPI, DPI), abs=0.1)
    colours = picture.convert("RGB").getcolors(64)
    assert colours is not None and len(colours) <= 16
    assert all(red == green == blue for _, (red, green, blue) in colours)


def test_pictures_are_small() -> None:
    sizes = {
        count: len(png(bolt_drawing(order_of(count), "bolt", "passes 1 to 3", "", Labels()))) for count in (4, 16, 32)
    }
    assert all(size < 80_000 for size in sizes.values()), sizes


def test_every_line_of_text_is_there() -> None:
    """Dark points stand in the box of each line, and none do when it is taken out."""
    made = bolt_drawing(order_of(8), "bolt", "passes 1 to 3", "Pass 4: round.", Labels())
    texts = list(made.texts())
    lone = drawing(Text(2, 10, "Valve cover", 9.0, bold=True))
    box = [round(value / 25.4 * DPI) for value in next(lone.texts()).box]
    with_text = opened(png(lone)).convert("L").crop((box[0], box[1], box[2], box[3]))
    without = opened(png(drawing(Line(1, 19, 59, 19)))).convert("L").crop((box[0], box[1], box[2], box[3]))
    assert with_text.getextrema()[0] < 80 and without.getextrema() == (255, 255)
    assert len(texts) > 16
    grey = opened(png(made)).convert("L")
    for text in texts:
        left, top, right, bottom = (value / 25.4 * DPI for value in text.box)
        low, high = grey.crop((int(left), int(top), int(right) + 1, int(bottom) + 1)).getextrema()
        assert high - low > 100, text


def test_the_measured_width_is_the_drawn_one() -> None:
    for bold in (False, True):
        text = Text(2, 10, "Hold-down screw, 4 × M12", 9.0, bold)
        grey = opened(png(drawing(text))).convert("L")
        columns = [x for x in range(grey.width) if min(grey.crop((x, 0, x + 1, grey.height)).tobytes()) < 128]
        left, _, right, _ = text.box
        assert columns[0] / DPI * 25.4 == pytest.approx(left, abs=0.5)
        assert columns[-1] / DPI * 25.4 == pytest.approx(right, abs=0.5)


def test_lost_text_and_lost_fonts_are_not_passed_over(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    lone = drawing(Text(2, 10, "Valve cover"), alt="lost")
    monkeypatch.setattr(module, "FAMILY", "A family nobody has")
    png.cache_clear()
    with pytest.raises(RuntimeError, match="lacks its text 'Valve cover'"):
        png(lone)
    monkeypatch.undo()
    monkeypatch.setattr(module, "FONTS", (tmp_path / "LiberationSans-Regular.ttf",))
    png.cache_clear()
    with pytest.raises(RuntimeError, match="is not where it was installed"):
        png(lone)
    monkeypatch.undo()
    png.cache_clear()


def test_the_same_drawing_gives_the_same_bytes_in_every_run() -> None:
    script = (
        "import hashlib; from procforge.render.picture import png; from procforge.sheet.bolts import *;"
        "print(hashlib.sha256(png(bolt_drawing(order_of(12), 'nut', 'pass 1', '', Labels()))).hexdigest())"
    )
    found = {
        subprocess.run(
            [sys.executable, "-c", script], env={**os.environ, "PYTHONHASHSEED": seed, "LANG": language},
            cwd=Path(__file__).parent.parent, capture_output=True, text=True, check=True,
        ).stdout
        for seed, language in (("0", "C"), ("7", "de_DE.UTF-8"))
    }  # fmt: skip
    own = png(bolt_drawing(order_of(12), "nut", "pass 1", "", Labels()))
    assert found == {hashlib.sha256(own).hexdigest() + "\n"}


def test_svg_keeps_text_as_text_and_is_well_formed() -> None:
    made = drawing(
        Text(5, 5, 'A & B <"x">', 9.0, True, Side.MIDDLE), Circle(5, 5, 2, Tone.PALE), Rect(1, 1, 2, 2, dashed=True),
        Line(0, 0, 1, 1), Polygon(((0, 0), (1, 1), (2, 0)), closed=False), alt="Alt & more",
    )  # fmt: skip
    root = etree.fromstring(svg(made).encode())
    names = [etree.QName(child).localname for child in root]
    assert names == ["desc", "rect", "text", "circle", "rect", "line", "polyline"]
    assert root.get("role") == "img" and root[0].text == "Alt & more"
    assert root[2].text == 'A & B <"x">' and root[2].get("text-anchor") == "middle"
    assert (root.get("width"), root.get("viewBox")) == ("60mm", "0 0 60 20")


# ---- photographs -----------------------------------------------------------------------------
def given(folder: Path, name: str) -> Given:
    source = Source(str(folder / "job.proc"), f'figure "{name}"\n')
    return Given.make(file=name, caption="Where", where=Span(source, 1, 8, len(name) + 2))


def photograph(form: str, size: tuple[int, int] = (40, 30), **more: int) -> bytes:
    out = io.BytesIO()
    Image.effect_noise(size, 60).save(out, form, **more)
    return out.getvalue()


@pytest.mark.parametrize("form", ["PNG", "JPEG"])
def test_whole_pictures_are_read_with_their_size(tmp_path: Path, form: str) -> None:
    content = photograph(form)
    (tmp_path / "a.img").write_bytes(content)
    assert read_picture(given(tmp_path, "a.img")) == Picture(content, 40, 30)


@pytest.mark.parametrize("form", ["PNG", "JPEG"])
def test_a_cut_off_picture_is_told(tmp_path: Path, form: str) -> None:
    content = photograph(form)
    for length in (9, 30, len(content) // 2, len(content) - 1):
        (tmp_path / "a.img").write_bytes(content[:length])
        found = read_picture(given(tmp_path, "a.img"))
        assert isinstance(found, Amiss) and found.rule == "figure-not-printable", length


def test_a_damaged_png_is_told(tmp_path: Path) -> None:
    content = bytearray(photograph("PNG"))
    content[len(content) // 2] ^= 0xFF
    (tmp_path / "a.png").write_bytes(content)
    found = read_picture(given(tmp_path, "a.png"))
    assert isinstance(found, Amiss) and "damaged" in found.message


def test_a_monstrous_picture_is_told_before_it_is_read(tmp_path: Path) -> None:
    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    head = struct.pack(">IIBBBBB", 100_000, 100_000, 1, 0, 0, 0, 0)
    bomb = (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b"")
    )
    (tmp_path / "bomb.png").write_bytes(bomb)
    found = read_picture(given(tmp_path, "bomb.png"))
    assert isinstance(found, Amiss) and "100000 × 100000 points" in found.message
    with (tmp_path / "large.png").open("wb") as file:
        file.truncate(MOST_BYTES + 1)
    found = read_picture(given(tmp_path, "large.png"))
    assert isinstance(found, Amiss) and "4 MB is the most" in found.message


def test_other_files_and_odd_names_are_told(tmp_path: Path) -> None:
    (tmp_path / "a.gif").write_bytes(b"GIF89a" + bytes(40))
    (tmp_path / "empty.png").write_bytes(b"")
    outside = tmp_path.parent / f"{tmp_path.name}-outside.png"
    outside.write_bytes(photograph("PNG"))
    (tmp_path / "link.png").symlink_to(outside)
    (tmp_path / "loop.png").symlink_to(tmp_path / "loop.png")
    rules = {
        name: found.rule
        for name in (
            "a.gif",
            "empty.png",
            "link.png",
            "loop.png",
            "no.png",
            ".",
            "x\0y.png",
            "n" * 5000 + ".png",
            str(outside),
        )
        if isinstance(found := read_picture(given(tmp_path, name)), Amiss)
    }
    assert rules == {
        "a.gif": "figure-not-printable", "empty.png": "figure-not-printable", "link.png": "figure-outside",
        "loop.png": "figure-not-found", "no.png": "figure-not-found", ".": "figure-not-found",
        "x\0y.png": "figure-not-found", "n" * 5000 + ".png": "figure-not-found", str(outside): "figure-outside",
    }  # fmt: skip


def test_a_step_shows_what_can_be_shown_and_names_the_rest(tmp_path: Path) -> None:
    (tmp_path / "a.png").write_bytes(photograph("PNG", (1200, 600)))
    figures = (given(tmp_path, "a.png"), given(tmp_path, "no.png"))
    (shown,) = pictures(figures)
    assert shown.width == 150.0 and shown.caption == shown.alt == "Where"
    assert missing(figures) == ("See figure no.png: Where.",)


def test_a_changed_picture_changes_the_source_a_sheet_names(tmp_path: Path) -> None:
    job = tmp_path / "job.proc"
    figure = 'figure "a.png" "Where"'
    job.write_text(
        f'procedure T-1 "T"\nask "Is it?"\nyes\n  step clean the-cover\n    {figure}\nno\nend\n', encoding="utf-8"
    )
    seen = [source_hash(Library(), job)]
    for form, size in (("PNG", (40, 30)), ("PNG", (40, 31)), ("JPEG", (40, 30))):
        (tmp_path / "a.png").write_bytes(photograph(form, size))
        seen.append(source_hash(Library(), job))
    assert len(set(seen)) == 4
    assert source_hash(Library(), job) == seen[-1]


@pytest.mark.parametrize("name", FIGURES)
def test_the_shipped_pictures_are_those_the_code_draws(name: str) -> None:
    made = FIGURES[name]()
    assert faults(made) == []
    assert (PROCEDURES / name).read_bytes() == png(made)
    steps = [
        line
        for path in (PROCEDURES / name).parent.glob("*.proc")
        for line in path.read_text(encoding="utf-8").splitlines()
    ]
    assert any(line.strip().startswith(f'figure "{Path(name).name}"') for line in steps)


def test_a_photograph_is_turned_upright_and_keeps_no_place(tmp_path: Path) -> None:
    """Exif orientation 6: the camera was turned a quarter to the right, so the picture is higher than wide."""
    image = Image.new("RGB", (400, 300), "white")
    image.paste("black", (0, 0, 400, 100))  # the upper third as stored: the right-hand third as seen
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x010F] = "maker of the camera"
    out = io.BytesIO()
    image.save(out, "JPEG", exif=exif)
    stored = out.getvalue()
    stored = stored if stored[6:10] == b"Exif" else stored[:2] + stored[2 + 2 + struct.unpack(">H", stored[4:6])[0] :]
    (tmp_path / "a.jpg").write_bytes(stored)
    (shown,) = pictures((given(tmp_path, "a.jpg"),))
    seen = opened(shown.png).convert("L")
    assert seen.size == (300, 400)
    assert seen.getpixel((290, 200)) < 30 and seen.getpixel((10, 200)) > 220
    assert b"maker of the camera" in stored and b"maker of the camera" not in shown.png
    assert shown.width == pytest.approx(300 / 150 * 25.4, abs=0.1)


def test_a_tall_photograph_stays_with_its_step(tmp_path: Path) -> None:
    (tmp_path / "a.png").write_bytes(photograph("PNG", (600, 1200)))
    (shown,) = pictures((given(tmp_path, "a.png"),))
    assert shown.width == 45.0


# ---- in the sheet ----------------------------------------------------------------------------
def test_figures_are_numbered_as_printed_and_told_once() -> None:
    photo = Figure("Photo", "Photo", png=photograph("PNG"))
    bolts = Figure("Bolts", "Bolts", drawing=drawing(Text(2, 10, "bolts")))
    rows = (
        StepRow("1.1", ("Look.",), figures=(photo,)),
        StepRow("1.2", ("Tighten.",), torque=TorqueRecord("J-1", figure=bolts)),
        StepRow("1.1/2", ("Look.",), figures=(photo,)),
    )
    stack = Figure("Stack", "Stack", drawing=drawing(Text(2, 10, "stack")))
    made = numbered((Heading("One", 1, "1"), stack, Steps(rows)), Labels())
    assert isinstance(made[1], Figure) and made[1].number == "1"
    assert isinstance(made[2], Steps)
    one, two, three = made[2].rows
    assert isinstance(one, StepRow) and isinstance(two, StepRow) and isinstance(three, StepRow)
    assert one.figures[0].number == "2"
    assert two.torque is not None and two.torque.figure is not None and two.torque.figure.number == "3"
    assert three.figures == () and three.details == ("See figure\u00a02.",)
    assert numbered(made, Labels()) == made


def sheet(*figures: Figure) -> Sheet:
    return Sheet(Control("Test", "T-1", "A", "2026-01-01", "draft", "00"), numbered(figures, Labels()))


def body(path: Path) -> etree._Element:
    with zipfile.ZipFile(path) as archive:
        return etree.fromstring(archive.read("word/document.xml"))


def test_a_drawing_in_word_has_its_size_words_and_caption(tmp_path: Path) -> None:
    made = Figure("Alt text of it", "Cover nuts.", drawing=drawing(Text(2, 10, "cover")))
    path = tmp_path / "sheet.docx"
    write_docx(sheet(made), path)
    root = body(path)
    (inline,) = root.iter(f"{DRAWN}inline")
    extent, properties = inline.find(f"{DRAWN}extent"), inline.find(f"{DRAWN}docPr")
    assert extent is not None and properties is not None
    assert int(extent.get("cx", 0)) == pytest.approx(60 * 36_000, rel=0.001)
    assert int(extent.get("cy", 0)) == pytest.approx(20 * 36_000, rel=0.01)
    assert properties.get("descr") == "Alt text of it"
    texts = ["".join(run.text or "" for run in p.iter(f"{WORD}t")) for p in root.iter(f"{WORD}p")]
    assert "Figure\u00a01. Cover nuts." in texts
    with zipfile.ZipFile(path) as archive:
        (media,) = [name for name in archive.namelist() if "media/" in name]
        assert archive.read(media) == png(made.drawing or drawing())


def test_a_drawing_nobody_can_letter_stands_in_words(tmp_path: Path) -> None:
    made = Figure("From outside to inside: 漢字.", "Stack.", drawing=drawing(Text(2, 10, "漢字")))
    path = tmp_path / "sheet.docx"
    write_docx(sheet(made), path)
    root = body(path)
    assert list(root.iter(f"{DRAWN}inline")) == []
    said = "".join(run.text or "" for run in root.iter(f"{WORD}t"))
    assert "Figure\u00a01. Stack." in said and "From outside to inside: 漢字." in said


def test_a_photograph_as_jpeg_is_shown(tmp_path: Path) -> None:
    path = tmp_path / "sheet.docx"
    write_docx(sheet(Figure("Photo", "Photo", png=photograph("JPEG"), width=50.0)), path)
    (inline,) = body(path).iter(f"{DRAWN}inline")
    extent = inline.find(f"{DRAWN}extent")
    assert extent is not None and int(extent.get("cx", 0)) == 50 * 36_000
