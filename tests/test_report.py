"""The formats of findings: one golden each, and what a hostile text or a poor console does to them."""

from __future__ import annotations

import io
import json
import re
import unicodedata
from collections.abc import Callable, Sequence
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from procforge.findings import Beat, Finding, Mark, Severity
from procforge.report import FORMATS, summary, write
from procforge.report.excerpt import COLUMNS
from procforge.text import NOWHERE, Source, Span

PROC = Source.of(
    "outlet-valve.proc",
    """\
procedure BGB-M-014 "Service the first-stage outlet valve"
use "booster.equip"
step isolate inlet-block, outlet-block
step vent cylinder
step prove cylinder at PI-3 only for frame-S
hold H1 "Zero pressure witnessed" by operator
  sees cylinder
step ease cover-nuts by half a turn
step nip-up cover-nuts
step remove cover-nuts
step remove cover
""",
)
EQUIP = Source.of(
    "booster.equip", 'pressure-space cylinder\n  holds biogas, flammable\n  pressure 11 bar(g)\nvalve vnet "x"'
)


def span(source: Source, line: int, text: str) -> Span:
    """The span of `text` where it first stands on the line."""
    return Span(source, line, source.line(line).index(text) + 1, len(text))


OPENED = Finding(
    "opened-before-proved",
    Severity.ERROR,
    "the cylinder is opened while it can still hold pressure",
    span(PROC, 10, "remove cover-nuts"),
    label="opened here, at the nuts",
    marks=(
        Mark(span(PROC, 5, "only for frame-S"), "the proof is skipped on frame-L"),
        Mark(span(EQUIP, 3, "11 bar(g)"), "this is what can come out"),
    ),
    path=(
        Beat(Span(PROC, 3), "isolate inlet-block, outlet-block", "cylinder shut in, up to 11 bar(g)"),
        Beat(Span(PROC, 4), "vent cylinder", "relieved, not proved"),
        Beat(Span(PROC, 5), "prove cylinder", "skipped on frame-L", skipped=True),
        Beat(Span(EQUIP, 1), "ease cover-nuts", "", skipped=True),
        Beat(Span(PROC, 10), "remove cover-nuts", "opened"),
    ),
    variants=("frame-L, wet-gas",),
    why="a vented space can refill through a leaking valve;\n    only a proof at the gauge counts",
    basis="29 CFR 1910.147(d)(6)",
    mend="let the proof apply to frame-L too",
    also=("opened-before-witnessed", "proof-on-one-model-only"),
)
UNKNOWN = Finding(
    "unknown-name",
    Severity.WARNING,
    "there is no valve vnet",
    span(EQUIP, 4, "vnet"),
    marks=(Mark(span(EQUIP, 4, '"x"'), "its title"), Mark(Span(EQUIP, 2), "the space it should vent")),
    variants=("frame-S", "frame-L"),
    mend="did you mean vent?",
)
MISSING = Finding("no-such-file", Severity.ERROR, "there is no such file", Span(Source("pump.equip", ()), 0))
ADVICE = Finding("could-run-together", Severity.NOTE, "nothing stands in the way", NOWHERE)
ALL = (OPENED, UNKNOWN, MISSING, ADVICE)


def written(findings: Sequence[Finding], format: str = "long", encoding: str = "utf-8", colour: bool = False) -> str:
    """What `write` puts into a stream that refuses what its encoding lacks."""
    stream = io.TextIOWrapper(io.BytesIO(), encoding=encoding, errors="strict", newline="")
    write(findings, format, stream, colour=colour)
    stream.flush()
    assert isinstance(stream.buffer, io.BytesIO)
    return stream.buffer.getvalue().decode(encoding)


def on(text: str, column: int = 1, width: int = 0, label: str = "here", message: str = "wrong") -> Finding:
    """An error about one line."""
    return Finding("wrong", Severity.ERROR, message, Span(Source.of("a.proc", text), 1, column, width), label=label)


