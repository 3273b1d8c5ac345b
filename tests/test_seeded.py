"""Slips that planners make, seeded into the demo one at a time: each is found, and named for what it is."""

from __future__ import annotations

import pytest

from procforge.findings import Finding
from tests.mutants import ROOT, Statement, statements, swapped, verdict, without

PATH = ROOT / "procedures" / "booster" / "valve-service.proc"
TEXT = PATH.read_text(encoding="utf-8")


def edited(*changes: tuple[str, str]) -> str:
    """The demo with some texts changed, each of which must stand in it."""
    text = TEXT
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def named(start: str, nth: int = 0) -> Statement:
    """The statement whose line starts with some words."""
    lines = TEXT.split("\n")
    return [s for s in statements(TEXT) if lines[s.first - 1].strip().startswith(start)][nth]


def rules(text: str) -> set[str]:
    found = verdict(PATH, text)
    return {f.rule for f in found} | {entry.partition(",")[0] for f in found for entry in f.also}


def test_the_demo_itself_is_clean() -> None:
    assert verdict(PATH, TEXT) == []


SLIPS: dict[str, tuple[str, str]] = {
    "old seal for new": (edited(("step fit valve-gasket new by", "step fit valve-gasket by")), "spent-seal-refitted"),
    "valve in the wrong pocket": (
        edited(("step fit outlet-valve by fitter", "step fit outlet-valve at inlet-pocket by fitter")),
        "wrong-place",
    ),
    "valve the wrong way up": (
        edited(
            (
                'way up "inlet side towards the piston, guard plate towards the cage"',
                'way up "inlet side towards the cage, guard plate towards the piston"',
            )
        ),
        "wrong-way-up",
    ),
    "breaker left out of the isolation": (
        edited(
            ("step isolate motor-breaker, inlet-block", "step isolate inlet-block"),
            ("step lock motor-breaker, inlet-block", "step lock inlet-block"),
        ),
        "proved-while-fed",
    ),
    "second block left out": (
        edited(
            (
                "outlet-block, outlet-second by operator\nstep isolate drain",
                "outlet-block by operator\nstep isolate drain",
            ),
            (
                "outlet-block, outlet-second, outlet-bleed by operator\n  takes",
                "outlet-block, outlet-bleed by operator\n  takes",
            ),
        ),
        "vented-while-fed",
    ),
    "spade left in": (
        edited(('section "Block the drive"\n', 'section "Block the drive"\nstep fit outlet-spade by fitter\n')),
        "temporary-left-in",
    ),
    "torque restated otherwise": (
        edited(
            (
                "step tighten cover-nuts with torque-wrench, thread-oil by fitter\n",
                "step tighten cover-nuts with torque-wrench, thread-oil by fitter\n    torque 45 N.m\n",
            )
        ),
        "torque-differs",
    ),
    "proof on one model only": (
        edited(("step prove cylinder at PI-1 by fitter\n", "step prove cylinder at PI-1 by fitter only for frame-S\n")),
        "hold-before-proof",
    ),
    "kind for the other service": (edited(("  kind liquid-relief\n", "  kind plain\n")), "not-for-service"),
    "oil the gas does not allow": (
        edited(("with ring-oil by fitter only for dry-gas", "with ring-oil by fitter")),
        "not-for-service",
    ),
    "look-alikes unmarked": (without(TEXT, named("step mark inlet-valve")), "look-alikes-unmarked"),
    "hold-down screw out before the nuts are eased": (
        swapped(TEXT, named("step ease cover-nuts"), named("step remove hold-screw")),
        "comes-out-too-early",
    ),
    "hold moved past its opening": (
        swapped(TEXT, named("hold H1"), named("step ease cover-nuts")),
        "opened-before-witnessed",
    ),
    "hold dropped": (without(TEXT, named("hold H1")), "opened-before-witnessed"),
    "vented before locked": (
        swapped(TEXT, named("step lock motor-breaker"), named("step vent cylinder")),
        "relieved-before-locked",
    ),
    "leak test before torque": (
        swapped(TEXT, named("step tighten cover-nuts"), named("step leak-test cylinder")),
        "pressurised-untorqued",
    ),
    "bound of the rounds dropped": (edited((", at most 2 times", "")), "repeat-without-bound"),
    "rejected ring put back": (
        edited(("      step renew cover-ring by fitter\n", "      step fit cover-ring by fitter\n")),
        "seal-reused-unchecked",
    ),
    "guard forgotten": (without(TEXT, named("step fit belt-guard")), "part-not-in-place"),
    "people not told": (without(TEXT, named("step notify control-room", 1)), "people-not-told"),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_slip_is_found_by_its_name(slip: str) -> None:
    text, rule = SLIPS[slip]
    assert rule in rules(text)


def test_swapping_a_proof_and_its_opening_is_found_with_the_way_there() -> None:
    text = swapped(TEXT, named("step prove cylinder"), named("step ease cover-nuts"))
    found = [f for f in verdict(PATH, text) if f.rule == "opened-before-proved"]
    assert found, rules(text)
    assert _names(found[0], "cylinder")
    assert "ease cover-nuts" in found[0].path[-1].text


def test_a_counter_example_tells_what_was_skipped() -> None:
    text, _ = SLIPS["proof on one model only"]
    found = next(f for f in verdict(PATH, text) if f.rule == "hold-before-proof")
    assert {v.split(",")[0] for v in found.variants} == {"frame-L"}
    skipped = [b for b in found.path if b.skipped and not b.quiet]
    assert any("prove cylinder" in b.text for b in skipped)


def _names(finding: Finding, word: str) -> bool:
    return word in finding.message or any(word in b.state for b in finding.path)
