"""Facts of the trade of servicing valves of piston machines. Each is common practice, no source.

They are held against a small invented machine, in our own words: what a fitter knows to be wrong is found at its line,
and the right way round is passed in silence.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from procforge.findings import Finding
from procforge.resolve.load import Library
from procforge.stages import check_file

MACHINE = """\
equipment BLW "Piston blower of a drying plant"
models one-cylinder
services humid "Humid air with droplets", arid "Air behind the dryer"
pressure-space chamber "Blower chamber"
  holds air
  pressure 3 bar(g)
  isolated by suction-slide, pressure-slide
  vented by chamber-vent to roof
  proved at PI-7
  tested in service
isolator suction-slide "Suction slide"
  in service open, isolates when shut
isolator pressure-slide "Pressure slide"
  in service open, isolates when shut
valve chamber-vent "Chamber vent"
  in service shut
gauge PI-7 "Test gauge"
  0 bar(g) to 1 bar(g), class 1.0
places left-seat "Left seat", right-seat "Right seat"
part lid "Lid"
  at each of left-seat, right-seat
  closes chamber
  held by lid-bolts
  sealed by lid-gasket, lid-ring
  over basket
fastener lid-bolts "Lid bolts"
  6 x M8, class 10.9, oiled
  torque 20 N.m +/- 10 %
  pattern cross, passes 50 %, 100 %
fastener press-screw "Press screw"
  1 x M12, class 8.8, dry
  torque 30 N.m +/- 10 %
  passes 100 %
  over lid
  comes out only when lid-bolts eased
  goes in only when lid-bolts torqued
seal lid-gasket "Lid gasket"
  single-use
seal lid-ring "Lid O-ring"
  judged by ring-look
part basket "Valve basket"
  at each of left-seat, right-seat
  held by press-screw
  interchangeable
part suction-valve "Suction valve"
  at left-seat
  under basket
  looks like pressure-valve
  way up "inlet side towards the suction line"
  judged by flap-shut, spirit-hold
  kind drop-proof for humid
  kind drop-proof, bare for arid
part pressure-valve "Pressure valve"
  at right-seat
  under basket
  looks like suction-valve
  way up "inlet side towards the piston"
  judged by flap-shut, spirit-hold
  kind bare
"""

JOB = """\
procedure BLW-M-004 "Service both valves of the blower"
revision A, 2026-10-01
use "blower.equip"
author "Planner", 2026-09-01
reviewer "Engineer", 2026-09-10
approver "Manager", 2026-10-01
crew 2 fitter, 1 operator
before starting none
tool torque-wrench "Torque wrench"
  range 10 N.m to 40 N.m
tool paint-stick "Paint stick"
consumable spirit "White spirit"
consumable ring-oil "Ring oil"
  not for humid
section "Make safe"
step isolate suction-slide, pressure-slide by operator
step lock suction-slide, pressure-slide by operator
step vent chamber by operator
step shut chamber-vent by operator
step prove chamber at PI-7 by operator
  limit up to 0.05 bar(g)
section "Take out"
step ease lid-bolts by half a turn by fitter
step remove press-screw by fitter
step remove lid-bolts by fitter
step remove lid by fitter
step remove basket by fitter
step mark suction-valve, pressure-valve with paint-stick by fitter
step remove suction-valve by fitter
step remove pressure-valve by fitter
section "Judge"
for each valve in suction-valve, pressure-valve
  check flap-shut on valve by fitter
    accept "Every flap shuts at once when it is let go."
  when flap-shut rejected
    step renew valve by fitter
  end
  check spirit-hold on valve with spirit by fitter
    accept "No drop of spirit comes through in one minute."
  when spirit-hold rejected
    step renew valve by fitter
  end
end
for each seat in left-seat, right-seat
  check ring-look on lid-ring by fitter
    accept "Round, soft, no cut."
  when ring-look rejected
    step renew lid-ring by fitter
  otherwise
    step fit lid-ring by fitter
  end
end
section "Put in"
step lubricate lid-ring with ring-oil by fitter only for arid
step look-into chamber by fitter
step fit suction-valve by fitter only for humid
  kind drop-proof
step fit suction-valve by fitter only for arid
  kind bare
  way up "inlet side towards the suction line"
step fit pressure-valve by fitter
  way up "inlet side towards the piston"