def columns(text: str) -> int:
    """Terminal columns of a text, by the East Asian width of Unicode UAX 11."""
    return sum(
        0
        if unicodedata.combining(c) or unicodedata.category(c) in ("Mn", "Me")
        else 1 + (unicodedata.east_asian_width(c) in "WF")
        for c in text
    )


def excerpt(finding: Finding, encoding: str = "utf-8") -> tuple[str, str]:
    """The user's line as shown, and the line of carets below it, both without the gutter."""
    shown = written([finding], encoding=encoding).split("\n")
    at = next(number for number, line in enumerate(shown) if line.startswith("1 |"))
    return shown[at][4:], shown[at + 1][4:]


def under_carets(finding: Finding, encoding: str = "utf-8") -> str:
    """The shown characters that stand over the carets."""
    line, carets = excerpt(finding, encoding)
    start = len(carets) - len(carets.lstrip())
    end = start + carets.count("^")
    picked, at = "", 0
    for char in line:
        if start <= at < end or (picked and at == end and columns(char) == 0):
            picked += char
        at += columns(char)
    return picked


@pytest.mark.parametrize("format", FORMATS)
def test_golden(format: str, golden: Callable[[str, str], None]) -> None:
    golden(f"report.{format}.txt", written(ALL, format))


def test_golden_in_colour(golden: Callable[[str, str], None]) -> None:
    coloured = written(ALL, colour=True)
    golden("report.colour.txt", coloured.replace("\x1b", "ESC"))
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == written(ALL)


def test_plain_frames_are_ascii_and_carry_no_trailing_blanks() -> None:
    text = written(ALL)
    assert text.isascii()
    assert all(line == line.rstrip() for line in text.split("\n"))


def test_json_holds_every_field_and_is_ascii() -> None:
    from dataclasses import replace

    findings = [replace(OPENED, message="pressure ≤ 1 bar, at\udc80 “PI-3”"), MISSING]
    text = written(findings, "json", encoding="cp1252")
    assert text.isascii()
    first, second = json.loads(text)
    assert set(first) == {
        *("rule", "severity", "message", "file", "line", "column", "variants", "basis", "path", "why", "mend", "also")
    }
    assert first["message"] == findings[0].message
    assert (first["file"], first["line"], first["column"]) == ("outlet-valve.proc", 10, 6)
    assert first["path"][2] == {
        "file": "outlet-valve.proc",
        "line": 5,
        "text": "prove cylinder",
        "state": "skipped on frame-L",
        "skipped": True,
    }
    assert (second["line"], second["path"], second["severity"]) == (0, [], "error")


def test_no_findings() -> None:
    assert [written([], format) for format in ("long", "short", "json")] == ["", "", "[]\n"]


def test_summary() -> None:
    assert summary([]) == "no findings"
    assert summary(ALL) == "2 errors, 1 warning, 1 note"
    assert summary([ADVICE, ADVICE]) == "2 notes"


def test_an_unknown_format_is_refused() -> None:
    with pytest.raises(KeyError):
        written(ALL, "unheard-of")


@pytest.mark.parametrize("at", [0, 40, 5_000_000, 9_999_999])
def test_a_very_long_line_is_windowed_around_the_mark(at: int) -> None:
    text = "ab " * 3_333_334
    text = text[:at] + "X" + text[at + 1 : 10_000_000]
    finding = on(text, at + 1, 1, message="unknown name")
    line, _ = excerpt(finding)
    assert under_carets(finding) == "X"
    assert columns(line) <= COLUMNS
    assert line.startswith("...") == (at > 0)
    assert line.endswith("...") == (at < 9_999_999)
    assert len(written([finding])) < 1000


def test_a_mark_outside_the_window_has_a_window_of_its_own() -> None:
    source = Source.of("a.proc", "x" * 1000 + "FIRST" + "y" * 1000 + "SECOND" + "z" * 1000)
    finding = Finding(
        "wrong", Severity.ERROR, "wrong", span(source, 1, "FIRST"), marks=(Mark(span(source, 1, "SECOND"), "and here"),)
    )
    shown = written([finding]).split("\n")
    numbered = [line for line in shown if line.startswith("1 |")]
    assert ["FIRST" in line for line in numbered] == [True, False]
    assert ["SECOND" in line for line in numbered] == [False, True]
    assert sum("------ and here" in line for line in shown) == 1


