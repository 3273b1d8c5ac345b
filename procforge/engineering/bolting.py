"""Torque to preload and back: short form with a nut factor, VDI 2230, and the long form of inch practice.

All SI: torque N·m, preload N, lengths m, stress Pa. All hold for 60° threads, below yield, with the friction stated.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from procforge.engineering.base import Input, Outside, Result
from procforge.engineering.figures import positive, within
from procforge.engineering.friction import Friction
from procforge.engineering.strength import Strength
from procforge.engineering.threads import Thread, bearing_diameter

MOST_TORQUE, MOST_PRELOAD = 1e6, 1e8  # N·m, N: beyond any hand or hydraulic tool
LEAST_FRICTION, MOST_FRICTION = 0.02, 0.5
LEAST_FACTOR, MOST_FACTOR = 0.05, 0.6
UTILISATION = 0.9  # of the least yield strength, as in the tables of VDI 2230

SHORT_SOURCE = "short form T = K·D·F (Shigley, chapter 8; ASME PCC-1 appendix K; at second hand)"
VDI_SOURCE = "VDI 2230 part 1:2003, tightening torque (at second hand)"
LONG_SOURCE = "Shigley, Mechanical Engineering Design, chapter 8, torque of a bolt (from memory)"
LIMITS = ("60° threads, elastic, below yield", "the lubricant stated, on threads and turning face, clean and new")


def torque_short(preload: float, diameter: float, factor: float) -> Result | Outside:
    """T in N·m for a preload in N: T = K·D·F, D the nominal diameter in m, K the nut factor."""
    if bad := positive("the preload", preload, "N", MOST_PRELOAD) or _short(diameter, factor):
        return bad
    inputs = (
        Input("preload F", preload, "N"),
        Input("nominal diameter D", diameter, "m"),
        Input("nut factor K", factor),
    )
    return Result(factor * diameter * preload, "N·m", "T = K·D·F", inputs, SHORT_SOURCE, LIMITS)


def preload_short(torque: float, diameter: float, factor: float) -> Result | Outside:
    """F in N from a torque in N·m: F = T/(K·D), D in m, K the nut factor."""
    if bad := positive("the torque", torque, "N·m", MOST_TORQUE) or _short(diameter, factor):
        return bad
    inputs = (
        Input("torque T", torque, "N·m"),
        Input("nominal diameter D", diameter, "m"),
        Input("nut factor K", factor),
    )
    return Result(torque / (factor * diameter), "N", "F = T/(K·D)", inputs, SHORT_SOURCE, LIMITS)


def _short(diameter: float, factor: float) -> Outside | None:
    return positive("the diameter", diameter, "mm", 0.2) or within(
        "the nut factor",
        factor,
        "",
        LEAST_FACTOR,
        MOST_FACTOR,
        "K is 0.1 to 0.3 for most bolts; it is not the friction",
    )


def torque_vdi(
    preload: float, thread: Thread, friction: float, face: float | None = None, bearing: float | None = None
) -> Result | Outside:
    """M in N·m for a preload in N: M = F(0.16 P + 0.58 d₂ μ_G + D_Km/2 μ_K).

    `friction` is μ_G of the thread, `face` μ_K under the turning face (the same if left out), `bearing` D_Km in m
    (that of a hexagon head if left out).
    """
    arm = _arm(thread, friction, friction if face is None else face, bearing, vdi_arm)
    if isinstance(arm, Outside):
        return arm
    if bad := positive("the preload", preload, "N", MOST_PRELOAD):
        return bad
    inputs = (Input("preload F", preload, "N"), *arm[1])
    return Result(preload * arm[0], "N·m", "M = F(0.16 P + 0.58 d₂ μ_G + D_Km/2 μ_K)", inputs, VDI_SOURCE, LIMITS)


def preload_vdi(
    torque: float, thread: Thread, friction: float, face: float | None = None, bearing: float | None = None
) -> Result | Outside:
    """F in N from a torque in N·m, the inverse of `torque_vdi`."""
    arm = _arm(thread, friction, friction if face is None else face, bearing, vdi_arm)
    if isinstance(arm, Outside):
        return arm
    if bad := positive("the torque", torque, "N·m", MOST_TORQUE):
        return bad
    inputs = (Input("torque M", torque, "N·m"), *arm[1])
    return Result(torque / arm[0], "N", "F = M/(0.16 P + 0.58 d₂ μ_G + D_Km/2 μ_K)", inputs, VDI_SOURCE, LIMITS)


def torque_long(
    preload: float, thread: Thread, friction: float, face: float | None = None, collar: float | None = None
) -> Result | Outside:
    """T in N·m for a preload in N, the long form: T = F[d₂/2 (tan λ + μ sec 30°)/(1 − μ tan λ sec 30°) + μ_c d_c/2].

    tan λ = P/(π d₂); `face` is μ_c (as `friction` if left out), `collar` d_c in m (1.25 d if left out).
    """
    arm = _long(thread, friction, face, collar)
    if isinstance(arm, Outside):
        return arm
    if bad := positive("the preload", preload, "N", MOST_PRELOAD):
        return bad
    inputs = (Input("preload F", preload, "N"), *arm[1])
    formula = "T = F[d₂/2 (tan λ + μ sec 30°)/(1 − μ tan λ sec 30°) + μ_c d_c/2]"
    return Result(preload * arm[0], "N·m", formula, inputs, LONG_SOURCE, LIMITS)


def preload_long(
    torque: float, thread: Thread, friction: float, face: float | None = None, collar: float | None = None
) -> Result | Outside:
    """F in N from a torque in N·m, the inverse of `torque_long`."""
    arm = _long(thread, friction, face, collar)
    if isinstance(arm, Outside):
        return arm
    if bad := positive("the torque", torque, "N·m", MOST_TORQUE):
        return bad
    inputs = (Input("torque T", torque, "N·m"), *arm[1])
    formula = "F = T/[d₂/2 (tan λ + μ sec 30°)/(1 − μ tan λ sec 30°) + μ_c d_c/2]"
    return Result(torque / arm[0], "N", formula, inputs, LONG_SOURCE, LIMITS)


def vdi_arm(thread: Thread, friction: float, face: float, bearing: float) -> float:
    """Torque per newton of preload in m: 0.16 P + 0.58 d₂ μ_G + D_Km/2 μ_K."""
    return 0.16 * thread.pitch + 0.58 * thread.pitch_diameter * friction + bearing / 2 * face


def long_arm(thread: Thread, friction: float, face: float, collar: float) -> float:
    """Torque per newton of preload in m by the long form."""
    lead = thread.pitch / (math.pi * thread.pitch_diameter)
    wedge = friction / math.cos(math.radians(30))
    return thread.pitch_diameter / 2 * (lead + wedge) / (1 - lead * wedge) + face * collar / 2


_Arm = tuple[float, tuple[Input, ...]]
_Form = Callable[[Thread, float, float, float], float]


def _long(thread: Thread, friction: float, face: float | None, collar: float | None) -> _Arm | Outside:
    collar = 1.25 * thread.diameter if collar is None else collar
    return _arm(thread, friction, friction if face is None else face, collar, long_arm)


def _arm(
    thread: Thread,
    friction: float,
    face: float,
    bearing: float | None,
    form: _Form,
) -> _Arm | Outside:
    dkm = bearing_diameter(thread).value if bearing is None else bearing
    bad = (
        within("the friction of the thread", friction, "", LEAST_FRICTION, MOST_FRICTION, "μ is 0.04 to 0.35 on bolts")
        or within("the friction of the face", face, "", LEAST_FRICTION, MOST_FRICTION, "μ is 0.04 to 0.35 on bolts")
        or within(
            "the diameter of the turning face", dkm, "mm", thread.diameter, 3 * thread.diameter,
            "it is the mean of the face's outer diameter and the hole",
        )
    )  # fmt: skip
    if bad:
        return bad
    inputs = (
        Input("pitch P", thread.pitch, "m"),
        Input("pitch diameter d₂", thread.pitch_diameter, "m"),
        Input("mean diameter of the turning face", dkm, "m"),
        Input("friction of the thread", friction),
        Input("friction of the face", face),
    )
    return form(thread, friction, face, dkm), inputs


def assembly_preload(
    thread: Thread, strength: Strength, friction: float, utilisation: float = UTILISATION
) -> Result | Outside:
    """F_M in N that with its torsion uses the share `utilisation` of the yield strength (0.9 in the tables of VDI 2230).

    F_M = u R_p0.2 A_s / √(1 + 3[(3/2)(d₂/d₀)(P/(π d₂) + 1.155 μ_G)]²), d₀ = (d₂ + d₃)/2.
    """
    bad = within("the friction of the thread", friction, "", LEAST_FRICTION, MOST_FRICTION) or within(
        "the share of the yield strength", utilisation, "", 0.05, 1.0
    )
    if bad:
        return bad
    twist = 1.5 * thread.pitch_diameter / thread.stress_diameter
    twist *= thread.pitch / (math.pi * thread.pitch_diameter) + 1.155 * friction
    area = math.pi / 4 * thread.stress_diameter**2
    inputs = (
        Input("share u of the yield strength", utilisation),
        Input("yield strength R_p0.2", strength.yield_strength, "N/m²"),
        Input("stress area A_s", area, "m²"),
        Input("pitch P", thread.pitch, "m"),
        Input("pitch diameter d₂", thread.pitch_diameter, "m"),
        Input("friction of the thread μ_G", friction),
    )
    formula = "F_M = u R_p0.2 A_s/√(1 + 3[(3/2)(d₂/d₀)(P/(π d₂) + 1.155 μ_G)]²)"
    value = utilisation * strength.yield_strength * area / math.sqrt(1 + 3 * twist**2)
    source = "VDI 2230 part 1:2003, permissible assembly preload (at second hand)"
    return Result(
        value, "N", formula, inputs, f"{source}; {strength.source}", ("bolts with a shank, not waisted", *LIMITS)
    )


@dataclass(frozen=True, slots=True)
class Scatter:
    """The preload one torque gives: `most` at the least friction, `middle`, `least` at the most friction."""

    most: Result
    middle: Result
    least: Result


def scatter(torque: float, thread: Thread, friction: Friction, bearing: float | None = None) -> Scatter | Outside:
    """Preloads in N at both ends and the middle of the friction range, by VDI 2230; friction alone, not the tool's."""
    found = []
    for mu in (friction.low, friction.middle, friction.high):
        one = preload_vdi(torque, thread, mu, bearing=bearing)
        if isinstance(one, Outside):
            return one
        found.append(one)
    return Scatter(*found)
