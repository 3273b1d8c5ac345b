"""Torque to preload and back against VDI 2230, a worked example of Shigley, and other ways to the same number."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from procforge.engineering.base import Outside, Result
from procforge.engineering.bolting import (
    assembly_preload,
    long_arm,
    preload_long,
    preload_short,
    preload_vdi,
    scatter,
    torque_long,
    torque_short,
    torque_vdi,
)
from procforge.engineering.figures import quantity
from procforge.engineering.friction import FRICTION, NUT_FACTORS, Friction, friction_of, nut_factor
from procforge.engineering.joint import Joint, judge_joint
from procforge.engineering.strength import Strength, read_strength
from procforge.engineering.threads import Thread, bearing_diameter, read_thread
from procforge.quantities import Quantity, read

INCH_POUND = 4.4482216152605 * 0.0254  # N·m


def thread(text: str) -> Thread:
    found = read_thread(text)
    assert isinstance(found, Thread), found
    return found


def strength(text: str, of: str) -> Strength:
    found = read_strength(text, thread(of))
    assert isinstance(found, Strength), found
    return found


def value(found: Result | Outside) -> float:
    assert isinstance(found, Result), found
    return found.value


def friction(word: str) -> Friction:
    found = friction_of(word)
    assert isinstance(found, Friction), found
    return found


# ---- VDI 2230 tables (read): assembly preload kN and torque N·m of hexagon bolts at 90 % of yield

VDI = [
    ("M10x1.25", 0.12, "8.8", 31.6, 51), ("M10x1.25", 0.12, "10.9", 46.4, 75), ("M10x1.25", 0.12, "12.9", 54.3, 87),
    ("M12x1.25", 0.12, "8.8", 48.0, 90), ("M12x1.25", 0.12, "10.9", 70.5, 133), ("M12x1.25", 0.12, "12.9", 82.5, 155),
    ("M16x1.5", 0.10, "8.8", 89.6, 189), ("M16x1.5", 0.10, "10.9", 131.6, 278), ("M16x1.5", 0.10, "12.9", 154.0, 325),
    ("M24x2", 0.14, "8.8", 204, 865), ("M24x2", 0.14, "10.9", 290, 1232), ("M24x2", 0.14, "12.9", 339, 1442),
]  # fmt: skip


@pytest.mark.parametrize(("size", "mu", "name", "preload", "torque"), VDI)
def test_vdi_tables(size: str, mu: float, name: str, preload: float, torque: float) -> None:
    force = value(assembly_preload(thread(size), strength(name, size), mu))
    assert force / 1000 == pytest.approx(preload, rel=0.003)
    assert value(torque_vdi(force, thread(size), mu)) == pytest.approx(torque, rel=0.006)
    assert value(preload_vdi(torque, thread(size), mu)) / 1000 == pytest.approx(preload, rel=0.007)


@pytest.mark.parametrize(
    ("size", "mu", "name"), [row[:3] for row in VDI] + [("M12", 0.08, "8.8"), ("3/4-16", 0.15, "grade 5")]
)
def test_assembly_preload_by_solving_for_the_combined_stress(size: str, mu: float, name: str) -> None:
    # Independent: von Mises stress of tension and plastic torsion (W = π d₀³/12) set to 90 % of yield, by scipy.
    one, yield_ = thread(size), strength(name, size).yield_strength
    d0 = one.stress_diameter
    lead, wedge = math.atan(one.pitch / (math.pi * one.pitch_diameter)), 1.155 * mu

    def excess(force: float) -> float:
        sigma = force / (math.pi / 4 * d0**2)
        tau = force * one.pitch_diameter / 2 * (math.tan(lead) + wedge) / (math.pi * d0**3 / 12)
        return math.hypot(sigma, math.sqrt(3) * tau) - 0.9 * yield_

    assert value(assembly_preload(one, strength(name, size), mu)) == pytest.approx(brentq(excess, 1, 1e8), rel=1e-9)


# ---- Shigley

twenty_five_kip = 25_000 * 4.4482216152605  # N: 25 kip


def test_shigley_example_8_3() -> None:
    # Shigley example 8-3, 3/4-16 UNF: problem read, torques from memory and recomputed
    assert twenty_five_kip / 1000 == pytest.approx(111.2, abs=0.01)
    assert value(torque_short(twenty_five_kip, 0.75 * 0.0254, 0.20)) / INCH_POUND == pytest.approx(3750)
    long = value(torque_long(twenty_five_kip, thread("3/4-16"), 0.15))
    assert long / INCH_POUND == pytest.approx(3551, abs=1)
    assert long / (twenty_five_kip * 0.75 * 0.0254) == pytest.approx(0.1894, abs=0.0001)


def test_nut_factors() -> None:
    # Shigley, table 8-15 (at second hand)
    assert {row.condition: row.factor for row in NUT_FACTORS} == {
        "plain-black": 0.30, "zinc-plated": 0.20, "lubricated": 0.18, "cadmium-plated": 0.16,
    }  # fmt: skip
    assert not isinstance(nut_factor("Zinc plated"), Outside)
    assert isinstance(nut_factor("honey"), Outside)


@pytest.mark.parametrize("size", ["M8", "M12", "M16x1.5", "M36", "3/4-16", "1/2-13", "1-1/2-8"])
@pytest.mark.parametrize("mu", [0.08, 0.12, 0.15, 0.20])
def test_long_form_by_the_angles(size: str, mu: float) -> None:
    # Independent: the wedge on the incline by its angles, F d₂/2 tan(λ + r), tan r = μ/cos 30°.
    one = thread(size)
    lead = math.atan(one.pitch / (math.pi * one.pitch_diameter))
    wedge = math.atan(mu / math.cos(math.pi / 6))
    collar = 1.25 * one.diameter
    arm = one.pitch_diameter / 2 * math.tan(lead + wedge) + mu * collar / 2
    assert long_arm(one, mu, mu, collar) == pytest.approx(arm, rel=1e-12)
    # VDI's form is the same but for the small product of the two tangents: within 1.5 %
    assert value(torque_vdi(1e4, one, mu, bearing=collar)) == pytest.approx(1e4 * arm, rel=0.015)


# ---- scatter


@pytest.mark.parametrize(
    ("bearing", "kilonewtons"),
    [(15.07e-3, (60.3, 43.1, 33.5)), (15.75e-3, (59.1, 42.2, 32.8))],  # computed by two independent methods
)
def test_friction_scatter(bearing: float, kilonewtons: tuple[float, float, float]) -> None:
    found = scatter(83.6, thread("M12"), friction("oiled"), bearing)
    assert not isinstance(found, Outside)
    got = (found.most.value / 1000, found.middle.value / 1000, found.least.value / 1000)
    assert got == pytest.approx(kilonewtons, abs=0.06)


def test_joint_above_proof_at_the_low_friction_end() -> None:
    # The torque that VDI gives for μ 0.12 passes the proof load (48.9 kN) of M12 8.8 where the friction is 0.08.
    found = judge_joint(83.6, thread("M12"), strength("8.8", "M12"), friction("oiled"))
    assert isinstance(found, Joint)
    assert [fault.kind for fault in found.faults] == ["above-proof"]
    assert found.share_most.value == pytest.approx(60.3 / 48.9, rel=0.006)
    assert "123 % of the proof load" in found.faults[0].message
    assert found.share_least.value == pytest.approx(33.5 / 48.9, rel=0.006)


def test_joint_below_proof_has_no_fault_until_its_tolerance_passes_it() -> None:
    joint = (thread("M12"), strength("8.8", "M12"), friction("oiled"))
    at_proof = 83.6 * 48.9 / 60.3
    quiet = judge_joint(at_proof * 0.98, *joint)
    assert isinstance(quiet, Joint) and quiet.faults == ()
    loud = judge_joint(at_proof * 0.98, *joint, tolerance=0.10)
    assert isinstance(loud, Joint) and len(loud.faults) == 1
    stud = judge_joint(700, thread("3/4-10"), strength("B7", "3/4-10"), friction("moly"))
    assert isinstance(stud, Joint) and "yield load" in stud.faults[0].message


def test_lubricant_words() -> None:
    # VDI 2230 friction classes (at second hand): A 0.04–0.10, B 0.08–0.16, C 0.14–0.24, D 0.20–0.35
    ranges = {(f.low, f.high) for f in FRICTION.values()}
    assert ranges == {(0.04, 0.10), (0.04, 0.16), (0.08, 0.16), (0.14, 0.24), (0.20, 0.35), (0.14, 0.35)}
    assert (friction("Molybdenum disulphide").low, friction("oil").high, friction("as delivered").low) == (
        0.04,
        0.16,
        0.14,
    )
    found = friction_of("soap")
    assert isinstance(found, Outside) and "data sheet" in found.hint


# ---- both ways, and refusals

FORMS: list[tuple[Callable[..., Result | Outside], Callable[..., Result | Outside]]] = [
    (torque_vdi, preload_vdi),
    (torque_long, preload_long),
]


@given(
    st.sampled_from(["M6", "M12", "M12x1.25", "M39", "M64", "1/4-20", "3/4-16", "4-8"]),
    st.floats(100, 1e6),
    st.floats(0.04, 0.35),
    st.floats(0.04, 0.35),
    st.integers(0, 1),
)
def test_torque_and_preload_are_inverse(size: str, force: float, mu: float, face: float, form: int) -> None:
    there, back = FORMS[form]
    torque = value(there(force, thread(size), mu, face))
    assert value(back(torque, thread(size), mu, face)) == pytest.approx(force, rel=1e-9)
    assert value(there(force, thread(size), mu + 0.01, face)) > torque  # more friction, more torque


@given(st.floats(1, 1e7), st.floats(0.001, 0.2), st.floats(0.05, 0.6))
def test_short_form_is_inverse(force: float, diameter: float, factor: float) -> None:
    torque = value(torque_short(force, diameter, factor))
    if torque < 1e6:
        assert value(preload_short(torque, diameter, factor)) == pytest.approx(force, rel=1e-9)


@given(st.floats(allow_nan=True, allow_infinity=True), st.floats(allow_nan=True, allow_infinity=True))
def test_no_number_raises_and_no_nonsense_gives_one(a: float, b: float) -> None:
    one = thread("M12")
    calls = (
        torque_short(a, b, 0.2), preload_short(a, 0.012, b), torque_vdi(a, one, b), preload_vdi(a, one, 0.12, b),
        torque_long(a, one, b), preload_long(a, one, 0.12, 0.12, b), assembly_preload(one, strength("8.8", "M12"), a, b),
    )  # fmt: skip
    for found in calls:
        if isinstance(found, Result):
            assert math.isfinite(found.value) and found.value > 0
            assert found.source and found.formula and found.limits
        else:
            assert found.message


@pytest.mark.parametrize(
    ("found", "message"),
    [
        (torque_short(1e4, 12, 0.2), "the diameter is 12000 mm"),
        (torque_short(1e4, 0.012, 0.0), "the nut factor is 0"),
        (preload_vdi(-5, thread("M12"), 0.12), "the torque is -5 N·m; it must be above 0"),
        (preload_vdi(60, thread("M12"), 1.2), "the friction of the thread is 1.2"),
        (preload_vdi(60, thread("M12"), 0.12, bearing=0.005), "the diameter of the turning face is 5 mm"),
        (preload_vdi(float("nan"), thread("M12"), 0.12), "not a finite number"),
        (preload_vdi(1e300, thread("M12"), 0.12), "the torque is 1e+300"),
    ],
)
def test_refusals_say_why(found: Result | Outside, message: str) -> None:
    assert isinstance(found, Outside)
    assert message in found.message


def test_results_print_in_trade_units() -> None:
    found = torque_vdi(43.1e3, thread("M12"), 0.12)
    assert isinstance(found, Result)
    assert str(quantity(found)) == "83.6 N·m"
    assert str(quantity(found, "lbf·ft")) == "61.7 lbf·ft"
    assert [(i.name, i.unit) for i in found.inputs][:2] == [("preload F", "N"), ("pitch P", "m")]
    assert bearing_diameter(thread("M12")).value in [i.value for i in found.inputs]


def test_units_are_those_of_the_table() -> None:
    # The unit rows of the check values (pound-force, torque, pressure, 68 °F) are in test_quantities_table.py.
    # A fact of the trade, common practice, no source: a small threaded cap at 25 lbf·ft is 33.9 N·m.
    cap = read("25 lbf·ft")
    assert isinstance(cap, Quantity)
    assert str(cap.to("N·m")) == "33.9 N·m"
