"""The torque wrench: its range, its error, what it can be set to, an adapter on it, and whether it suits a torque."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from procforge.engineering.base import Input, Outside, Result
from procforge.engineering.figures import Fault, exact, positive, shown, within
from procforge.findings import Severity

ISO_6789 = "ISO 6789-1:2017 (at second hand)"
SMALL = 10.0  # N·m: the highest mark of the wrenches that may be 6 % off
WANTED_RATIO = 4.0  # tolerance to error, common practice
USABLE_SHARE = 0.2  # of the highest mark, where the calibration begins


@dataclass(frozen=True, slots=True)
class Wrench:
    """A torque wrench: lowest and highest mark and graduation in N·m (0: not known), error as a share (None: ISO 6789)."""

    lowest: float
    highest: float
    graduation: float = 0.0
    error: float | None = None


def wrench_fault(wrench: Wrench) -> Outside | None:
    """Why this is no wrench: a range of nothing, marks the wrong way round, an error that is none."""
    bad = positive("the highest mark of the wrench", wrench.highest, "N·m", 1e6)
    bad = bad or within("the lowest mark of the wrench", wrench.lowest, "N·m", 0, wrench.highest, "write low to high")
    bad = bad or within("the graduation of the wrench", wrench.graduation, "N·m", 0, wrench.highest)
    if bad is None and wrench.lowest == wrench.highest:
        bad = Outside("the wrench has a range of nothing", "write its lowest and its highest mark")
    if bad is None and wrench.error is not None:
        bad = within("the error of the wrench", wrench.error, "%", 0.001, 0.5)
    return bad


def wrench_error(wrench: Wrench) -> Result | Outside:
    """The error to expect as a share of the torque: its own, or ±4 % above 10 N·m highest mark and ±6 % up to it."""
    if bad := wrench_fault(wrench):
        return bad
    given = wrench.error is not None
    value = wrench.error if wrench.error is not None else 0.06 if wrench.highest <= SMALL else 0.04
    return Result(
        value,
        "",
        "as stated for the wrench" if given else "4 % where the highest mark is above 10 N·m, else 6 %",
        (Input("highest mark", wrench.highest, "N·m"),),
        "its certificate" if given else ISO_6789,
        ("from the usable low end to the highest mark, in calibration, pulled slowly at the middle of the grip",),
    )


def usable_low(wrench: Wrench) -> Result | Outside:
    """The least torque in N·m to use it at: the larger of its lowest mark and 20 % of its highest."""
    if bad := wrench_fault(wrench):
        return bad
    return Result(
        max(wrench.lowest, USABLE_SHARE * wrench.highest),
        "N·m",
        "max(lowest mark, 20 % of the highest)",
        (Input("lowest mark", wrench.lowest, "N·m"), Input("highest mark", wrench.highest, "N·m")),
        f"{ISO_6789}: tested at 20, 60 and 100 %; common practice",
        ("hand torque wrenches",),
    )


def accuracy_ratio(tolerance: float, error: float) -> Result | Outside:
    """How many times the tolerance (± as a share) holds the tool's error (± as a share); 4 is wanted."""
    bad = positive("the tolerance", tolerance, "%", 1.0) or positive("the error", error, "%", 1.0)
    if bad:
        return bad
    inputs = (Input("tolerance ±", tolerance), Input("error ±", error))
    return Result(tolerance / error, "", "ratio = tolerance/error", inputs, "common practice: 4 to 1", ())


def graduation(target: float) -> Result | Outside:
    """The graduation in N·m to expect on a wrench for `target` N·m: the largest of 1, 2, 5 × 10ⁿ within 2 % of it."""
    if bad := within("the torque", target, "N·m", 0.1, 1e6):
        return bad
    power = math.floor(math.log10(target * 0.02) + 1e-9)
    size = max(m * 10.0**power for m in (1, 2, 5) if m * 10.0**power <= target * 0.02 * (1 + 1e-9))
    return Result(
        float(f"{size:.6g}"),
        "N·m",
        "the largest of 1, 2, 5 × 10ⁿ not above 2 % of the torque",
        (Input("torque", target, "N·m"),),
        "common practice, no source",
        ("a guess: the wrench's own scale decides",),
    )


def settings(
    target: Fraction | float, percents: tuple[Fraction | float, ...], step: Fraction | float
) -> tuple[Fraction, ...] | Outside:
    """Each pass of a torque rounded to the nearest multiple of `step`, in the unit of `target` and `step`.

    The last pass is the target itself where it is 100 %. Outside if the passes do not rise, or no longer do when
    rounded, or if one rounds to nothing.
    """
    if not all(map(_finite, (target, step, *percents))):
        return Outside("a torque, a pass or the graduation is not a finite number")
    whole, grain, shares = exact(target), exact(step), [exact(p) for p in percents]
    if whole <= 0 or grain <= 0:
        return Outside("the torque and the graduation must be above 0", "check the values")
    if bad := rising(tuple(shares)):
        return bad
    found = [
        whole if share == 100 else grain * math.floor(whole * share / 100 / grain + Fraction(1, 2)) for share in shares
    ]
    if found[0] <= 0 or any(b <= a for a, b in pairwise(found)):
        return Outside(
            f"with a graduation of {float(grain):g} the passes no longer rise: {', '.join(f'{float(f):g}' for f in found)}",
            "use a finer wrench or fewer passes",
        )
    return tuple(found)


