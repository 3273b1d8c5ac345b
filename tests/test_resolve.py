"""Nodes to a machine: names, places, values by variant, quantities, units; files that use each other."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from resolving import MACHINE, library, machine, told

from procforge.model.base import Variant, pick
from procforge.model.equipment import Energy, Fastener, Solid, Titled
from procforge.resolve.procedure import resolve, resolve_equipment


# ---- the machine -------------------------------------------------------------------------------
def test_a_part_at_two_places_is_two_and_takes_what_holds_and_seals_it_along() -> None:
    equipment, findings = machine(MACHINE)
    assert findings == []
    assert equipment.groups["cover"] == ("cover of inlet", "cover of outlet")
    assert equipment.groups["nuts"] == ("nuts of inlet", "nuts of outlet")
    assert equipment.groups["ring"] == ("ring of inlet", "ring of outlet")
    cover = equipment.items["cover of outlet"]
    assert isinstance(cover, Solid)
    assert (cover.held_by, cover.sealed_by, cover.over) == (
        ("nuts of outlet",),
        ("ring of outlet",),
        ("cage of outlet",),
    )
    assert (cover.base, cover.at, cover.title) == ("cover", "outlet", "Cover")


def test_an_inner_part_stands_in_each_of_its_units() -> None:
    equipment, _ = machine(MACHINE)
    assert equipment.groups["plate"] == ("plate of valve-a", "plate of valve-b")
    unit = equipment.items["valve-b"]
    assert isinstance(unit, Solid)
    assert unit.made_of == ("plate of valve-b", "spring of valve-b")


def test_a_driver_needs_no_definition_and_may_have_one() -> None:
    bare = 'motion shaft "Shaft"\n  driven by motor\n'
    for text, title in ((bare, "Motor"), (bare + 'driver motor "Drive motor"\n', "Drive motor")):
        equipment, findings = machine(text)
        assert findings == []
        made = equipment.items["motor"]
        assert isinstance(made, Titled)
        assert (made.kind, made.title) == ("driver", title)


def test_under_is_over_from_below() -> None:
    equipment, findings = machine('part lid "Lid"\npart core "Core"\n  under lid\n')
    assert findings == []
    lid = equipment.items["lid"]
    assert isinstance(lid, Solid)
    assert lid.over == ("core",)


def test_every_model_with_every_service_is_a_variant() -> None:
    equipment, _ = machine(MACHINE)
    assert [v.name for v in equipment.variants] == ["small, wet", "small, dry", "large, wet", "large, dry"]
    assert machine('equipment M "M"')[0].variants == (Variant.make(),)


def test_the_most_specific_value_wins() -> None:
    text = 'models a, b\nservices w, d\npart p "P"\n  mass 1 kg\n  mass 2 kg for a\n  mass 3 kg for a, w\n'
    equipment, findings = machine(text)
    assert findings == []
    part = equipment.items["p"]
    assert isinstance(part, Solid)
    masses = {v.name: str(pick(part.mass, v)) for v in equipment.variants}
    assert masses == {"a, w": "3 kg", "a, d": "2 kg", "b, w": "1 kg", "b, d": "1 kg"}


@pytest.mark.parametrize(
    ("lines", "line"),
    [
        ("  mass 1 kg\n  mass 2 kg\n", 5),
        ("  mass 1 kg for a\n  mass 2 kg for a, b\n", 5),
        ("  mass 1 kg for a\n  mass 2 kg for w\n", 5),
        ("  mass 1 kg for a, w\n  mass 2 kg\n  mass 3 kg for w, a\n", 6),
    ],
)
def test_two_equally_specific_values_are_a_finding(lines: str, line: int) -> None:
    _, findings = machine(f'models a, b\nservices w, d\npart p "P"\n{lines}')
    assert told(findings) == [("two-values", "m.equip", line)]


def test_values_for_different_variants_do_not_meet() -> None:
    assert machine('models a, b\npart p "P"\n  mass 1 kg for a\n  mass 2 kg for b\n')[1] == []


@pytest.mark.parametrize(
    ("text", "rule", "line", "message"),
    [
        ('part a "A"\n  held by nuts', "unknown-name", 2, "no item is called `nuts`"),
        ('part a "A"\nfastener a "B"', "defined-twice", 2, "`a` is defined twice"),
        ('part a "A"\npart b "B"\n  held by a', "wrong-kind", 3, "`a` is a part; here stands a fastener"),
        ('pressure-space s "S"\n  proved at s', "wrong-kind", 2, "here stands a gauge"),
        ('part a "A"\n  at top', "unknown-name", 2, "no place is called `top`"),
        ('part a "A"\n  mass 4 kg for big', "unknown-name", 2, "no model or service is called `big`"),
        ("models a, b\nservices a", "defined-twice", 2, "`a` is declared twice"),
        ("part a", "title-missing", 1, "no title"),
        ('equipment A "A"\nequipment B "B"', "two-machines", 2, "a second machine"),
        ('part a "A"\n  mass 4 bar(g)', "wrong-quantity", 2, "4 bar(g) is gauge pressure; here stands mass"),
        ('part a "A"\n  mass 4 kgg', "unreadable-quantity", 2, "kgg"),
        ('pressure-space s "S"\n  pressure 4 bar', "wrong-quantity", 2, "here stands gauge pressure"),
        ('fastener f "F"\n  torque 60 J', "wrong-quantity", 2, "60 J is energy; here stands torque"),
        ('fastener f "F"\n  torque 60 N.m +/- 5 kg', "unreadable-quantity", 2, ""),
        ('gauge g "G"\n  0 bar(g) to 10 bar(a)', "wrong-quantity", 2, "different kinds"),
        ('gauge g "G"\n  10 bar(g) to 0 bar(g)', "limits-crossed", 2, "starts at 10 bar(g)"),
        (
            'isolator b "B"\npressure-space s "S"\n  isolated by (b and b with bleed b)',
            "one-block-counted-twice",
            3,
            "",
        ),
        (
            'isolator b "B"\nisolator c "C"\npressure-space s "S"\n  isolated by b and c',
            "two-blocks-without-bleed",
            4,
            "",
        ),
        ('models a\nunit U-1 "U"\n  model b', "unknown-name", 3, "no model is called `b`"),
        ('unit U-1 "U"\n  tag valve is V-1', "unknown-name", 2, "no item is called `valve`"),
    ],
)
def test_a_fault_of_the_machine(text: str, rule: str, line: int, message: str) -> None:
    (finding,) = machine(text)[1]
    assert (finding.rule, finding.span.line) == (rule, line)
    assert message in finding.message
    assert finding.mend or rule == "unreadable-quantity"


def test_a_fault_of_a_thing_at_two_places_is_told_once() -> None:
    _, findings = machine('places a, b\npart p "P"\n  at a, b\n  held by nuts\n  mass 4 bar(g)\n')
    assert told(findings) == [("unknown-name", "m.equip", 4), ("wrong-quantity", "m.equip", 5)]


def test_a_misspelled_name_is_told_with_the_nearest() -> None:
    (finding,) = machine('fastener cover-nuts "N"\npart a "A"\n  held by cover-nust')[1]
    assert finding.mend == "did you mean `cover-nuts`?"
    assert finding.span.text == "cover-nust"


def test_schemes_torque_and_tolerance() -> None:
    text = """\
