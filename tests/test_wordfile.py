"""A returned Word file: opened without trust, its manifest and the digest of what was printed."""

from __future__ import annotations

import time
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procforge.wordfile.frame import digest_of_markup, frame_digest, frame_lines
from procforge.wordfile.guard import MOST_PARTS, Parts, Refused, open_docx, parse
from procforge.wordfile.manifest import PART, PROPERTIES, Manifest, as_part, as_properties, manifest_of

W = "http://schemas.openxmlformats.org/wordprocessingml/2006/main"
HEAD = f'<?xml version="1.0" encoding="UTF-8"?><w:document xmlns:w="{W}"><w:body>'
TAIL = "</w:body></w:document>"
PLAIN = f"{HEAD}<w:p><w:r><w:t>Open the vent.</w:t></w:r></w:p>{TAIL}".encode()


def packed(path: Path, parts: dict[str, bytes] | list[tuple[str, bytes]], **how: int) -> Path:
    with zipfile.ZipFile(path, "w", how.get("method", zipfile.ZIP_DEFLATED)) as out:
        for name, data in parts.items() if isinstance(parts, dict) else parts:
            out.writestr(name, data)
    return path


# ---- the guard -------------------------------------------------------------------------------------------------------
BOMB = b'<?xml version="1.0"?><!DOCTYPE a [<!ENTITY x "xxxxxxxxxx">]><a>&x;</a>'
REFUSED: dict[str, tuple[dict[str, bytes] | list[tuple[str, bytes]], str]] = {
    "no document": ({"a.xml": b"<a/>"}, "no word/document.xml"),
    "entities": ({"word/document.xml": BOMB}, "entities"),
    "entities hidden by another encoding": (
        {"word/document.xml": b'<?xml version="1.0" encoding="UTF-7"?>+ADwAIQ-DOCTYPE a+AD4-<a/>'},
        "UTF-8",
    ),
    "utf-16": ({"word/document.xml": "\ufeff<a/>".encode("utf-16-le")}, "no text"),
    "not text": ({"word/document.xml": b"<a>\xff\xfe</a>"}, "UTF-8"),
    "two parts of one name": ([("word/document.xml", PLAIN), ("word/DOCUMENT.xml", b"<a/>")], "twice"),
    "a way out": ({"word/document.xml": PLAIN, "../../evil.xml": b"<a/>"}, "leads elsewhere"),
    "an absolute way": ({"word/document.xml": PLAIN, "/etc/passwd": b"x"}, "leads elsewhere"),
    "a macro": ({"word/document.xml": PLAIN, "word/vbaProject.bin": b"x"}, "macro"),
    "an embedded program": ({"word/document.xml": PLAIN, "word/embeddings/oleObject1.bin": b"x"}, "embedded"),
    "a picture from elsewhere": (
        {
            "word/document.xml": PLAIN,
            "word/_rels/document.xml.rels": b'<Relationships><Relationship Id="r" Type="x/image" TargetMode="External"'
            b' Target="http://example.invalid/a.png"/></Relationships>',
        },
        "outside",
    ),
    "too many parts": ({"word/document.xml": PLAIN, **{f"a{n}.xml": b"<a/>" for n in range(MOST_PARTS)}}, "parts"),
    "a part too large": ({"word/document.xml": PLAIN, "word/big.xml": b" " * 9_000_000}, "larger inside"),
    "millions of empty paragraphs": ({"word/document.xml": HEAD.encode() + b"<w:p/>" * 1_200_000 + TAIL.encode()}, "elements"),
}  # fmt: skip


@pytest.mark.parametrize("kind", REFUSED)
def test_a_hostile_file_is_refused_quickly(kind: str, tmp_path: Path) -> None:
    parts, reason = REFUSED[kind]
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # zipfile warns of the name that stands twice
        path = packed(tmp_path / "a.docx", parts)
    began = time.perf_counter()
    with pytest.raises(Refused, match=reason):
        open_docx(path).xml("word/document.xml")
    assert time.perf_counter() - began < 2
    assert [p.name for p in tmp_path.iterdir()] == ["a.docx"], "nothing is written"


def test_a_lying_header_does_not_help(tmp_path: Path) -> None:
    """The size in the archive's directory says 10 bytes; what comes out is counted."""
    path = packed(tmp_path / "a.docx", {"word/document.xml": PLAIN, "word/big.xml": b" " * 9_000_000})
    data = bytearray(path.read_bytes())
    at = data.rfind(b"PK\x01\x02")
    data[at + 24 : at + 28] = (10).to_bytes(4, "little")
    path.write_bytes(bytes(data))
    with pytest.raises(Refused):
        open_docx(path)


