"""What somebody who writes a first machine and procedure from the reference gets wrong, and what is said to it."""

from __future__ import annotations

from pathlib import Path

import pytest

from procforge.findings import Finding
from procforge.model.verbs import words
from procforge.rules.assembly.unknown_verb import SAME
from procforge.stages import check_file
from procforge.syntax.mistakes import TWO_WORDS
from tests.vandal import reader

MACHINE = """equipment FP "Feed pump"
models small "Size 40", big "Size 65"
pressure-space casing "Pump casing"
  holds water
  pressure 12 bar(g)
  isolated by suction-block, discharge-block
  not isolated by discharge-check
  vented by casing-vent to drain
  proved at PI-1
  tested in service
motion shaft "Pump shaft"
  driven by motor, isolated by breaker, proved by try-start
  also turned by casing
isolator suction-block "Suction valve"
  in service open, isolates when shut
isolator discharge-block "Discharge valve"
  in service open, isolates when shut
check-valve discharge-check "Discharge check valve"
isolator breaker "Motor breaker"
  in service on, isolates when off
valve casing-vent "Casing vent"
  in service shut
valve gauge-root "Root of the proving gauge"
  in service shut
gauge PI-1 "Proving gauge"
  0 bar(g) to 1 bar(g), class 1.0
  behind gauge-root, not above 0.8 bar(g)
guard coupling-guard "Coupling guard"
  guards shaft
  held by guard-screws
fastener guard-screws "Guard screws"
  hand-tight
part spacer "Coupling spacer"
  held by coupling-bolts
  near shaft
  over seal-cartridge
fastener coupling-bolts "Coupling bolts"
  8 x M10, class 8.8, dry
  torque 45 N.m +/- 5 %
part seal-cartridge "Shaft seal cartridge"
  closes casing
  held by gland-nuts
  sealed by gland-ring
  judged by face-look
  mass 3 kg
fastener gland-nuts "Gland nuts"
  4 x M12
  torque 30 N.m for small
  torque 40 N.m for big
seal gland-ring "Gland ring"
  single-use
"""
JOB = """procedure FP-M-1 "Change the shaft seal"
revision 1, 2026-11-01, "First issue"
use "pump.equip"
author "Planner"
reviewer "Engineer"
approver "Manager"
crew 1 fitter, 1 operator
tool wrench "Torque wrench"
  range 20 N.m to 60 N.m
hazard hot-water "Hot water"
  severity serious, harm person
  "Hot water can spray out of the gland."
  avoid "Stand aside."
  wear visor
before starting
  permit "Work permit"
  wear visor "Visor"
section "Isolate"
step notify control-room by operator
step shut-down pump by operator
step isolate breaker, suction-block, discharge-block by operator
step lock breaker, suction-block, discharge-block by operator
step vent casing by operator
step shut casing-vent by operator
step open gauge-root by operator
step prove casing at PI-1 by operator
  limit 0 to 0.05 bar(g)
step try-start motor by operator
  expect "It stays at rest."
section "Strip"
step remove guard-screws, coupling-guard by fitter
step remove coupling-bolts, spacer by fitter
step ease gland-nuts by fitter
  meets hot-water
step remove gland-nuts, seal-cartridge by fitter
check face-look on seal-cartridge by fitter
  accept "Both faces bright, no chip."
  reject "A scratch or a chip."
when face-look rejected
  step renew seal-cartridge by fitter
end
section "Build"
step look-into casing by fitter
step fit gland-ring new by fitter
step fit seal-cartridge, gland-nuts by fitter
step tighten gland-nuts with wrench by fitter
step fit spacer by fitter
step tighten coupling-bolts with wrench by fitter
step fit coupling-guard, guard-screws by fitter
step tighten guard-screws by fitter
step shut gauge-root by operator
section "Back"
step clear pump-area by operator
step unlock breaker, suction-block, discharge-block by operator
step open suction-block by operator
step leak-test casing by operator
  expect "No drips at the gland."
step open discharge-block by operator
step notify control-room by operator
step switch-on breaker by operator
step start pump by operator
"""


def found(old: str = "", new: str = "") -> list[Finding]:
    """The findings of the job with a text changed in it or in its machine."""
    assert old in JOB + MACHINE
    texts: dict[str, str | bytes] = {"job.proc": JOB.replace(old, new, 1), "pump.equip": MACHINE}
    if old not in JOB:
        texts = {"job.proc": JOB, "pump.equip": MACHINE.replace(old, new, 1)}
    # one text twice on a line is one finding where it is printed
    return list({(f.rule, f.span.place): f for f in check_file(reader(texts), Path("job.proc")).findings}.values())


def test_the_job_as_it_should_be_is_sound() -> None:
    assert found() == []


@pytest.mark.parametrize(
    ("old", "new", "rule", "mend"),
    [
        ("step ease gland", "step loosen gland", "unknown-verb", "`ease`"),
        ("step fit spacer", "step install spacer", "unknown-verb", "`fit`"),
        ("step tighten coupling", "step torque coupling", "unknown-verb", "`tighten`"),
        ("step notify", "step inform", "unknown-verb", "`notify`"),
        ("step vent casing", "step depressurise casing", "unknown-verb", "`vent`"),
        ("step shut casing-vent", "step close casing-vent", "unknown-verb", "`shut`"),
        ("step shut-down pump", "step shut down pump", "unreadable-line", "`shut-down`"),
        ("step try-start motor", "step try start motor", "unreadable-line", "`try-start`"),
        ("step fit coupling-guard,", "step fit guard,", "unknown-name", "`coupling-guard`"),
        ("step clear pump-area", "step clear pump area", "unreadable-line", "step VERB"),
        ("0 bar(g) to 1 bar(g)", "0 bar to 1 bar", "wrong-quantity", "0 bar(g), 0 bar(a) or 0 bar(d)"),
        ("0 to 0.05 bar(g)", "0 to 0.05 bar", "wrong-quantity", "bar(g)"),
        ("  wear visor\nbefore", "  wear visr\nbefore", "wear-not-listed", "wear …"),
        ("step fit gland-ring new", "step fit gland-ring", "spent-seal-refitted", "fit … new"),
        ("step tighten guard-screws by fitter\n", "", "left-loose", "tighten"),
        ("step shut casing-vent by operator\n", "", "proof-on-open-vent", "shut the vent"),
        ("step look-into casing by fitter\n", "", "no-last-look", "look-into"),
        ("step clear pump-area by operator\n", "", "unlocked-area-not-clear", "clear"),
        ('accept "Both faces bright, no chip."', 'accept "Faces OK."', "vague-word", "seen, measured or done"),
        ('author "Planner"\n', "", "approval-missing", "author"),
        ("revision 1, 2026-11-01", "revision 1", "revision-missing", "2026-09-30"),
        ("harm person", "harm people", "unknown-word", "person"),
        ("in service on,", "in service onn,", "unknown-word", "`on`"),
    ],
)
def test_a_first_slip_is_one_finding_with_the_way_on(old: str, new: str, rule: str, mend: str) -> None:
    findings = found(old, new)
    assert [f.rule for f in findings] == [rule], [(f.rule, f.span.line, f.message) for f in findings]
    assert mend in findings[0].mend, findings[0].mend


def test_trade_words_stand_for_verbs_that_there_are() -> None:
    assert set(SAME) <= set(words())
    said = [word for listed in SAME.values() for word in listed.split()]
    assert not set(said) & set(words())


def test_verbs_of_two_words() -> None:
    assert {w for w in words() if "-" in w} == TWO_WORDS
