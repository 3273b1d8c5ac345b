"""Twenty unrelated mistakes in one file are twenty findings, each at its own line, and none besides."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pytest
from test_trade_facts import JOB, MACHINE

from procforge.resolve.load import Library
from procforge.stages import check_file
from tests.mutants import ROOT, verdict


@dataclass(frozen=True)
class Mistake:
    """One slip: a text that stands once, what is written in its place, the rule that finds it.

    `at`: the first words of the line that is blamed; the first line of what was written if empty.
    """

    rule: str
    right: str
    wrong: str
    at: str = ""


def M(rule: str, right: str, wrong: str, at: str = "") -> Mistake:  # noqa: N802
    """A mistake."""
    return Mistake(rule, right, wrong, at)


BLOWER = (
    M("revision-missing", "revision A, 2026-10-01", "revision A, 2026-13-01"),
    M("approval-missing", 'reviewer "Engineer", 2026-09-10\n', "", 'procedure BLW-M-004 "Service'),
    M("unused-name", 'consumable spirit "White spirit"', 'tool mirror "Mirror"\nconsumable spirit "White spirit"'),
    M("unreadable-line", 'section "Take out"', 'sektion "Take out"'),
    M("unknown-name", "step remove basket by fitter", "step remove basket by fiter"),
    M("gauge-too-coarse", "  limit up to 0.05 bar(g)", "  limit up to 0.02 bar(g)"),
    M("comes-out-too-early", "step ease lid-bolts by half a turn by fitter\nstep remove press-screw by fitter",
      "step remove press-screw by fitter\nstep ease lid-bolts by half a turn by fitter"),
    M("look-alikes-unmarked", "step mark suction-valve, pressure-valve with paint-stick", "step inspect suction-valve, pressure-valve with paint-stick",
      "step remove pressure-valve by fitter"),
    M("vague-word", '"Every flap shuts at once when it is let go."', '"Every flap is in good condition."', 'accept "Every flap is in good'),
    M("two-instructions", '"No drop of spirit comes through in one minute."', '"Fill it with spirit; no drop comes through."', 'accept "Fill it'),
    M("check-without-criterion", '  check ring-look on lid-ring by fitter\n    accept "Round, soft, no cut."', "  check ring-look on lid-ring by fitter"),
    M("not-for-service", "with ring-oil by fitter only for arid", "with ring-oil by fitter", "step lubricate lid-ring"),
    M("no-last-look", "step look-into chamber by fitter", "step observe chamber by fitter", "step fit lid by fitter"),
    M("wrong-way-up", '  way up "inlet side towards the suction line"', '  way up "inlet side towards the basket"'),
    M("wrong-place", "step fit pressure-valve by fitter", "step fit pressure-valve at left-seat by fitter"),
    M("spent-seal-refitted", "step fit lid-gasket new by fitter", "step fit lid-gasket by fitter"),
    M("torque-differs", "step tighten lid-bolts with torque-wrench by fitter", "step tighten lid-bolts with torque-wrench by fitter\n  torque 22 N.m", "torque 22"),
    M("wrench-not-named", "step tighten press-screw with torque-wrench by fitter", "step tighten press-screw by fitter"),
    M("unlocked-area-not-clear", "step clear area by operator", "step observe lid by operator", "step unlock suction-slide"),
    M("reading-without-limit", '\n  expect "No hiss at the lids."', "", "step leak-test chamber"),
)  # fmt: skip

FLANGE = (
    M("said-twice", "status released", "status released\nstatus draft", "status draft"),
    M("wear-not-listed", "  wear oxygen-alarm\n", "  wear air-mask\n", "wear air-mask"),
    M("hazard-incomplete", '  severity serious, harm person\n  "The end cover', '  severity grim, harm person\n  "The end cover', "severity grim"),
    M("panel-with-work", '"Stay out from under the cover."', '"Tighten the sling."', 'avoid "Tighten'),
    M("unreadable-quantity", "  range 60 N.m to 340 N.m", "  range 60 N.m to 340 Nmm2"),
    M("unknown-word", "undone by joint-bolts eased\n\n", "undone by joint-bolts easd\n\n", 'house rule "Torque record'),
    M("unknown-verb", "step shut header-vent by operator\nstep open root-12", "step shutt header-vent by operator\nstep open root-12"),
    M("hold-without-role", 'hold H1 "Zero pressure witnessed" by operator', 'hold H1 "Zero pressure witnessed"'),
    M("question-with-open-end", "no\nend\nstep remove joint-bolts", "end\nstep remove joint-bolts", 'ask "Does gas'),
    M("sentence-too-long", '"Start at the bolt farthest from you."',
      '"Start at the bolt that is the farthest from the place where you stand and go on to the one across from it."'),
    M("result-never-read", "when header-face rejected\n  stop here, call supervisor \"The face of the header flange needs machining. Leave the locks on. Cover the open header.\"\nend\n",
      "", "check header-face"),
    M("rejected-part-refitted", "  step renew joint-bolts by fitter\n", "  step clean joint-bolts by fitter\n", "step fit joint-bolts by fitter"),
    M("never-reached", '    "Take the spare cover."\n', '    "Take the spare cover."\n  stop here, call supervisor "No spare."\n  step inspect end-cover by fitter\n',
      "step inspect end-cover"),
    M("new-seal-on-old", "step fit joint-gasket new by fitter\n", "step fit joint-gasket new by fitter\nstep renew joint-gasket by fitter\n", "step renew joint-gasket"),
    M("passes-not-rising", "step tighten joint-bolts with joint-wrench by fitter\n", "step tighten joint-bolts with joint-wrench by fitter\n  passes 60 %, 30 %, 100 %\n", "passes 60 %"),
    M("limits-crossed", "  limit 3.0 to 3.4 mm", "  limit 3.4 to 3.0 mm"),
    M("hidden-before-hold", "  sees end-cover\n", "  sees joint-gasket\n", 'hold H2 "Torque record'),
    M("temporary-left-in", "step remove sling by fitter\n", "", "step fit sling with chain-hoist"),
    M("test-pressure-too-high", "step pressurise inlet-header with test-set to 8 bar(g)", "step pressurise inlet-header with test-set to 12 bar(g)"),
    M("returned-with-air", "step purge inlet-header with nitrogen, gas-meter by fitter\n  meets asphyxiation\n  expect \"Oxygen", "step gas-test inlet-header by fitter\n  meets asphyxiation\n  expect \"Oxygen",
      "step return up-bleed"),
)  # fmt: skip

BOOSTER = (
    M("unreadable-line", 'reference "Site rule G-3", "Work on gas systems"', 'refrence "Site rule G-3", "Work on gas systems"'),
    M("wrong-quantity", "step shut-down booster by operator\n  takes 5 min", "step shut-down booster by operator\n  takes 5 m", "takes 5 m"),
    M("defined-twice", 'consumable nitrogen "Nitrogen"', 'tool puller "Seal puller"\nconsumable nitrogen "Nitrogen"'),
    M("hazard-not-met", "hazard spring-kick", 'hazard noise "Noise"\n  severity minor, harm person\n  "The room is loud."\n  avoid "Wear ear muffs."\nhazard spring-kick', "hazard noise"),
    M("out-of-place", '  wear gloves "Cut-proof gloves"', '  torque 20 N.m\n  wear gloves "Cut-proof gloves"', "torque 20 N.m"),
    M("verb-on-wrong-thing", "step fit flywheel-pin by fitter\n  meets crank-pinch", "step fit flywheel-pin by fitter\n  meets crank-pinch\nstep vent belt-guard by fitter", "step vent belt-guard"),
    M("hold-guards-nothing", "  step nip-up cover-nuts", '  witness W1 "Leak seen" by supervisor\n  step nip-up cover-nuts', "witness W1"),
    M("proof-through-shut-root", "step open root-1, root-2 by operator", "step open root-2 by operator", "step prove cylinder"),
    M("spring-left-slack", "step tension belt-spring with spring-jack by fitter", "step inspect belt-spring with spring-jack by fitter", "step relieve belt-spring"),
    M("rejected-part-refitted", "when belt-look rejected\n  step renew belt by fitter", "when belt-look rejected\n  step clean belt by fitter", "step fit belt by fitter"),
    M("repeat-without-bound", "repeat until leak-drip accepted, at most 2 times", "repeat until leak-drip accepted"),
    M("vague-word", '"Lift it straight up."', '"Lift it properly."'),
    M("seal-reused-unchecked", "      step renew cover-ring by fitter\n", "      step fit cover-ring by fitter\n", "step fit cover-ring by fitter"),
    M("item-not-in-variant", "step lock drain-block by operator only for wet-gas", "step lock drain-block by operator"),
    M("house-rule-broken", "step fit purge-hose by fitter\n  \"From the nitrogen bottles to the purge point of the first stage.\"\nstep purge cylinder with nitrogen, gas-meter by fitter\n  meets asphyxiation\n  takes", "step purge cylinder with nitrogen, gas-meter by fitter\n  meets asphyxiation\n  takes",
      "step purge cylinder"),
    M("pattern-differs", "  step tighten hold-screw", "    pattern circular\n  step tighten hold-screw", "pattern circular"),
    M("left-loose", "step tighten guard-screws with torque-wrench by fitter", "step fit guard-screws by fitter", "step remove guard-screws"),
    M("people-not-told", "step return motor-breaker by operator\nstep notify control-room by operator\n", "step return motor-breaker by operator\n", "step start booster"),
    M("torque-differs", "      torque 30 N.m +/- 10 %", "      torque 33 N.m +/- 10 %"),
    M("sentence-too-long", '"Listen at both covers for ten minutes."', '"Listen at both covers for at least ten minutes and write down in the work order whatever you hear that you did not hear before."'),
)  # fmt: skip


def written(text: str, mistakes: tuple[Mistake, ...]) -> tuple[str, Counter[tuple[str, int]]]:
    """The text with all mistakes in it, and the rule and line of the finding that each must give."""
    for mistake in mistakes:
        assert text.count(mistake.right) == 1, f"{text.count(mistake.right)} times: {mistake.right}"
        text = text.replace(mistake.right, mistake.wrong)
    lines = text.split("\n")
    wanted: Counter[tuple[str, int]] = Counter()
    for mistake in mistakes:
        start = mistake.at or mistake.wrong.strip().split("\n")[0].strip()
        wanted[mistake.rule, next(n for n, line in enumerate(lines, 1) if line.strip().startswith(start))] += 1
    return text, wanted


FILES: dict[str, tuple[str, tuple[Mistake, ...], Path, dict[str, str]]] = {
    "blower": (JOB, BLOWER, Path("blower.proc"), {"blower.equip": MACHINE}),
    "flange": ("", FLANGE, ROOT / "procedures" / "flange" / "flange-gasket.proc", {}),
    "booster": ("", BOOSTER, ROOT / "procedures" / "booster" / "valve-service.proc", {}),
}


def found_in(name: str, mistakes: tuple[Mistake, ...]) -> tuple[Counter[tuple[str, int]], Counter[tuple[str, int]]]:
    """What must be found and what is, by rule and line, in the file of that name with some mistakes in it."""
    text, _, path, others = FILES[name]
    faulty, wanted = written(text or path.read_text(encoding="utf-8"), mistakes)

    def read(asked: Path) -> bytes:
        if asked.resolve() == path.resolve():
            return faulty.encode()
        return others[asked.name].encode() if asked.name in others else asked.read_bytes()

    findings = check_file(Library(read), path).findings
    elsewhere = [f for f in findings if Path(f.span.source.path).resolve() != path.resolve()]
    assert not elsewhere
    return wanted, Counter((f.rule, f.span.line) for f in findings)


@pytest.mark.parametrize("name", FILES)
def test_twenty_mistakes_are_twenty_findings(name: str) -> None:
    mistakes = FILES[name][1]
    assert len(mistakes) == 20
    assert len({m.rule for m in mistakes}) == 20, "of many kinds"
    wanted, found = found_in(name, mistakes)
    assert sorted((found - wanted).elements()) == []
    assert sorted((wanted - found).elements()) == []


@pytest.mark.parametrize("name", FILES)
def test_without_a_mistake_nothing_is_found(name: str) -> None:
    assert not found_in(name, ())[1]


@pytest.mark.parametrize(
    ("name", "mistake"), [(n, m) for n in FILES for m in FILES[n][1]], ids=lambda v: getattr(v, "rule", v)
)
def test_each_mistake_by_itself_is_one_finding(name: str, mistake: Mistake) -> None:
    wanted, found = found_in(name, (mistake,))
    assert found == wanted


#: Slips of the pen in another procedure, each on one line: what is found is one finding, at that line.
PEN = (
    ('for each ring in sleeve-ring, casing-ring', 'for each ring in sleeve-rng, casing-ring'),
    ('do rebuild-cartridge\n', 'do rebuild-cartrige\n'),
    ('when disc-look rejected', 'when disc-look rejectd'),
    ('only for amine\n  step fit rinse-hose', 'only for amines\n  step fit rinse-hose'),
    ('  before remove guard-screws', '  before remve guard-screws'),
    ('check impeller-look on impeller by fitter', 'check impeler-look on impeller by fitter'),
    ('section "Service the cartridge"', 'section Service the cartridge'),
    ('step remove shaft-sleeve by fitter', 'step remove shaft-sleev by fitter'),
    ('  step fit impeller by fitter\n', '  step fit impeler by fitter\n'),
    ('step remove seal-clips by fitter\n  title "Unclip', 'step remov seal-clips by fitter\n  title "Unclip'),
    ('step tighten spacer-bolts new with', 'step tighten spacer-bolts with'),
    ('  limit 0 to 0.1 bar(g)', '  limit 0 to 0.1 bar'),
    ('  limit 0 to 0.1 bar(g)', '  limit 0.1 bar(g)'),
    ('step try-start motor by fitter', 'step try-start moter by fitter'),
    ('  accept "No groove that a fingernail catches."', '  accept "No groove that a fingernail catches.'),
    ('keep as rim-as-found', 'keep rim-as-found'),
    ('step clean ring with wipes by fitter', 'step clean ring with wips by fitter'),
    ('meets unit-swing\n  takes 15 min\n  "Draw', 'meets unit-swng\n  takes 15 min\n  "Draw'),
    ('at most 2 times\n    do move-motor\n    readings face-left "Face reading at the pump hub" at', 'at most two times\n    do move-motor\n    readings face-left "Face reading at the pump hub" at'),
    ('step return suction-block by operator', 'step return sucton-block by operator'),
    ('step unlock motor-breaker, suction-block, discharge-block by operator', 'step unlock motor-breaker, suction-block, dischrge-block by operator'),
    ('step open root-5 by operator', 'step open root5 by operator'),
    ('step drain casing by operator only for amine', 'step drian casing by operator only for amine'),
    ('house rule "Face alignment left inside the limit": face-left', 'house rule "Face alignment left inside the limit": face-lft'),
    ('stop here, call supervisor "A block valve passes, or liquid', 'stop here, call superviser "A block valve passes, or liquid'),
    ('step mark spacer with paint-pen', 'step mark space with paint-pen'),
    ('revision ', 'revison '),
    ('crew ', 'cru '),
    ('use "circulation-pump.equip"', 'use "circulation-pmp.equip"'),
    ('before starting\n', 'befor starting\n'),
    ('step look-into casing with torch by fitter', 'step look-into casing with torch by fitter by operator'),
    ('otherwise\n    stop here, call supervisor "The hubs are not in line', 'otherwse\n    stop here, call supervisor "The hubs are not in line'),
    ('yes\n  step nip-up', 'yess\n  step nip-up'),
    ('block rebuild-cartridge', 'blok rebuild-cartridge'),
    ('tool torque-wrench "Torque wrench"', 'tol torque-wrench "Torque wrench"'),
    ('step ease casing-nuts', 'step easy casing-nuts'),
)  # fmt: skip
PUMP = ROOT / "procedures" / "pump-seal" / "seal-change.proc"


@pytest.mark.parametrize(("right", "wrong"), PEN, ids=[wrong.strip().split("\n")[0] for _, wrong in PEN])
def test_a_slip_of_the_pen_is_one_finding_at_its_line(right: str, wrong: str) -> None:
    text = PUMP.read_text(encoding="utf-8")
    assert text.count(right) == 1
    faulty = text.replace(right, wrong)
    both = enumerate(zip(text.split("\n"), faulty.split("\n"), strict=False), 1)
    line = next(number for number, (a, b) in both if a != b)
    assert [f.span.line for f in verdict(PUMP, faulty)] == [line]
