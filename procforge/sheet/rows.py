"""The parts of a sheet that stand inside tables: panels, figures, and the rows of a step table.

Rows carry a `level`: 0 on the main way, one more inside each head (`Arm`, `RoundHead`, `GroupHead`). A head of level n
holds the rows after it up to the next row of level n or less; `procforge.sheet.walk.nested` gives them so.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TypeAlias

from procforge.sheet.drawing import Drawing
from procforge.sheet.inline import Blank, Prose


class Signal(StrEnum):
    """The signal words of ANSI Z535.6, gravest first; the first three carry the safety alert symbol."""

    DANGER = "danger"
    WARNING = "warning"
    CAUTION = "caution"
    NOTICE = "notice"


class HoldKind(StrEnum):
    """Hold: nothing goes on before release; witness: goes on after notice; review: papers only."""

    HOLD = "hold"
    WITNESS = "witness"
    REVIEW = "review"


class GroupKind(StrEnum):
    """How the rows under a group head stand to each other."""

    ANY_ORDER = "any-order"
    TOGETHER = "together"
    LANE = "lane"
    VARIANT = "variant"
    PLAIN = "plain"


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture: a `drawing` of ours, PNG or JPEG bytes, or a path to such a file.

    `svg` stands beside bytes for formats that draw vectors. `width` in mm (0: natural size at 96 dpi, never wider than the text). `alt` says what it shows, for those who
    cannot see it; it is never empty.
    """

    alt: str
    caption: str = ""
    number: str = ""
    drawing: Drawing | None = None
    png: bytes = b""
    path: Path | None = None
    svg: str = ""
    width: float = 0.0
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class HazardPanel:
    """A warning in the ANSI Z535.6 manner: hazard and place, consequence, avoidance; holds no work.

    `avoid` are the lines on how to keep out of it, `wear` the protective wear. Stands alone in the summary or, by
    `StepRow.hazards`, just before the step that meets it. Only a hazard to a `person` carries the safety alert symbol,
    whatever a site calls it.
    """

    signal: Signal
    hazard: str
    consequence: str = ""
    avoid: tuple[Prose, ...] = ()
    wear: tuple[str, ...] = ()
    place: str = ""
    anchor: str = ""
    person: bool = True


# ---- rows of a step table ----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class IsolatorRow:
    """One isolating device of a step: `position` in words ("shut and locked"), its tick, lock number and initials."""

    device: str
    position: str
    tag: str = ""
    number: str = ""
    tick: Blank | None = None
    lock: Blank | None = None
    initials: Blank | None = None


@dataclass(frozen=True, slots=True)
class TorquePass:
    """One pass: `level` ("30 %"), `torque` with its unit, `order` in words; `time` is the clock of a timed pass."""

    number: str
    torque: Prose
    level: str = ""
    order: str = ""
    tick: Blank | None = None
    reading: Blank | None = None
    initials: Blank | None = None
    time: Blank | None = None


@dataclass(frozen=True, slots=True)
class TorqueRecord:
    """Torque data and its record, at its step or as a block; `data` are further lines (label, text).

    `blanks` are the wrench's id and calibration and the like.
    """

    joint: str
    bolts: str = ""
    lubricant: str = ""
    target: Prose = ""
    pattern: str = ""
    passes: tuple[TorquePass, ...] = ()
    data: tuple[tuple[str, Prose], ...] = ()
    blanks: tuple[Blank, ...] = ()
    figure: Figure | None = None
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class StepRow:
    """A step. Printed before it: `hazards`. In it: instruction sentences, then `details`, all at reading size.

    `title` is the short name charts use; `key` the step's identity in the model (blank ids start from it); `expect`
    what shows that it went right, `limit` the printed limit of its reading; `tick` the place-keeping box; `otherwise`
    the box for "not needed / done otherwise / could not". `blanks` get a row each: readings, times, serials, choices.
    """

    number: str
    instruction: tuple[Prose, ...]
    key: str = ""
    title: str = ""
    details: tuple[Prose, ...] = ()
    expect: Prose = ""
    limit: Prose = ""
    by: str = ""
    takes: str = ""
    tick: Blank | None = None
    initials: Blank | None = None
    second: Blank | None = None
    otherwise: Blank | None = None
    blanks: tuple[Blank, ...] = ()
    hazards: tuple[HazardPanel, ...] = ()
    isolators: tuple[IsolatorRow, ...] = ()
    torque: TorqueRecord | None = None
    figures: tuple[Figure, ...] = ()
    level: int = 0
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class HoldBar:
    """A bar across the page: number ("H1"), what is seen, by which role, by what criterion, and its blanks."""

    number: str
    text: str
    role: str
    criterion: Prose = ""
    kind: HoldKind = HoldKind.HOLD
    blanks: tuple[Blank, ...] = ()
    key: str = ""
    level: int = 0
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class DecisionHead:
    """A question whose answers are the `Arm` rows with the same `decision`, at the same level, after it."""

    decision: str
    text: str
    number: str = ""
    level: int = 0
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Arm:
    """One way of a decision and head of its rows: `label` ("YES", "REJECTED", "EITHER"), `text` ("If … rejected:").

    `when` names the entries (blank id, value) that open it by themselves; `goes` says where the way leads on when it
    holds no rows ("go on to step 4.3"). An arm may stand without a `DecisionHead`.
    """

    decision: str
    label: str
    text: Prose = ""
    goes: Prose = ""
    tick: Blank | None = None
    when: tuple[tuple[str, str], ...] = ()
    key: str = ""
    level: int = 0


@dataclass(frozen=True, slots=True)
class RoundHead:
    """Head of one round of a repeat: `number` of at most `most`; its rows have blanks of their own."""

    repeat: str
    number: int
    most: int
    text: Prose = ""
    level: int = 0


@dataclass(frozen=True, slots=True)
class GroupHead:
    """Head of rows in any order, of work side by side and each lane of it, or of rows for one variant only."""

    kind: GroupKind
    text: Prose = ""
    level: int = 0
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class StopRow:
    """The way ends here: why, whom to call, and blanks for when and by whom it was stopped."""

    text: Prose
    call: str = ""
    blanks: tuple[Blank, ...] = ()
    key: str = ""
    level: int = 0
    anchor: str = ""
    number: str = ""


@dataclass(frozen=True, slots=True)
class WhereWeAre:
    """The state at a stopping place: locks on, open joints, parts out, last proof; and how to come back.

    A row in a step table or a block; `own_page` gives it a page that can be handed over.
    """

    title: str
    state: tuple[tuple[str, Prose], ...]
    come_back: tuple[Prose, ...] = ()
    blanks: tuple[Blank, ...] = ()
    own_page: bool = False
    key: str = ""
    level: int = 0
    anchor: str = ""
    number: str = ""


Row: TypeAlias = (
    StepRow | HazardPanel | HoldBar | DecisionHead | Arm | RoundHead | GroupHead | StopRow | WhereWeAre | Figure
)