def test_a_mark_wider_than_the_window_stays_inside_it() -> None:
    for finding in (on("x" * 10_000), on("x" * 10_000, 50, 5_000)):
        line, carets = excerpt(finding)
        assert len(line) <= COLUMNS
        assert carets.count("^") <= COLUMNS


def test_a_tower_of_combining_marks_is_neither_tall_nor_endless() -> None:
    finding = on("a" + "\u0301" * 1_000_000 + "b", 1, 1, message="name " + "\u0301" * 1_000_000)
    shown = written([finding])
    assert len(shown) < 5000
    assert not re.search("\u0301{4}", shown)


@pytest.mark.parametrize(
    ("text", "word", "shown"),
    [
        ("\tstep\tfit cover", "cover", "cover"),
        ("\tstep\tfit cover", "\tfit", "<TAB>fit"),
        ("step \u202etrepo\u202c x", "\u202etrepo", "<U+202E>trepo"),
        ("step fi\u200bt cover", "fi\u200bt", "fi<U+200B>t"),
        ("step \x1b[31mfit\x07 cover", "cover", "cover"),
        ("step\u00a0fit cover", "\u00a0", "<U+00A0>"),
        ("漢字 step fit", "step", "step"),
        ("漢字 step fit", "字", "字"),
        ("u\u0308ber step fit", "step", "step"),
        ("e\u0301\u0301\u0301\u0301x", "x", "x"),
        ("step fit 🔧 cover", "cover", "cover"),
        ("\u0301step", "step", "step"),
        ("lone \ud800 half", "half", "half"),
    ],
)
def test_odd_characters_are_shown_and_the_carets_stay_under_the_word(text: str, word: str, shown: str) -> None:
    finding = on(text, text.index(word) + 1, len(word))
    assert under_carets(finding) == shown
    line, _ = excerpt(finding)
    assert not any(unicodedata.category(c) in ("Cc", "Cf", "Cs") for c in line)


def test_an_indent_of_tabs_is_drawn_in_stops_of_four() -> None:
    assert excerpt(on("\t \tstep", 4, 4)) == ("        step", "        ^^^^ here")


def test_user_text_is_never_a_command_to_the_terminal_or_markup() -> None:
    from dataclasses import replace

    evil = "[bold]x[/bold] \x1b]0;title\x07 \x9b2J \u202e{n}"
    finding = replace(
        OPENED,
        message=evil,
        label=evil,
        why=evil,
        basis=evil,
        mend=evil,
        also=(evil,),
        variants=(evil,),
        marks=(Mark(span(PROC, 5, "prove"), evil),),
        path=(Beat(Span(PROC, 3), evil, evil),),
        span=Span(Source.of(f"{evil}.proc", evil), 1),
    )
    for format in ("long", "short"):
        text = written([finding], format)
        assert "[bold]x[/bold]" in text
        assert not any(unicodedata.category(c) in ("Cc", "Cf") for c in text if c != "\n")
    assert written([finding], "short").count("\n") == 1


def test_a_path_is_shown_as_it_is_written() -> None:
    assert written([Finding("r", Severity.ERROR, "m", Span(Source("two  blanks\n.proc", ()), 0))], "short") == (
        "two  blanks<U+000A>.proc: error: m [r]\n"
    )


@pytest.mark.parametrize("format", FORMATS)
def test_a_poor_console_shows_what_it_lacks_by_code_point(format: str) -> None:
    finding = on("step fit c\u043ever ≤ µ", 10, 5, message="there is no c\u043ever: 60 N·m ≤ 75")
    text = written([finding], format, encoding="cp1252")
    assert ("\\u043e" if format == "json" else "c<U+043E>ver: 60 N·m <U+2264> 75") in text
    if format == "long":
        assert under_carets(finding, "cp1252") == "c<U+043E>ver"
    written([finding], format, encoding="ascii")


