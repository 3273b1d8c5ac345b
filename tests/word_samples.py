"""An invented job on an invented biogas booster, rich enough to meet every kind of row and block of the sheet."""

from __future__ import annotations

import struct
import zlib

from procforge.sheet.outline import (
    AcceptanceRow,
    AcceptanceTable,
    Arm,
    Blank,
    BlankKind,
    Change,
    CloseOut,
    Control,
    DecisionHead,
    Figure,
    GroupHead,
    GroupKind,
    HazardPanel,
    Heading,
    HoldBar,
    HoldKind,
    IsolatorRow,
    KeyValues,
    ListTable,
    NamePlate,
    PageBreak,
    Paragraph,
    RoundHead,
    Row,
    Run,
    Sheet,
    Signal,
    Signature,
    StepRow,
    Steps,
    StopRow,
    TorquePass,
    TorqueRecord,
    Turn,
    WhereWeAre,
)

NB = "\u00a0"
GAS = HazardPanel(
    Signal.DANGER,
    "Gas jet",
    "Biogas under pressure can jet out and ignite. It kills.",
    ("Stand beside the cover, not over it.", "Keep every source of ignition 15 m away."),
    ("gas detector", "gloves", "face shield"),
    "valve cover",
)
FALL = HazardPanel(
    Signal.WARNING, "Falling cover, 6.5 kg", "The cover can drop on hands or feet.", ("Hold it by both lugs.",)
)
EDGE = HazardPanel(Signal.CAUTION, "Sharp edges", "Worn plates cut.", ("Hold the valve by its guard.",), ("gloves",))
FACE = HazardPanel(
    Signal.NOTICE, "Joint face", "A scratch on the face leaks at the leak test.", ("Scrape with brass only.",)
)


def tick(key: str) -> Blank:
    """A place-keeping box."""
    return Blank(f"{key}/done", BlankKind.TICK, "done")


def initials(key: str, part: str = "initials", other_than: str = "") -> Blank:
    """Initials of one person."""
    return Blank(f"{key}/{part}", BlankKind.INITIALS, part, other_than=other_than)


def signing(key: str, other_than: str = "") -> tuple[Blank, ...]:
    """Name, signature, date and time of a release."""
    return (
        Blank(f"{key}/name", BlankKind.TEXT, "Name", other_than=other_than),
        Blank(f"{key}/sign", BlankKind.SIGN, "Signature"),
        Blank(f"{key}/date", BlankKind.DATE, "Date"),
        Blank(f"{key}/time", BlankKind.TIME, "Time"),
    )


def step(number: str, *words: str, key: str = "", level: int = 0, **more: object) -> StepRow:
    """A step with its box; `key` is the identity its blanks carry."""
    name = key or f"s-{number}"
    return StepRow(number, words, key=name, tick=tick(name), level=level, anchor=name, **more)  # type: ignore[arg-type]