def _finite(value: Fraction | float) -> bool:
    return not isinstance(value, float) or math.isfinite(value)


def rising(percents: tuple[Fraction | float, ...]) -> Outside | None:
    """None where the passes (in percent) are above 0, rise, and end at 100."""
    if not percents:
        return Outside("no pass is given", "write rising passes that end at 100 %")
    steps = (0, *percents)
    if any(not b > a for a, b in pairwise(steps)) or percents[-1] != 100:
        shown_passes = ", ".join(f"{float(p):g} %" for p in percents)
        return Outside(f"the passes do not rise to 100 %: {shown_passes}", "write rising passes that end at 100 %")
    return None


def adapter_setting(torque: float, length: float, extension: float, angle: float = 0.0) -> Result | Outside:
    """What to set in N·m so that `torque` reaches the nut: T·L/(L + E cos a).

    `length` L in m from the square drive to the middle of the grip, `extension` E in m from the drive to the nut,
    `angle` a in degrees between the two: 0 straight ahead, 90 no correction, 180 turned back.
    """
    bad = (
        positive("the torque", torque, "N·m", 1e6)
        or positive("the length of the wrench", length, "mm", 5.0)
        or within("the adapter", extension, "mm", 0, 2.0)
        or within("the angle of the adapter", angle, "°", 0, 180)
    )
    if bad:
        return bad
    arm = length + extension * math.cos(math.radians(angle))
    if arm < length / 2:
        return Outside("the adapter turned back is more than half the wrench", "use it straight ahead or at 90°")
    return Result(
        torque * length / arm,
        "N·m",
        "setting = T·L/(L + E cos a)",
        (
            Input("torque at the nut T", torque, "N·m"),
            Input("wrench, drive to grip L", length, "m"),
            Input("adapter, drive to nut E", extension, "m"),
            Input("angle of the adapter a", angle, "°"),
        ),
        "lever rule (from memory); the manual of the wrench governs",
        ("pulled at the middle of the grip, square to the wrench",),
    )


def judge_wrench(wrench: Wrench, torque: float, tolerance: float | None = None) -> tuple[Fault, ...] | Outside:
    """What is wrong with a wrench for a torque (N·m) and its tolerance (± as a share, None if none is given).

    Kinds: `wrench-too-small`, `wrench-too-large`, `wrench-too-coarse` (errors), `accuracy-ratio-low` (a note).
    """
    low, error = usable_low(wrench), wrench_error(wrench)
    if isinstance(low, Outside):
        return low
    if isinstance(error, Outside):
        return error
    bad = positive("the torque", torque, "N·m", 1e6)
    bad = bad or (None if tolerance is None else positive("the tolerance", tolerance, "%", 1.0))
    if bad:
        return bad
    name = f"a wrench of {shown(wrench.lowest, 'N·m')} to {shown(wrench.highest, 'N·m')}"
    value = shown(torque, "N·m")
    faults: list[Fault] = []
    if torque > wrench.highest * (1 + 1e-9):
        faults.append(Fault("wrench-too-small", Severity.ERROR, f"{value} is above {name}", "take a larger wrench"))
    elif torque < low.value * (1 - 1e-9):
        usable = shown(low.value, "N·m")
        faults.append(
            Fault(
                "wrench-too-large", Severity.ERROR, f"{value} is below {usable}, the least to use {name} at",
                "take a smaller wrench",
            )
        )  # fmt: skip
    faults.extend(_coarse(wrench, torque, tolerance, error.value, name))
    return tuple(faults)


def _coarse(wrench: Wrench, torque: float, tolerance: float | None, error: float, name: str) -> list[Fault]:
    off = _off_scale(torque, wrench.graduation)
    if tolerance is None:
        return []
    limit = f"± {shown(tolerance, '%')}"
    if off > tolerance * (1 + 1e-9):
        what = f"{name} marked every {shown(wrench.graduation, 'N·m')} cannot be set to {shown(torque, 'N·m')} {limit}"
        return [Fault("wrench-too-coarse", Severity.ERROR, what, "take a finer wrench")]
    ratio = tolerance / error
    if ratio < 1 - 1e-9:
        what = f"{name} may be off by ± {shown(error, '%')}, more than the tolerance of {limit}"
        return [Fault("wrench-too-coarse", Severity.ERROR, what, "take a finer wrench or ask for a wider tolerance")]
    if ratio < WANTED_RATIO * (1 - 1e-9):
        what = (
            f"{name} may be off by ± {shown(error, '%')}: {shown(ratio, '', 2)} to 1 of the tolerance, 4 to 1 is wanted"
        )
        return [Fault("accuracy-ratio-low", Severity.NOTE, what, "the reading uses up part of the tolerance")]
    return []


def _off_scale(torque: float, step: float) -> float:
    """How far, as a share, the nearest mark lies from the torque; 0 where the graduation is not known."""
    if not step:
        return 0.0
    return abs(step * round(torque / step) - torque) / torque