@pytest.mark.parametrize(
    ("place", "carets"),
    [
        (Span(Source.of("a.proc", "step fit"), 1, 9, 0), "        ^"),
        (Span(Source.of("a.proc", "step fit"), 1, 9, 5), "        ^"),
        (Span(Source.of("a.proc", "step fit"), 1, 99, 5), "        ^"),
        (Span(Source.of("a.proc", "  step fit  "), 1), "  ^^^^^^^^"),
        (Span(Source.of("a.proc", ""), 1), "^"),
        (Span(Source.of("a.proc", "step fit"), 1, 6, 99), "     ^^^"),
    ],
)
def test_places_at_the_ends_of_a_line(place: Span, carets: str) -> None:
    assert excerpt(Finding("wrong", Severity.ERROR, "wrong", place))[1] == carets


def test_a_line_past_the_end_of_the_file_has_a_place_and_no_excerpt() -> None:
    finding = Finding("unclosed", Severity.ERROR, "no end", Span(Source.of("a.proc", "step"), 7))
    assert written([finding]) == "error: no end  [unclosed]\n  a.proc, line 7\n"


def test_lines_left_out_are_shown_by_a_colon_and_neighbours_are_not() -> None:
    source = Source.of("a.proc", "\n".join("abcdefghijkl"))
    marks = tuple(Mark(Span(source, line, 1, 1), "too") for line in (3, 4, 12))
    shown = written([Finding("r", Severity.ERROR, "m", Span(source, 5, 1, 1), marks=marks)]).split("\n")
    gutters = [line[:4] for line in shown[2:] if line]
    assert gutters == ["   |", " 3 |", "   |", " 4 |", "   |", " 5 |", "   |", "   :", "12 |", "   |", "   |"]


def test_a_long_path_keeps_its_ends_and_its_skipped_steps() -> None:
    path = tuple(Beat(Span(PROC, n), f"step-{n}", "state", skipped=n == 500) for n in range(1, 2001))
    text = written([Finding("r", Severity.ERROR, "m", Span(PROC, 1), path=path)])
    shown = [int(number) for number in re.findall(r"step-(\d+)", text)]
    assert {1, 500, 2000} <= set(shown)
    assert len(shown) < 60
    gaps = [int(count) for count in re.findall(r"\.\.\. (\d+) steps? between", text)]
    assert sum(gaps) + len(shown) == 2000
    assert gaps == [b - a - 1 for a, b in pairwise(shown) if b > a + 1]


def test_many_variants_are_cut_with_their_number() -> None:
    names = tuple(f"frame-{n}" for n in range(64))
    text = written([Finding("r", Severity.ERROR, "m", NOWHERE, variants=names)])
    assert "= holds for frame-0, frame-1, " in text
    assert text.rstrip().endswith("frame-7 and 56 more")


def test_the_table_of_the_path_is_aligned_for_wide_letters_too() -> None:
    path = (Beat(Span(PROC, 1), "漢字 valve", "A"), Beat(Span(PROC, 10), "vent", "B"), Beat(Span(PROC, 11), "", "C"))
    lines = written([Finding("r", Severity.ERROR, "m", Span(PROC, 1), path=path)]).split("\n")
    rows = [line for line in lines if re.match(r" +line \d", line)]
    assert len(rows) == 3
    assert len({columns(line[:-1]) for line in rows}) == 1


TEXT = st.text(st.characters(), max_size=300)


@given(TEXT, st.integers(-1, 310), st.integers(0, 320), TEXT, st.sampled_from(["utf-8", "cp1252", "ascii", "utf-16"]))
def test_any_text_in_any_encoding_is_written(text: str, column: int, width: int, words: str, encoding: str) -> None:
    """No exception, no control but the line end, and the user's line within its columns."""
    finding = on(text, column, width, label=words, message=words)
    for format in FORMATS:
        shown = written([finding], format, encoding)
        assert not any(unicodedata.category(c) in ("Cc", "Cf", "Cs", "Zl", "Zp") for c in shown if c != "\n")
        assert format != "short" or shown.count("\n") == 1
    assert columns(excerpt(finding)[0]) <= COLUMNS
