"""The format-neutral sheet: control data and blocks in the order they are printed.

Built once from a procedure for one variant; Word, page and PDF are made from it, and a completed sheet is read back by
the ids of its blanks. Everything is frozen and holds tuples, so an outline can be shared, hashed and compared.
`anchor` is a name that a `Run.to` can point at, unique in the sheet; "" for none.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import TypeAlias

from procforge.sheet.chart import Chart
from procforge.sheet.inline import Blank, BlankKind, Cell, Inline, Prose, Run, plain
from procforge.sheet.labels import Labels
from procforge.sheet.review_rows import ReviewSteps
from procforge.sheet.rows import (
    Arm,
    DecisionHead,
    Figure,
    GroupHead,
    GroupKind,
    HazardPanel,
    HoldBar,
    HoldKind,
    IsolatorRow,
    RoundHead,
    Row,
    Signal,
    StepRow,
    StopRow,
    TorquePass,
    TorqueRecord,
    WhereWeAre,
)

__all__ = [
    "AcceptanceRow",
    "AcceptanceTable",
    "Arm",
    "Blank",
    "BlankKind",
    "Block",
    "Cell",
    "Change",
    "ChartPages",
    "CloseOut",
    "Control",
    "DecisionHead",
    "Figure",
    "GroupHead",
    "GroupKind",
    "HazardPanel",
    "Heading",
    "HoldBar",
    "HoldKind",
    "Inline",
    "IsolatorRow",
    "KeyValues",
    "Labels",
    "ListTable",
    "NamePlate",
    "PageBreak",
    "Paragraph",
    "Prose",
    "ReviewSteps",
    "RoundHead",
    "Row",
    "Run",
    "Sheet",
    "Signal",
    "Signature",
    "StepRow",
    "Steps",
    "StopRow",
    "TorquePass",
    "TorqueRecord",
    "Turn",
    "WhereWeAre",
    "plain",
]


class Turn(StrEnum):
    """Which way up a page lies."""

    PORTRAIT = "portrait"
    LANDSCAPE = "landscape"


@dataclass(frozen=True, slots=True)
class Signature:
    """One who signs: the task ("Approved"), the role, a printed name and date, and blanks where they are signed."""

    task: str
    role: str = ""
    name: str = ""
    date: str = ""
    blanks: tuple[Blank, ...] = ()


@dataclass(frozen=True, slots=True)
class Change:
    """One revision and what it changed; `date` as YYYY-MM-DD."""

    revision: str
    date: str
    text: str


# ---- blocks ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading; `level` from 1 to 3, `number` as printed ("4", "4.1") so that every format counts alike."""

    text: str
    level: int = 1
    number: str = ""
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph; a `bullet` is one line of a list."""

    text: Prose
    bullet: bool = False
    strong: bool = False


@dataclass(frozen=True, slots=True)
class KeyValues:
    """Pairs of label and value, set in one or two pairs a line."""

    rows: tuple[tuple[str, Cell], ...]
    title: str = ""
    columns: int = 1


@dataclass(frozen=True, slots=True)
class ListTable:
    """A table with a header row; `widths` are shares of the text width (empty: equal), `centred` column numbers."""

    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    title: str = ""
    widths: tuple[float, ...] = ()
    centred: tuple[int, ...] = ()
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class AcceptanceRow:
    """One feature judged: its limit, the measured value, the result (a choice) and who decided."""

    feature: Prose
    limit: Prose
    measured: Blank | None = None
    verdict: Blank | None = None
    by: Blank | None = None
    number: str = ""


@dataclass(frozen=True, slots=True)
class AcceptanceTable:
    """What is judged between out and in, one row a feature."""

    rows: tuple[AcceptanceRow, ...]
    title: str = ""
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Steps:
    """One table of steps, holds and decisions; usually one a section."""

    rows: tuple[Row, ...]
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class CloseOut:
    """What is left at the end: tables (parts used, as-left), remarks, signatures, and where the sheet is kept."""

    tables: tuple[ListTable | KeyValues, ...] = ()
    remarks: tuple[Blank, ...] = ()
    signatures: tuple[Signature, ...] = ()
    kept: str = ""


@dataclass(frozen=True, slots=True)
class ChartPages:
    """A chart, printed as an overview and one chart a section if it does not fit a page."""

    chart: Chart


@dataclass(frozen=True, slots=True)
class PageBreak:
    """A new page, lying as `turn` says from here on."""

    turn: Turn = Turn.PORTRAIT


Block: TypeAlias = (
    Heading
    | Paragraph
    | KeyValues
    | ListTable
    | HazardPanel
    | Steps
    | ReviewSteps
    | AcceptanceTable
    | TorqueRecord
    | Figure
    | WhereWeAre
    | CloseOut
    | ChartPages
    | PageBreak
)


# ---- the sheet ---------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class NamePlate:
    """The first thing on the sheet: what the name-plate must read (label, value, blank), and a tick that it does."""

    rows: tuple[tuple[str, str, Blank | None], ...]
    tick: Blank | None = None


@dataclass(frozen=True, slots=True)
class Control:
    """What every page says of the sheet. Dates as YYYY-MM-DD; `source_hash` in hex; `tag` the equipment's; `logo` a whole PNG.

    `mark` is printed on every page when the print is not for the field ("Review print, not for field use").
    """

    title: str
    number: str
    revision: str
    date: str
    status: str
    source_hash: str
    tag: str = ""
    equipment: str = ""
    model: str = ""
    service: str = ""
    serial: str = ""
    organisation: str = ""
    work_order: Blank | None = None
    purpose: str = ""
    references: tuple[str, ...] = ()
    signatures: tuple[Signature, ...] = ()
    changes: tuple[Change, ...] = ()
    mark: str = ""
    logo: bytes = b""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A whole sheet for one tag or one model and service; `turn` is how its first pages lie."""

    control: Control
    blocks: tuple[Block, ...]
    name_plate: NamePlate | None = None
    labels: Labels = field(default_factory=Labels)
    turn: Turn = Turn.PORTRAIT
