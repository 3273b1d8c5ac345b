"""House rules against the published specification patterns, on every scope that can be said.

Source: M. Dwyer, G. Avrunin, J. Corbett, "Patterns in Property Specifications for Finite-State Verification", ICSE 1999
(the pattern and scope definitions from memory). A property of the patterns is judged here by a few lines of our own on
the finite list of events of each path; the paths are all that a small program of choices has, written out.

What can be said (P, S are the pattern's events, Q and R those of the scope):

| | global | before R | after Q | between Q and R | after Q until R |
| --- | --- | --- | --- | --- | --- |
| absence of P | never P | P only after R | never P after Q | – | never P after Q, undone by R |
| existence of P | at least once P | P before R | P after every Q (1) | P after every Q, before R | – |
| precedence S, P | S before P | (2) | – | – | S before P, undone by Q (3) |
| response S, P | S after every P | S after every P, before R | (4) | – | – |

(1) of every Q, not of the first alone: for a path with one Q it is the same, with more it asks more.
(2) S before P as a whole asks more: also for a P after R.
(3) with Q as the start of a new stretch: S must come again after each Q before P.
(4) S after every P asks more: also for a P before Q.
What cannot be said is listed in `CANNOT` and said in grammar/README.md: absence between (a Q without a later R bars
nothing: that needs a look ahead), existence after Q until R, precedence after Q and between, response in the scopes
after Q, between and until, universality, bounded existence and the chains.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import product

import pytest
from simulator.agreement import compare
from simulator.corpus import resolve_files

from procforge.analysis.proof import prove
from procforge.model.base import Variant

MACHINE = 'equipment RIG "Rig"\n' + "".join(f'part {n} "{n.upper()}"\n' for n in ("p", "s", "q", "r"))
Path = tuple[str, ...]
CANNOT = (
    "absence between Q and R", "existence after Q until R", "precedence after Q", "precedence between Q and R",
    "response after Q", "response between Q and R", "response after Q until R", "universality", "bounded existence",
    "precedence chain", "response chain", "constrained chain",
)  # fmt: skip


# ---- the patterns on one finite path -------------------------------------------------------------
def before_r(path: Path) -> Path | None:
    """The stretch before the first R; none if no R comes."""
    return path[: path.index("r")] if "r" in path else None


def after_q(path: Path) -> Path | None:
    """The stretch after the first Q."""
    return path[path.index("q") + 1 :] if "q" in path else None


def stretches(path: Path, until: bool) -> Iterator[Path]:
    """Each stretch from a Q to the next R; one that no R ends counts for `until` only."""
    start: int | None = None
    for n, event in enumerate(path):
        if event == "q" and start is None:
            start = n + 1
        elif event == "r" and start is not None:
            yield path[start:n]
            start = None
    if until and start is not None:
        yield path[start:]


def within(scope: Callable[[Path], Path | None], holds: Callable[[Path], bool]) -> Callable[[Path], bool]:
    """A pattern in a scope of one stretch: met where there is none."""
    return lambda path: (part := scope(path)) is None or holds(part)


def absence(path: Path) -> bool:
    return "p" not in path


def existence(path: Path) -> bool:
    return "p" in path


def precedence(path: Path) -> bool:
    """S before the first P."""
    return "p" not in path or "s" in path[: path.index("p")]


def response(path: Path) -> bool:
    """An S after each P."""
    return all("s" in path[n + 1 :] for n, event in enumerate(path) if event == "p")


def again(path: Path) -> bool:
    """Since the start, or since the last Q, an S before each P."""
    for n, event in enumerate(path):
        if event == "p":
            start = max((k for k in range(n) if path[k] == "q"), default=-1)
            if "s" not in path[start + 1 : n]:
                return False
    return True


def one_q(path: Path) -> bool:
    return path.count("q") <= 1


def everywhere(_: Path) -> bool:
    return True


#: The rule, the pattern it says, and on which paths they are the same. Events are `mark X`; `undone by` takes `X cleaned`.
SAID: dict[str, tuple[str, Callable[[Path], bool], Callable[[Path], bool]]] = {
    "absence, global": ("never mark p", absence, everywhere),
    # A path without an R has no stretch before it; there the rule asks more: P is barred on it altogether.
    "absence, before R": ("mark p only after mark r", within(before_r, absence), lambda path: "r" in path),
    "absence, after Q": ("never mark p after mark q", within(after_q, absence), everywhere),
    "absence, after Q until R": (
        "never mark p after mark q, undone by r cleaned", lambda path: all(map(absence, stretches(path, True))), everywhere,
    ),
    "existence, global": ("at least once mark p", existence, everywhere),
    "existence, before R": ("mark p before mark r", within(before_r, existence), everywhere),
    "existence, after Q": ("mark p after every mark q", within(after_q, existence), one_q),
    "existence, between Q and R": (
        "mark p after every mark q, before mark r", lambda path: all(map(existence, stretches(path, False))), one_q,
    ),
    "precedence, global": ("mark s before mark p", precedence, everywhere),
    "precedence, anew after each Q": ("mark s before mark p, undone by q cleaned", again, everywhere),
    "precedence, the other way round": ("mark p only after mark s", precedence, everywhere),
    "response, global": ("mark s after every mark p", response, everywhere),
    # Before the first R; what comes after an R asks the rule again, at the next one.
    "response, before R": ("mark s after every mark p, before mark r", within(before_r, response), lambda path: path.count("r") <= 1),
}  # fmt: skip


def verb(rule: str, event: str) -> str:
    """An event is a marking; one that undoes is a cleaning."""
    return f"step {'clean' if f'{event} cleaned' in rule else 'mark'} {event}"


def judged(rule: str, lines: list[str]) -> bool:
    """Whether the job keeps the rule, from the validator; the simulator must say the same."""
    text = ['procedure P "Job"', 'use "rig.equip"', 'use "site.proc"', "crew 1 fitter, 1 supervisor", *lines]
    files = {"rig.equip": MACHINE, "site.proc": f'house rule "The rule": {rule}\n', "job.proc": "\n".join(text) + "\n"}
    outcome = resolve_files(files)
    assert not outcome.findings, outcome.findings
    assert len(outcome.value.house_rules) == 1
    assert not compare(outcome.value, Variant.make()).differences
    return not any(f.violation.rule == "house-rule-broken" for f in prove(outcome.value, (Variant.make(),)).faults)


@pytest.mark.parametrize("name", SAID)
def test_a_rule_says_its_pattern_on_every_path_of_four_events(name: str) -> None:
    """All paths of up to four events out of those the rule names, one job each."""
    rule, pattern, same = SAID[name]
    events = [e for e in "psqr" if f" {e}" in rule]
    both = {True: 0, False: 0}
    for length in range(5):
        for path in product(events, repeat=length):
            if same(path):
                kept = judged(rule, [verb(rule, e) for e in path])
                assert kept == pattern(path), (rule, path)
                both[kept] += 1
    assert min(both.values()) >= 1


@pytest.mark.parametrize("name", SAID)
def test_a_rule_is_kept_if_every_path_keeps_it(name: str) -> None:
    """Jobs with two questions: kept if the pattern holds on each of the four paths, and only then."""
    rule, pattern, same = SAID[name]
    events = [e for e in "psqr" if f" {e}" in rule]
    for one, two, last in product([*events, ""], [*events, ""], events):
        ways = [tuple(e for e in (a, b, last) if e) for a in (one, "") for b in (two, "")]
        if not all(map(same, ways)):
            continue
        lines = []
        for event in (one, two):
            lines += ['ask "So?"', "yes", *([verb(rule, event)] if event else []), "no", "end"]
        assert judged(rule, [*lines, verb(rule, last)]) == all(map(pattern, ways)), (rule, ways)


def test_never_while_is_absence_in_a_state() -> None:
    """The state is one of the machine, or a fact of the site; it may hold by a branch alone."""
    assert not judged("never mark p while q out", ["step remove q", "step mark p", "step fit q"])
    assert judged("never mark p while q out", ["step remove q", "step fit q", "step mark p"])
    assert judged("never mark p while q out and r out", ["step remove q", "step mark p", "step fit q"])
    assert not judged("never mark p while q out and r out", ["step remove q, r", "step mark p", "step fit q, r"])
    assert not judged("never mark p while q not out", ["step mark p"])
    branch = ['ask "So?"', "yes", "step remove q", "no", "end", "step mark p", 'ask "So?"', "yes", "no", "end"]
    assert not judged("never mark p while q out", branch)
    swept = ['fact swept "Swept", undone by q removed', "step clean r", "  makes swept"]
    assert not judged("never mark p while swept holds", [*swept, "step mark p"])
    assert judged("never mark p while swept not holds", [*swept, "step mark p"])
    assert not judged("never mark p while swept not holds", [*swept, "step remove q", "step mark p", "step fit q"])


def test_never_is_asked_at_the_very_object() -> None:
    assert not judged("never mark p while q out", ["step remove q", "step mark s, p", "step fit q"])
    assert judged("never mark p after mark s", ["step mark p, s"])
    assert not judged("never mark p after mark s", ["step mark s", "step mark r, p"])


def test_a_stop_ends_the_path_without_what_the_end_asks() -> None:
    stopped = ['ask "So?"', "yes", "stop here", "no", "end"]
    assert judged("at least once mark p", [*stopped, "step mark p"])
    assert judged("mark s after every mark p", ["step mark p", *stopped, "step mark s"])
    assert not judged("at least once mark p", ['ask "So?"', "yes", "step mark p", "no", "end"])


def test_in_a_repeat_and_in_two_lanes() -> None:
    rounds = ["repeat until look accepted, at most 2 times", "step mark p", "check look on q", "end"]
    assert not judged("never mark p after mark q", ["step mark q", *rounds])
    assert not judged("never mark p after mark p", rounds)  # its second round
    lanes = ["together", "step mark p", "also", "step mark s", "end"]
    assert not judged("mark s before mark p", lanes)
    assert not judged("never mark p after mark s", lanes)
    assert not judged("mark s after every mark p", lanes)
    assert judged("at least once mark p", lanes)


CALLER = ['procedure P "Job"', 'use "rig.equip"', 'use "site.proc"', "crew 1 fitter, 1 supervisor"]


@pytest.mark.parametrize(
    ("rule", "before", "inside", "after", "kept"),
    [
        ("mark s before mark p", [], ["step mark s"], ["step mark p"], True),
        ("mark s before mark p", [], ['ask "So?"', "yes", "step mark s", "no", "end"], ["step mark p"], False),
        ("mark s before mark p, undone by q cleaned", ["step mark s"], ["step clean q"], ["step mark p"], False),
        ("never mark p after mark s", ["step mark s"], ["step mark p"], [], False),
        ("never mark p after mark s", [], ["step mark s"], ["step mark p"], False),
        ("at least once mark p", [], ["step mark p"], [], True),
        ("mark s after every mark p", ["step mark p"], ["step mark s"], [], True),
        ("mark s after every mark p", [], ["step mark p", "step mark s"], [], True),
        ("mark s after every mark p, before mark r", ["step mark p"], ["step mark r"], ["step mark s"], False),
    ],
)
def test_a_called_procedure_counts(
    rule: str, before: list[str], inside: list[str], after: list[str], kept: bool
) -> None:
    """What the steps of a called procedure do to a rule of the caller; both have it from one file."""
    files = {
        "rig.equip": MACHINE,
        "site.proc": f'house rule "The rule": {rule}\n',
        "job.proc": "\n".join([*CALLER, *before, 'do "part.proc"', *after]) + "\n",
        "part.proc": "\n".join([*CALLER, *inside]) + "\n",
    }
    outcome = resolve_files(files)
    assert not outcome.findings
    assert not compare(outcome.value, Variant.make()).differences
    faults = prove(outcome.value, (Variant.make(),)).faults
    assert kept == (not any(f.violation.rule == "house-rule-broken" for f in faults))
