"""Small procedures whose verdict is worked out by hand from grammar/semantics.md: rule, place and shortest length.

Both the validator and the simulator must give exactly what is written here. Lengths: one for each micro-step, the
failing one included, and one for each outcome, question or choice; the end and a stop cost nothing.
Source: the page; the trade facts in the cases are common practice, no source.
"""

from __future__ import annotations

from typing import NamedTuple

import pytest
from simulator import verbs
from simulator.agreement import compare
from simulator.corpus import MAIN, resolve_files

from procforge.analysis.proof import variants_of
from procforge.model.base import Variant

VESSEL = """\
pressure-space vessel "Vessel"
  holds water
  isolated by inlet
  vented by vent
  tested in service
isolator inlet "Inlet valve"
  in service open, isolates when shut
valve vent "Vent"
  in service shut
part cover "Cover"
  closes vessel
  held by nuts
fastener nuts "Cover nuts"
"""
SAFE = """\
step isolate inlet
step lock inlet
step vent vessel
step shut vent
"""
BACK = """\
step look-into vessel
step fit cover
step tighten nuts
step clear area
step unlock inlet
step return inlet
step leak-test vessel
"""
TWO_MODELS = "models small, large\n"
TWO_RELIEFS = """\
isolator duty-block "Valve before the duty relief valve"
  in service open, isolates when shut
isolator spare-block "Valve before the spare relief valve"
  in service shut, isolates when shut
safety-device duty "Duty relief valve"
  protects vessel
  inlet isolated by duty-block
  held by duty-bolts
fastener duty-bolts "Bolts of the duty relief valve"
safety-device spare "Spare relief valve"
  protects vessel
  inlet isolated by spare-block
"""


class Case(NamedTuple):
    """A machine, a job, what the files beside are, and the faults: (variant, rule, formula) to length."""

    name: str
    machine: str
    job: str
    faults: dict[tuple[str, str, str], int]
    beside: tuple[tuple[str, str], ...] = ()


def job(*parts: str) -> str:
    """The pieces of a job as one text; `/` stands for a line break."""
    return "".join(p if p.endswith("\n") else p.replace(" / ", "\n") + "\n" for p in parts)


