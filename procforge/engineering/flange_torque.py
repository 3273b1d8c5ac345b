"""Target torque of flange bolts: the table of ASME PCC-1, carried as data since no formula gives it."""

from __future__ import annotations

from fractions import Fraction

from procforge.engineering.base import Input, Outside, Result
from procforge.engineering.figures import within
from procforge.engineering.strength import KSI
from procforge.engineering.threads import Thread

FOOT_POUND = 1.3558179483314004  # N·m
PRESTRESS = 50 * KSI  # Pa on the root area, the basis of the table
SOURCE = "ASME PCC-1-2013 table 1 (at second hand)"
LIMITS = (
    "low-alloy steel studs, coarse threads to 1 in and 8 threads an inch above, working faces clean and lubricated",
    "a starting value: the joint's own bolt stress comes from its designer",
)

#: Nominal size in: target torque lbf·ft (bare, coated), at 50 ksi on the root area.
TABLE: dict[Fraction, tuple[int, int]] = {
    sum(map(Fraction, size.split("+")), Fraction(0)): (bare, coated)
    for size, bare, coated in (
        ("1/2", 60, 45), ("5/8", 120, 90), ("3/4", 210, 160), ("7/8", 350, 250), ("1", 500, 400),
        ("1+1/8", 750, 550), ("1+1/4", 1050, 800), ("1+3/8", 1400, 1050), ("1+1/2", 1800, 1400),
        ("1+5/8", 2350, 1800), ("1+3/4", 2950, 2300), ("1+7/8", 3650, 2800), ("2", 4500, 3400),
        ("2+1/4", 6500, 4900), ("2+1/2", 9000, 6800), ("2+3/4", 12000, 9100), ("3", 15700, 11900),
        ("3+1/4", 20100, 15300), ("3+1/2", 25300, 19100), ("3+3/4", 31200, 23600), ("4", 38000, 28800),
    )
}  # fmt: skip


def flange_torque(thread: Thread, coated: bool, prestress: float = PRESTRESS) -> Result | Outside:
    """Target torque in N·m of a flange stud; another `prestress` (Pa on the root area) scales it in proportion."""
    size = Fraction(round(thread.diameter / 0.0254 * 16), 16)
    series = "UNC" if size <= 1 else "8UN"
    if thread.metric or size not in TABLE or thread.series != series:
        return Outside(
            f"{thread.name} is not in the flange bolting table",
            "it holds 1/2 to 1 in coarse and 1-1/8 to 4 in with 8 threads an inch",
        )
    if bad := within("the prestress", prestress, "ksi", 10 * KSI, 75 * KSI, "the table is made for 50 ksi"):
        return bad
    row = TABLE[size][coated] * FOOT_POUND
    return Result(
        row * prestress / PRESTRESS,
        "N·m",
        "table value × prestress/50 ksi",
        (Input("table value, " + ("coated" if coated else "bare"), row, "N·m"), Input("prestress", prestress, "N/m²")),
        SOURCE,
        LIMITS,
    )