pressure-space s "S"
  isolated by a, (b and c with bleed d) or e
isolator a "A"
isolator b "B"
isolator c "C"
valve d "D"
temporary e "E"
fastener f "F"
  8 x M16, class 10.9, oiled
  torque 120 N.m +/- 5 %
  pattern cross, passes 30 %, 70 %, 100 %
"""
    equipment, findings = machine(text)
    assert findings == []
    space, fastener = equipment.items["s"], equipment.items["f"]
    assert isinstance(space, Energy)
    assert isinstance(fastener, Fastener)
    (feeds,) = (v.value for v in space.feeds)
    assert [[(s.blocks, s.bleed) for s in feed] for feed in feeds] == [
        [(("a",), None)],
        [(("b", "c"), "d"), (("e",), None)],
    ]
    assert (fastener.count, fastener.thread, fastener.strength, fastener.lubricant) == (8, "M16", "10.9", "oiled")
    torque = fastener.torque[0].value
    # 120 N·m less and plus a twentieth: 114 and 126
    assert (torque.low.si, torque.high.si) == (Fraction(114), Fraction(126))
    assert [str(p) for p in fastener.passes] == ["30 %", "70 %", "100 %"]


# ---- files that use each other -----------------------------------------------------------------
def test_a_path_starts_from_the_file_that_says_it_and_a_file_is_read_once() -> None:
    files = {
        "jobs__a_proc": 'procedure A "A"\nuse "../m.equip"\nuse "../site/rules.equip"\nstep remove lid\n',
        "m_equip": 'equipment M "M"\nuse "site/rules.equip"\npart lid "Lid"\n',
        "site__rules_equip": 'tool wrench "Wrench"\n',
    }
    outcome = resolve(library(**files), Path("jobs/a.proc"))
    assert outcome.findings == ()
    assert set(outcome.value.equipment.items) == {"lid", "wrench"}


def test_a_missing_file_is_told_with_the_chain_that_leads_to_it() -> None:
    files = {"a_proc": 'procedure A "A"\nuse "m.equip"\n', "m_equip": 'equipment M "M"\nuse "site/rules.equip"\n'}
    (finding,) = resolve(library(**files), Path("a.proc")).findings
    assert told([finding]) == [("file-not-found", "m.equip", 2)]
    assert "`site/rules.equip` is used, but there is no such file" in finding.message
    assert [(m.span.source.path, m.span.line) for m in finding.marks] == [("a.proc", 2)]


@pytest.mark.parametrize("count", [1, 2, 5])
def test_files_that_use_each_other_in_a_circle_are_told_with_the_chain(count: int) -> None:
    files = {f"f{i}_equip": f'use "f{(i + 1) % count}.equip"\n' for i in range(count)}
    (finding,) = resolve_equipment(library(**files), Path("f0.equip")).findings
    assert finding.rule == "use-in-a-circle"
    names = [f"f{i}.equip" for i in (*range(count), 0)]
    assert " -> ".join(names) in finding.message
    assert len(finding.marks) == count - 1


def test_two_ways_to_one_file_are_no_circle() -> None:
    files = {"a_equip": 'use "b.equip"\nuse "c.equip"\n', "b_equip": 'use "c.equip"\n', "c_equip": 'part p "P"\n'}
    outcome = resolve_equipment(library(**files), Path("a.equip"))
    assert outcome.findings == ()
    assert list(outcome.value.items) == ["p"]


# ---- units -------------------------------------------------------------------------------------
def test_units_of_a_machine() -> None:
    text = 'use "m.equip"\nunit K-101 "Raw gas"\n  model small\n  service wet\n  serial "S-1"\n  tag block is V-11\n'
    outcome = resolve_equipment(library(site_units=text, m_equip=MACHINE), Path("site.units"))
    assert outcome.findings == ()
    (unit,) = outcome.value.units
    assert (unit.tag, unit.title, unit.model, unit.service, unit.serial) == ("K-101", "Raw gas", "small", "wet", "S-1")
    assert unit.tags == {"block": "V-11"}
