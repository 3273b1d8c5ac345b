"""Instructions written from verb and objects: each verb's form, plain English, short titles by construction."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from sheet_samples import CLEAN, SOUR, sample

from procforge.analysis.machine import Machine
from procforge.analysis.proof import variants_of
from procforge.model.procedure import AnyWork, Check, Measure, Procedure, Step
from procforge.model.tree import walk
from procforge.model.verbs import words as verbs
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve
from procforge.sheet.english import LONGEST, clauses, in_turn, is_plural, joined, lower_first, words
from procforge.sheet.naming import Names
from procforge.sheet.sentences import check_sentences, measure_sentences, sentence, sentences
from procforge.sheet.short import LONGEST as LONGEST_TITLE
from procforge.sheet.short import short

ROOT = Path(__file__).parent.parent

#: One statement and the instruction it must give (small frame, sour water). NB is a no-break space.
FORMS = {
    "step notify control-room": "Tell the control room.",
    "step shut-down skid": "Shut down the skid.",
    "step start skid": "Start the skid.",
    "step clear area": "See that the area is clear of people, tools and loose objects.",
    "step isolate suction-block": "Shut the suction block valve.",
    "step isolate breaker": "Switch off the motor breaker.",
    "step isolate suction-block, breaker": "Set each device below to the position given, from top to bottom.",
    "step return suction-block": "Open the suction block valve.",
    "step return mid-bleed": "Shut the bleed between the discharge valves.",
    "step return breaker": "Switch on the motor breaker.",
    "step open mid-bleed": "Open the bleed between the discharge valves.",
    "step shut casing-vent": "Shut the casing vent.",
    "step switch-off breaker": "Switch off the motor breaker.",
    "step switch-on breaker": "Switch on the motor breaker.",
    "step lock suction-block": "Lock the suction block valve shut and tag it.",
    "step lock mid-bleed": "Lock the bleed between the discharge valves open and tag it.",
    "step lock suction-block, breaker": "Lock and tag each device below in the position given. Write down the number of each lock.",
    "step unlock breaker": "Take the lock and the tag off the motor breaker. Each person takes off only the locks that person put on.",
    "step vent casing": "Open the casing vent. Let the pressure in the pump casing down to the sump. Leave that valve open until a step says to shut it.",
    "step drain gland": "Open the gland vent. Drain the gland space. Leave that valve open until a step says to shut it.",
    "step purge casing with oil": "Purge the pump casing with oil.",
    "step prove casing": "Prove that the pump casing holds no pressure. See that the root valve is open. Read the casing gauge (PI-7).",
    "step prove shaft": "Prove that the pump shaft cannot move.",
    "step prove spring": "Prove that the coupling spring holds no energy.",
    "step gas-test casing with gas-meter": "Test the pump casing for gas with the gas meter.",
    "step pressurise casing with test-pump to 6 bar(g)": "Pressurise the pump casing to 6 bar(g) from the test pump.",
    "step leak-test casing with test-pump": "Leak-test the pump casing from the test pump.",
    "step let-down casing": "Let the test pressure in the pump casing down at the test pump.",
    "step connect test-pump": "Connect the test pump to the pump casing.",
    "step disconnect test-pump": "Disconnect the test pump from the pump casing.",
    "step look-into casing": "Look into the pump casing for loose objects.",
    "step try-start motor": "See that everybody is clear of the machine. Try to start the drive motor. Set the control back to off.",
    "step relieve spring with jack": "Relieve the coupling spring with the spring jack.",
    "step relieve spring": "Relieve the coupling spring with the spring jack.",
    "step tension spring to 2 kN": "Tension the coupling spring to 2 kN.",
    "step charge spring": "Charge the coupling spring.",
    "step ease gland-screw by half a turn": "Ease the gland screw by half a turn. Leave it on.",
    "step ease cap-screws by 2 turns": "Ease the cap screws by 2 turns. Leave them on.",
    "step nip-up cap-screws": "Nip up the cap screws.",
    "step remove cap-screws": "Remove the cap screws (4 × M6, class 8.8).",
    "step remove seal-sleeve, mech-seal": "Remove the seal sleeve, then the mechanical seal.",
    "step remove cover of drive-end": "Remove the end cover at the drive end.",
    "step remove cover": "Remove the end cover at the drive end, then the end cover at the free end.",
    "step mark mech-seal": "Mark the mechanical seal. The mark must show where it goes.",
    "step clean seal-sleeve with wipes": "Clean the seal sleeve with lint-free wipes.",
    "step inspect seal-sleeve, mech-seal": "Inspect the seal sleeve and the mechanical seal.",
    "step lubricate cartridge with oil": "Lubricate the bearing cartridge with oil.",
    "step count cap-screws": "Count the cap screws. Write down the number.",
    "step record mech-seal": "Write down the data of the mechanical seal.",
    "step observe gland": "Observe the gland space.",
    "step lift cover of free-end": "Lift the end cover at the free end.",
    "step support cartridge": "Support the bearing cartridge.",
    "step align cartridge": "Align the bearing cartridge.",
    "step rebuild cartridge": "Rebuild the bearing cartridge.",
    "step renew mech-seal": "Take a new mechanical seal. Scrap the old one.",
    "step renew cover-gasket of drive-end": "Fit a new cover gasket at the drive end. Scrap the old one.",
    "step exchange cartridge": "Exchange the bearing cartridge for a sound one. Write down both serial numbers.",
    "step fit cover-gasket of drive-end new": "Fit a new cover gasket at the drive end.",
    "step fit seal-sleeve, mech-seal": "Fit the seal sleeve, then the mechanical seal.",
    "step fit cap-screws": "Fit the cap screws (4 × M6, class 8.8) hand-tight.",
    "step fit discharge-blind": "Fit the blind (discharge flange).",
    "step tighten gland-screw with torque-wrench": "Tighten the gland screw to 10 N·m with the torque wrench. Follow the passes below.",
    "step tighten cap-screws": "Tighten the cap screws hand-tight.",
    "step retighten gland-screw with torque-wrench": "Retighten the gland screw to 10 N·m with the torque wrench. Follow the passes below.",
    "step remove cap-screws, coupling-guard with jack": "Remove the cap screws (4 × M6, class 8.8) with the spring jack, then the coupling guard.",
    "step fit seal-sleeve, mech-seal with jack, oil": "Fit the seal sleeve with the spring jack, then the mechanical seal. Use oil.",
    "step tighten gland-screw with torque-wrench, oil": "Apply oil. Tighten the gland screw to 10 N·m with the torque wrench. Follow the passes below.",
    "step tighten gland-screw new with torque-wrench": "Fit a new gland screw. Tighten it to 10 N·m with the torque wrench. Follow the passes below.",
    "step purge casing with oil, gas-meter": "Purge the pump casing with oil. Read the gas meter.",
    'step carry-out "wash the floor"': "Wash the floor.",
    'step clean "The floor plates"': "Clean the floor plates.",
    'measure wear "wear of the seal sleeve" on seal-sleeve with feeler\n  as found': "Measure the wear of the seal sleeve as found with the feeler gauge.",
    'readings gap "Gap of the coupling" at north, east with feeler': "Measure the gap of the coupling with the feeler gauge. Read it at north and east.",
    "check face-look on mech-seal": "Do the face look check on the mechanical seal.",
}  # fmt: skip


def said(work: AnyWork, names: Names) -> tuple[str, ...]:
    """The sentences of any doing."""
    if isinstance(work, Step):
        return sentences(work, names)
    if isinstance(work, Check):
        return check_sentences(work, names)
    return measure_sentences(work, names) if isinstance(work, Measure) else ()


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[Procedure, dict[str, AnyWork]]:
    """Every form of FORMS in one procedure, by its text."""
    text = 'section "All"\n' + "\n".join(FORMS) + "\n"
    procedure = sample(tmp_path_factory.mktemp("forms"), text)
    works = [w for w in walk(procedure.body) if isinstance(w, Step | Check | Measure)]
    assert len(works) == len(FORMS)
    return procedure, dict(zip(FORMS, works, strict=True))


@pytest.mark.parametrize("form", FORMS)
def test_form(form: str, written: tuple[Procedure, dict[str, AnyWork]]) -> None:
    procedure, works = written
    names = Names(Machine(procedure.equipment, SOUR))
    assert " ".join(said(works[form], names)).replace("\u00a0", " ") == FORMS[form]


def test_every_verb_has_a_form() -> None:
    assert {form.split()[1] for form in FORMS if form.startswith("step ")} == set(verbs())


def test_tags_come_from_the_unit(written: tuple[Procedure, dict[str, AnyWork]]) -> None:
    procedure, works = written
    names = Names(Machine(procedure.equipment, SOUR), procedure.equipment.units[0])
    step = works["step isolate suction-block"]
    assert isinstance(step, Step)
    assert sentence(step, names) == "Shut the suction block valve (V-701)."
    assert sentence(works["step shut-down skid"], names) == "Shut down the skid (P-7)."  # type: ignore[arg-type]


def test_what_is_told_stands_in_the_sentence(written: tuple[Procedure, dict[str, AnyWork]]) -> None:
    procedure, works = written
    names = Names(Machine(procedure.equipment, SOUR))
    step = works["step notify control-room"]
    assert isinstance(step, Step)
    assert sentence(step, names, "that the skid stops") == "Tell the control room that the skid stops."


def procedures() -> list[Path]:
    """All shipped procedures."""
    return sorted((ROOT / "procedures").rglob("*.proc"))


def every_sentence(procedure: Procedure) -> list[tuple[str, str]]:
    """(title, sentence) of each doing on each variant."""
    found = []
    for variant in variants_of(procedure):
        names = Names(Machine(procedure.equipment, variant))
        for work in walk(procedure.body):
            if work.only_for.holds(variant):
                found += [(short(work, names), text) for text in said(work, names)]
    return found


def test_plain_english_in_all_that_is_shipped(tmp_path: Path) -> None:
    shown = [sample(tmp_path), *(resolve(Library(), path).value for path in procedures())]
    assert len(shown) > 1
    for procedure in shown:
        for title, text in every_sentence(procedure):
            assert words(text) <= LONGEST, text
            assert re.match(r"[A-Z]", text), text
            assert text.endswith("."), text
            assert text.count(". ") == 0, text  # one instruction a sentence
            assert not re.search(r"  | ,|\betc\b|\bnormal\b|\ba new new\b|\bthe the\b|\{|\}", text), text
            assert 0 < len(title) <= LONGEST_TITLE, title
            assert not title.endswith(("…", "-", ",")), title


def test_long_lists_are_split_and_lose_nothing(tmp_path: Path) -> None:
    parts = "seal-sleeve, mech-seal, cartridge, old-style-lantern, coupling-guard, relief, cover"
    procedure = sample(tmp_path, f'section "All"\nstep remove {parts} with jack\n')
    step = next(w for w in walk(procedure.body) if isinstance(w, Step))
    names = Names(Machine(procedure.equipment, CLEAN))
    found = sentences(step, names)
    assert len(found) > 1
    assert all(words(text) <= LONGEST for text in found)
    at = 0
    for ref in step.objects:  # each once, in the order written
        at = " ".join(found).index(names.plain(ref.name, place=False), at) + 1
    assert sum("spring jack" in text for text in found) == 1
    assert short(step, names) == "Remove seal sleeve and 7 more"


def test_titles_fall_back_by_words_never_by_a_cut(tmp_path: Path) -> None:
    procedure = sample(tmp_path, 'section "All"\nstep remove mech-seal\n')
    step = next(w for w in walk(procedure.body) if isinstance(w, Step))
    long = procedure.equipment.items["mech-seal"].but(title="Balanced double mechanical seal of the driven end")
    machine = procedure.equipment.but(items={**procedure.equipment.items, "mech-seal": long})
    assert short(step, Names(Machine(machine, CLEAN))) == "Remove mech seal"
    assert short(step.but(title="Take the seal out"), Names(Machine(machine, CLEAN))) == "Take the seal out"
    assert short(step.but(title="T" * 41), Names(Machine(machine, CLEAN))) == "Remove mech seal"


def test_small_grammar() -> None:
    assert [lower_first(t) for t in ("Inlet valve", "O-ring", "PI-3", "V-belt", "A")] == ["inlet valve", "O-ring", "PI-3", "V-belt", "A"]  # fmt: skip
    assert [is_plural(t) for t in ("cover nuts", "valve cover", "gas", "vent to flares", "lens", "bleed between the valves")] == [True, False, False, False, False, False]  # fmt: skip
    assert (joined(["a"]), joined(["a", "b"]), joined(["a", "b", "c"])) == ("a", "a and b", "a, b and c")
    assert in_turn(["a", "b"]) == "a, then b"
    assert clauses(lambda them, more: f"Do {them}{more}.", ["a"] * 30, joined, " now")[0].endswith(" now.")
