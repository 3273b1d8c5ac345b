"""Sample sheets: a rich one that meets every block, a hostile one, and a long one."""

from __future__ import annotations

from word_sample_steps import (
    EDGE,
    FACE,
    FALL,
    GAS,
    NB,
    close_up,
    initials,
    judge,
    make_safe,
    open_up,
    signing,
    step,
    tick,
)

from procforge.sheet.outline import (
    AcceptanceRow,
    AcceptanceTable,
    Blank,
    BlankKind,
    Change,
    CloseOut,
    Control,
    HazardPanel,
    Heading,
    HoldBar,
    KeyValues,
    ListTable,
    NamePlate,
    PageBreak,
    Paragraph,
    Run,
    Sheet,
    Signal,
    Signature,
    Steps,
    StopRow,
    Turn,
    WhereWeAre,
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
        purpose="Take out, judge and put back the outlet valve of the first stage. It takes one shift.",
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
            Change("B", "2026-09-30", "Torque from the joint register"),
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
        make_safe(),
        Heading("Open up", 1, "2"),
        open_up(),
        Heading("Judge the valve", 1, "3"),
        judge(),
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
        close_up(),
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
