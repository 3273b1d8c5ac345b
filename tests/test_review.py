"""The review print: all that each field sheet says stands in it once, what differs beside the variants it holds for."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from functools import cache
from importlib.util import find_spec
from itertools import combinations
from pathlib import Path

import pytest
from sheet_samples import write

from procforge.render.word import docx_bytes, write_docx
from procforge.resolve.load import Library
from procforge.sheet.build import build_sheet
from procforge.sheet.inline import plain
from procforge.sheet.labels import Labels
from procforge.sheet.outline import Heading, ListTable, Sheet, Steps
from procforge.sheet.review import MARK, NOT_PROVED, build_review, parted
from procforge.sheet.review_lines import identity, lines_of, words_of
from procforge.sheet.review_names import VariantNames
from procforge.sheet.review_rows import Band, ReviewKind, ReviewRow, ReviewSteps
from procforge.sheet.review_work import once
from procforge.sheet.rows import Arm, Row, StepRow
from procforge.sheet.walk import entries, nested, repeated_ids, words_in
from procforge.stages import BUDGET, Checked, check_file, source_hash

ROOT = Path(__file__).parent.parent
BOOSTER = ROOT / "procedures/booster/valve-service.proc"
SHIPPED = sorted((ROOT / "procedures").rglob("*.proc"))
Told = tuple[str, str]


@cache
def checked(file: Path) -> Checked:
    return check_file(Library(), file)


def review(file: Path) -> Sheet:
    entry = checked(file)
    assert entry.case is not None
    return build_review(
        entry.case, entry.findings, sound=entry.sound, source_hash=source_hash(Library(), file), budget=BUDGET
    )


@pytest.fixture(scope="module")
def pump(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A procedure that uses every statement of work, on four variants."""
    return write(tmp_path_factory.mktemp("review"))


def tables(sheet: Sheet) -> list[ReviewSteps]:
    """The tables of the work, not that of the values."""
    return [b for b in sheet.blocks if isinstance(b, ReviewSteps) and b.head[3]]


def groups(names: VariantNames) -> dict[str, frozenset[int]]:
    """Which variants a printed name means."""
    every = range(len(names.variants))
    return {names.some(some): frozenset(some) for n in every for some in combinations(every, n + 1)}


def told(row: ReviewRow, at: int, known: dict[str, frozenset[int]]) -> list[Told]:
    """The lines of a row that hold for one variant."""
    if at not in known[row.only]:
        return []
    out: list[Told] = []
    for band in row.bands:
        for name, lines in band.ways:
            if at in known[name]:
                out += [(line.label, words_of(line.text)) for line in lines]
    return out


def field_rows(file: Path, at: int) -> list[list[Row]]:
    """The rows of each section as one variant's sheet has them, with the numbers that all share."""
    case = checked(file).case
    assert case is not None
    sheet = build_sheet(case.procedure, case.variants[at], source_hash="0", proof=case.proof, review=True)
    return [
        [row for row in once(rows) if not (isinstance(row, StepRow) and row.key.startswith("section."))]
        for _, rows in parted(sheet).sections
    ]


def files(pump: Path) -> list[Path]:
    return [*SHIPPED, pump]


def test_each_variant_finds_all_its_lines_in_their_order(pump: Path) -> None:
    seen = 0
    for file in files(pump):
        case = checked(file).case
        assert case is not None
        known = groups(VariantNames(case.equipment, case.variants))
        print_ = [row for table in tables(review(file)) for row in table.rows if row.kind is not ReviewKind.SIGN]
        for at in range(len(case.variants)):
            wanted = [
                (line.label, words_of(line.text))
                for rows in field_rows(file, at)
                for row in rows
                for line in lines_of(row, Labels())
            ]
            found = [
                line
                for row in print_
                for line in told(row, at, known)
                if not line[0].startswith(("Where we are,", "To come back"))
            ]
            wanted = [line for line in wanted if not line[0].startswith("To come back")]
            assert found == wanted, file
            seen += len(found)
    assert seen > 1000


