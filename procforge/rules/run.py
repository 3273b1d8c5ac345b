"""Runs all rules on a case: the proof's faults, the static rules, waivers; ordered findings out."""

from __future__ import annotations

from procforge.findings import Finding, Mark, in_order
from procforge.model.procedure import Check, Repeat, When
from procforge.rules.base import Case
from procforge.rules.doubt import Doubt
from procforge.rules.paths import findings_of
from procforge.rules.people.waiver_of_nothing import idle
from procforge.rules.registry import BY_NAME, RULES
from procforge.rules.waivers import Waivers
from procforge.rules.wording import work_words


def run(case: Case) -> list[Finding]:
    """All findings of a case, in the order they are printed; waived ones are left out."""
    doubt, waivers = Doubt(case), Waivers(case)
    static: list[Finding] = []
    for rule in RULES:
        if rule.find is not None:
            static += _once(
                [f for f in rule.find(case) if not doubt.of_finding(f) and not waivers.cover_finding(rule, f)]
            )
    found = findings_of(
        case.procedure,
        [f for f in case.proof.faults if not doubt.of_fault(f) and not waivers.cover_fault(f)],
        BY_NAME,
        case.variants,
        _told(case, static),
    )
    found += _not_proved(case)
    found += _more(case)
    found += static
    if not case.procedure.holes:
        found += [idle(w) for w in waivers.idle()]
    return in_order(found)


def _told(case: Case, findings: list[Finding]) -> frozenset[str]:
    """Checks whose result is not read, or not rightly: what a part that they reject does next is the same slip."""
    lines = {
        (f.span.source.path, f.span.line)
        for f in findings
        if f.rule in ("result-never-read", "read-before-done", "repeat-without-way-out")
    }
    works = [w for w in case.works if (w.where.source.path, w.where.line) in lines]
    return frozenset(w.name for w in works if isinstance(w, Check)) | frozenset(
        w.check.partition(" of ")[0] for w in works if isinstance(w, (When, Repeat))
    )


def _once(findings: list[Finding]) -> list[Finding]:
    """A statement stands for several things or rounds: one finding for each place in the text."""
    return list({f.span: f for f in reversed(findings)}.values())[::-1]


def _more(case: Case) -> list[Finding]:
    """Suspicions that were counted and not searched, for their rule has many faults already."""
    found = []
    for name, count in case.proof.unsearched.items():
        rule = BY_NAME["more-of-the-same"]
        message = f"{count} more places under suspicion of `{name}` were not searched"
        found.append(rule.finding(case.procedure.where, message, "mend those that are told, then check again"))
    return found


def _not_proved(case: Case) -> list[Finding]:
    found = []
    for entry in case.proof.not_proved:
        places = list(dict.fromkeys(w.where for w in case.works if getattr(w, "check", "") in entry.checks))
        what = BY_NAME[entry.rule].title.lower() if entry.rule in BY_NAME else entry.rule
        lines = ", ".join(str(p.line) for p in places[:12]) + (", …" if len(places) > 12 else "")
        message = (
            f"not proved: whether on some path {what} hangs on {len(entry.checks)} results that are read again later"
        )
        message += f" (lines {lines})" if places else ""
        marks = tuple(Mark(p, f"read here: {work_words_at(case, p)}") for p in places[1:6])
        rule = BY_NAME["not-proved"]
        found.append(
            rule.finding(
                places[0] if places else case.procedure.where,
                message,
                "join their branches, or check again",
                "read here",
                marks,
                tuple(v.name for v in entry.variants),
                "the search met its budget; not proved is not sound",
            )
        )
    return found


def work_words_at(case: Case, place: object) -> str:
    """The statement that starts at a place, in words."""
    return next((work_words(w) for w in case.works if w.where == place), "")
