"""Texts that nobody should write: the validator answers every one, soon, with findings that can be read."""

from __future__ import annotations

import os
import random
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from procforge.findings import Severity
from procforge.stages import Checked
from tests.vandal import FILES, ROOT, edited, looked_at, soup

PATIENT = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
LONGEST = 10.0
"""Seconds of processor time that any text may take, on a slow machine."""


@contextmanager
def soon(limit: float = LONGEST) -> Iterator[None]:
    """Fails where what is inside takes longer than the limit, waiting for others not counted."""
    start = time.process_time()
    yield
    assert time.process_time() - start < limit


def procedure_of(path: Path) -> Path:
    """The procedure that stands beside a file, or the file."""
    if path.suffix == ".proc":
        return path
    beside = sorted(path.parent.glob("*.proc"))
    return beside[0] if beside else path


# ---- vandalism -----------------------------------------------------------------------------------
@PATIENT
@given(path=st.sampled_from(FILES), seed=st.integers(0, 2**32), edits=st.sampled_from((1, 1, 2, 4, 12)))
def test_any_edits_of_a_shipped_file(path: Path, seed: int, edits: int) -> None:
    text = edited(random.Random(seed), path.read_text(encoding="utf-8"), edits)
    with soon():
        looked_at(procedure_of(path), {path.name: text})


@PATIENT
@given(
    path=st.sampled_from(FILES), seed=st.integers(0, 2**32), lines=st.sampled_from((3, 20, 100)), alone=st.booleans()
)
def test_soups_of_the_languages_words(path: Path, seed: int, lines: int, alone: bool) -> None:
    text = soup(random.Random(seed), lines)
    if not alone:
        text = path.read_text(encoding="utf-8") + "\n" + text
    with soon():
        looked_at(procedure_of(path), {path.name: text})


@PATIENT
@given(data=st.binary(max_size=400), name=st.sampled_from(("x.proc", "x.equip", "x.units")))
def test_any_bytes(data: bytes, name: str) -> None:
    looked_at(Path(name), {name: data})


@PATIENT
@given(text=st.text(max_size=200), name=st.sampled_from(("x.proc", "x.equip")))
def test_any_text(text: str, name: str) -> None:
    looked_at(Path(name), {name: text})


@settings(max_examples=40, deadline=None)
@given(path=st.sampled_from([p for p in FILES if p.suffix == ".proc"]), share=st.floats(0, 1))
def test_a_text_cut_short_is_not_sound(path: Path, share: float) -> None:
    text = path.read_text(encoding="utf-8")
    whole = text[: text.rindex("\nstep ")]  # after the last step stand only notes for the office
    whole = whole[: whole.rindex("\nstep ")]
    cut = whole[: int(len(whole) * share)]
    checked = looked_at(path, {path.name: cut})
    assert not checked.sound


def test_the_same_text_gives_the_same_findings() -> None:
    for seed in range(12):
        path = FILES[seed % len(FILES)]
        text = edited(random.Random(seed), path.read_text(encoding="utf-8"), 6)
        one, two = (looked_at(procedure_of(path), {path.name: text}).findings for _ in range(2))
        shown = [
            [(f.rule, f.message, f.span.place, f.variants, f.mend, len(f.path)) for f in found] for found in (one, two)
        ]
        assert shown[0] == shown[1]


# ---- sizes ---------------------------------------------------------------------------------------
MACHINE = """equipment M "Machine"
models a "A"
services s "S"
pressure-space c "Casing"
  holds air
  pressure 5 bar(g)
  isolated by v
  vented by vn
  proved at P
isolator v "Block valve"
  in service open, isolates when shut
valve vn "Vent"
  in service shut
gauge P "Gauge"
  0 bar(g) to 1 bar(g), class 1
"""
HEAD = """procedure X-1 "X"
revision A, 2026-01-01
author "Planner"
reviewer "Engineer"
approver "Manager"
crew 1 fitter
use "m.equip"
before starting none
section "Work"
"""


def parts(count: int) -> str:
    return "".join(f'part p{i} "Part {i}"\n' for i in range(count))


def answered(work: str, more: str = "", limit: float = LONGEST) -> Checked:
    """The answer to a small procedure of some work on a small machine with some more items."""
    with soon(limit):
        return looked_at(Path("x.proc"), {"x.proc": HEAD + work, "m.equip": MACHINE + more})


