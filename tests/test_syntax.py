"""Text to nodes: encodings, odd files, every mistake at its own line in plain words, names that look like keywords."""

from __future__ import annotations

import json
import time
from collections.abc import Iterator
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from procforge.findings import Outcome
from procforge.grammar_files import grammar_folder
from procforge.syntax.assemble import DEEPEST
from procforge.syntax.fast import quick
from procforge.syntax.lines import LONGEST_LINE
from procforge.syntax.mistakes import keywords
from procforge.syntax.nodes import Double, File, Item, Line, Single, Step, Unread, Word
from procforge.syntax.order import ALONE, BLOCKS, FIRST, ONCE, PROPERTIES
from procforge.syntax.parse import parse, parse_bytes
from procforge.syntax.table import build, parser, table_text
from procforge.text import Source

GOOD = """\
equipment FV "Filter vessel"
part cover "Cover"
  held by cover-nuts
fastener cover-nuts "Nuts"
"""


def read(text: str) -> Outcome[File]:
    return parse(Source.of("x.proc", text))


def every(items: list[Item]) -> Iterator[Item]:
    for item in items:
        yield item
        for arm in item.arms:
            yield from every(arm.body)


def shape(file: File) -> list[tuple[str, list[str], int]]:
    return [(i.form, [p.form for p in i.props], len(i.prose)) for i in every(file.items)]


def node(text: str) -> Line | Step:
    outcome = read(text)
    assert outcome.findings == ()
    made = outcome.value.items[0].node
    assert not isinstance(made, Unread)
    return made


# ---- bytes -------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    "data",
    [
        GOOD.encode(),
        b"\xef\xbb\xbf" + GOOD.encode(),
        GOOD.encode("utf-16"),
        b"\xfe\xff" + GOOD.encode("utf-16-be"),
        GOOD.replace("\n", "\r\n").encode(),
        GOOD.replace("\n", "\r").encode(),
        GOOD.replace("  ", "\t").encode(),
        GOOD.replace(" ", "\t").replace('"Filter\tvessel"', '"Filter vessel"').encode(),
        GOOD.rstrip("\n").encode(),
    ],
    ids=["utf-8", "bom", "utf-16-le", "utf-16-be", "crlf", "cr", "tabs-first", "tabs-between", "no-last-line-end"],
)
def test_encodings_and_line_ends_read_alike(data: bytes) -> None:
    outcome = parse_bytes("x.equip", data)
    assert outcome.findings == ()
    assert shape(outcome.value) == [("equipment", [], 0), ("define", ["held_by"], 0), ("define", [], 0)]


@pytest.mark.parametrize("data", [b"", b"\n\n", b"# only a comment", b"\xef\xbb\xbf", "".encode("utf-16")])
def test_an_empty_file_is_empty(data: bytes) -> None:
    outcome = parse_bytes("x.proc", data)
    assert outcome.findings == ()
    assert outcome.value.items == []


def test_another_encoding_is_one_finding_with_the_byte_and_its_place() -> None:
    outcome = parse_bytes("x.proc", 'section "Öffnen"\nstep open vent  # 45 °C\n'.encode("cp1252"))
    (finding,) = outcome.findings
    assert finding.rule == "unreadable-file"
    assert (finding.span.line, finding.span.column) == (1, 10)
    assert "byte 0xD6" in finding.message
    assert "UTF-8" in finding.mend
    assert outcome.value.items == []


@pytest.mark.parametrize(
    "data",
    [
        bytes(range(256)),
        b"PK\x03\x04\x00\x00",
        b"step a b\x00\n",
        b"\xff\xfe\x00",
        b"\xff\xfe\x00\xd8",
        b"%PDF-1.4\n\x01",
    ],
)
def test_what_is_no_text_is_one_finding(data: bytes) -> None:
    outcome = parse_bytes("x.proc", data)
    assert [f.rule for f in outcome.findings] == ["unreadable-file"]
    assert outcome.findings[0].span.line >= 1
    assert len(outcome.value.holes) == 1  # so that nothing is said of what the file lacks


@given(st.binary(max_size=400))
def test_no_bytes_raise(data: bytes) -> None:
    for finding in parse_bytes("x.proc", data).findings:
        assert finding.span.line >= 1


@given(st.text(max_size=300))
def test_no_text_raises_and_every_finding_has_place_words_and_mend(text: str) -> None:
    source = Source.of("x.proc", text)
    for finding in parse(source).findings:
        assert 1 <= finding.span.line <= len(source.lines)
        assert finding.message
        assert finding.mend


# ---- size and depth ----------------------------------------------------------------------------
def test_a_line_of_ten_megabytes_is_a_finding_and_hides_nothing() -> None:
    start = time.monotonic()
    outcome = read(f"step a b\nstep c {'x' * 10_000_000}\nstep d e\n")
    assert time.monotonic() - start < 5
    assert [(f.rule, f.span.line) for f in outcome.findings] == [("line-too-long", 2)]
    assert [i.form for i in outcome.value.items] == ["step", "unread", "step"]
    assert len(outcome.value.holes) == 1


def test_a_long_line_within_a_list_takes_the_statement_with_it_and_no_more() -> None:
    outcome = read(f"step remove a,\n  {'x' * (LONGEST_LINE + 1)}\nstep d e\n")
    assert [(f.rule, f.span.line) for f in outcome.findings] == [("line-too-long", 2)]
    assert [i.form for i in outcome.value.items] == ["unread", "step"]


def nested(count: int) -> str:
    return "\n".join(['ask "Is it so?"', "yes"] * count + ["step a b"] + ["end"] * count + ["step c d"])


