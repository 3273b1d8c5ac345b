"""The sheets of every shipped procedure and variant, by readers that share no code with the writer.

A schema checker, a lint of our own, and LibreOffice's print as text.
"""

from __future__ import annotations

import os
import re
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from importlib.util import find_spec
from pathlib import Path

import pytest
from printing import pages_of
from wordlint import lint

from procforge.render.word import docx_bytes
from procforge.resolve.load import Library
from procforge.sheet.build import build_sheet
from procforge.sheet.outline import (
    Arm,
    DecisionHead,
    HazardPanel,
    HoldBar,
    Prose,
    Row,
    Sheet,
    StepRow,
    Steps,
    StopRow,
    WhereWeAre,
    plain,
)
from procforge.sheet.profile import Profile, labels_of
from procforge.stages import check_all, source_hash

PROCEDURES = Path(__file__).parent.parent / "procedures"


@dataclass(frozen=True)
class Made:
    """One sheet: its outline, its file, its pages as LibreOffice prints them."""

    name: str
    sheet: Sheet
    data: bytes
    pages: list[str]

    @property
    def text(self) -> str:
        """All pages in a row, without the running heads and feet."""
        return " ".join(self.pages)


@pytest.fixture(scope="module")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> list[Made]:
    """Every procedure on every variant, printed in one run."""
    folder = tmp_path_factory.mktemp("shipped")
    sheets: list[tuple[str, Sheet, bytes]] = []
    for entry in check_all(sorted(PROCEDURES.rglob("*.proc"))):
        case = entry.case
        assert case is not None
        for variant in case.variants:
            built = build_sheet(
                case.procedure, variant, source_hash=source_hash(Library(), entry.path), proof=case.proof,
                labels=labels_of(case.site), profile=Profile.of(case.site),
            )  # fmt: skip
            sheets.append((f"{entry.path.parent.name}/{entry.path.stem} {variant.name}", built, docx_bytes(built)))
    files = []
    for at, (_, _, data) in enumerate(sheets):
        files.append(folder / f"sheet-{at:03d}.docx")
        files[-1].write_bytes(data)
    pages = pages_of(files, folder)
    return [Made(name, built, data, pages[at]) for at, (name, built, data) in enumerate(sheets)]


def folded(text: Prose) -> str:
    """Words as they are compared: spaces folded, and no space after a hyphen, where a line may end."""
    return re.sub(r"(?<=\w)- ", "-", " ".join(plain(text).split()))


def rows_of(sheet: Sheet) -> list[Row]:
    """The rows of all step tables in printed order."""
    return [row for block in sheet.blocks if isinstance(block, Steps) for row in block.rows]


def test_the_shipped_procedures_are_here(shipped: list[Made]) -> None:
    assert len({made.name.split()[0] for made in shipped}) >= 8
    assert len(shipped) > len({made.name.split()[0] for made in shipped})  # some have several variants


def test_the_lint_finds_nothing(shipped: list[Made]) -> None:
    assert {made.name: found for made in shipped if (found := lint(made.data))} == {}


def test_the_schema_checker_finds_nothing(shipped: list[Made], tmp_path: Path) -> None:
    if not (os.environ.get("CI") or find_spec("openxml_audit")):
        pytest.skip("openxml-audit is not installed")
    from openxml_audit import OpenXmlValidator

    checker = OpenXmlValidator()
    for made in shipped:
        path = tmp_path / "sheet.docx"
        path.write_bytes(made.data)
        assert [str(error) for error in checker.validate(str(path)).errors] == [], made.name


def page_faults(made: Made) -> list[str]:
    """Pages that do not say which of how many they are, and of what."""
    number, count = made.sheet.control.number, len(made.pages)
    return [
        f"page {at}"
        for at, page in enumerate(made.pages, 1)
        if f"Page {at} of {count}" not in page or number not in page
    ]


def step_faults(made: Made) -> list[str]:
    """Steps whose number, role, time and first words do not stand together in the print exactly once."""
    steps = [row for row in rows_of(made.sheet) if isinstance(row, StepRow) and row.number]
    return [head for head in map(_head, steps) if len(re.findall(rf"(?<![\w.]){re.escape(head)}", made.text)) != 1]


def bar_faults(made: Made) -> list[str]:
    """Holds, stops and handovers that are not printed exactly once."""
    wanted = [rf"POINT {re.escape(row.number)}\b" for row in rows_of(made.sheet) if isinstance(row, HoldBar)]
    wanted += [
        rf"(?<![\w.]){re.escape(row.number)} (?:Stop|Where)"
        for row in rows_of(made.sheet)
        if isinstance(row, StopRow | WhereWeAre) and row.number
    ]
    return [pattern for pattern in wanted if len(re.findall(pattern, made.text)) != 1]