def rules(checked: Checked) -> Counter[str]:
    return Counter(f.rule for f in checked.findings)


def test_the_small_machine_is_clean_by_itself() -> None:
    assert answered("step observe p1 by fitter\n", parts(2)).sound


def test_names_of_thousands_of_letters() -> None:
    name = "x" * 3900
    assert answered(f"step observe {name} by fitter\n", f'part {name} "T"\n').sound
    name = "x" * 10_000
    found = rules(answered(f"step observe {name} by fitter\n", f'part {name} "T"\n'))
    assert found == {"line-too-long": 2}


@pytest.mark.parametrize("digits", [1000, 3900])
def test_numbers_of_thousands_of_digits(digits: int) -> None:
    found = answered(f"step observe p0 by fitter\n  takes {'9' * digits} min\n", parts(1))
    assert [f.span.line for f in found.findings] == [11]
    assert len(found.findings[0].message) < 300
    assert answered("step observe p0 by fitter\n", parts(1) + f"  mass 1.{'0' * digits}1 kg\n").case is not None


@pytest.mark.parametrize(
    "line",
    ["x" * 10_000_000, f'"{"x" * 10_000_000}"', "step " + "a, " * 3_000_000, "#" + "x" * 10_000_000, '"' * 5_000_000],
)
def test_lines_of_ten_megabytes(line: str) -> None:
    checked = answered(f"step observe p0 by fitter\n{line}\nstep observe p0 by fitter\n", parts(1))
    assert rules(checked) == {"line-too-long": 1}
    assert len(checked.findings[0].message) < 200


def test_blocks_in_blocks() -> None:
    for opening in ("only for a", 'ask "Is it so?"\nyes', "any order", "together", "for each x in p0", "either"):
        deep = "\n".join([opening] * 200 + ["step observe p0 by fitter"] + ["end"] * 200)
        checked = answered(deep + "\n", parts(1))
        assert rules(checked)["nested-too-deep"] == 1, opening
        assert not checked.sound
    assert answered("only for a\n" * 50 + "step observe p0 by fitter\n" + "end\n" * 50, parts(1)).sound


def test_thousands_of_findings() -> None:
    checked = answered("stepp observe p0\n" * 5000, parts(1))
    assert rules(checked) == {"unreadable-line": 5000}
    checked = answered("".join(f"step observe q{i} by fitter\n" for i in range(5000)), parts(500))
    assert rules(checked) == {"unknown-name": 5000}


def test_thousands_of_things_forgotten() -> None:
    count = 2000
    found = answered("".join(f"step remove p{i} by fitter\n" for i in range(count)), parts(count))
    assert not found.sound
    assert rules(found)["left-out"] > 0
    assert all(f.rule in ("left-out", "more-of-the-same") for f in found.findings)


def test_thousands_of_places() -> None:
    places = ",\n".join(f"l{i}" for i in range(3000))
    checked = answered(
        "step observe q by fitter\n", f'places {places}\npart q "Q"\n  at each of {places}\n', 2 * LONGEST
    )
    assert checked.sound


def each(depth: int, members: int) -> str:
    inside = ", ".join(f"p{i}" for i in range(members))
    loops = "".join(f"for each x{i} in {inside}\n" for i in range(depth))
    return loops + f"step observe x{depth - 1} by fitter\n" + "end\n" * depth


def test_rounds_in_rounds_have_a_bound() -> None:
    assert answered(each(3, 10), parts(10)).sound
    for work in (each(10, 10), each(10, 10).replace("step observe x9 by fitter\n", "")):
        checked = answered(work, parts(10))
        assert rules(checked) == {"too-many-statements": 1}
        assert checked.findings[0].span.line == 10
        assert not checked.sound


def test_blocks_that_call_blocks_have_a_bound() -> None:
    def chain(depth: int, times: int) -> str:
        blocks = "".join(f'block b{i} "B"\n' + f"do b{i + 1}\n" * times + "end\n" for i in range(depth))
        return f'do b0\n{blocks}block b{depth} "B"\nstep observe p0 by fitter\nend\n'

    assert answered(chain(10, 1), parts(1)).sound
    assert answered(chain(5, 3), parts(1)).sound
    for depth, times, rule in ((30, 2, "nested-too-deep"), (11, 3, "too-many-statements"), (30, 1, "nested-too-deep")):
        checked = answered(chain(depth, times), parts(1))
        assert rules(checked) == {rule: 1}, (depth, times)
        assert not checked.sound