@pytest.mark.parametrize("data", [b"", b"not a zip", b"PK\x03\x04" + b"\0" * 40, b"%PDF-1.7"])
def test_what_is_no_docx_is_refused(data: bytes, tmp_path: Path) -> None:
    path = tmp_path / "a.docx"
    path.write_bytes(data)
    with pytest.raises(Refused):
        open_docx(path)


def test_a_cut_file_is_refused(tmp_path: Path) -> None:
    path = packed(tmp_path / "a.docx", {"word/document.xml": PLAIN})
    whole = path.read_bytes()
    for length in range(0, len(whole), 7):
        path.write_bytes(whole[:length])
        with pytest.raises(Refused):
            open_docx(path)


def test_a_hyperlink_to_the_outside_is_no_danger(tmp_path: Path) -> None:
    link = b'<Relationships><Relationship Id="r" Type="x/hyperlink" TargetMode="External" Target="http://example.invalid"/></Relationships>'
    path = packed(tmp_path / "a.docx", {"word/document.xml": PLAIN, "word/_rels/document.xml.rels": link})
    assert open_docx(path).xml("word/document.xml") is not None


# ---- the frame -------------------------------------------------------------------------------------------------------
def document(*paragraphs: str) -> str:
    return HEAD + "".join(f"<w:p>{p}</w:p>" for p in paragraphs) + TAIL


def words(text: str) -> str:
    return f"<w:r><w:t>{text}</w:t></w:r>"


def blank(text: str, name: str = "_b01", number: int = 1) -> str:
    return (
        f'<w:bookmarkStart w:id="{number}" w:name="{name}"/><w:sdt><w:sdtPr><w:tag w:val="x"/></w:sdtPr><w:sdtContent>'
        f'{words(text)}</w:sdtContent></w:sdt><w:bookmarkEnd w:id="{number}"/>'
    )


def frame(text: str) -> str:
    return frame_digest(parse(text.encode()))


def test_what_is_filled_in_leaves_the_frame_alone() -> None:
    assert frame(document(words("Reading") + blank("  "))) == frame(document(words("Reading") + blank("0.03")))


def test_a_changed_word_or_figure_changes_it() -> None:
    assert frame(document(words("Torque 60 N·m"))) != frame(document(words("Torque 80 N·m")))
    assert frame(document(words("a"), words("b"))) != frame(document(words("b"), words("a")))


def test_what_word_processors_do_leaves_it_alone() -> None:
    """Runs split, spaces doubled, empty paragraphs added, the control dropped and its bookmark kept."""
    one = document(words("Open the vent.") + blank("x"))
    split = document(words("Open ") + words(" the vent.") + blank("x"), "", " ")
    dropped = document(
        words("Open the vent.") + f'<w:bookmarkStart w:id="1" w:name="_b01"/>{words("x")}<w:bookmarkEnd w:id="1"/>'
    )
    assert frame(one) == frame(split) == frame(dropped)


def test_a_tab_stop_is_no_word() -> None:
    stop = '<w:pPr><w:tabs><w:tab w:val="left" w:pos="100"/></w:tabs></w:pPr>'
    assert frame_lines(parse(document(stop + words("a")).encode())) == ["a"]
    assert frame(document(stop + words("a") + words("b"))) == frame(document(words("ab")))


TEXT = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=12)


def escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")


@given(st.lists(st.tuples(TEXT, TEXT), max_size=6))
def test_the_quick_digest_of_our_own_markup_is_the_reader_s(paragraphs: list[tuple[str, str]]) -> None:
    made = document(
        *(
            words(escaped(a)) + "<w:r><w:tab/></w:r>" + blank(escaped(b), f"_b{n}", n)
            for n, (a, b) in enumerate(paragraphs)
        )
    )
    assert digest_of_markup(made) == frame(made)


# ---- the manifest ------------------------------------------------------------------------------------------------------
@given(st.builds(Manifest, *[TEXT.map(lambda t: f"n{t}")] * 4))
def test_a_manifest_comes_back_from_either_part(manifest: Manifest) -> None:
    assert manifest_of(Parts({PART: as_part(manifest)})) == manifest
    assert manifest_of(Parts({PROPERTIES: as_properties(manifest)})) == manifest


def test_no_manifest_is_none() -> None:
    assert manifest_of(Parts({"word/document.xml": PLAIN})) is None
    assert manifest_of(Parts({PART: b"<other/>"})) is None


def test_the_line_for_the_square_code_is_short() -> None:
    assert len(Manifest("BGB-M-014", "B", "frame-S", "wet-gas", "K-101", "S-0417", "a" * 64).line()) < 90
