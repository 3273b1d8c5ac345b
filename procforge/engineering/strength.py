"""Strength of bolts: property classes, grades and stud steels by size."""

from __future__ import annotations

import re
from dataclasses import dataclass

from procforge.engineering.base import Input, Outside, Result
from procforge.engineering.figures import positive
from procforge.engineering.threads import INCH, Thread

MPA = 1e6
KSI = 6.894757293168361e6  # Pa, exact by definition of pound-force and inch

ISO = "ISO 898-1:2013 table 3 (at second hand)"
SAE = "SAE J429 (at second hand)"
ASTM = "ASTM A193/A193M (at second hand)"


@dataclass(frozen=True, slots=True)
class Strength:
    """Least strengths of one class or grade in one range of sizes, in Pa; the range over..up_to in m.

    Where the standard gives no proof stress, `proof` is the yield strength and `reference` says so.
    """

    name: str
    over: float
    up_to: float
    proof: float
    yield_strength: float
    tensile: float
    reference: str
    source: str


def _iso(name: str, over: float, up_to: float, proof: float, yield_: float, tensile: float) -> Strength:
    return Strength(
        name, over / 1000, up_to / 1000, proof * MPA, yield_ * MPA, tensile * MPA, "proof stress", ISO
    )  # fmt: skip


def _sae(name: str, over: float, up_to: float, proof: float, yield_: float, tensile: float) -> Strength:
    return Strength(
        f"grade {name}", over * INCH, up_to * INCH, proof * KSI, yield_ * KSI, tensile * KSI, "proof stress", SAE
    )  # fmt: skip


def _b7(over: float, up_to: float, yield_: float, tensile: float) -> Strength:
    words = "yield strength, as the standard gives no proof stress"
    return Strength("B7", over * INCH, up_to * INCH, yield_ * KSI, yield_ * KSI, tensile * KSI, words, ASTM)


#: Stresses in MPa for ISO 898-1 (sizes in mm) and in ksi for the inch standards (sizes in inches).
TABLE: tuple[Strength, ...] = (
    _iso("4.6", 0, 39, 225, 240, 400),
    _iso("4.8", 0, 39, 310, 340, 420),
    _iso("5.6", 0, 39, 280, 300, 500),
    _iso("5.8", 0, 39, 380, 420, 520),
    _iso("6.8", 0, 39, 440, 480, 600),
    _iso("8.8", 0, 16, 580, 640, 800),
    _iso("8.8", 16, 39, 600, 660, 830),
    _iso("9.8", 0, 16, 650, 720, 900),
    _iso("10.9", 0, 39, 830, 940, 1040),
    _iso("12.9", 0, 39, 970, 1100, 1220),
    _sae("1", 0, 1.5, 33, 36, 60),
    _sae("2", 0, 0.75, 55, 57, 74),
    _sae("2", 0.75, 1.5, 33, 36, 60),
    _sae("5", 0, 1, 85, 92, 120),
    _sae("5", 1, 1.5, 74, 81, 105),
    _sae("5.2", 0, 1, 85, 92, 120),
    _sae("8", 0, 1.5, 120, 130, 150),
    _sae("8.2", 0, 1, 120, 130, 150),
    _b7(0, 2.5, 105, 125),
    _b7(2.5, 4, 95, 115),
    _b7(4, 7, 75, 100),
)
METRIC_STUD_REACH = 64.0e-3  # m: A193M sets M64 where A193 sets 2½ in (from memory)

_NAME = re.compile(
    r"(?:(?:iso\s*898-1\s*)?(?P<word>class)?\s*(?P<iso>[0-9]{1,2}\.[0-9])"
    r"|(?:sae\s*(?:j429\s*)?)?(?:grade|gr\.?)\s*(?P<sae>[0-9](?:\.[0-9])?)"
    r"|(?:astm\s*)?(?:a193m?\s*)?(?:grade\s*|gr\.?\s*)?(?P<stud>b7))",
    re.IGNORECASE,
)


def read_strength(text: str, thread: Thread) -> Strength | Outside:
    """`8.8`, `class 10.9`, `grade 5`, `SAE J429 grade 8`, `B7`, `ASTM A193 B7`, for the size of `thread`."""
    clean = " ".join(text.split())
    found = _NAME.fullmatch(clean) if len(clean) <= 40 else None
    names = ", ".join(dict.fromkeys(row.name for row in TABLE))
    if found is None:
        return Outside(f"'{clean[:40]}' is no class or grade in the table", f"write one of: {names}")
    name = found["iso"] or (f"grade {found['sae']}" if found["sae"] else "B7")
    rows = [row for row in TABLE if row.name == name]
    if not rows:
        return Outside(f"there is no {'class ' if found['iso'] else ''}{name} in the table", f"write one of: {names}")
    if rows[0].source == ISO and not thread.metric:
        return Outside(f"class {name} is of ISO metric threads, {thread.name} is not", "write the grade of the bolt")
    if rows[0].source == SAE and thread.metric:
        return Outside(f"{name} is of inch threads, {thread.name} is metric", "write the property class, such as 8.8")
    size = thread.diameter
    if rows[0].source == ASTM and thread.metric and 2.5 * INCH < size <= METRIC_STUD_REACH:
        size = 2.5 * INCH
    for row in rows:
        if row.over * (1 + 1e-9) < size <= row.up_to * (1 + 1e-9):
            return row
    return Outside(
        f"{rows[0].source} gives no {name} for {thread.name}",
        "look it up in the standard that the bolts were bought to",
    )


def proof_load(thread: Thread, strength: Strength) -> Result:
    """F_p in N: stress area × proof stress (or yield strength where `reference` says so)."""
    return Result(
        thread.stress_area * strength.proof,
        "N",
        "F_p = A_s · S_p",
        (
            Input("stress area A_s", thread.stress_area, "m²"),
            Input(f"S_p, {strength.reference}", strength.proof, "N/m²"),
        ),
        f"{strength.source}; {thread.source}",
        (f"{thread.name}, {strength.name}, full-size bolts at room temperature",),
    )


def share_of_proof(preload: float, thread: Thread, strength: Strength) -> Result | Outside:
    """The preload (N) as a share of the proof load, a pure number."""
    if bad := positive("the preload", preload, "N", 1e8):
        return bad
    load = proof_load(thread, strength)
    return Result(
        preload / load.value,
        "",
        "share = F / F_p",
        (Input("preload F", preload, "N"), Input("proof load F_p", load.value, "N")),
        load.source,
        load.limits,
    )