def test_a_block_that_calls_itself() -> None:
    checked = answered('do one\nblock one "O"\ndo two\nend\nblock two "T"\ndo one\ndo two\nend\n')
    assert rules(checked)["calls-in-a-circle"] == 2
    assert not checked.sound


def test_procedures_that_call_procedures_are_looked_at_once() -> None:
    head = 'procedure {0} "X"\nrevision A, 2026-01-01\nauthor "P"\nreviewer "E"\napprover "M"\ncrew 1 fitter\nuse "m.equip"\nbefore starting none\n'
    texts: dict[str, str | bytes] = {"m.equip": MACHINE + parts(1)}
    levels = 20
    for level in range(levels):
        for side in "ab":
            calls = f'section "S"\ndo "a{level + 1}.proc"\ndo "b{level + 1}.proc"\n'
            texts[f"{side}{level}.proc"] = head.format(f"{side}{level}") + calls
    for side in "ab":
        texts[f"{side}{levels}.proc"] = head.format(side) + 'section "S"\nstep observe p0 by fitter\n'
    with soon():
        assert looked_at(Path("a0.proc"), texts).sound


# ---- orders, lanes, rounds -----------------------------------------------------------------------
LOOK = 'check look on p0 by fitter\n  accept "Whole."\n  reject "Broken."\n'


def test_a_repeat_has_a_bound_that_people_can_keep() -> None:
    def rounds(times: str) -> str:
        return f"step remove p0 by fitter\n{LOOK}repeat until look accepted, at most {times} times\nstep clean p0 by fitter\n{LOOK}otherwise\nstep renew p0 by fitter\nend\nstep fit p0 by fitter\n"

    assert answered(rounds("100"), parts(1)).sound
    for times in ("101", "999999", "9" * 1000, "0"):
        checked = answered(rounds(times), parts(1))
        assert rules(checked)["wrong-quantity"] == 1
        assert not checked.sound


def test_thirty_statements_in_any_order() -> None:
    assert answered(
        "any order\n" + "".join(f"step observe p{i} by fitter\n" for i in range(30)) + "end\n", parts(30)
    ).sound
    wrong = answered("any order\n" + "".join(f"step remove p{i} by fitter\n" for i in range(30)) + "end\n", parts(30))
    assert rules(wrong) == {"left-out": 30} or rules(wrong)["left-out"] >= 1
    # in some sequence the fitting comes before the taking out
    crossed = answered(
        "any order\nstep remove p0 by fitter\nstep fit p0 by fitter\n"
        + "".join(f"step clean p{i} by fitter\n" for i in range(1, 29))
        + "end\n",
        parts(30),
    )
    assert any(f.severity == Severity.ERROR for f in crossed.findings)


def lanes(things: list[list[int]]) -> str:
    work = ["".join(f"step remove p{i} by fitter\nstep fit p{i} by fitter\n" for i in lane) for lane in things]
    return "together\n" + "also\n".join(work) + "end\n"


def test_eight_lanes_of_ten_steps() -> None:
    apart = answered(lanes([[lane * 5 + i for i in range(5)] for lane in range(8)]), parts(40))
    assert apart.sound
    shared = answered(lanes([[(lane + i) % 8 for i in range(5)] for lane in range(8)]), parts(8))
    assert not shared.sound
    assert shared.findings


def test_lanes_that_hang_together_in_many_ways_are_decided_or_not_proved() -> None:
    """Each lane's steps need what other lanes do; whatever the budget allows, it is never called sound."""
    machine = parts(0) + "".join(
        f'part p{i} "Part {i}"\n' + (f"  over {', '.join(f'p{j}' for j in range(i))}\n" if i else "") for i in range(8)
    )
    checked = answered(lanes([[7, 0], [6, 1], [5, 2], [4, 3], [3, 4], [2, 5], [1, 6], [0, 7]]), machine, 60)
    assert not checked.sound
    assert any(f.severity == Severity.ERROR for f in checked.findings)


