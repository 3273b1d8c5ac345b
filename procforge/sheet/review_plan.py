"""The planner's part of the review print: what is proved and by what, findings, waivers, house rules, times, order."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from procforge import __version__
from procforge.findings import Finding, Severity
from procforge.model.procedure import Waiver
from procforge.rules.base import Case
from procforge.rules.common import waivers as all_waivers
from procforge.sheet.chart import EdgeKind
from procforge.sheet.crew import clock, times
from procforge.sheet.english import ended, joined, upper_first
from procforge.sheet.inline import Cell, Prose, Run
from procforge.sheet.job import Job
from procforge.sheet.labels import Labels
from procforge.sheet.numbering import numbers
from procforge.sheet.outline import Block, Heading, KeyValues, ListTable, Paragraph
from procforge.sheet.profile import Profile
from procforge.sheet.review_align import ways
from procforge.sheet.review_names import VariantNames

#: What a proof is not; said wherever its result is printed.
LIMITS = (
    "The proof holds for the machine as the file describes it. It does not tell whether the file agrees with the plant, "
    "nor whether a value is right: that is what this review is for."
)
_WHY = {
    EdgeKind.NEEDS: "needs", EdgeKind.ONE_OF: "needs one of", EdgeKind.AFTER: "undoes what was needed for",
    EdgeKind.SAME: "sets the same as", EdgeKind.GUARDS: "held by",
}  # fmt: skip


def result(
    case: Case, findings: Sequence[Finding], source_hash: str, names: VariantNames, budget: int, *, sound: bool
) -> list[Block]:
    """The result of the proof for each variant, by which version it was made, and how far it went."""
    proof = case.proof
    errors = [f for f in findings if f.severity >= Severity.ERROR]
    classes = {v.name: at for at, (group, _) in enumerate(proof.programs) for v in group}
    rows: list[tuple[Cell, ...]] = []
    for at, variant in enumerate(names.variants):
        units = [u.tag for u in case.equipment.units if (u.model, u.service) == (variant.model, variant.service)]
        open_ = [n.rule for n in proof.not_proved if variant in n.variants]
        here = [f for f in errors if not f.variants or variant.name in f.variants]
        if sound:
            words = "Proved on every path."
        else:
            wrong = f"{len(here)} error{'s' * (len(here) != 1)}: {joined(list(dict.fromkeys(f.rule for f in here)))}."
            words = f"Not proved. {wrong if here else 'No fault was found here, but the procedure as a whole is not proved.'}"
            words += f" Not decided: {joined(list(dict.fromkeys(open_)))}." if open_ else ""
        alike = [names.one(n) for n, v in enumerate(names.variants) if n != at and classes.get(v.name) == classes.get(variant.name)]  # fmt: skip
        rows.append(
            (
                _named(names, at),
                ", ".join(units) or "none listed",
                words,
                "; ".join(alike) or "by itself",
            )
        )
    spent = f"{proof.work:,} of at most {budget:,} units of search".replace(",", "\u00a0")
    met = (
        "The budget was met: what it left open is not proved."
        if proof.not_proved or proof.unsearched
        else "The budget was not met."
    )
    pairs: list[tuple[str, Cell]] = [
        ("Checked by", f"procforge {__version__}, on source {source_hash}"),
        (
            "Variants",
            f"{len(names.variants)} declared for this procedure, {len(proof.programs)} of which differ for the proof",
        ),
        ("Effort", f"{spent}. {met}"),
    ]
    if case.procedure.holes:
        pairs.append(
            (
                "Not read",
                f"{case.procedure.holes} line{'s' * (case.procedure.holes > 1)} of the source could not be read.",
            )
        )
    return [
        ListTable(("Variant", "Units", "Result", "Proved together with"), tuple(rows), widths=(1.6, 1.2, 4, 2.4)),
        KeyValues(tuple(pairs)),
        Paragraph(LIMITS),
    ]


def _named(names: VariantNames, at: int) -> Cell:
    """The short name that stands over the variant's lines, and its whole name where that says more."""
    one, whole = names.one(at), names.whole(at)
    return (Run(one, strong=True), *(("\n", whole) if one.lower() not in whole.lower() and one != "all" else ()))


def told(findings: Sequence[Finding], names: VariantNames, title: str, own: str) -> list[Block]:
    """Findings as a list: grade and rule, place, what is wrong and how it comes to that, what mends it."""
    known = {v.name: at for at, v in enumerate(names.variants)}
    rows: list[tuple[Cell, ...]] = []
    for one in findings:
        some = [known[v] for v in one.variants if v in known]
        words: list[str | Run] = [upper_first(ended(one.message))]
        words += [f" {upper_first(ended(one.why))}"] if one.why else []
        beats = [f"{b.text} (line\u00a0{b.span.line})" for b in one.path if not (b.skipped or b.quiet)]
        if beats:
            words += [Run(" Shortest way there: ", strong=True), f"{'; '.join(beats)}."]
        grade = (Run(upper_first(one.severity.word), strong=True), f" {one.rule}")
        rows.append(
            (
                grade,
                _line(one, own),
                tuple(words),
                upper_first(ended(one.mend)),
                names.some(some) or "all" if some else "all",
            )
        )
    if not rows:
        return []
    return [
        ListTable(
            ("Grade and rule", "Line", "What is wrong", "What mends it", "For"),
            tuple(rows),
            title,
            (1.5, 0.7, 4.4, 2.4, 1.2),
        )
    ]