OPEN = "step ease nuts / step remove nuts, cover"
CASES = [
    Case("sound as it stands", VESSEL, job(SAFE, "step prove vessel", OPEN, BACK), {}),
    Case(
        "two branches that each prove", VESSEL,
        job(SAFE, 'ask "Is the gauge in date?" / yes / step prove vessel / no / step prove vessel / end', OPEN, BACK), {},
    ),
    Case(
        # isolate, lock, vent, shut, the question, ease
        "one of two branches proves", VESSEL,
        job(SAFE, 'ask "Is the gauge in date?" / yes / step prove vessel / no / end', OPEN, BACK),
        {("all", "opened-before-proved", "proved vessel"): 6},
    ),
    Case(
        # isolate, lock, vent, shut, prove, then unlock needs the area clear; return 7; isolate 8; lock 9; ease 10
        "pressure back after the proof", VESSEL,
        job(SAFE, "step prove vessel / step clear area / step unlock inlet / step return inlet / step isolate inlet / step lock inlet",
            OPEN, BACK),
        {("all", "opened-before-relieved", "relieved vessel"): 11, ("all", "opened-before-proved", "proved vessel"): 11},
    ),
    Case(
        "a check read twice: fitted only where it was not renewed", VESSEL + 'seal ring "Ring"\npart plug "Plug"\n  sealed by ring\n',
        job("step remove plug / check look on ring / when look rejected / step renew ring / end",
            "when look accepted / step fit ring / end / step fit plug"), {},
    ),
    Case(
        # remove, check, outcome rejected, renew, then fit it again: it sits already
        "the second reading on the wrong side", VESSEL + 'seal ring "Ring"\npart plug "Plug"\n  sealed by ring\n',
        job("step remove plug / check look on ring / when look rejected / step renew ring / end",
            "when look rejected / step fit ring / end / step fit plug"),
        {("all", "new-seal-on-old", "not seated ring"): 5, ("all", "seal-not-seated", "seated ring"): 4,
         ("all", "seal-left-out", "seated ring"): 4},
    ),
    Case(
        # isolate, lock, vent, shut, prove, outcome rejected, prove, outcome rejected, ease
        "a repeat that never proves, without a way out", VESSEL,
        job(SAFE, "repeat until proof accepted, at most 2 times / step prove vessel as proof / end", OPEN, BACK),
        {("all", "opened-before-proved", "proved vessel"): 9},
    ),
    Case(
        "a repeat with a stop after the last round", VESSEL,
        job(SAFE, "repeat until proof accepted, at most 2 times / step prove vessel as proof / otherwise / stop here / end", OPEN, BACK),
        {},
    ),
    Case(
        "a repeat without a bound only ends accepted", VESSEL,
        job(SAFE, "repeat until proof accepted / step prove vessel as proof / end", OPEN, BACK), {},
    ),
    Case(
        # remove; twice a round of inner check, accepted, outer check, rejected; fit: 1 + 2 * 4 + 1
        "nested repeats with bounds", 'part plug "Plug"\n  judged by outer, inner\n',
        job("step remove plug / repeat until outer accepted, at most 2 times / repeat until inner accepted, at most 2 times",
            "check inner on plug / otherwise / step renew plug / end / check outer on plug / end / step fit plug"),
        {("all", "never-judged", "fit plug / outer"): 10},
    ),
    Case(
        # the second valve by-passes the first on the large model only: isolate, lock, vent
        "a bypass on one model only", TWO_MODELS + VESSEL.replace("  isolated by inlet\n", "  isolated by inlet\n  isolated by inlet, bypass for large\n")
        + 'isolator bypass "Bypass"\n  in service open, isolates when shut\n  only for large\n',
        job(SAFE, "step prove vessel", OPEN, BACK),
        {("large", "vented-while-fed", "set bypass"): 3, ("large", "relieved-before-locked", "locked bypass"): 3,
         ("large", "proved-while-fed", "set bypass"): 5, ("large", "proved-before-locked", "locked bypass"): 5,
         ("large", "opened-before-isolated", "set bypass"): 6, ("large", "opened-before-locked", "locked bypass"): 6},
    ),
    Case(
        # isolate, lock, then the lane that opens goes first: ease 3 (its proof, its relief), then the rest
        "a lane opens while the other still vents", VESSEL,
        job("step isolate inlet / step lock inlet / together", "step vent vessel / step shut vent / step prove vessel / also",
            "step ease nuts / end / step remove nuts, cover", BACK),
        {("all", "opened-before-relieved", "relieved vessel"): 3, ("all", "opened-before-proved", "proved vessel"): 3},
    ),
    Case(
        # any order: lock before isolate is the second sequence
        "any order", VESSEL,
        job("any order / step isolate inlet / step lock inlet / end", "step vent vessel / step shut vent / step prove vessel", OPEN, BACK),
        {("all", "locked-before-set", "set inlet"): 1},
    ),
    Case(
        "a relief valve exchanged on a live vessel with the spare in service", VESSEL + TWO_RELIEFS,
        job("step open spare-block / step isolate duty-block / step remove duty-bolts, duty / step fit duty / step tighten duty-bolts",
            "step return duty-block / step isolate spare-block"), {},
    ),
    Case(
        # open the spare, shut the duty, remove bolts and valve, then shut the spare: 5; its first way out is the vessel isolated
        "the spare shut off while the duty valve is out", VESSEL + TWO_RELIEFS,
        job("step open spare-block / step isolate duty-block / step remove duty-bolts, duty / step isolate spare-block",
            "step fit duty / step tighten duty-bolts / step return duty-block"),
        {("all", "relief-valve-out", "in duty and not set duty-block or set inlet"): 5},
    ),
    Case(
        # back to the position it has in service, which is shut: the vessel has no relief valve, 3
        "the valve of the spare returned while the duty valve is shut off", VESSEL + TWO_RELIEFS,
        job("step open spare-block / step isolate duty-block / step return spare-block / step return duty-block"),
        {("all", "relief-valve-out", "in duty and not set duty-block or set inlet"): 3},
    ),
    Case(
        # the bolts of the duty valve hold it: eased with the spare still shut off, 1
        "the bolts of the only relief valve in service eased", VESSEL + TWO_RELIEFS,
        job("step ease duty-bolts / step tighten duty-bolts"),
        {("all", "relief-valve-out", "in spare and not set spare-block or set inlet"): 1},
    ),
    Case(
        # no stop after the rejection: remove, check, outcome, fit
        "a rejected part goes back", 'part plug "Plug"\n  judged by look\n',
        job("step remove plug / check look on plug / when look rejected / step clean plug / end / step fit plug"),
        {("all", "never-judged", "fit plug / look"): 5},
    ),
    Case(
        "a stop in the branch saves the later step", 'part plug "Plug"\n  judged by look\n',
        job("step remove plug / check look on plug / when look rejected / stop here / end / step fit plug"), {},
    ),
    Case(
        # a check whose result nothing reads is judged either way all the same: remove, check, outcome, fit
        "a check that nothing reads", 'part plug "Plug"\n  judged by look\n',
        job("step remove plug / check look on plug / step fit plug"), {("all", "never-judged", "fit plug / look"): 4},
    ),
    Case(
        # the line that could not be read may have proved the vessel
        "a hole withholds a finding", VESSEL, job(SAFE, "stepp prove vessel", OPEN, BACK), {},
    ),
    Case(
        "without the hole the finding is there", VESSEL, job(SAFE, OPEN, BACK),
        {("all", "opened-before-proved", "proved vessel"): 5},
    ),
    Case(
        # the bleed is opened (2) and locked, the second block is not shut: blocks, locks 1-4, vent 5; the first block is back (17) before the bleed
        "double block and bleed with one block missing",
        VESSEL.replace("isolated by inlet", "isolated by (inlet and second with bleed bleed)")
        + 'isolator second "Second block"\n  in service open, isolates when shut\nvalve bleed "Bleed"\n  in service shut\n',
        job("step isolate inlet / step open bleed / step lock inlet, bleed / step vent vessel / step shut vent / step prove vessel", OPEN,
            BACK.replace("unlock inlet", "unlock inlet, bleed").replace("return inlet", "return inlet, bleed")),
        {("all", "bleed-open-to-feed", "set second"): 2, ("all", "bleed-open-to-feed", "not set bleed"): 17,
         ("all", "vented-while-fed", "set second"): 5, ("all", "relieved-before-locked", "locked second"): 5,
         ("all", "proved-while-fed", "set second"): 7, ("all", "proved-before-locked", "locked second"): 7,
         ("all", "opened-before-isolated", "set second"): 8, ("all", "opened-before-locked", "locked second"): 8},
    ),
    Case(
        "a spade instead, which needs no lock", VESSEL.replace("isolated by inlet", "isolated by inlet or spade") + 'temporary spade "Spade"\n',
        job("step fit spade / step vent vessel / step shut vent / step prove vessel", OPEN,
            BACK.replace("step unlock inlet\nstep return inlet\n", "step remove spade\n")), {},
    ),
    Case(
        # twelve micro-steps before the end: the spade is still in
        "the spade left in", VESSEL.replace("isolated by inlet", "isolated by inlet or spade") + 'temporary spade "Spade"\n',
        job("step fit spade / step vent vessel / step shut vent / step prove vessel", OPEN, BACK.replace("step unlock inlet\nstep return inlet\n", "")),
        {("all", "temporary-left-in", "not in spade"): 12},
    ),
    Case(
        # isolate .. prove 5, ease, remove, remove 8, look, fit, tighten 11, connect, pressurise, let-down 14, clear, unlock, return 17
        "supply left connected", VESSEL + 'supply pump "Test pump"\n  feeds vessel\n',
        job(SAFE, "step prove vessel", OPEN, "step look-into vessel / step fit cover / step tighten nuts / step connect pump",
            "step pressurise vessel with pump / step leak-test vessel / step let-down vessel with pump / step clear area / step unlock inlet / step return inlet"),
        {("all", "supply-left-connected", "not connected pump"): 18},
    ),
    Case(
        # called without the proof: isolate, lock, vent, shut, do
        "a call whose contract is not met", VESSEL, job(SAFE, 'do "open.proc"', BACK),
        {("all", "call-contract-not-met", "proved vessel"): 5},
        (("open.proc", job("starts vessel locked, vessel relieved, vessel proved",
                           "leaves cover out, nuts off, nuts loose, vessel untested", OPEN)),),
    ),
    Case(
        "a house rule with the first of two objects", 'part plug "Plug"\npart seat "Seat"\n',
        job('house rule "Plug first": mark plug before remove seat / step mark plug, seat / step remove seat / step fit seat'), {},
    ),
    Case(
        # B is the step, whichever of its objects is named: its first micro-step is the second of the job
        "a house rule met by the last of two objects", 'part plug "Plug"\npart seat "Seat"\n',
        job('house rule "Mark first": mark plug before remove seat / step clean plug / step remove plug, seat / step fit plug, seat'),
        {("all", "house-rule-broken", "done house-rule-1"): 2},
    ),
    Case(
        # B is a hold: it is the first micro-step of the job
        "a house rule that ends at a hold", 'part plug "Plug"\n',
        job('house rule "Mark first": mark plug before H1 / hold H1 "Seen" by supervisor / step mark plug'),
        {("all", "house-rule-broken", "done house-rule-1"): 1},
    ),
    Case(
        # remove the wire and the cap, then the wire goes on first: 3
        "a seal fitted before what lies under it", 'part cap "Cap"\nseal wire "Wire"\n  over cap\n  single-use\n',
        job("step remove wire / step remove cap / step fit wire new / step fit cap"),
        {("all", "fitted-before-underlying", "in cap"): 3},
    ),
    Case(
        "a hold guards every micro-step of the step", VESSEL,
        job(SAFE, "step prove vessel", OPEN, 'hold H1 "Zero" by supervisor / sees vessel / before remove cover', BACK),
        {("all", "hold-avoided", "released H1"): 7},
    ),
    Case(
        "a hold for one model guards nothing on the other", TWO_MODELS + VESSEL,
        job(SAFE, "step prove vessel / step ease nuts", 'hold H1 "Zero" by supervisor only for large / sees vessel / before remove nuts',
            "step remove nuts, cover", BACK), {},
    ),
    Case(
        # the job starts isolated; the stop leaves it returned and unlocked: return is 1
        "a stop compares with the job's own start", VESSEL,
        job("starts inlet isolated / leaves inlet in-service / step return inlet / ask \"Wait?\" / yes / stop here / no / end"),
        {("all", "stopped-unlocked", "locked inlet or set inlet"): 2},
    ),
    Case(
        # remove, then either lane first: the shortest goes past `clean` of the other lane
        "the shortest way through two lanes", 'part plug "Plug"\npart seat "Seat"\n  judged by look\n',
        job("step remove plug, seat / together / step clean plug / step clean plug / also / step fit seat / step fit plug / end"),
        {("all", "never-judged", "fit seat / look"): 3},
    ),
    Case(
        # isolate, lock, vent, prove, accepted, then the other lane shuts the vent of a space that refills; hold is 7
        "the other lane undoes what an outcome gave", VESSEL.replace("  tested in service", "  reaccumulates"),
        job("step isolate inlet / step lock inlet / step vent vessel / together / step shut vent / also / step prove vessel as proof",
            "when proof rejected / stop here / end", 'hold H1 "Zero" by supervisor / sees vessel / end'),
        {("all", "proof-on-open-vent", "not set vent"): 4, ("all", "hold-before-proof", "proved vessel"): 7,
         ("all", "isolation-left-set", "not set inlet"): 7, ("all", "lock-left-on", "not locked inlet"): 7},
    ),
    Case(
        # the member that stops may come second: fit is the first micro-step
        "a member that always stops hides no other", 'part plug "Plug"\n', job("any order / stop here / step fit plug / end"),
        {("all", "not-in-that-state", "not in plug"): 1},
    ),
    Case(
        "a lane that always stops hides no other", 'part plug "Plug"\n', job("together / stop here / also / step fit plug / end"),
        {("all", "not-in-that-state", "not in plug"): 1},
    ),
]  # fmt: skip