def test_a_row_stands_under_the_heads_it_has_on_each_sheet(pump: Path) -> None:
    for file in files(pump):
        case = checked(file).case
        assert case is not None
        known = groups(VariantNames(case.equipment, case.variants))
        merged = [list(table.rows) for table in tables(review(file))]
        for at in range(len(case.variants)):
            levels = [
                row.level
                for rows in merged
                for row in rows
                if row.kind is not ReviewKind.SIGN and at in known[row.only]
            ]
            assert levels == [getattr(row, "level", 0) for rows in field_rows(file, at) for row in rows]


def test_what_is_common_is_printed_once(pump: Path) -> None:
    for file in files(pump):
        for table in tables(review(file)):
            anchors = [row.anchor for row in table.rows if row.anchor]
            assert len(anchors) == len(set(anchors))
            for row in table.rows:
                for band in row.bands:
                    forms = [lines for _, lines in band.ways]
                    assert len(forms) == len(set(forms)), "two ways that say the same are one"


def test_a_single_variant_has_no_columns() -> None:
    single = [f for f in SHIPPED if (case := checked(f).case) is not None and len(case.variants) == 1]
    assert single
    for file in single:
        sheet = review(file)
        rows = [row for table in tables(sheet) for row in table.rows]
        assert rows
        assert all(band.common for row in rows for band in row.bands)
        assert not any(row.only or row.sheets for row in rows)
        assert not any(isinstance(b, Heading) and b.anchor == "differences" for b in sheet.blocks)


def bands(sheet: Sheet) -> list[Band]:
    return [band for b in sheet.blocks if isinstance(b, ReviewSteps) for row in b.rows for band in row.bands]


def test_every_value_of_the_machine_file_that_differs_stands_beside_its_variant() -> None:
    """The lines `… for NAME` of the machine file, read here by hand."""
    titles = {"frame-S": "Frame S", "frame-L": "Frame L", "wet-gas": "Wet gas", "dry-gas": "Dry gas"}
    text = (BOOSTER.parent / "booster.equip").read_text(encoding="utf-8")
    given = re.findall(r"^  (?:volume|torque|mass|stock|kind|test limit|pressure) (.+) for ([\w-]+)$", text, re.M)
    assert len(given) >= 14
    found = [
        (name, words_of(line.text).replace("\u00a0", " "))
        for band in bands(review(BOOSTER))
        for name, lines in band.ways
        for line in lines
    ]
    for value, variant in given:
        words = value.strip('"').replace("N.m", "N·m").replace("+/-", "±").replace("liquid-relief", "liquid relief")
        words = words.replace(", ", " and ")
        assert any(titles[variant] in name and words in said for name, said in found), (value, variant)
    torque = {name for name, said in found if said.startswith(("60 N·m ± 10 %", "75 N·m ± 10 %"))}
    assert torque == {"Frame S", "Frame L"}
    passes = {(name, said) for name, said in found if said.startswith("70 %: ")}
    assert {("Frame S", "70 %: 42 N·m, crosswise"), ("Frame L", "70 %: 52.5 N·m, crosswise")} <= passes


def test_only_the_review_can_be_filled_in(pump: Path) -> None:
    for file in files(pump):
        sheet = review(file)
        ids = [entry.blank.id for entry in entries(sheet)]
        assert ids
        assert all(name.startswith("review.") for name in ids)
        assert repeated_ids(sheet) == ()
        steps = [row for table in tables(sheet) for row in table.rows if row.kind in (ReviewKind.STEP, ReviewKind.HOLD)]
        assert all(row.agree and row.comment for row in steps)
        assert sheet.control.mark.startswith(MARK)


def test_each_step_names_its_line(pump: Path) -> None:
    for file in files(pump):
        lines = file.read_text(encoding="utf-8").splitlines()
        for table in tables(review(file)):
            for row in table.rows:
                if row.kind in (ReviewKind.STEP, ReviewKind.HOLD):
                    assert row.place, row
                if row.kind is ReviewKind.HOLD:
                    number = int(row.place.rpartition("\u00a0")[2])
                    assert lines[number - 1].split()[:2][1] == row.number.partition("-")[0]