step fit basket by fitter
step fit lid-gasket new by fitter
step fit lid by fitter
step tighten lid-bolts with torque-wrench by fitter
step tighten press-screw with torque-wrench by fitter
section "Back to service"
step clear area by operator
step unlock suction-slide, pressure-slide by operator
step return suction-slide, pressure-slide by operator
step leak-test chamber by fitter
  expect "No hiss at the lids."
"""


def findings(*edits: tuple[str, str], machine: str = MACHINE) -> list[tuple[str, str]]:
    """The rule and the line of text of each finding on the job after some edits, each of a text that stands once."""
    job = JOB
    for old, new in edits:
        assert job.count(old) == 1, old
        job = job.replace(old, new)
    texts = {"blower.proc": job, "blower.equip": machine}

    def read(path: Path) -> bytes:
        if path.name not in texts:
            raise FileNotFoundError(path)
        return texts[path.name].encode()

    checked = check_file(Library(read), Path("blower.proc"))
    return [(f.rule, _text(f)) for f in checked.findings]


def _text(finding: Finding) -> str:
    return finding.span.source.line(finding.span.line).strip()


def moved(line: str, before: str) -> list[tuple[str, str]]:
    """The edits that move a line before another one."""
    return [(f"{line}\n", ""), (f"{before}\n", f"{line}\n{before}\n")]


def test_the_right_way_is_passed_in_silence() -> None:
    assert findings() == []


def test_nothing_is_opened_before_the_system_is_depressurised() -> None:
    """Common practice, no source."""
    ease = "step ease lid-bolts by half a turn by fitter"
    assert (
        findings(("step vent chamber by operator\n", ""), ("step shut chamber-vent by operator\n", ""))[0][0]
        == "proved-before-relieved"
    )
    assert ("opened-before-relieved", ease) in findings(
        ("step vent chamber by operator\nstep shut chamber-vent by operator\n", ""),
        ("step prove chamber at PI-7 by operator\n  limit up to 0.05 bar(g)\n", ""),
    )
    assert findings(*moved("step ease lid-bolts by half a turn by fitter", "step vent chamber by operator")) == [
        ("opened-before-relieved", ease)
    ]


@pytest.mark.parametrize("where", ["left-seat", "right-seat"])
def test_a_used_gasket_never_goes_back(where: str) -> None:
    """Common practice, no source."""
    other = {"left-seat": "right-seat", "right-seat": "left-seat"}[where]
    old = f"step fit lid-gasket of {where} by fitter"
    assert findings(
        ("step fit lid-gasket new by fitter\n", f"step fit lid-gasket of {other} new by fitter\n{old}\n")
    ) == [("spent-seal-refitted", old)]
    # nor does the lid go on without one
    assert [rule for rule, _ in findings(("step fit lid-gasket new by fitter\n", ""))] == ["seal-not-seated"]


def test_an_inlet_valve_faces_the_supply_and_an_outlet_valve_the_other_way() -> None:
    """Common practice, no source."""
    inlet, outlet = 'way up "inlet side towards the suction line"', 'way up "inlet side towards the piston"'
    assert findings((inlet, 'way up "inlet side towards the piston"')) == [("wrong-way-up", outlet)]
    assert findings((outlet, 'way up "inlet side towards the suction line"')) == [("wrong-way-up", inlet)]


def test_an_inlet_valve_belongs_on_the_inlet_side() -> None:
    """Common practice, no source."""
    swapped = "step fit pressure-valve at left-seat by fitter"
    assert findings(("step fit pressure-valve by fitter", swapped)) == [("wrong-place", swapped)]


@pytest.mark.parametrize("check", ["flap-shut", "spirit-hold"])
def test_a_valve_that_sticks_or_leaks_is_rebuilt_or_renewed(check: str) -> None:
    """Common practice, no source: plates shut at once, and thin liquid does not come through."""
    renewed = f"  when {check} rejected\n    step renew valve by fitter\n  end\n"
    cleaned = f"  when {check} rejected\n    step clean valve by fitter\n  end\n"
    assert {rule for rule, _ in findings((renewed, cleaned))} == {"rejected-part-refitted"}
    rebuilt = f"  when {check} rejected\n    step rebuild valve by fitter\n  end\n"
    assert {rule for rule, _ in findings((renewed, rebuilt))} == {"rebuilt-part-not-judged"}


def test_a_rebuilt_valve_is_judged_again() -> None:
    """Common practice, no source; a rebuild and both checks after it are enough."""
    again = """  when spirit-hold rejected
    step rebuild valve by fitter
    check flap-shut on valve by fitter
      accept "Every flap shuts at once."
    when flap-shut rejected
      step renew valve by fitter
    end
    check spirit-hold on valve with spirit by fitter
      accept "Dry underneath."
    when spirit-hold rejected
      step renew valve by fitter
    end
  end