def _words(formula: frozenset[frozenset[tuple[str, bool]]]) -> str:
    return " or ".join(sorted(" and ".join(sorted(f if v else f"not {f}" for f, v in a)) for a in formula))


def _files(case: Case) -> dict[str, str]:
    head = 'procedure T-1 "Job"\nuse "rig.equip"\ncrew 1 fitter, 1 supervisor\n'
    return {"rig.equip": 'equipment RIG "Rig"\n' + case.machine, MAIN: head + case.job} | {
        name: head + text for name, text in case.beside
    }


@pytest.mark.parametrize("case", CASES, ids=lambda c: c.name)
def test_verdict_and_length(case: Case) -> None:
    outcome = resolve_files(_files(case))
    unread = [f"{f.rule}: {f.message}" for f in outcome.findings if f.rule not in ("title-missing",)]
    assert len(unread) == case.job.count("stepp"), unread
    found: dict[tuple[str, str, str], int] = {}
    for variant in variants_of(outcome.value):
        verdict = compare(outcome.value, variant)
        assert not verdict.differences
        for (rule, _, formula), length in verdict.faults.items():
            key = variant.name, rule, _words(formula)
            found[key] = min(length, found.get(key, length))
    assert found == case.faults


def test_the_comparison_can_fail(monkeypatch: pytest.MonkeyPatch) -> None:
    """A simulator that forgets one need, one effect or one cost is told apart from the validator."""
    case = next(c for c in CASES if c.name == "one of two branches proves")
    procedure = resolve_files(_files(case)).value
    kinds, row = verbs.TABLE["ease"][0]
    forgetful = row._replace(needs=tuple(n for n in row.needs if n.rule != "opened-before-proved"))
    with monkeypatch.context() as patch:
        patch.setitem(verbs.TABLE, "ease", [(kinds, forgetful)])
        assert any("simulator 7" in d for d in compare(procedure, Variant.make()).differences)
    case = next(c for c in CASES if c.name == "sound as it stands")
    procedure = resolve_files(_files(case)).value
    kinds, row = verbs.TABLE["prove"][0]
    with monkeypatch.context() as patch:
        patch.setitem(verbs.TABLE, "prove", [(kinds, row._replace(passed=()))])
        assert compare(procedure, Variant.make()).differences
    assert not compare(procedure, Variant.make()).differences


def test_a_result_read_before_it_is_done() -> None:
    """Either way is possible, then the check is done: what comes after goes by its result only.

    The statement is a mistake of its own: the resolver reports it, and what it may have meant is unknown.
    """
    case = Case(
        "", 'part plug "Plug"\n  judged by look\n',
        job("when look rejected / step mark plug / end / step remove plug / check look on plug / when look rejected / stop here / end / step fit plug"), {},
    )  # fmt: skip
    procedure = resolve_files(_files(case)).value
    verdict = compare(procedure, Variant.make())
    assert not verdict.differences and not verdict.faults