def png(across: int, down: int) -> bytes:
    """A plain picture: a ring on white, so that an eye sees it on the page."""
    lines = bytearray()
    for y in range(down):
        lines.append(0)
        for x in range(across):
            far = ((x - across / 2) ** 2 + (y - down / 2) ** 2) ** 0.5 / (min(across, down) / 2)
            lines.append(60 if 0.72 < far < 0.9 else 255)
    head = struct.pack(">IIBBBBB", across, down, 8, 0, 0, 0, 0)

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    packed = zlib.compress(bytes(lines), 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", packed) + chunk(b"IEND", b"")


def isolator(key: str, number: str, tag: str, device: str, position: str) -> IsolatorRow:
    """A device with its own tick, lock number and initials."""
    lock = Blank(f"{key}/{tag}/lock", BlankKind.NUMBER, "lock no.")
    return IsolatorRow(device, position, tag, number, tick(f"{key}/{tag}"), lock, initials(f"{key}/{tag}"))


def torque() -> TorqueRecord:
    """Cover nuts in three passes, a circular last one, and a timed one."""
    passes = (("1", "30 %", "cross", "18"), ("2", "70 %", "cross", "42"), ("3", "100 %", "cross", "60"))
    rows = [
        TorquePass(
            n,
            f"{value}{NB}N·m",
            level,
            order,
            tick(f"cover/p{n}"),
            Blank(f"cover/p{n}/value", BlankKind.READING, "reading"),
            initials(f"cover/p{n}"),
        )
        for n, level, order, value in (*passes, ("4", "100 %", "round, clockwise, until no nut turns", "60"))
    ]
    clock = Blank("cover/p5/clock", BlankKind.TIME, "Clock at the second round, 4 h or more after pass 4")
    rows.append(
        TorquePass("5", f"60{NB}N·m", "100 %", "round, clockwise", tick("cover/p5"), None, initials("cover/p5"), clock)
    )
    return TorqueRecord(
        "outlet valve cover",
        "4 × M12, class 8.8",
        "thread paste K1, threads and nut faces",
        (f"60{NB}N·m ± 5 %", Run("  (44 lbf·ft)", small=True)),
        "1, 3, 2, 4",
        tuple(rows),
        blanks=(
            Blank("cover/wrench", BlankKind.SERIAL, "Wrench id"),
            Blank("cover/wrench-due", BlankKind.DATE, "Calibration good until"),
        ),
        figure=Figure(
            "Four nuts on a square cover; tighten 1, 3, 2, 4 across the corners.",
            "Order of tightening, from above.",
            "1",
            png=png(240, 240),
            width=42,
        ),
    )


def _make_safe() -> Steps:
    devices = (
        isolator("iso", "1", "MB-1", "Motor breaker", "off"),
        isolator("iso", "2", "V-11", "Inlet block valve", "shut"),
        isolator("iso", "3", "V-12", "Outlet block valve", "shut"),
        isolator("iso", "4", "V-13", "Outlet second valve", "shut"),
        isolator("iso", "5", "V-14", "Outlet bleed", "open"),
    )
    return Steps(
        (
            step(
                "1.1",
                "Tell the control room that the booster stops.",
                by="operator",
                blanks=(Blank("s-1.1/at", BlankKind.TIME, "Time told"),),
            ),
            step("1.2", "Shut down the booster from the local panel.", by="operator"),
            step(
                "1.3",
                "Set, lock and tag each isolator in the table.",
                by="operator",
                takes="about 10 min",
                isolators=devices,
                initials=initials("s-1.3"),
                second=initials("s-1.3", "second", "s-1.3/initials"),
            ),
            step(
                "1.4",
                "Vent the first-stage cylinder to the flare through V-15.",
                details=("Close V-15 at once if the line shakes.",),
                hazards=(GAS,),
            ),
            step(
                "1.5",
                "Purge the cylinder with nitrogen until the detector reads the limit.",
                key="purge",
                limit=f"10{NB}% LEL or less, three readings in a row",
                blanks=tuple(
                    Blank(f"purge/{n}", BlankKind.READING, f"Reading {n}", "% LEL", high="10") for n in (1, 2, 3)
                ),
            ),
            step(
                "1.6",
                "Try to start the motor at the local panel. Set the control back to off.",
                expect="no movement",
                initials=initials("s-1.6"),
            ),
            step(
                "1.7",
                "Read the pressure of the cylinder at PI-3.",
                key="prove",
                limit=f"0 to 0.05{NB}bar(g)",
                initials=initials("prove"),
                second=initials("prove", "second", "prove/initials"),
                blanks=(
                    Blank("prove/p", BlankKind.READING, "Pressure at PI-3", "bar(g)", low="0", high="0.05"),
                    Blank("prove/serial", BlankKind.SERIAL, "Serial no. of PI-3"),
                ),
            ),
            HoldBar(
                "H1",
                "Zero pressure witnessed at PI-3",
                "operator, not the one who read the gauge",
                (Run("reading of "), Run(f"step{NB}1.7", to="prove"), Run(" within its limit")),
                blanks=signing("H1", "prove/initials"),
            ),
        )
    )


def _open_up() -> Steps:
    return Steps(
        (
            step(
                "2.1",
                "Ease the four cover nuts by half a turn.",
                hazards=(GAS,),
                otherwise=Blank(
                    "s-2.1/otherwise",
                    BlankKind.CHOICE,
                    choices=("not needed", "done otherwise", "could not"),
                    required=False,
                ),
            ),
            DecisionHead("gas", "Does gas come out?", "D1"),
            Arm("gas", "YES", "A block valve passes.", tick=tick("gas/yes")),
            step("2.2", "Nip up the cover nuts.", level=1),
            StopRow(
                "A block valve passes. Do not go on.",
                "Call the operator.",
                (Blank("stop-1/time", BlankKind.TIME, "Stopped at"), initials("stop-1")),
                level=1,
            ),
            Arm("gas", "NO", goes=("Go on to ", Run(f"step{NB}2.3", to="s-2.3"), "."), tick=tick("gas/no")),
            step("2.3", "Remove the cover nuts."),
            step("2.4", "Remove the valve cover.", details=("Lift it straight up.",), hazards=(FALL,)),
            GroupHead(GroupKind.ANY_ORDER, "Take the steps below in the order that suits."),
            step("2.5", "Remove the cover ring and scrap it.", level=1),
            step("2.6", "Remove the cage.", level=1),
            step(
                "2.7",
                "Remove the outlet valve.",
                hazards=(EDGE,),
                blanks=(Blank("s-2.7/serial", BlankKind.SERIAL, "Serial no. of the valve taken out"),),
            ),
            WhereWeAre(
                "outlet pocket open",
                (
                    ("Locks on", "MB-1, V-11, V-12, V-13, V-14"),
                    ("Open joints", "outlet valve cover"),
                    ("Parts out", "cover, cage, outlet valve"),
                    ("Last proof", ("step 1.7, PI-3, ", Run("stale after 12 h"))),
                ),
                (("Read PI-3 again as in ", Run(f"step{NB}1.7", to="prove"), " before hands go in."),),
                (Blank("where-1/time", BlankKind.TIME, "Left at"), initials("where-1")),
            ),
        )
    )


def _judge() -> Steps:
    rows: list[Row] = [
        step(
            "3.1",
            "Stand the valve inlet side up and fill it with test liquid.",
            "Watch it for one minute.",
            key="drip",
            expect="dry underneath",
            blanks=(Blank("drip/result", BlankKind.CHOICE, "Leak-drip", choices=("accepted", "rejected")),),
        ),
        Arm(
            "drip",
            "REJECTED",
            "If leak-drip is rejected:",
            tick=tick("drip/rejected"),
            when=(("drip/result", "rejected"),),
        ),
    ]
    for turn in (1, 2):
        rows += [
            RoundHead("rebuild", turn, 2, "Rebuild until leak-drip is accepted.", level=1),
            step("3.2", "Lap the seat and fit new plates and springs.", key=f"lap-{turn}", level=2, hazards=(EDGE,)),
            step(
                "3.3",
                "Fill the valve again and watch it for one minute.",
                key=f"again-{turn}",
                level=2,
                blanks=(
                    Blank(f"again-{turn}/result", BlankKind.CHOICE, "Leak-drip", choices=("accepted", "rejected")),
                ),
            ),
        ]
    rows += [
        Arm("drip", "OTHERWISE", "If it is accepted:", tick=tick("drip/otherwise")),
        step("3.4", "Clean the outlet valve.", level=1),
        DecisionHead("source", "Which valve goes in?", "D2"),
        Arm("source", "EITHER", "the same valve", tick=tick("source/same")),
        Arm("source", "OR", "a valve from stock", tick=tick("source/stock")),
        step(
            "3.5",
            "Write down the serial number of the new valve.",
            level=1,
            blanks=(Blank("s-3.5/serial", BlankKind.SERIAL, "Serial no."),),
        ),
        HoldBar("R1", "Test certificate of the valve read", "planner", kind=HoldKind.REVIEW, blanks=signing("R1")[1:3]),
    ]
    return Steps(tuple(rows))


def _close_up() -> Steps:
    return Steps(
        (
            step("4.1", "Clean both joint faces.", hazards=(FACE,)),
            step(
                "4.2",
                "Look into the pocket for loose objects.",
                expect="nothing left inside",
                initials=initials("s-4.2"),
            ),
            HoldBar(
                "W1",
                "Pocket clean before it is closed",
                "second fitter",
                kind=HoldKind.WITNESS,
                blanks=signing("W1")[:3],
            ),
            step("4.3", "Fit a new valve gasket, then the outlet valve, arrow towards the cover."),
            GroupHead(GroupKind.TOGETHER, "Two people, two lanes; go on when both are done."),
            GroupHead(GroupKind.LANE, "Fitter A", level=1),
            step("4.4", "Fit the cage, a new cover ring and the cover.", level=2),
            GroupHead(GroupKind.LANE, "Fitter B", level=1),
            step("4.5", "Check the wrench against its tag.", level=2),
            GroupHead(GroupKind.VARIANT, "frame-S"),
            step(
                "4.6",
                "Tighten the cover nuts in the passes below.",
                level=1,
                torque=torque(),
                initials=initials("s-4.6"),
                second=initials("s-4.6", "second", "s-4.6/initials"),
                key="s-4.6",
            ),
            step("4.7", "Remove the locks. Each person takes off the own lock.", by="operator"),
            step(
                "4.8",
                "Open V-11, then V-12 and V-13. Shut V-14.",
                figures=(
                    Figure(
                        "Row of the four valves with their tags",
                        "Valves seen from the walkway.",
                        "2",
                        png=png(300, 120),
                        width=60,
                    ),
                ),
            ),
        )
    )


def _lists() -> tuple[ListTable, ...]:
    return (
        ListTable(
            ("Tool", "Range", "Qty", "At hand"),
            (
                ("Torque wrench", "10 to 100 N·m", "1", tick("tool/wrench")),
                ("Gas detector", "0 to 100 % LEL", "1", tick("tool/detector")),
                ("Test liquid, thin", "0.5 L", "1", tick("tool/liquid")),
            ),
            "Tools and test equipment",
            (5, 3, 1, 1.2),
            (2, 3),
        ),
        ListTable(
            ("Source", "Kind, size", "Device", "Position", "Relief", "Proof"),
            (
                (
                    "First-stage cylinder",
                    "biogas, 11 bar(g), 14 L",
                    "V-11, V-12, V-13, V-14",
                    "shut, shut, shut, open",
                    "vent to flare",
                    "PI-3",
                ),
                ("Crankshaft", "motion, 55 kW", "MB-1", "off", "none", "try-start"),
            ),
            "Energy sources",
        ),
    )


def rich_sheet() -> Sheet:
    """The whole sample, one tag, with every block."""
    control = Control(
        title="Service the first-stage outlet valve",
        number="BGB-M-014",
        revision="B",
        date="2026-09-30",
        status="Issued for use",
        source_hash="494ef8c53025bb60a7d1c39f20e4871b6655d0923ac1be7740f19d28c6a3b5e2",
        tag="C-201",
        equipment="Two-stage biogas booster",
        model="frame-S",
        service="wet gas",
        serial="",
        organisation="Larch Hollow biogas plant",
        work_order=Blank("work-order", BlankKind.NUMBER, "Work order"),
        purpose="Take out, judge and put back the outlet valve of the first stage. The booster stands still for one shift.",
        references=("Joint register JR-7, sheet 3", "Maker's manual, chapter on valves"),
        signatures=(
            Signature("Prepared", "planner", "A. Sample", "2026-09-21"),
            Signature("Reviewed", "process safety", "B. Sample", "2026-09-28"),
            Signature(
                "Approved",
                "maintenance lead",
                blanks=(
                    Blank("approved/name", BlankKind.TEXT, "Name"),
                    Blank("approved/sign", BlankKind.SIGN, "Signature"),
                    Blank("approved/date", BlankKind.DATE, "Date"),
                ),
            ),
        ),
        changes=(
            Change("A", "2025-11-04", "First issue"),
            Change("B", "2026-09-30", "Cover torque from the joint register"),
        ),
    )
    blocks = (
        Heading("Before starting"),
        Paragraph("Read this page with the crew.", bullet=True),
        Paragraph(("Permit and gas test are needed; see ", Run("section 1", to="sec-1"), "."), bullet=True),
        *_lists(),
        Heading("Safety", anchor="safety"),
        Paragraph("These messages apply to the whole job. The ones for a single step stand just before it."),
        GAS,
        FALL,
        EDGE,
        FACE,
        Heading("Make safe", 1, "1", "sec-1"),
        _make_safe(),
        Heading("Open up", 1, "2"),
        _open_up(),
        Heading("Judge the valve", 1, "3"),
        _judge(),
        AcceptanceTable(
            (
                AcceptanceRow(
                    "Lift of the valve plate",
                    f"1.8 to 2.2{NB}mm",
                    Blank("lift/value", BlankKind.READING, "lift", "mm", low="1.8", high="2.2"),
                    Blank("lift/verdict", BlankKind.CHOICE, "result", choices=("reuse", "rebuild", "replace")),
                    initials("lift"),
                    "A1",
                ),
                AcceptanceRow(
                    "Depth of the worst seat mark",
                    f"0.20{NB}mm or less",
                    Blank("seat/value", BlankKind.READING, "depth", "mm", high="0.20"),
                    Blank("seat/verdict", BlankKind.CHOICE, "result", choices=("reuse", "rebuild", "replace")),
                    initials("seat"),
                    "A2",
                ),
            ),
            "Acceptance",
        ),
        Heading("Close up", 1, "4"),
        _close_up(),
        WhereWeAre(
            "end of the first shift",
            (("Locks on", "all five"), ("Open joints", "none"), ("Parts out", "none"), ("Last proof", "step 1.7")),
            ("Take over the locks one by one.",),
            (initials("where-2"), initials("where-2", "taken-over")),
            own_page=True,
        ),
        PageBreak(Turn.LANDSCAPE),
        Heading("Readings nut by nut", 1, "5"),
        ListTable(
            ("Reading", *(f"N{n}" for n in range(1, 13))),
            tuple(
                (name, *(Blank(f"nut/{at}/{n}", BlankKind.READING, f"N{n}") for n in range(1, 13)))
                for at, name in enumerate(("Length before, mm", "Length after, mm"))
            ),
            widths=(2.2, *(1,) * 12),
        ),
        PageBreak(),
        Heading("Close-out", 1, "6"),
        CloseOut(
            (
                ListTable(
                    ("Part used", "Stock no.", "Planned", "Used"),
                    (
                        ("Valve gasket", "71-0044", "1", Blank("used/gasket", BlankKind.NUMBER, "used")),
                        ("Cover ring", "71-0051", "1", Blank("used/ring", BlankKind.NUMBER, "used")),
                    ),
                ),
                KeyValues(
                    (
                        ("V-11", "open"),
                        ("V-14", "shut and plugged"),
                        ("Hours run", Blank("hours", BlankKind.NUMBER, "Hours run", "h")),
                    ),
                    "As left",
                    2,
                ),
            ),
            (Blank("remarks", BlankKind.TEXT, "Remarks and deviations", required=False),),
            (
                Signature("Work done", "fitter", blanks=signing("end-1")[:3]),
                Signature("Taken back", "operator", blanks=signing("end-2", "end-1/name")[:3]),
            ),
            "Keep this sheet in the equipment file of C-201 for the life of the booster.",
        ),
    )
    plate = NamePlate(
        (
            ("Tag", "C-201", Blank("plate/tag", BlankKind.TEXT, "tag")),
            ("Model", "frame-S", Blank("plate/model", BlankKind.TEXT, "model")),
            ("Service", "wet gas", None),
        ),
        Blank("plate/ok", BlankKind.TICK, "It agrees"),
    )
    return Sheet(control, blocks, plate)


def hostile_sheet() -> Sheet:
    """Words that break careless XML: specials, CDATA ends, control and direction marks, a word of 10,000 letters."""
    nasty = "<b>&amp; ]]> \x00\x01\x0b\x1f \u202eevil\u202c \ud800 \ufffe \"quoted\" 'single' {0} %s\ttab\nline"
    long = "W" * 10_000
    return Sheet(
        Control(
            long,
            nasty,
            nasty,
            "not a date",
            nasty,
            nasty,
            nasty,
            long,
            nasty,
            nasty,
            nasty,
            nasty,
            Blank('<&">]]>', BlankKind.NUMBER, nasty),
            nasty,
            (nasty,),
            (Signature(nasty, nasty, nasty, nasty),),
            (Change(nasty, nasty, long),),
            nasty,
        ),
        (
            Heading(nasty, 9, nasty, nasty),
            Paragraph((nasty, Run(nasty, to="nowhere"), Run("back", to=nasty))),
            HazardPanel(Signal.DANGER, nasty, long, (nasty,), (nasty,), nasty),
            Steps(
                (
                    step(
                        "1.1.1.1.1.1",
                        nasty,
                        long,
                        key="a",
                        level=40,
                        expect=nasty,
                        limit=nasty,
                        by=nasty,
                        blanks=(
                            Blank("b", BlankKind.CHOICE, nasty, choices=(nasty, "x & y", "]]>")),
                            Blank("c", BlankKind.READING, nasty, nasty, low="1", high="2"),
                        ),
                    ),
                    HoldBar(nasty, nasty, nasty, nasty, blanks=(Blank("d", BlankKind.SIGN, nasty),)),
                    StopRow(nasty, nasty),
                )
            ),
            ListTable((nasty, nasty), ((nasty,), (long, long)), nasty),
        ),
    )


def long_sheet(rows: int) -> Sheet:
    """A sheet of `rows` steps in sections of fifty, a box and initials each and a reading on every fifth."""
    blocks: list[Heading | Steps] = []
    for at in range(0, rows, 50):
        some = []
        for n in range(at, min(at + 50, rows)):
            reading = (Blank(f"k{n}/p", BlankKind.READING, "Pressure", "bar(g)", high="0.05"),) if n % 5 == 0 else ()
            some.append(
                step(
                    f"{at // 50 + 1}.{n % 50 + 1}",
                    f"Open drain {n} and wait until it runs dry.",
                    key=f"k{n}",
                    initials=initials(f"k{n}"),
                    blanks=reading,
                )
            )
        blocks += [Heading(f"Section {at // 50 + 1}", 1, str(at // 50 + 1)), Steps(tuple(some))]
    control = Control("Long job", "L-1", "A", "2026-01-05", "Draft", "00ff" * 16)
    return Sheet(control, tuple(blocks))