"""
    assert findings(("  when spirit-hold rejected\n    step renew valve by fitter\n  end\n", again)) == []


def test_a_valve_is_not_put_back_unjudged() -> None:
    """Common practice, no source."""
    start = JOB.index("  check spirit-hold")
    whole = JOB[start : JOB.index("end\nfor each seat")]
    assert [rule for rule, _ in findings((whole, ""), ('consumable spirit "White spirit"\n', ""))] == [
        "never-judged"
    ] * 2


def test_look_alike_valves_are_told_apart_by_a_mark() -> None:
    """Common practice, no source."""
    second = "step remove pressure-valve by fitter"
    mark = "step mark suction-valve, pressure-valve with paint-stick by fitter\n"
    unmarked = findings((mark, ""), ('tool paint-stick "Paint stick"\n', ""))
    assert unmarked == [("look-alikes-unmarked", second)]
    assert findings((mark, "step mark suction-valve with paint-stick by fitter\n")) == []
    distinct = MACHINE.replace("  looks like pressure-valve\n", "").replace("  looks like suction-valve\n", "")
    assert findings((mark, ""), ('tool paint-stick "Paint stick"\n', ""), machine=distinct) == []


def test_valve_baskets_are_interchangeable() -> None:
    """Common practice, no source: they are alike, go in either seat, and need no mark."""
    crossed = (
        "step fit basket of left-seat at right-seat by fitter\nstep fit basket of right-seat at left-seat by fitter\n"
    )
    assert findings(("step fit basket by fitter\n", crossed)) == []
    fixed = MACHINE.replace("  interchangeable\n", "")
    assert [rule for rule, _ in findings(("step fit basket by fitter\n", crossed), machine=fixed)] == [
        "wrong-place"
    ] * 2


def test_a_wet_machine_has_inlet_valves_that_pass_liquid_and_a_dry_one_needs_none() -> None:
    """Common practice, no source."""
    assert findings(("  kind drop-proof\n", "  kind bare\n")) == [("not-for-service", "kind bare")]
    assert findings(("  kind bare\n", "  kind drop-proof\n")) == []


def test_the_press_screw_comes_out_after_the_lid_bolts_are_eased_and_goes_in_after_they_are_torqued() -> None:
    """Common practice, no source: the screw holds the valve down on its seat while the lid moves."""
    out, back = "step remove press-screw by fitter", "step tighten press-screw with torque-wrench by fitter"
    ease, torque = "step ease lid-bolts by half a turn by fitter", "step tighten lid-bolts with torque-wrench by fitter"
    assert findings(*moved(out, ease)) == [("comes-out-too-early", out)]
    assert findings(*moved(back, torque)) == [("goes-in-too-early", back)]
    by_hand = ("step fit lid by fitter\n", "step fit lid by fitter\nstep fit lid-bolts by fitter\n")
    assert findings(by_hand) == []
    assert ("goes-in-too-early", back) in findings(by_hand, *moved(back, torque))


def test_an_o_ring_is_oiled_only_where_the_gas_allows_it() -> None:
    """Common practice, no source."""
    everywhere = "step lubricate lid-ring with ring-oil by fitter"
    assert findings((f"{everywhere} only for arid", everywhere)) == [("not-for-service", everywhere)]
    never = MACHINE.replace('seal lid-ring "Lid O-ring"\n', 'seal lid-ring "Lid O-ring"\n  not with ring-oil\n')
    assert [rule for rule, _ in findings(machine=never)] == ["not-for-service"]


def test_an_o_ring_goes_back_only_after_its_check() -> None:
    """Common practice, no source."""
    unchecked = """  check ring-look on lid-ring by fitter
    accept "Round, soft, no cut."
  when ring-look rejected
    step renew lid-ring by fitter
  otherwise
    step fit lid-ring by fitter
  end
"""
    put_back = "step fit lid-ring by fitter"
    assert findings((unchecked, f"  {put_back}\n")) == [("seal-reused-unchecked", put_back)]
    assert findings((unchecked, "  step fit lid-ring new by fitter\n")) == []
