"""Screw threads: from their text to diameter, pitch and stress area."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from procforge.engineering import thread_tables as tables
from procforge.engineering.base import Input, Outside, Result
from procforge.quantities import Problem, read_number

INCH = 0.0254  # m
LONGEST = 40  # characters in the text of a thread

_METRIC = re.compile(r"M\s*([0-9][0-9.,]*)(?:\s*[x×*X]\s*([0-9][0-9.,]*))?(?:\s*[-–]\s*[4-9][eghG]?[4-9]?[eghGH])?")
_INCH = re.compile(
    r"""([0-9]+[-\s][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+(?:\.[0-9]+)?)  # 1-1/8, 1 1/8, 3/4, 1, 0.75
    \s*(?:in\b|″|")?\s*(?:[-–x×]\s*([0-9]+(?:\.[0-9]+)?))?\s*   # -16
    (UNC|UNF|8UN|UN)?(?:\s*-?\s*[123]A)?""",
    re.VERBOSE,
)


@dataclass(frozen=True, slots=True)
class Thread:
    """One screw thread: `diameter` (nominal, d or D) and `pitch` P in m, `stress_area` A_s in m².

    `series` is `metric coarse`, `metric fine`, `UNC`, `UNF` or `8UN`; `source` is that of the stress area.
    """

    name: str
    diameter: float
    pitch: float
    stress_area: float
    series: str
    source: str

    @property
    def metric(self) -> bool:
        """Whether it is an ISO metric thread."""
        return self.series.startswith("metric")

    @property
    def pitch_diameter(self) -> float:
        """d₂ in m: d − 0.649519 P (ISO 724:1993; ASME B1.1)."""
        return self.diameter - 0.649519 * self.pitch

    @property
    def minor_diameter(self) -> float:
        """d₃ in m, at the root of the bolt: d − 1.226869 P (ISO 724:1993)."""
        return self.diameter - 1.226869 * self.pitch

    @property
    def stress_diameter(self) -> float:
        """d₀ in m, the mean of d₂ and d₃ (VDI 2230:2003)."""
        return (self.pitch_diameter + self.minor_diameter) / 2


def metric_stress_area(diameter: float, pitch: float) -> float:
    """A_s = (π/4)((d₂ + d₃)/2)² in m², from diameter and pitch in m (ISO 898-1:2013, 9.1.6)."""
    return math.pi / 4 * (diameter - 0.938194 * pitch) ** 2


def inch_stress_area(diameter: float, pitch: float) -> float:
    """A_s = (π/4)(d − 0.9743 P)² in m², from diameter and pitch in m (ASME B1.1, appendix; from memory)."""
    return math.pi / 4 * (diameter - 0.9743 * pitch) ** 2


@lru_cache(maxsize=512)
def read_thread(text: str) -> Thread | Outside:
    """`M12`, `M16x1.5`, `3/4-16`, `1/2-13 UNC`, `1-1/8-8 UN`; coarse where a metric pitch is left out."""
    clean = " ".join(text.split())
    if not clean or len(clean) > LONGEST:
        return Outside("no thread is written" if not clean else "too long for a thread", "write M12, M16x1.5 or 3/4-16")
    if clean[0] in "Mm":
        found = _METRIC.fullmatch("M" + clean[1:])
        if found:
            return _metric(clean, found[1], found[2])
    elif found := _INCH.fullmatch(clean):
        return _inch(clean, found[1], found[2], found[3])
    return Outside(f"'{clean}' is not a thread", "write M12, M16x1.5 or 3/4-16")


def _metric(text: str, size: str, pitch: str | None) -> Thread | Outside:
    d, p = read_number(size), read_number(pitch) if pitch else None
    if isinstance(d, Problem):
        return Outside(f"the size of '{text}' is not read: {d.message}", d.hint)
    if isinstance(p, Problem):
        return Outside(f"the pitch of '{text}' is not read: {p.message}", p.hint)
    coarse = tables.METRIC_COARSE.get(d)
    if coarse and p in (None, coarse[0]):
        return _made_metric(d, coarse[0], coarse[1], "metric coarse", tables.METRIC_SOURCE)
    if d in tables.METRIC_LARGE and p in (None, tables.METRIC_LARGE[d]):
        return _made_metric(d, tables.METRIC_LARGE[d], None, "metric coarse", tables.METRIC_LARGE_SOURCE)
    if p is not None and (d, p) in tables.METRIC_FINE:
        return _made_metric(d, p, tables.METRIC_FINE[d, p], "metric fine", tables.METRIC_FINE_SOURCE)
    name = f"M{_short(d)}"
    pitches = [coarse[0]] if coarse else [tables.METRIC_LARGE[d]] if d in tables.METRIC_LARGE else []
    pitches += sorted((fine for size_, fine in tables.METRIC_FINE if size_ == d), reverse=True)
    if not pitches:
        return Outside(f"{name} is not in the table", "M3 to M64 in the sizes of ISO 261 are")
    return Outside(
        f"{name} with a pitch of {_short(p or Fraction(0))} mm is not in the table",
        "write " + " or ".join(f"{name}x{_short(one)}" for one in pitches),
    )


def _made_metric(d: Fraction, p: Fraction, area: float | None, series: str, source: str) -> Thread:
    name = f"M{_short(d)}" + ("" if series == "metric coarse" else f"x{_short(p)}")
    diameter, pitch = float(d / 1000), float(p / 1000)
    stress_area = metric_stress_area(diameter, pitch) if area is None else area * 1e-6
    return Thread(name, diameter, pitch, stress_area, series, source)


def _inch(text: str, size: str, per_inch: str | None, series: str | None) -> Thread | Outside:
    d = read_number(size.replace(" ", "-"))
    n = read_number(per_inch) if per_inch else None
    if isinstance(d, Problem) or isinstance(n, Problem):
        problem = d if isinstance(d, Problem) else n
        assert isinstance(problem, Problem)
        return Outside(f"'{text}' is not read: {problem.message}", problem.hint)
    fits = {count: name for (diameter, count), name in tables.INCH.items() if diameter == d}
    if series:
        fits = {count: name for count, name in fits.items() if name == series or (series, name) == ("UN", "8UN")}
    if n is None and len(fits) == 1 and series:
        n = next(iter(fits))
    if n in fits:
        return _made_inch(d, n, fits[n])
    shown = _size(d)
    if not fits:
        return Outside(f"{text} is not in the table", "1/4 to 4 in, UNC, UNF and 8UN, are")
    choices = " or ".join(f"{shown}-{_short(count)}" for count in sorted(fits))
    if n is None:
        return Outside(f"'{text}' does not say how many threads an inch", f"write {choices}")
    return Outside(f"{shown} in with {_short(n)} threads an inch is not in the table", f"write {choices}")


def _made_inch(d: Fraction, n: Fraction, series: str) -> Thread:
    diameter, pitch = float(d) * INCH, INCH / float(n)
    area = inch_stress_area(diameter, pitch)
    return Thread(f"{_size(d)}-{_short(n)} {series}", diameter, pitch, area, series, tables.INCH_SOURCE)


def _short(value: Fraction) -> str:
    return f"{float(value):g}"


def _size(d: Fraction) -> str:
    whole, part = divmod(d, 1)
    return f"{whole}-{part}" if whole and part else str(d)


def stress_area(thread: Thread) -> Result:
    """A_s in m², as tabled for the metric threads and by formula for the inch ones."""
    factor = "0.9382" if thread.metric else "0.9743"
    return Result(
        thread.stress_area,
        "m²",
        f"A_s = (π/4)(d − {factor} P)²",
        (Input("nominal diameter d", thread.diameter, "m"), Input("pitch P", thread.pitch, "m")),
        thread.source,
        ("60° threads of ISO 68-1 or ASME B1.1",),
    )


def bearing_diameter(thread: Thread) -> Result:
    """D_Km in m, the mean diameter of the face that turns: of a hexagon head in a medium hole where tabled, else 1.25 d."""
    row = tables.HEXAGON.get(Fraction(f"{thread.diameter * 1000:g}")) if thread.metric else None
    if row:
        face, hole = row[0] / 1000, row[1] / 1000
        return Result(
            (face + hole) / 2,
            "m",
            "D_Km = (d_w + d_h)/2",
            (Input("washer face d_w", face, "m"), Input("hole d_h", hole, "m")),
            tables.HEXAGON_SOURCE,
            ("hexagon head of normal series on a medium clearance hole; not flanged heads, not heavy series nuts",),
        )
    return Result(
        1.25 * thread.diameter,
        "m",
        "D_Km = (d + 1.5 d)/2",
        (Input("nominal diameter d", thread.diameter, "m"),),
        "Shigley, Mechanical Engineering Design, chapter 8: washer face 1.5 d (from memory)",
        ("an estimate for hexagon nuts; measure the face where it matters",),
    )
