"""An invented pump skid and a procedure on it that uses every statement of work, for the tests of the sheet."""

from __future__ import annotations

from pathlib import Path

from procforge.model.base import Variant
from procforge.model.procedure import Procedure
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve
from procforge.sheet.outline import ListTable, Row, Sheet, StepRow, Steps
from procforge.sheet.walk import entries, words_in

MACHINE = """
equipment PMP "Transfer pump skid"
models small "Small frame", large "Large frame"
services clean "Clean water", sour "Sour water"
places drive-end "Drive end", free-end "Free end"

pressure-space casing "Pump casing"
  holds water
  holds sour-water, toxic for sour
  pressure 9 bar(g)
  volume 40 L
  isolated by suction-block, discharge-block and discharge-second with bleed mid-bleed
  vented by casing-vent to sump, bore 10 mm
  proved at PI-7
pressure-space gland "Gland space"
  holds water
  pressure 2 bar(g)
  isolated by flush-block
  vented by gland-vent
motion shaft "Pump shaft"
  driven by motor, isolated by breaker, proved by try-start
  also turned by casing
stored-energy spring "Coupling spring"
  relieved by jack
  "Holds about 2 kN."

isolator suction-block "Suction block valve"
  in service open, isolates when shut
isolator discharge-block "Discharge block valve"
  in service open, isolates when shut
isolator discharge-second "Second discharge block valve"
  in service open, isolates when shut
valve mid-bleed "Bleed between the discharge valves"
  in service shut
isolator flush-block "Flush block valve"
  in service open, isolates when shut
isolator breaker "Motor breaker"
  in service on, isolates when off
valve casing-vent "Casing vent"
  in service shut
valve gland-vent "Gland vent"
  in service shut
valve root-7 "Root valve"
  in service open
valve hose-valve "Hose valve"
  in service shut
gauge PI-7 "Casing gauge"
  0 bar(g) to 1 bar(g), class 1.0
  behind root-7, not above 0.8 bar(g)
supply test-pump "Test pump, hand-driven"
  feeds casing
  through hose-valve
  up to 12 bar(g)

part cover "End cover"
  at each of drive-end, free-end
  closes casing
  held by cover-nuts
  sealed by cover-gasket
  mass 31 kg
  way up "lug at the top"
fastener cover-nuts "Cover nuts"
  at each of drive-end, free-end
  8 x M16, class 8.8, oiled
  torque 120 N.m +/- 5 % for small
  torque 150 N.m +/- 5 % for large
  pattern cross, passes 30 %, 70 %, 100 %
  retighten after 4 h
seal cover-gasket "Cover gasket"
  at each of drive-end, free-end
  single-use
  stock "G-40"
part mech-seal "Mechanical seal"
  looks like seal-sleeve
  mass 2 kg
  judged by face-look
  stock "MS-9"
part seal-sleeve "Seal sleeve"
part cartridge "Bearing cartridge"
  made of inner-ring, outer-ring
part old-style-lantern "Lantern ring"
  single-use
fastener gland-screw "Gland screw"
  1 x M8, class 8.8, dry
  torque 10 N.m +/- 1 N.m
fastener cap-screws "Cap screws"
  4 x M6, class 8.8
  hand-tight
fastener foot-bolts "Foot bolts"
  4 x M20, class 8.8
  look up "Torque of the foot bolts" in "the skid maker's manual"
guard coupling-guard "Coupling guard"
  guards shaft
safety-device relief "Relief valve"
  protects casing
temporary discharge-blind "Blind, discharge flange"
driver motor "Drive motor"
tool torque-wrench "Torque wrench"
  20 N.m to 200 N.m, class 4
  calibrated every 12 months
tool feeler "Feeler gauge"
  0.03 mm to 1 mm
tool jack "Spring jack"
tool gas-meter "Gas meter"
consumable wipes "Lint-free wipes"
consumable oil "Oil, ISO VG 32"
unit P-7 "Transfer pump"
  model small
  service sour
  serial "88-12"
  tag suction-block is V-701
  tag breaker is Q-7
"""

HEAD = """
procedure PMP-M-001 "Service the pump"
revision C, 2026-11-02, "Gasket renewed each time"
use "skid.equip"
applies to small, large
author "Planner", 2026-10-30
status released
purpose "Renew the mechanical seal"
reference "Skid manual", "chapter 4"
qualified fitter "Trained on pumps"
crew 2 fitter, 1 operator, 1 supervisor
due every 4000 h or 12 months
leaves casing proved
leave flush-block "It feeds two pumps."
before starting
  condition "The spare pump runs."
  permit "Permit to work"
  wear goggles "Goggles", gloves "Gloves"
hazard jet "Liquid jet"
  severity death, harm person
  "Liquid under pressure can cut and poison."
  avoid "Stand beside the joint."
  wear goggles
hazard weight "Falling cover"
  severity serious, harm person
  "The cover can fall on feet."
  avoid "Keep feet clear."
  wear boots
hazard edge "Sharp edge"
  severity minor, harm person
  "Edges cut."
  avoid "Hold the rim."
hazard scratch "Scratched face"
  severity serious, harm equipment
  "A scratch leaks."
  avoid "Use wood, not steel."
"""

