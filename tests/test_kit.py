"""The kit: counted on the tree of work against counts over all paths, written so that a spreadsheet cannot be tricked."""

from __future__ import annotations

import csv
import io
import itertools
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from procforge.cli import app
from procforge.model.base import Variant
from procforge.model.procedure import AnyWork, Ask, Group, Mark, Procedure, Ref, Repeat, Step, When
from procforge.plan.kit import PARTS, kit
from procforge.plan.need import need
from procforge.plan.tables import csv_bytes, xlsx_bytes
from procforge.stages import check_all

ROOT = Path(__file__).parent.parent
BOOSTER = ROOT / "procedures/booster/valve-service.proc"
ANY = Variant.make(model="", service="")


# ---- counts against every path, written out --------------------------------------------------------------------------
def paths(body: tuple[AnyWork, ...]) -> Iterator[tuple[Counter[str], bool]]:
    """Every way through a body, each decision free: what is renewed, and whether the job goes on behind it."""
    if not body:
        yield Counter(), True
        return
    first, rest = body[0], body[1:]
    for count, goes_on in one(first):
        if goes_on:
            for more, still in paths(rest):
                yield count + more, still
        else:
            yield count, False


def one(work: AnyWork) -> Iterator[tuple[Counter[str], bool]]:
    match work:
        case Step():
            yield Counter(ref.name for ref in work.objects), True
        case Mark():
            yield Counter(), work.form != "stop"
        case Ask():
            yield from itertools.chain(paths(work.yes), paths(work.no))
        case When():
            yield from itertools.chain(paths(work.body), paths(work.otherwise))
        case Repeat():
            for rounds in range(1, work.times + 1):
                for way in itertools.product(list(paths(work.body)), repeat=rounds):
                    total = sum((count for count, _ in way), Counter[str]())
                    yield total, all(on for _, on in way)
                    if rounds == work.times:
                        for last, on in paths(work.otherwise or ()):
                            yield total + last, on
        case Group():
            for way in itertools.product(*(list(paths(lane)) for lane in work.lanes)):
                yield sum((count for count, _ in way), Counter[str]()), all(on for _, on in way)


def renewed(name: str) -> Step:
    return Step.make(kind="step", verb="renew", objects=(Ref.make(name=name),))


leaves = st.sampled_from(["a", "b"]).map(renewed)


def bodies(inner: st.SearchStrategy[AnyWork]) -> st.SearchStrategy[AnyWork]:
    body = st.lists(inner, max_size=2).map(tuple)
    return st.one_of(
        st.builds(lambda y, n: Ask.make(kind="ask", text="?", yes=y, no=n, answered=("yes", "no")), body, body),
        st.builds(lambda y, n: When.make(kind="when", check="c", accepted=True, body=y, otherwise=n), body, body),
        st.builds(
            lambda b, o, n: Repeat.make(kind="repeat", check="c", times=n, body=b, otherwise=o),
            body,
            body,
            st.integers(1, 2),
        ),
        st.builds(
            lambda lanes: Group.make(kind="group", form="together", lanes=lanes), st.lists(body, max_size=2).map(tuple)
        ),
    )


@settings(max_examples=150, deadline=None)
@given(st.lists(st.recursive(leaves, bodies, max_leaves=5), max_size=3).map(tuple))
def test_the_most_is_the_most_over_all_paths(body: tuple[AnyWork, ...]) -> None:
    most: Counter[str] = Counter()
    for count, _ in paths(body):
        most |= count
    found = need(Procedure.make(body=body), ANY)
    assert +found.most == most
    assert all(found.likely[name] <= found.most[name] for name in found.likely)


def test_a_stop_ends_what_is_counted() -> None:
    body = (
        Ask.make(kind="ask", text="Gas?", yes=(renewed("a"), Mark.make(kind="mark", form="stop")), no=(renewed("b"),)),
    )
    found = need(Procedure.make(body=body), ANY)
    assert found.most == Counter(a=1, b=1)
    assert +found.likely == Counter(b=1), "the way that goes on is the likely one"