def test_blocks_may_nest_to_the_depth_named() -> None:
    outcome = read(nested(DEEPEST))
    assert outcome.findings == ()
    assert sum(i.form == "ask" for i in every(outcome.value.items)) == DEEPEST


@pytest.mark.parametrize("count", [DEEPEST + 1, 200, 10_000])
def test_deeper_blocks_are_one_finding(count: int) -> None:
    start = time.monotonic()
    outcome = read(nested(count))
    assert time.monotonic() - start < 5
    assert [(f.rule, f.span.line) for f in outcome.findings] == [("nested-too-deep", 2 * DEEPEST + 1)]
    assert outcome.value.holes  # not proved
    assert outcome.value.items[-1].form == "step"


def test_ten_thousand_blocks_never_closed_do_not_bury_the_reader() -> None:
    outcome = read("\n".join(['ask "Is it so?"', "yes"] * 10_000))
    assert len(outcome.findings) == DEEPEST + 1


# ---- the grammar itself ------------------------------------------------------------------------
def test_the_grammar_has_no_conflict_and_no_two_terminals_that_collide() -> None:
    build(strict=True)


def test_the_table_file_is_that_of_the_grammar() -> None:
    """The numbering of the states is lark's own and differs from build to build; all else must not."""
    table = json.loads((grammar_folder() / "table.json").read_text(encoding="utf-8"))
    assert table["grammar"] == json.loads(table_text())["grammar"], "run: python -m procforge.syntax.table"
    kept, fresh = parser(), build()
    assert {str(r) for r in kept.rules} == {str(r) for r in fresh.rules}
    assert {(t.name, t.pattern.value, t.priority) for t in kept.terminals} == {
        (t.name, t.pattern.value, t.priority) for t in fresh.terminals
    }


def test_the_table_file_is_used() -> None:
    """Without it every command would build the table, which takes over a second."""
    with patch("procforge.syntax.table.build", side_effect=AssertionError("the table was built")):
        parser.cache_clear()
        try:
            assert isinstance(parser().parse("mass 4 kg"), Line)
        finally:
            parser.cache_clear()


def test_the_first_words_are_those_of_the_grammar() -> None:
    engine = parser().parser.parser  # type: ignore[attr-defined]
    start = engine._parse_table.states[engine._parse_table.start_states["start"]]
    assert set(FIRST) == {w for name in start for w in keywords().get(name, "").split("|") if w}


def test_the_tables_of_order_speak_of_statements_of_the_grammar() -> None:
    rules = {rule.origin.name for rule in build().rules}
    assert set(PROPERTIES) | set(BLOCKS) | {a for arms in BLOCKS.values() for a in arms} | ONCE <= rules
    for word in ALONE:
        assert isinstance(parser().parse(word), Line)


KEYWORDS = sorted({t for t in FIRST if t.isalpha()} - {"x"})


@pytest.mark.parametrize("word", [*KEYWORDS, "new-part", "at-rest", "for-each", "not-ready", "holder", "newest", "2nd"])
def test_a_name_may_equal_or_start_with_a_keyword(word: str) -> None:
    made = node(f'part {word} "Thing"')
    assert isinstance(made, Line)
    assert made.parts[1] == word
    step = node(f"step remove cover of {word}")
    assert isinstance(step, Step)
    assert step.objects[0].of == word


def test_words_know_their_places() -> None:
    made = node("  step  remove  cover,\n    cage of inlet new")
    assert isinstance(made, Step)
    first, second = made.objects
    assert [(w.row, w.column, w.width) for w in (made.verb, first.name, second.name)] == [
        (0, 9, 6),
        (0, 17, 5),
        (1, 5, 4),
    ]
    assert isinstance(second.of, Word)
    assert (second.of.row, second.of.column) == (1, 13)
    assert second.new == "new"


def test_isolation_schemes() -> None:
    made = parser().parse("isolated by a, (b and c with bleed d) or e")
    assert isinstance(made, Line)
    ((one,), (two, three)) = made.parts[0]  # type: ignore[misc]
    assert (type(one), type(two), type(three)) == (Single, Double, Single)
    assert (two.first, two.second, two.bleed) == ("b", "c", "d")


def test_comments_prose_and_escapes() -> None:
    outcome = read('step fit cover # not "this\n  "One # two." # three\n  "Say \\"stop\\"."\n')
    assert outcome.findings == ()
    (step,) = outcome.value.items
    assert [str(w) for _, w in step.prose] == ["One # two.", 'Say "stop".']


PLAIN = st.text(alphabet=' \t,-_.1a"é#', max_size=6)
STEP_WORDS = ["step", "remove", "on", "of", "new", "with", "at", "by", "to", "as", "from", "only", "for", "half"]
OTHERS = ["check", "when", "takes", "5", "min", "accept", "title", "end", "yes", "also", "otherwise"]
BITS = st.sampled_from([*STEP_WORDS, *OTHERS, "a", "b-1", "2nd", ",", '"x"'])


@settings(max_examples=400)
@given(st.lists(BITS | PLAIN, max_size=9).map(" ".join))
def test_the_short_way_gives_what_the_grammar_gives(text: str) -> None:
    made = quick(text)
    if made is not None:
        assert repr(places(made)) == repr(places(parser().parse(text)))


def places(value: object) -> object:
    """A node with the places of its words spelt out."""
    if isinstance(value, Word):
        return (str(value), value.row, value.column, value.width)
    if isinstance(value, tuple):
        return tuple(map(places, value))
    if hasattr(value, "__dataclass_fields__"):
        return (type(value).__name__, *(places(getattr(value, f)) for f in value.__dataclass_fields__))
    return value
