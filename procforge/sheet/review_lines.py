"""A row of a field sheet as lines to read: everything it says and asks to be recorded, without a place to enter it."""

from __future__ import annotations

from procforge.sheet.inline import Blank, BlankKind, Prose, Run, limit_words, plain
from procforge.sheet.labels import Labels
from procforge.sheet.review_rows import Line, ReviewKind
from procforge.sheet.rows import (
    Arm,
    DecisionHead,
    Figure,
    GroupHead,
    GroupKind,
    HazardPanel,
    HoldBar,
    HoldKind,
    RoundHead,
    Row,
    StepRow,
    StopRow,
    TorqueRecord,
    WhereWeAre,
)
from procforge.sheet.walk import blanks_in


def kind_of(row: Row) -> ReviewKind:
    """What the row is in the review print."""
    match row:
        case StepRow(number=""):
            return ReviewKind.PLAIN
        case StepRow():
            return ReviewKind.STEP
        case HoldBar():
            return ReviewKind.HOLD
        case DecisionHead():
            return ReviewKind.DECISION
        case Arm():
            return ReviewKind.ARM
        case StopRow():
            return ReviewKind.STOP
        case RoundHead() | GroupHead() | WhereWeAre():
            return ReviewKind.HEAD
    return ReviewKind.PLAIN


def identity(row: Row) -> tuple[str, ...]:
    """What a row is, whatever its number and its values; words only where nothing else tells it."""
    match row:
        case StepRow(key=""):
            return "text", plain(row.instruction[0]) if row.instruction else ""
        case StepRow() | HoldBar() | Arm() | StopRow() | WhereWeAre():
            return type(row).__name__, row.key
        case DecisionHead():
            return "decision", row.decision
        case RoundHead():
            return "round", row.repeat, str(row.number)
        case GroupHead():
            return "group", row.kind.value, plain(row.text)
        case HazardPanel():
            return "hazard", row.hazard
    return "figure", row.alt, row.caption


def key_of(row: Row) -> str:
    """The identity in the model of the statement a row stands for, with its ending (`/yes`, `#2`); "" for none."""
    if isinstance(row, DecisionHead | RoundHead):
        return row.decision if isinstance(row, DecisionHead) else row.repeat
    return str(getattr(row, "key", ""))


def lines_of(row: Row, labels: Labels) -> tuple[Line, ...]:
    """Every line of a row."""
    match row:
        case StepRow():
            return _step(row, labels)
        case HazardPanel():
            return (_hazard(row),)
        case HoldBar():
            word, who = {
                HoldKind.HOLD: (labels.hold, labels.released_by),
                HoldKind.WITNESS: (labels.witness, labels.witnessed_by),
                HoldKind.REVIEW: (labels.review, labels.reviewed_by),
            }[row.kind]
            made = [Line(row.text, word)]
            made += [Line(row.criterion, labels.released_if)] if row.criterion else []
            return (*made, Line(row.role, who))
        case DecisionHead():
            return (Line(row.text),)
        case Arm():
            both = [part for text in (row.text, row.goes) if text for part in (*_parts(text), " ")]
            return (Line(tuple(both[:-1])),) if both else ()
        case RoundHead():
            return (Line(row.text, f"{labels.round} {row.number} {labels.page_of} {row.most}"),)
        case GroupHead():
            word = {GroupKind.ANY_ORDER: labels.any_order, GroupKind.TOGETHER: labels.together}.get(row.kind, "")
            return (Line(row.text, word),)
        case StopRow():
            return tuple(Line(text) for text in (row.text, row.call) if text)
        case WhereWeAre():
            made = [Line(text, name) for name, text in row.state]
            made += [Line(text, labels.come_back) for text in row.come_back]
            return (Line((Run(row.title, strong=True),)), *made)
    return (_figure(row, labels),)


def _step(row: StepRow, labels: Labels) -> tuple[Line, ...]:
    made = [_hazard(panel) for panel in row.hazards]
    made += [Line(text) for text in (*row.instruction, *row.details)]
    made += [Line(text, name) for name, text in ((labels.expect, row.expect), (labels.limit, row.limit)) if text]
    for device in row.isolators:
        name = " ".join(filter(None, (device.tag, device.device)))
        made.append(Line((f"{name}: ", Run(device.position, strong=True))))
    if row.torque:
        made += _torque(row.torque, labels)
    made += [_figure(figure, labels) for figure in row.figures]
    asked = _asked(row)
    who = ", ".join(filter(None, (row.by, row.takes)))
    if who and asked:
        made.append(Line((who, Run("   Record: ", strong=True), asked), labels.by))
    elif who or asked:
        made.append(Line(who or asked, labels.by if who else "Record"))
    return tuple(made)


def _hazard(panel: HazardPanel) -> Line:
    return Line(panel.hazard + (f" ({panel.place})" if panel.place else ""), signal=panel.signal)


def _figure(figure: Figure, labels: Labels) -> Line:
    return Line(figure.caption or figure.alt, f"{labels.figure} {figure.number}".strip())


def _torque(record: TorqueRecord, labels: Labels) -> list[Line]:
    """Bolts, lubricant, target, pattern, passes with their values, and what else stands at the joint."""
    made = [
        Line(text, name)
        for name, text in (
            (f"{labels.torque}, {record.joint}", record.bolts), (labels.lubricant, record.lubricant),
            (labels.target, record.target), (labels.pattern, record.pattern),
        )
        if text
    ]  # fmt: skip
    for one in record.passes:
        level = f"{one.level}: " if one.level else ""
        order = f", {one.order}" if one.order else ""
        made.append(Line((level, plain(one.torque), order), f"{labels.pass_} {one.number}"))
    return made + [Line(text, name) for name, text in record.data]


def _asked(row: StepRow) -> str:
    """What is to be written down at the step, in words with unit and limits."""
    words = [_entry(blank) for blank in row.blanks if blank.kind is not BlankKind.TICK]
    if any(device.lock for device in row.isolators):
        words.append("lock number of each device")
    if row.torque:
        words += [_entry(blank) for blank in row.torque.blanks]
        if any(one.reading for one in row.torque.passes):
            words.append("a reading for each pass")
    if row.initials or any(blank.kind is BlankKind.INITIALS for blank in blanks_in((row.isolators, row.torque))):
        words.append("initials")
    if row.second:
        words.append("second initials")
    return "; ".join(dict.fromkeys(words))


def _entry(blank: Blank) -> str:
    if blank.choices:
        return f"{blank.label}: {' or '.join(blank.choices)}"
    limit = plain(limit_words(blank))
    return blank.label + (f" ({limit})" if limit else f" in {blank.unit}" if blank.unit else "")


def _parts(text: Prose) -> tuple[str | Run, ...]:
    return text if isinstance(text, tuple) else (text,)


def words_of(text: Prose) -> str:
    """Words without manner, spaces folded: what two variants are compared by."""
    return " ".join(plain(text).split())