def test_the_demo_by_hand() -> None:
    """Booster, both pockets: 2 gaskets always; a belt set, 2 cover rings and 2 x 3 sets of plates if rejected."""
    case = check_all([BOOSTER], (), ())[0].case
    assert case is not None
    lines = {line.name: line for line in kit(case.procedure, case.variants[0], str)}
    assert (lines["valve-gasket"].most, lines["valve-gasket"].likely) == (2, 2)
    assert (lines["belt"].most, lines["belt"].likely) == (1, 0)
    assert (lines["cover-ring"].most, lines["cover-ring"].likely) == (2, 0)
    # a rebuild after the first look, and one in each of the two rounds of the drip test, at each of two valves
    assert (lines["plates"].most, lines["plates"].likely) == (6, 0)
    assert lines["locks"].most == 6, "five isolating devices and the drain are locked"
    assert lines["torque-wrench"].calibrated
    for_three = {line.name: line for line in kit(case.procedure, case.variants[0], str, 3)}
    assert for_three["valve-gasket"].most == 6
    assert for_three["torque-wrench"].most == 1, "a tool goes from machine to machine"
    assert {line.group for line in lines.values()} >= {PARTS, "Instruments", "Locks and tags", "Protective wear"}


# ---- tables -----------------------------------------------------------------------------------------------------------
NASTY = ["=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "\t=1", "\r=1", '=HYPERLINK("http://x")', "\uff1d1"]


@pytest.mark.parametrize("text", NASTY)
def test_text_never_becomes_a_formula(text: str) -> None:
    row = list(csv.reader(io.StringIO(csv_bytes(("Item",), [[text]]).decode("utf-8-sig"), newline="")))[1]
    assert row == [f"'{text}"]
    cell = openpyxl.load_workbook(io.BytesIO(xlsx_bytes("Kit", ("Item",), [[text]]))).active["A2"]
    assert cell.data_type == "s"
    assert cell.hyperlink is None


def test_numbers_stay_numbers() -> None:
    rows = [["a", Fraction(2), Fraction(1, 2), None, -3]]
    text = csv_bytes(("Item", "n", "m", "none", "minus"), rows).decode("utf-8-sig")
    assert text.splitlines()[1] == "a,2,0.5,,-3"
    sheet = openpyxl.load_workbook(io.BytesIO(xlsx_bytes("Kit", ("Item", "n", "m", "none", "minus"), rows))).active
    assert [cell.value for cell in sheet[2]] == ["a", 2, 0.5, None, -3]


def test_the_same_bytes_each_time() -> None:
    assert xlsx_bytes("Kit", ("a",), [["x", 1]]) == xlsx_bytes("Kit", ("a",), [["x", 1]])


# ---- the command -------------------------------------------------------------------------------------------------------
def test_the_kit_of_all_variants_as_a_workbook(tmp_path: Path) -> None:
    out = tmp_path / "kit.xlsx"
    result = CliRunner().invoke(app, ["kit", str(BOOSTER), "-o", str(out), "--machines", "2"])
    assert result.exit_code == 0, result.output
    rows = list(openpyxl.load_workbook(out).active.iter_rows(values_only=True))
    assert rows[0][:4] == ("Procedure", "Revision", "For", "Group")
    assert len({row[2] for row in rows[1:]}) == 4, "two models and two services"
    gaskets = [row for row in rows if row[4] == "Valve gasket"]
    assert {(row[6], row[7]) for row in gaskets} == {(4, 4)}


@pytest.mark.parametrize(
    ("options", "reason"),
    [
        (["-o", "kit.txt"], ".csv or .xlsx"),
        (["--machines", "0"], "one machine or more"),
        (["-m", "frame-Z"], "frame-Z"),
        (["-o", "nowhere/kit.csv"], "no folder"),
    ],
)
def test_a_wrong_use_is_said(options: list[str], reason: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    result = CliRunner().invoke(app, ["kit", str(BOOSTER), *options])
    assert result.exit_code == 2
    assert reason in result.output
    assert not list(tmp_path.iterdir()), "nothing is half-written"