def test_numbers_of_the_field_sheet_are_told_where_they_differ() -> None:
    case = checked(BOOSTER).case
    assert case is not None
    names = VariantNames(case.equipment, case.variants)
    known = groups(names)
    printed: dict[tuple[int, str], str] = {}
    for table in tables(review(BOOSTER)):
        for row in table.rows:
            for at in range(len(names.variants)):
                if row.kind is ReviewKind.STEP and at in known[row.only]:
                    other = [text.rpartition(": ") for text in row.sheets]
                    mine = [number for some, _, number in other if some == "all" or at in known[some]]
                    printed[at, row.anchor] = mine[0] if mine else row.number
    differing = 0
    for at, variant in enumerate(case.variants):
        sheet = build_sheet(case.procedure, variant, source_hash="0", proof=case.proof)
        for row in (r for b in sheet.blocks if isinstance(b, Steps) for r in b.rows if isinstance(r, StepRow)):
            if row.number and "/" not in row.number:
                assert printed[at, row.anchor] == row.number
                differing += 1
    assert differing > 250


def test_rounds_are_told_once_with_what_follows_the_last(pump: Path) -> None:
    case = checked(BOOSTER).case
    assert case is not None
    field = build_sheet(case.procedure, case.variants[0], source_hash="0", proof=case.proof)
    rows = tuple(row for b in field.blocks if isinstance(b, Steps) for row in b.rows)
    short = once(rows)
    assert any("/2" in str(getattr(row, "number", "")) for row in rows)
    assert not any("/2" in str(getattr(row, "number", "")) for row in short)
    keys = {identity(row) for row in short}
    for row, heads in nested(rows):  # nothing without a round in its number is lost
        if isinstance(row, StepRow) and row.number and "/" not in row.number:
            assert identity(row) in keys, (row.number, heads)
    last = [row for row in short if isinstance(row, Arm) and plain(row.text).startswith("in round")]
    assert len(last) == 2


def test_a_list_set_in_pairs_is_one_list_again_and_differs_by_whole_rows() -> None:
    """The field sheet sets its tools two abreast; which stands beside which says nothing and must not differ."""
    sheet = review(BOOSTER)
    heads = [b.head for b in sheet.blocks if isinstance(b, ListTable)]
    assert all(len(head) == len(set(head)) for head in heads)
    tools = next(b for b in sheet.blocks if isinstance(b, ListTable) and "temporary items" in b.head[0])
    said = {plain(line[0]): plain(line[-1]) for line in tools.rows}
    assert next(only for name, only in said.items() if name.startswith("O-ring oil")) == "Dry gas"
    assert next(only for name, only in said.items() if name.startswith("Thread oil")) == "all"
    assert not any(": " in name for name in said)


# ---- the planner's part ------------------------------------------------------------------------------------------
def test_the_planner_reads_by_what_it_was_proved() -> None:
    from procforge import __version__

    text = " ".join(words_in(review(BOOSTER).blocks))
    for wanted in (
        f"procforge {__version__}",
        "4 declared for this procedure",
        "The budget was not met",
        "Proved on every path",
        "K-202",
        "H2 before fit cage",
    ):
        assert wanted in text
    assert "fitter 1\u00a0h" in text


def faulty(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "procedures", tmp_path / "procedures")
    file = tmp_path / "procedures/booster" / BOOSTER.name
    whole = file.read_text(encoding="utf-8")
    cut = re.sub(r"step prove cylinder at PI-1 by fitter\n(  .*\n)+", "", whole)
    assert cut != whole
    file.write_text(cut.replace("step remove flywheel-pin by", "step remove flywheel-pinn by"), encoding="utf-8")
    return file


def test_a_procedure_that_is_not_sound_has_its_findings_first(tmp_path: Path) -> None:
    sheet = review(faulty(tmp_path))
    assert sheet.control.mark == f"{MARK} {NOT_PROVED}"
    first = next(b for b in sheet.blocks if isinstance(b, ListTable))
    assert first.head[0] == "Grade and rule"
    rules = {plain(line[0]).split()[-1] for line in first.rows}
    assert {"hold-before-proof", "unknown-name"} <= rules
    assert any("Shortest way there" in plain(line[2]) for line in first.rows)
    results = next(b for b in sheet.blocks if isinstance(b, ListTable) and b.head[0] == "Variant")
    assert all(plain(line[2]).startswith("Not proved") for line in results.rows)
    assert "1 line of the source could not be read." in " ".join(words_in(sheet.blocks))
    assert "kept" not in {
        plain(line[-1])
        for b in sheet.blocks
        if isinstance(b, ListTable) and b.head[0] == "House rule"
        for line in b.rows
    }