# ---- use -----------------------------------------------------------------------------------------
def on_disk(folder: Path, use: str) -> Checked:
    (folder / "x.proc").write_text(HEAD.replace("m.equip", use), encoding="utf-8")
    from procforge.resolve.load import Library
    from procforge.stages import check_file

    with soon():
        return check_file(Library(), folder / "x.proc")


def test_use_of_a_folder(tmp_path: Path) -> None:
    (tmp_path / "m.equip").mkdir()
    found = on_disk(tmp_path, "m.equip").findings
    assert [f.rule for f in found] == ["file-not-found"]
    assert "directory" in found[0].message


@pytest.mark.parametrize("path", ["x.proc", "./x.proc", "../{0}/x.proc"])
def test_use_of_itself(tmp_path: Path, path: str) -> None:
    assert "use-in-a-circle" in {f.rule for f in on_disk(tmp_path, path.format(tmp_path.name)).findings}


def test_use_through_a_link_to_itself(tmp_path: Path) -> None:
    (tmp_path / "same").symlink_to(tmp_path, target_is_directory=True)
    checked = on_disk(tmp_path, "same/x.proc")
    assert not checked.sound
    assert "use-in-a-circle" in {f.rule for f in checked.findings}


def test_use_of_a_link_that_leads_nowhere(tmp_path: Path) -> None:
    (tmp_path / "m.equip").symlink_to(tmp_path / "m.equip")
    assert {f.rule for f in on_disk(tmp_path, "m.equip").findings} == {"file-not-found"}


def test_use_of_a_huge_file(tmp_path: Path) -> None:
    (tmp_path / "m.equip").write_bytes(b"x" * 50_000_000)
    assert {f.rule for f in on_disk(tmp_path, "m.equip").findings} in (
        {"line-too-long"},
        {"line-too-long", "machine-missing"},
    )
    with (tmp_path / "m.equip").open("wb") as file:
        file.truncate(50_000_000)
    assert [f.rule for f in on_disk(tmp_path, "m.equip").findings] == ["unreadable-file"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such thing on this system")
def test_a_folder_with_what_is_no_file(tmp_path: Path) -> None:
    from procforge.stages import check_paths

    os.mkfifo(tmp_path / "pipe.proc")
    (tmp_path / "loop").symlink_to(tmp_path, target_is_directory=True)
    (tmp_path / "folder.proc").mkdir()
    assert check_paths([tmp_path]) == []


# ---- letters -------------------------------------------------------------------------------------
@pytest.mark.parametrize("char", ["\u200b", "\u202e", "\u2066", "\u00ad", "\ufeff", "\u2060"])
def test_a_character_that_nobody_sees_is_told_once_and_where(char: str) -> None:
    checked = answered(f"step obs{char}erve p0 by fitter\n", parts(1))
    (finding,) = checked.findings
    assert (finding.rule, finding.span.line, finding.span.column) == ("unseen-character", 10, 9)
    assert f"U+{ord(char):04X}" in finding.message


@pytest.mark.parametrize(
    ("word", "meant"), [("\u04400", "p0"), ("\u0441over", "cover"), ("\u03a1\u03bf\u03bft", "Poot")]
)
def test_a_name_that_only_looks_latin_is_told(word: str, meant: str) -> None:
    checked = answered(f"step observe {word} by fitter\n", f'part {meant} "Part"\n')
    (finding,) = checked.findings
    assert finding.rule == "look-alike-letters"
    assert finding.span.text == word
    assert f"`{meant}`" in finding.message


def test_two_names_that_look_the_same_are_told() -> None:
    checked = answered("step observe p0 by fitter\n", 'part p0 "One"\npart \u04400 "Another"\n')
    assert "look-alike-letters" in rules(checked)


@pytest.mark.parametrize("name", ["клапан-1", "弁-1", "válvula", "Ventil-Größe", "τροχός", "Ж-ring"])
def test_names_of_other_scripts_are_fine(name: str) -> None:
    assert answered(f"step observe {name} by fitter\n", f'part {name} "Part"\n').sound


def test_the_shipped_files_have_none_of_it() -> None:
    for path in FILES:
        checked = looked_at(path, {})
        assert not {"unseen-character", "look-alike-letters"} & set(rules(checked)), path
    assert ROOT.is_dir()
