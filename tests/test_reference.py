"""grammar/README.md: every example reads, the whole ones are proved, every statement is shown, the tables are the code's."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

from procforge.analysis.reference import TABLES, refreshed
from procforge.grammar_files import grammar_text
from procforge.model.verbs import words
from procforge.resolve.load import Library
from procforge.stages import check_file
from procforge.syntax.forms import FORMS
from procforge.syntax.nodes import AtLeast, AtMost, Between, Double, File, Item, Line, Modifier, Single, Step
from procforge.syntax.order import FIRST
from procforge.syntax.parse import parse
from procforge.syntax.table import build, parser
from procforge.syntax.tidy import tidy
from procforge.text import Source

PAGE = grammar_text("README.md")
FENCE = re.compile(r"^```(equip|proc|units)(?: (\S+))?\n(.*?)^```$", re.MULTILINE | re.DOTALL)


class Example(NamedTuple):
    """A fenced example; `name` is empty for a fragment."""

    kind: str
    name: str
    text: str
    line: int


EXAMPLES = [
    Example(m.group(1), m.group(2) or "", m.group(3), PAGE.count("\n", 0, m.start()) + 2) for m in FENCE.finditer(PAGE)
]
WHOLE = {e.name: e.text for e in EXAMPLES if e.name}


def read(example: Example) -> File:
    outcome = parse(Source.of(example.name or f"line {example.line}", example.text))
    assert outcome.findings == ()
    return outcome.value


def all_items(items: list[Item]) -> Iterator[Item]:
    for item in items:
        yield item
        yield from item.props
        for arm in item.arms:
            yield from all_items([arm.head] if arm.head is not item else [])
            yield from all_items(arm.body)


def inside(node: object) -> Iterator[object]:
    """A node and all nodes within it."""
    yield node
    if isinstance(node, tuple):
        for entry in node:
            yield from inside(entry)
    elif dataclasses.is_dataclass(node) and not isinstance(node, type):
        for field in dataclasses.fields(node):
            yield from inside(getattr(node, field.name))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name, text in WHOLE.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e.name or f"line {e.line}")
def test_an_example_reads_without_a_finding(example: Example) -> None:
    assert read(example).items


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e.name or f"line {e.line}")
def test_an_example_is_written_as_tidy_sets_it(example: Example) -> None:
    assert tidy(Source.of("x", example.text)) == example.text


def test_the_first_procedure_is_proved_and_without_a_finding(folder: Path) -> None:
    checked = check_file(Library(), folder / "filter.proc")
    assert checked.findings == ()
    assert checked.sound


@pytest.mark.parametrize("name", sorted(n for n in WHOLE if not n.endswith(".proc")))
def test_a_whole_machine_or_units_file_has_no_finding(folder: Path, name: str) -> None:
    assert check_file(Library(), folder / name).findings == ()


def steps_of(text: str) -> list[int]:
    return [i for i, line in enumerate(text.split("\n")) if line.startswith("step ")]


TOUCHING = [r for r in steps_of(WHOLE["filter.proc"]) if "notify" not in WHOLE["filter.proc"].split("\n")[r]]


@pytest.mark.parametrize("row", TOUCHING, ids=lambda r: WHOLE["filter.proc"].split("\n")[r])
def test_taking_a_step_out_of_the_first_procedure_is_found(folder: Path, row: int) -> None:
    lines = WHOLE["filter.proc"].split("\n")
    del lines[row]
    while lines[row].startswith("  "):  # the lines under the step go with it
        del lines[row]
    (folder / "filter.proc").write_text("\n".join(lines), encoding="utf-8")
    checked = check_file(Library(), folder / "filter.proc")
    assert checked.errors
    assert not checked.sound


def statement_forms() -> set[str]:
    """The alternatives of a statement, as the grammar lists them."""
    groups = {"_any_file", "_machine", "_header", "_work"}
    return {rule.expansion[0].name for rule in build().rules if rule.origin.name in groups}


def test_every_statement_of_the_grammar_is_shown_by_an_example() -> None:
    shown = {"end"} if any("\nend\n" in e.text for e in EXAMPLES) else set()
    for example in EXAMPLES:
        for item in all_items(read(example).items):
            shown.add(item.form)
            if item.prose:
                shown.add("prose")
    assert statement_forms() - shown == set()


def test_every_ending_and_every_way_to_write_a_limit_or_a_scheme_is_shown() -> None:
    nodes = [n for e in EXAMPLES for i in all_items(read(e).items) for n in inside(i.node)]
    kinds = {n.kind for n in nodes if isinstance(n, Modifier)}
    assert kinds == {"with", "at", "by", "turn", "to", "only", "as", "from"}
    shown = {type(n) for n in nodes}
    assert {Between, AtMost, AtLeast, Single, Double} <= shown
    assert any(isinstance(n, Step) and n.text for n in nodes)


def test_every_kind_of_definition_is_named_on_the_page() -> None:
    for kind in (w for w, forms in FIRST.items() if "define" in forms):
        assert f"`{kind}`" in PAGE, kind


def test_every_statement_has_its_form_and_the_page_shows_it() -> None:
    assert set(FORMS) == statement_forms() | {"define"}
    for form, text in FORMS.items():
        assert f"`{text}`" in PAGE, form


def test_the_keywords_of_a_form_are_keywords_of_the_grammar() -> None:
    known = {
        w for t in parser().terminals for w in re.findall(r"[a-z]+(?:-[a-z]+)*", t.pattern.value.replace("\\", ""))
    }
    for form, text in FORMS.items():
        bare = re.sub(r'"[^"]*"', "", text)
        for word in re.findall(r"(?<![A-Z-])[a-z]+(?:-[a-z]+)*", bare):
            assert word in known | {"accepted", "rejected"}, (form, word)


def test_the_tables_are_those_of_the_code() -> None:
    for name in TABLES:
        assert f"<!-- {name} -->" in PAGE
        assert f"<!-- /{name} -->" in PAGE
    assert refreshed(PAGE) == PAGE, "run: python -m procforge.analysis.reference"


def test_the_verb_table_has_every_verb_a_step_may_start_with() -> None:
    table = PAGE.split("<!-- verbs -->")[1].split("<!-- /verbs -->")[0]
    assert set(re.findall(r"^\| `([a-z-]+)`", table, re.MULTILINE)) == set(words())


def test_links_within_the_page_lead_somewhere() -> None:
    heads = re.findall(r"^#+ (.*)$", FENCE.sub("", PAGE), re.MULTILINE)
    anchors = {re.sub(r"[^\w -]", "", h.lower()).replace(" ", "-") for h in heads}
    for target in re.findall(r"\]\(#([^)]*)\)", PAGE):
        assert target in anchors, target


def test_lines_are_read_at_the_length_the_page_names() -> None:
    from procforge.syntax.lines import LONGEST_LINE

    assert f"{LONGEST_LINE:,} characters" in PAGE


def test_a_line_node_is_named_as_its_rule() -> None:
    """The forms above are told apart by this name."""
    node = parser().parse("mass 4 kg")
    assert isinstance(node, Line)
    assert node.form == "mass"


@pytest.mark.parametrize("example", [e for e in EXAMPLES if e.kind == "equip" and not e.name], ids=lambda e: e.line)
def test_a_piece_of_a_machine_resolves_by_itself(tmp_path: Path, example: Example) -> None:
    (tmp_path / "piece.equip").write_text(example.text, encoding="utf-8")
    assert check_file(Library(), tmp_path / "piece.equip").findings == ()