SECTIONS = """
section "Make safe"
step notify control-room by operator
step shut-down skid by operator
  takes 5 min
step isolate breaker, suction-block, discharge-block, discharge-second, flush-block by operator
step open mid-bleed by operator
step lock breaker, suction-block, discharge-block, discharge-second, flush-block, mid-bleed by operator
  takes 10 min
step vent casing
  meets jet
step drain gland
step shut casing-vent
step prove casing at PI-7
  limit 0 to 0.05 bar(g)
step gas-test casing with gas-meter as gas only for sour
  limit up to 10 ppm
when gas failed
  stop here, call supervisor "Gas is left in the casing."
end
step try-start motor
step relieve spring with jack
step prove spring
hold H1 "Zero pressure seen" by operator
  sees casing
  before remove cover-nuts
  criterion "PI-7 reads zero."
note "The floor is wet."
wait 10 min after vent casing, at most 2 h

section "Open"
step remove coupling-guard
step ease cover-nuts by half a turn
  meets jet, weight, edge, scratch
ask "Does liquid come out?" by fitter
yes
  step nip-up cover-nuts
  stop here, call operator "A valve passes."
no
end
step remove cover-nuts, cover
  meets weight
step remove cover-gasket
step mark mech-seal
step remove mech-seal
step fit discharge-blind
step lift cover
step support cover
step count cover-nuts
step record mech-seal
step inspect seal-sleeve
  look up "Greatest wear" in "the skid maker's manual"
step observe gland only for large
  no value given "As dry as the fitter's hand."
may stop here "Cover the openings."
handover to operator
measure wear "wear of the seal sleeve" on seal-sleeve with feeler by fitter
  as found
  limit 0.1 to 0.4 mm
  keep as sleeve-wear
readings gap "Gap of the coupling" at north, east with feeler
  limit at least 0.2 mm
check face-look on mech-seal by fitter
  "Look at both faces under the lamp."
  accept "No line can be felt."
  reject "A line can be felt."
  takes 5 min
when face-look rejected
  step renew mech-seal
otherwise
  step clean mech-seal with wipes
end
witness W1 "Seal seen" by supervisor
review R1 "Papers seen"

section "Rebuild"
repeat until turn-look accepted, at most 2 times
  step rebuild cartridge
  check turn-look on cartridge
    accept "It turns freely."
otherwise
  step exchange cartridge
end
repeat until rub-look accepted, at most 7 times
  step align cartridge
  check rub-look on cartridge
    accept "It does not rub."
otherwise
  stop here "Seven rounds did not do."
end
any order
  step clean seal-sleeve with wipes
  step lubricate cartridge with oil
end
together
  step clean foot-bolts by fitter
also
  step clean cap-screws by operator
end
either by fitter
  step clean relief
or
  step inspect relief
end
on the bench with cartridge
  step remove outer-ring
  step fit outer-ring new
end
do wipe-down
for each end in drive-end, free-end
  step clean cover with wipes
end
lend-back "Turn the shaft once."
  step switch-on breaker
  step switch-off breaker
end

section "Close"
step look-into casing
step fit mech-seal
step fit cover-gasket new
step fit cover, cover-nuts
step tighten cover-nuts with torque-wrench
step tighten gland-screw with torque-wrench
step tighten cap-screws
step tighten foot-bolts with torque-wrench
step retighten gland-screw with torque-wrench
step retighten cover-nuts of drive-end with torque-wrench
step remove discharge-blind
step fit coupling-guard
step tension spring to 2 kN
step charge spring
step connect test-pump
step pressurise casing with test-pump to 6 bar(g)
step leak-test casing with test-pump
step let-down casing
step disconnect test-pump
step purge casing with wipes
step carry-out "Wash the floor."
step clear area
step unlock breaker
step unlock suction-block, discharge-block, discharge-second, flush-block, mid-bleed
step return mid-bleed, suction-block, discharge-block, discharge-second, flush-block, breaker
step notify control-room
step start skid
closing out
  task "Hand the permit back."

block wipe-down "Wipe down"
  step clean casing with wipes
end
"""


def write(folder: Path, sections: str = SECTIONS, machine: str = MACHINE, head: str = HEAD) -> Path:
    """The two files in a folder; the path of the procedure."""
    (folder / "skid.equip").write_text(machine, encoding="utf-8")
    path = folder / "service.proc"
    path.write_text(head + sections, encoding="utf-8")
    return path


def sample(folder: Path, sections: str = SECTIONS, head: str = HEAD) -> Procedure:
    """The procedure resolved; fails on any finding."""
    outcome = resolve(Library(), write(folder, sections, head=head))
    assert [f"{f.span.place if f.span else ''}: {f.message}" for f in outcome.findings] == []
    return outcome.value


SOUR = Variant.make(model="small", service="sour")
CLEAN = Variant.make(model="large", service="clean")


# ---- reading a built sheet -----------------------------------------------------------------------------------
def rows(sheet: Sheet) -> list[Row]:
    """All rows of all step tables."""
    return [row for block in sheet.blocks if isinstance(block, Steps) for row in block.rows]


def steps(sheet: Sheet) -> dict[str, StepRow]:
    """Step rows by key."""
    return {row.key: row for row in rows(sheet) if isinstance(row, StepRow)}


def ids(sheet: Sheet) -> list[str]:
    return [entry.blank.id for entry in entries(sheet)]


def text(thing: object) -> str:
    return " ".join(" ".join(words_in(thing)).replace("\u00a0", " ").split())


def tables(sheet: Sheet) -> list[ListTable]:
    return [block for block in sheet.blocks if isinstance(block, ListTable)]