def test_a_waiver_stands_with_role_and_reason(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "procedures", tmp_path / "procedures")
    file = tmp_path / "procedures/booster" / BOOSTER.name
    whole = file.read_text(encoding="utf-8")
    changed = whole.replace(
        "step mark inlet-valve, outlet-valve with paint-pen by fitter\n",
        'step count inlet-valve by fitter\n  waive word-cannot-be-checked by rotating-engineer "Said at the tailboard."\n  "Count properly."\n'
        "step mark inlet-valve, outlet-valve with paint-pen by fitter\n",
    )
    assert changed != whole
    file.write_text(changed, encoding="utf-8")
    text = " ".join(words_in(review(file).blocks))
    assert "rotating engineer" in text
    assert "Said at the tailboard." in text


# ---- printed -----------------------------------------------------------------------------------------------------
def run(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    env = os.environ | {"PYTHONPATH": str(ROOT)}
    return subprocess.run(
        [sys.executable, "-m", "procforge", *map(str, arguments)], env=env, capture_output=True, text=True, timeout=120
    )


def test_the_command(tmp_path: Path) -> None:
    done = run("sheet", BOOSTER, "--review", "-o", tmp_path / "r.docx")
    assert (done.returncode, "review print, 4 variants" in done.stderr) == (0, True)
    for option in (("--unit", "K-101"), ("--model", "frame-S"), ("--service", "wet-gas")):
        refused = run("sheet", BOOSTER, "--review", *option, "-o", tmp_path / "no.docx")
        assert refused.returncode == 2
        assert "a review print holds every variant: leave out --model, --service and --unit" in refused.stderr
    assert not (tmp_path / "no.docx").exists()
    marked = run("sheet", faulty(tmp_path), "--review", "-o", tmp_path / "f.docx")
    assert (marked.returncode, (tmp_path / "f.docx").exists()) == (1, True)
    assert "not proved" in marked.stderr


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_schema_checker_finds_nothing_in_it(tmp_path: Path, pump: Path, paper: str) -> None:
    if not (os.environ.get("CI") or find_spec("openxml_audit")):
        pytest.skip("openxml-audit is not installed")
    from openxml_audit import OpenXmlValidator

    for number, file in enumerate((BOOSTER, pump)):
        path = tmp_path / f"{number}.docx"
        write_docx(review(file), path, paper=paper)
        assert [str(error) for error in OpenXmlValidator().validate(str(path)).errors] == []


def test_the_same_review_has_the_same_bytes() -> None:
    assert docx_bytes(review(BOOSTER)) == docx_bytes(review(BOOSTER))


def test_libreoffice_prints_every_step_once_and_the_mark_on_every_page(tmp_path: Path) -> None:
    if not (shutil.which("soffice") and shutil.which("pdftotext")):
        (pytest.fail if os.environ.get("CI") else pytest.skip)("soffice and pdftotext are needed")
    sheet = review(BOOSTER)
    write_docx(sheet, tmp_path / "r.docx")
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    subprocess.run(
        ["soffice", "--headless", profile, "--convert-to", "pdf", "--outdir", str(tmp_path), str(tmp_path / "r.docx")],
        check=True,
        capture_output=True,
        timeout=180,
    )
    raw = subprocess.run(
        ["pdftotext", "-raw", str(tmp_path / "r.pdf"), "-"], check=True, capture_output=True, text=True
    ).stdout
    pages = raw.split("\f")[:-1]
    assert len(pages) > 20
    assert all(MARK in page for page in pages)
    text = re.sub(r"(?<=\w)- ", "-", re.sub(r"\s+", " ", raw))
    start = text.index("Make safe Step Instruction")
    at = start
    for table in tables(sheet):
        for row in table.rows:
            if row.kind is ReviewKind.STEP:
                found = re.compile(rf"(?<![\w.]){re.escape(row.number)} line \d+").search(text, at)
                assert found, row.number
                at = found.end()
                assert len(re.findall(rf"(?<![\w.]){re.escape(row.number)} line \d+", text)) == 1, row.number
    for frame, torque in (("Frame S", "60 N·m"), ("Frame L", "75 N·m")):
        assert f"{frame} Tighten the cover nuts at the inlet pocket to {torque}" in text
