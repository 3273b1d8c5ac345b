"""Screw threads as data, each table with its source and edition. Sizes in the unit of the standard."""

from __future__ import annotations

from fractions import Fraction

METRIC_SOURCE = "ISO 898-1:2013 tables of proof loads (at second hand; A_s,nom)"
METRIC_FINE_SOURCE = "ISO 898-1:2013 table of fine threads (from memory; the formula agrees within 0.4 %)"
METRIC_LARGE_SOURCE = "ISO 261 pitch, stress area by the formula of ISO 898-1:2013 9.1.6 (from memory)"
INCH_SOURCE = "ASME B1.1 stress area by formula (π/4)(d − 0.9743/n)²"

#: ISO metric coarse: nominal diameter mm: (pitch mm, nominal stress area mm²).
METRIC_COARSE: dict[Fraction, tuple[Fraction, float]] = {
    Fraction(d): (Fraction(p), area)
    for d, p, area in (
        ("3", "0.5", 5.03), ("3.5", "0.6", 6.78), ("4", "0.7", 8.78), ("5", "0.8", 14.2), ("6", "1", 20.1),
        ("7", "1", 28.9), ("8", "1.25", 36.6), ("10", "1.5", 58.0), ("12", "1.75", 84.3), ("14", "2", 115.0),
        ("16", "2", 157.0), ("18", "2.5", 192.0), ("20", "2.5", 245.0), ("22", "2.5", 303.0), ("24", "3", 353.0),
        ("27", "3", 459.0), ("30", "3.5", 561.0), ("33", "3.5", 694.0), ("36", "4", 817.0), ("39", "4", 976.0),
    )
}  # fmt: skip

#: ISO metric fine: (nominal diameter, pitch) mm: nominal stress area mm².
METRIC_FINE: dict[tuple[Fraction, Fraction], float] = {
    (Fraction(d), Fraction(p)): area
    for d, p, area in (
        ("8", "1", 39.2), ("10", "1", 64.5), ("10", "1.25", 61.2), ("12", "1.25", 92.1), ("12", "1.5", 88.1),
        ("14", "1.5", 125.0), ("16", "1.5", 167.0), ("18", "1.5", 216.0), ("20", "1.5", 272.0), ("22", "1.5", 333.0),
        ("24", "2", 384.0), ("27", "2", 496.0), ("30", "2", 621.0), ("33", "2", 761.0), ("36", "3", 865.0),
        ("39", "3", 1030.0),
    )
}  # fmt: skip

#: ISO metric coarse above the reach of ISO 898-1, for studs of other standards: diameter mm: pitch mm.
METRIC_LARGE: dict[Fraction, Fraction] = {
    Fraction(d): Fraction(p)
    for d, p in (
        ("42", "4.5"), ("45", "4.5"), ("48", "5"), ("52", "5"), ("56", "5.5"), ("60", "5.5"), ("64", "6"),
    )
}  # fmt: skip


def _inch(series: str, text: str) -> dict[tuple[Fraction, Fraction], str]:
    """`1/4-20` as (size in inches, threads per inch); whole inches before a fraction stand with a `+`."""
    rows = (row.split("-") for row in text.split())
    return {(sum(map(Fraction, size.split("+")), Fraction(0)), Fraction(n)): series for size, n in rows}


#: Unified inch threads: (nominal diameter in, threads per inch): series. Sizes as in ASME B1.1 (from memory).
INCH: dict[tuple[Fraction, Fraction], str] = (
    _inch(
        "8UN",
        "1+1/8-8 1+1/4-8 1+3/8-8 1+1/2-8 1+5/8-8 1+3/4-8 1+7/8-8 2-8 2+1/4-8 2+1/2-8 2+3/4-8 3-8 3+1/4-8 3+1/2-8"
        " 3+3/4-8 4-8",
    )
    | _inch(
        "UNC",
        "1/4-20 5/16-18 3/8-16 7/16-14 1/2-13 9/16-12 5/8-11 3/4-10 7/8-9 1-8 1+1/8-7 1+1/4-7 1+3/8-6 1+1/2-6"
        " 1+3/4-5 2-4.5 2+1/4-4.5 2+1/2-4 2+3/4-4 3-4 3+1/4-4 3+1/2-4 3+3/4-4 4-4",
    )
    | _inch(
        "UNF",
        "1/4-28 5/16-24 3/8-24 7/16-20 1/2-20 9/16-18 5/8-18 3/4-16 7/8-14 1-12 1+1/8-12 1+1/4-12 1+3/8-12 1+1/2-12",
    )
)

#: Under a hexagon head of normal series: thread diameter mm: (d_w mm, ISO 4014:2011, least washer-face diameter,
#: grade A to M24 and grade B above; d_h mm, ISO 273:1979 medium hole). From memory.
HEXAGON: dict[Fraction, tuple[float, float]] = {
    Fraction(d): (face, hole)
    for d, face, hole in (
        (5, 6.88, 5.5), (6, 8.88, 6.6), (8, 11.63, 9.0), (10, 14.63, 11.0), (12, 16.63, 13.5), (14, 19.64, 15.5),
        (16, 22.49, 17.5), (18, 25.34, 20.0), (20, 28.19, 22.0), (22, 31.71, 24.0), (24, 33.61, 26.0),
        (27, 38.0, 30.0), (30, 42.75, 33.0), (33, 46.55, 36.0), (36, 51.11, 39.0), (39, 55.86, 42.0),
    )
}  # fmt: skip
HEXAGON_SOURCE = "ISO 4014:2011 washer face and ISO 273:1979 medium hole (from memory)"
