"""The steps of an invented job on an invented biogas booster: every kind of row, with stable ids."""

from __future__ import annotations

import struct
import zlib

from procforge.sheet.outline import (
    Arm,
    Blank,
    BlankKind,
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
    Run,
    Signal,
    StepRow,
    Steps,
    StopRow,
    TorquePass,
    TorqueRecord,
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
FALL = HazardPanel(Signal.WARNING, "Falling cover, 6.5 kg", "The cover can drop on hands.", ("Hold it by both lugs.",))
EDGE = HazardPanel(Signal.CAUTION, "Sharp edges", "Worn plates cut.", ("Hold the valve by its guard.",), ("gloves",))
FACE = HazardPanel(
    Signal.NOTICE, "Joint face", "A scratch on the face leaks at the test.", ("Scrape with brass only.",)
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


def make_safe() -> Steps:
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


def open_up() -> Steps:
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


def judge() -> Steps:
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


def close_up() -> Steps:
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