def hazard_faults(made: Made) -> list[str]:
    """Panels (signal word, hazard, place, consequence) not printed as often as steps meet them."""
    met = Counter(_panel(panel) for row in rows_of(made.sheet) for panel in _panels(row))
    return [
        f"{words}: {made.text.count(words)}, not {times}"
        for words, times in met.items()
        if made.text.count(words) != times
    ]


def order_faults(made: Made) -> list[str]:
    """Where the print leaves the order of the sheet: warnings, steps, questions, answers, holds, stops."""
    at = 0
    for row in rows_of(made.sheet):
        for words in _lines(row):
            found = made.text.find(words, at)
            if found < 0:
                return [f"{words!r} is not printed after {made.text[max(0, at - 60) : at]!r}"]
            at = found + len(words)
    return []


def parted_faults(made: Made) -> list[str]:
    """Steps that do not stand on the page of their warnings, after them."""
    out = []
    for row in rows_of(made.sheet):
        if isinstance(row, StepRow) and row.number and row.hazards:
            before = next((page.partition(_head(row))[0] for page in made.pages if _head(row) in page), "")
            out += [row.number for panel in row.hazards if _panel(panel) not in before]
    return out


CHECKS = (page_faults, step_faults, bar_faults, hazard_faults, order_faults, parted_faults)


@pytest.mark.parametrize("check", CHECKS)
def test_the_print_holds_all_of_the_sheet(shipped: list[Made], check: Callable[[Made], list[str]]) -> None:
    assert {made.name: found for made in shipped if (found := check(made))} == {}


def test_there_was_much_to_find(shipped: list[Made]) -> None:
    rows = [row for made in shipped for row in rows_of(made.sheet)]
    assert sum(isinstance(row, StepRow) for row in rows) > 500
    assert sum(isinstance(row, HoldBar) for row in rows) > 20
    assert sum(len(_panels(row)) for row in rows) > 100


def test_each_check_can_fail(shipped: list[Made]) -> None:
    """A print with a page less, a step twice, a bar gone, a panel gone, two pages changed about, a panel left behind."""
    made = next(one for one in shipped if one.name.startswith("booster"))
    hold = next(f"POINT {row.number}" for row in rows_of(made.sheet) if isinstance(row, HoldBar))
    step = next(row for row in rows_of(made.sheet) if isinstance(row, StepRow) and row.hazards)
    panel = _panel(step.hazards[0])
    at = next(n for n, page in enumerate(made.pages) if panel in page)
    without = made.pages[at].replace(panel, "", 1)

    def spoilt(pages: list[str]) -> Made:
        return replace(made, pages=pages)

    first, last = made.pages[at], made.pages[at + 1]
    moved = [*made.pages[:at], without, *made.pages[at + 1 :], panel]
    cases = (
        (page_faults, made.pages[:-1]),
        (step_faults, [*made.pages, _head(step)]),
        (bar_faults, [page.replace(hold, "") for page in made.pages]),
        (hazard_faults, [*made.pages[:at], without, *made.pages[at + 1 :]]),
        (order_faults, [*made.pages[:at], last, first, *made.pages[at + 2 :]]),
        (parted_faults, moved),
    )
    assert {check for check, _ in cases} == set(CHECKS)
    for check, pages in cases:
        assert check(spoilt(pages)), check.__name__


def _head(step: StepRow) -> str:
    """A step's number, role, time and first sentence as they stand together."""
    return " ".join(filter(None, (step.number, step.by, folded(step.takes), folded(step.instruction[0]))))


def _panels(row: Row) -> tuple[HazardPanel, ...]:
    return (row,) if isinstance(row, HazardPanel) else row.hazards if isinstance(row, StepRow) else ()


def _panel(panel: HazardPanel) -> str:
    place = f" (at {panel.place})" if panel.place else ""
    return folded(f"{panel.signal.value.upper()} {panel.hazard}{place}. {panel.consequence}").strip()


def _lines(row: Row) -> list[str]:
    match row:
        case StepRow():
            return [*map(_panel, row.hazards), *map(folded, row.instruction)]
        case HazardPanel():
            return [_panel(row)]
        case HoldBar():
            return [f"POINT {row.number}", folded(row.text), row.role]
        case DecisionHead():
            return [folded(row.text)]
        case Arm():
            return [row.label, folded(row.goes)] if row.goes else [row.label]
        case StopRow():
            return [folded(row.text), folded(row.call)]
    return []


def test_no_page_is_left_nearly_empty(shipped: list[Made]) -> None:
    """No page has less than an eighth of the words of the middle one: nothing strays onto a page of its own."""
    thin = []
    for made in shipped:
        full = sorted(len(page) for page in made.pages)[len(made.pages) // 2]
        thin += [(made.name, at) for at, page in enumerate(made.pages, 1) if len(page) < full / 8]
    assert thin == []