def _line(finding: Finding, own: str) -> str:
    """The line, with its file if that is not the procedure's own."""
    file = "" if finding.span.source.path == own else finding.span.source.path.rpartition("/")[2]
    return f"{file} {finding.span.line}".strip() if finding.span.line else file


def waivers(case: Case, ref: dict[str, str]) -> list[Block]:
    """Rules waived at a step: by which role, for what reason."""
    listed: dict[Waiver, list[str]] = {}
    for work, waiver in all_waivers(case):
        listed.setdefault(waiver, []).append(ref.get(work.id, ""))
    rows: list[tuple[Cell, ...]] = [
        (waiver.rule, ", ".join(dict.fromkeys(filter(None, at))) or "\u2013", str(waiver.where.line), waiver.role.replace("-", " "), ended(waiver.reason))
        for waiver, at in listed.items()
    ]  # fmt: skip
    head = Heading("Waivers", 2)
    if not rows:
        return [head, Paragraph("None: no rule was set aside.")]
    return [
        head,
        ListTable(
            ("Rule set aside", "At step", "Line", "By role", "Reason"), tuple(rows), widths=(2, 0.9, 0.6, 1.6, 4)
        ),
    ]


def house_rules(case: Case, *, sound: bool) -> list[Block]:
    """The site's own rules that were proved with the built-in ones."""
    rows: list[tuple[Cell, ...]] = []
    broken = {f.violation.must.about for f in case.proof.faults if f.violation.rule == "house-rule-broken"}
    for number, rule in enumerate(case.procedure.house_rules, 1):
        words = rule.words.replace("-", " ")
        rows.append(
            (
                rule.text + (f". {rule.because}" if rule.because else "") + (f" ({rule.basis})" if rule.basis else ""),
                words,
                str(rule.where.line),
                "broken" if f"house-rule-{number}" in broken else "kept" if sound else "no breach found",
            )
        )
    head = Heading("House rules that applied", 2)
    if not rows:
        return [head, Paragraph("None.")]
    return [
        head,
        ListTable(("House rule", "As it was proved", "Line", "Result"), tuple(rows), widths=(2.6, 5, 0.6, 0.9)),
    ]


def stated_times(case: Case, names: VariantNames, labels: Labels, profile: Profile) -> list[Block]:
    """The times that the steps state, by role on the longest way; a row for each group of variants that differ."""
    totals: list[tuple[tuple[str, Fraction], ...]] = []
    for variant in names.variants:
        job = Job.of(case.procedure, variant, None, labels, profile, case.proof)
        totals.append(tuple(sorted(times(job, case.procedure.body).items())))
    rows: list[tuple[Cell, ...]] = []
    for total, members in ways(totals).forms:
        roles = "; ".join(f"{role.replace('-', ' ') or 'any of the crew'} {clock(spent)}" for role, spent in total)
        rows.append(
            (
                (Run(names.some(members) or "all variants", strong=True),),
                roles or "no times stated",
                clock(sum((s for _, s in total), Fraction(0))),
            )
        )
    return [
        Heading("Stated times", 2),
        ListTable(
            ("Variants", "By role, on the longest way, a repeat counted once", "Sum"), tuple(rows), widths=(2, 6, 1)
        ),
        Paragraph("Steps that state no time count as nothing. The sum is of people's times, not of the clock."),
    ]


def order(case: Case, names: VariantNames) -> list[Block]:
    """What must be done before what, step by step, whatever order is written; variants that agree share a row."""
    from procforge.analysis.machine import Machine
    from procforge.sheet.depchart import dependency_chart

    ref = numbers(case.procedure)
    written = {ref[work.id]: at for at, work in enumerate(case.works) if work.id in ref}
    sides: list[dict[str, tuple[str, ...]]] = []
    for variant in names.variants:
        chart = dependency_chart(case.procedure, Machine(case.equipment, variant))
        own = {number: ref[ident] for ident, number in numbers(case.procedure, variant).items()}
        number = {n.id: " ".join(own.get(word, word) for word in n.ref.split()) for n in chart.nodes}
        titles = {n.id: f"{number[n.id]}\u2002{' '.join(n.title.split())}".strip() for n in chart.nodes}
        side: dict[str, dict[str, list[str]]] = {}
        for edge in chart.edges:
            why = _WHY.get(edge.kind, edge.kind.value)
            side.setdefault(titles[edge.target], {}).setdefault(why, []).append(
                number[edge.source] or titles[edge.source]
            )
        sides.append({to: tuple(f"{kind} {', '.join(of)}" for kind, of in whys.items()) for to, whys in side.items()})
    rows: list[tuple[Cell, ...]] = []
    found = dict.fromkeys(target for side in sides for target in side)
    for target in sorted(found, key=lambda title: written.get(title.split("\u2002")[0].split(" ")[0], len(written))):
        for reasons, members in ways([side.get(target, ()) for side in sides]).forms:
            if reasons:
                words: Prose = "; ".join(reasons)
                rows.append((target, words, names.some(members) or "all"))
    if not rows:
        return []
    table = ListTable(("Step", "Directly after", "For"), tuple(rows), widths=(4, 4, 1.6))
    text = "What each step rests on directly; what is not named does not bind it, whatever order the sheet has."
    return [Heading("Annex: what must come before what", 1, anchor="order"), Paragraph(text), table]
