"""Sheets whose rows move down the page: what must stand together is marked by words found nowhere else.

A unit is what belongs together; its marks are words at the first and last line of each of its rows. The filler before
it, the paper, the length of the texts and the order of the units change from layout to layout.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from word_samples import rich_sheet

from procforge.sheet.outline import (
    Arm,
    Blank,
    BlankKind,
    DecisionHead,
    GroupHead,
    GroupKind,
    HazardPanel,
    Heading,
    HoldBar,
    IsolatorRow,
    RoundHead,
    Row,
    Sheet,
    Signal,
    StepRow,
    Steps,
    StopRow,
    TorquePass,
    TorqueRecord,
)

LAYOUTS = 24
_WORDS = "Turn the spindle slowly and watch the needle of the gauge while the pressure falls "


@dataclass(frozen=True)
class Layout:
    """A sheet, its paper, and the groups of marks each of which must be on one page."""

    sheet: Sheet
    paper: str
    together: tuple[tuple[str, ...], ...]


class _Maker:
    def __init__(self, at: int) -> None:
        self.at = at
        self.count = 0
        self.rows: list[Row] = []
        self.together: list[tuple[str, ...]] = []

    def mark(self) -> str:
        self.count += 1
        return f"Q{self.at:02d}M{self.count:03d}Z"

    def long(self, first: str, last: str, lines: int) -> str:
        """About so many lines of text from one mark to the other."""
        return f"{first} {(_WORDS * 9)[: 55 * max(0, lines - 1)].rpartition(' ')[0]} {last}".replace("  ", " ")

    def step(self, lines: int = 1, level: int = 0, **more: object) -> list[str]:
        first, last = self.mark(), self.mark()
        key = f"s{self.at}.{self.count}"
        made = StepRow(
            f"1.{self.count}", (self.long(first, last, lines),), key, by="fitter", level=level,
            tick=Blank(f"{key}/done", BlankKind.TICK, "done"),
            otherwise=Blank(f"{key}/otherwise", BlankKind.CHOICE, "otherwise", choices=("not needed", "could not")),
            **more,  # type: ignore[arg-type]
        )  # fmt: skip
        self.rows.append(made)
        return [first, last]

    def hazard(self) -> None:
        panels, marks = [], []
        for signal in (Signal.DANGER, Signal.CAUTION)[: 1 + self.at % 2]:
            first, last = self.mark(), self.mark()
            lines = ("Keep out of the jet.", self.long("Stand back.", last, 1 + self.at % 3))
            panels.append(HazardPanel(signal, f"{first} jet", "It kills.", lines))
            marks += [first, last]
        self.together.append((*marks, *self.step(2, hazards=tuple(panels))))

    def decision(self) -> None:
        head, last, arm, other = self.mark(), self.mark(), self.mark(), self.mark()
        key = f"d{self.at}.{self.count}"
        number = f"9.{self.count}" if self.at % 2 else ""
        self.rows.append(DecisionHead(key, self.long(head, last, 1 + self.at % 3), number))
        self.rows.append(Arm(key, "YES", arm, "Go on below.", key=f"{key}/yes"))
        self.rows.append(Arm(key, "NO", other, key=f"{key}/no"))
        self.together.append((head, last, arm))
        self.together.append((other, *self.step(1, level=1)))

    def hold(self) -> None:
        first, last, role, name = (self.mark() for _ in range(4))
        key = f"h{self.at}.{self.count}"
        blanks = (Blank(f"{key}/name", BlankKind.TEXT, name), Blank(f"{key}/sign", BlankKind.SIGN, "Signature"))
        self.rows.append(HoldBar(f"H{self.count}", self.long(first, last, 2), role, blanks=blanks, key=key))
        self.together.append((f"POINT H{self.count}", first, last, role, name))

    def torque(self) -> None:
        joint, lubricant, wrench, data = (self.mark() for _ in range(4))
        key = f"t{self.at}.{self.count}"
        passes = [self.mark() for _ in range(1 + self.at % 4)]
        rows = tuple(TorquePass(str(n), f"{9 + n} N·m", "100 %", word) for n, word in enumerate(passes, 1))
        asked = (Blank(f"{key}/wrench", BlankKind.SERIAL, wrench),)
        record = TorqueRecord(joint, "4 × M12", lubricant, "60 N·m", "", rows, (("Order", data),), asked)
        self.together.append((*self.step(2, torque=record), joint, lubricant, wrench, data, *passes))

    def record(self) -> None:
        names = [self.mark() for _ in range(1 + self.at % 4)]
        blanks = tuple(Blank(f"{name}/value", BlankKind.READING, name, "bar") for name in names)
        self.together.append((*self.step(1 + self.at % 2, blanks=blanks), *names))

    def isolators(self) -> None:
        names = [self.mark() for _ in range(3)]
        devices = tuple(
            IsolatorRow(name, "locked shut", "V-1", "1", None, Blank(f"{name}/lock", BlankKind.NUMBER, "lock"))
            for name in names
        )
        self.together.append((*self.step(1, isolators=devices), *names))

    def round(self) -> None:
        head, group = self.mark(), self.mark()
        self.rows.append(RoundHead("again", 1, 2, head))
        self.rows.append(GroupHead(GroupKind.PLAIN, group, 1))
        self.together.append((head, group, *self.step(1, level=2)))

    def stop(self) -> None:
        first, last, told = self.mark(), self.mark(), self.mark()
        blanks = (Blank(f"{told}/told", BlankKind.TEXT, told),)
        self.rows.append(StopRow(self.long(first, last, 3), "Call the supervisor.", blanks, key=told))
        self.together.append((first, last, told))

    def section_end(self) -> None:
        before = self.step(1)
        word = self.mark()
        key = f"e{self.at}.{self.count}"
        self.rows.append(StepRow("", (word,), key, initials=Blank(f"{key}/initials", BlankKind.INITIALS, "initials")))
        self.together.append((before[-1], word))


def layout(at: int) -> Layout:
    """Layout number `at`: every unit twice, after a filler that grows by about a line from one to the next."""
    make = _Maker(at)
    for extra in range(at % 12):
        make.step(1 + (extra * at) % 3)
    units = [
        make.hazard, make.decision, make.hold, make.torque, make.record, make.isolators, make.round, make.stop,
        make.section_end,
    ]  # fmt: skip
    turn = at % len(units)
    for unit in [*units[turn:], *units[:turn]] * 2:
        unit()
        make.together.append(tuple(make.step(1 + at % 3)))  # its first and last line: a row is never cut
    title = make.mark()
    again = make.rows[: len(make.rows) // 2], make.rows[len(make.rows) // 2 :]
    first = next((row for row in again[1] if isinstance(row, StepRow) and not row.hazards), None)
    blocks = [Heading("Work"), Steps(tuple(again[0])), Heading(title), Steps(tuple(again[1]))]
    if first is again[1][0]:
        make.together.append((title, str(first.instruction[0]).split()[0]))
    sheet = rich_sheet()
    control = replace(sheet.control, changes=(), signatures=(), purpose=_WORDS * (at % 5))
    return Layout(
        replace(sheet, control=control, blocks=tuple(blocks), name_plate=None),
        "Letter" if at % 3 == 1 else "A4",
        tuple(make.together),
    )
