"""Laws of `tidy`: twice is once; the same statements and the same findings; comments and unreadable lines kept."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from procforge.grammar_files import grammar_text
from procforge.syntax.nodes import File, Item, Line, Unread, Word
from procforge.syntax.parse import parse
from procforge.syntax.tidy import tidy
from procforge.text import Source

SHIPPED = sorted(p for p in (Path(__file__).parents[1] / "procedures").rglob("*") if p.suffix in (".proc", ".equip"))


def source(text: str) -> Source:
    return Source.of("x.proc", text)


def bare(value: object) -> object:
    """A node, an item or a file without its places."""
    if isinstance(value, Word):
        return str(value)
    if isinstance(value, (tuple, list)):
        return tuple(map(bare, value))
    if isinstance(value, Item):
        prose = tuple(str(w) for _, w in value.prose)
        arms = tuple((a.head.form, bare(a.body)) for a in value.arms)
        return (value.form, bare(value.node), bare(value.props), prose, arms)
    if isinstance(value, (Line, Unread)):
        return tuple(bare(getattr(value, f)) for f in value.__dataclass_fields__)
    if hasattr(value, "__dataclass_fields__"):
        return (type(value).__name__, *(bare(getattr(value, f)) for f in value.__dataclass_fields__))
    return value


def read(text: str) -> tuple[object, list[tuple[str, str]]]:
    outcome = parse(source(text))
    file: File = outcome.value
    return bare(file.items), [(f.rule, f.message) for f in outcome.findings]


def comments(text: str) -> list[str]:
    """The comments of a text, by a reading of its own: a `#` outside quotes."""
    found = []
    for line in text.split("\n"):
        match = re.match(r'(?:[^"#]|"(?:[^"\\]|\\.)*")*(#.*)', line)
        if match:
            found.append(match.group(1).strip())
    return found


def keeps_the_laws(text: str) -> None:
    once = tidy(source(text))
    assert tidy(source(once)) == once
    assert read(once) == read(text)
    assert comments(once) == comments(text)


# ---- random files ------------------------------------------------------------------------------
LINES = sorted(
    {
        line.strip()
        for block in re.findall(r"^```(?:equip|proc|units).*?\n(.*?)^```$", grammar_text("README.md"), re.M | re.S)
        for line in block.split("\n")
        if line.strip()
    }
)
BROKEN = [
    "step", "stpe remove a", "limit 1,5 bar", "!!", 'note "open', "part", "aks", "yess", "edn", "step a,", "wear a,",
    "end end", "  %", "section Open", "mass", "step remove a ;", "for eahc x in a", "a, b", ",", '"one" two', "otherwise x",
]  # fmt: skip
ODD = ["", "", "  ", "# a remark", '   # "quoted" remark', "\t# tab", '"Prose # with a mark."', '"He said \\"no\\"."']
SPACE = st.sampled_from(["", " ", "  ", "\t", "      "])


@st.composite
def line(draw: st.DrawFn) -> str:
    kind = draw(st.integers(0, 9))
    text = draw(st.sampled_from(LINES if kind < 7 else ODD if kind == 7 else BROKEN))
    if text and not text.lstrip().startswith(("#", '"')):
        parts = re.split(r'("(?:[^"\\]|\\.)*")', text)
        gap, after = (
            draw(st.sampled_from([" ", "  ", "\t"])),
            draw(st.sampled_from([", ", ",", " , ", ",\n", ",  # c\n\n"])),
        )
        parts[::2] = [re.sub(r", ", after, p.replace(" ", gap).replace("," + gap, ", ")) for p in parts[::2]]
        text = "".join(parts)
    return draw(SPACE) + text + draw(st.sampled_from(["", "", " ", "  # remark", "# remark"]))


@settings(max_examples=400, deadline=None)
@given(st.lists(line(), max_size=14).map("\n".join))
def test_the_laws_hold_for_random_files(text: str) -> None:
    keeps_the_laws(text)


@settings(max_examples=200, deadline=None)
@given(st.text(alphabet='step fix,"#\\\n ()-1é\t', max_size=60))
def test_the_laws_hold_for_any_text(text: str) -> None:
    keeps_the_laws(text)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.name)
def test_the_laws_hold_for_what_is_shipped(path: Path) -> None:
    keeps_the_laws(path.read_text(encoding="utf-8"))


def test_a_file_shuffled_out_of_order_in_space_comes_back() -> None:
    text = grammar_text("README.md").split("```proc filter.proc\n")[1].split("```")[0]
    flat = "\n".join(re.sub(r"^\s+", "", row) for row in text.split("\n"))
    assert flat != text
    assert tidy(source(flat)) == text


# ---- what it does ------------------------------------------------------------------------------
def test_indentation_follows_the_structure() -> None:
    messy = """\
section "Open"
      step remove cover
takes 5 min
"Lift it."
ask "Is it?"
yes
when look rejected
step renew a
meets jet
otherwise
# nothing to do
end
no
end
"""
    assert (
        tidy(source(messy))
        == """\
section "Open"
step remove cover
  takes 5 min
  "Lift it."
ask "Is it?"
yes
  when look rejected
    step renew a
      meets jet
  otherwise
  # nothing to do
  end
no
end
"""
    )


@pytest.mark.parametrize(
    ("messy", "neat"),
    [
        ("step   remove\ta ,b,  c   new", "step remove a, b, c new\n"),
        ("isolated by a,( b   and c with bleed d )or e", "isolated by a, (b and c with bleed d) or e\n"),
        ("torque 60N.m +/-5%", "torque 60 N.m +/- 5 %\n"),
        ("4 x M12,class 8.8,oiled", "4 x M12, class 8.8, oiled\n"),
        ('house rule "A" :fit a before purge', 'house rule "A": fit a before purge\n'),
        ("pressure 11 bar(g)#max", "pressure 11 bar(g)  #max\n"),
        ('note "two  spaces,kept"', 'note "two  spaces,kept"\n'),
        ("step remove a,\nb,\n\n  c", "step remove a,\n    b,\n\n    c\n"),
        ("\n\n\nstep a b\n\n\n\nstep c d\n\n", "step a b\n\nstep c d\n"),
        ("", ""),
        ("\n \n", ""),
        ("   # only a remark", "# only a remark\n"),
    ],
)
def test_spacing(messy: str, neat: str) -> None:
    made = tidy(source(messy))
    assert made.replace("\n  pressure", "\npressure").lstrip(" ") == neat


def test_lines_that_cannot_be_read_stay_as_they_are() -> None:
    text = 'section "A"\n      stpe   remove  a\nstep fit b\n   limit  1,5   bar\n'
    assert tidy(source(text)) == text


def test_a_line_too_long_stays_as_it_is() -> None:
    text = f"step a b\n   step c  {'x' * 5000}\nstep d e\n"
    assert tidy(source(text)) == text


def test_line_ends_become_one_kind() -> None:
    assert tidy(source("step a b\r\nstep c d\r")) == "step a b\nstep c d\n"
