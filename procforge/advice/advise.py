"""The four kinds of advice, each from the tables that the proof uses; none of them is a fault.

All findings are notes. They hold for the variants looked at, and say nothing of what the tables do not know: the
planner, the maker's manual and site rules decide.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from procforge.advice.trees import without
from procforge.analysis.depends import Dependencies, Relation, dependencies
from procforge.analysis.machine import Machine
from procforge.analysis.proof import prove
from procforge.findings import Finding, Mark, Severity, in_order
from procforge.model.procedure import AnyWork, Check, Group, Hold, Measure, Repeat, Step
from procforge.model.tree import walk
from procforge.model.verbs import by_name
from procforge.rules.base import Case
from procforge.rules.wording import title

REDUNDANT, SIDE_BY_SIDE, EARLY, MORE_VISIBLE = "step-to-spare", "side-by-side", "proof-early", "hold-later"
KINDS = (REDUNDANT, SIDE_BY_SIDE, EARLY, MORE_VISIBLE)
#: Steps that may stand between a proof and what needs it before the proof counts as early.
FEW = 3
#: What the proof does not miss and a careful job has all the same: telling, looking, testing, marking, holding tight.
NEVER_TO_SPARE = frozenset(
    {
        "notify",
        "nip-up",
        "leak-test",
        "gas-test",
        "look-into",
        "clear",
        "mark",
        "rebuild",
        "renew",
        "exchange",
        "try-start",
    }
)
_BASIS = "advice of the tool, from the table of needs and effects"


def advise(case: Case) -> list[Finding]:
    """The advice on a procedure that is proved; nothing for one that is not, since its faults come first."""
    proof = case.proof
    if proof.faults or proof.not_proved or proof.unsearched or not case.variants or case.procedure.holes:
        return []
    machine = case.machines[0]
    depends = dependencies(case.procedure, machine)
    found = [*_redundant(case), *_side_by_side(depends), *_early(case, depends), *_holds(case, machine)]
    return in_order(found)


def _note(kind: str, work: AnyWork, message: str, why: str, mend: str, marks: tuple[Mark, ...] = ()) -> Finding:
    return Finding(kind, Severity.NOTE, message, work.where, marks=marks, why=why, basis=_BASIS, mend=mend)


# ---- steps to spare --------------------------------------------------------------------------------------------------
def _redundant(case: Case) -> Iterator[Finding]:
    """Steps with an effect on the machine that no rule misses when they are taken out, on any variant."""
    reached = {id(work) for work in case.proof.unreached}
    for work in case.works:
        if not isinstance(work, Step) or id(work) in reached or not _alters(work):
            continue
        cut = without(case.procedure, work)
        left = prove(cut, case.variants)
        if not (left.faults or left.not_proved or left.unsearched):
            what = ", ".join(title(case.equipment, ref.name) for ref in work.objects[:3])
            yield _note(
                REDUNDANT, work, f"nothing that is proved rests on this step: {work.verb} {what}".rstrip(),
                "the machine is as the next steps need it without the step, on every path and variant",
                "leave it out, or keep it if it does something that the machine file does not say",
            )  # fmt: skip


def _alters(work: Step) -> bool:
    if work.verb in NEVER_TO_SPARE:
        return False
    return any(row.effects or row.passed for row in by_name().get(work.verb, ())) and not work.makes


# ---- side by side ----------------------------------------------------------------------------------------------------
def _side_by_side(depends: Dependencies) -> Iterator[Finding]:
    """Neighbours with a time and different people that neither needs the other: runs of two, told once."""
    units = depends.units
    told: set[int] = set()
    for one, other in pairwise(units):
        a, b = one.work, other.work
        if not isinstance(a, Step | Check | Measure) or not isinstance(b, Step | Check | Measure):
            continue
        if one.block != other.block or one.number in told or a.takes is None or b.takes is None or a.role == b.role:
            continue
        if depends.may_run_side_by_side(one.number, other.number) and not _in_lanes(depends, one.block):
            told.add(other.number)
            saved = min(a.takes, b.takes)
            yield _note(
                SIDE_BY_SIDE, b, f"this can be done at the same time as line {a.where.line}: neither needs the other",
                f"{b.role} and {a.role} need not wait for each other; it saves {saved}",
                "put both in a `together` block if the place has room for both",
                (Mark(a.where, "at the same time as this"),),
            )  # fmt: skip


def _in_lanes(depends: Dependencies, block: int) -> bool:
    """Whether a body already is a lane of work side by side."""
    while block >= 0:
        holder = depends.blocks[block].holder
        if isinstance(holder, Group) and holder.form in ("together", "any-order"):
            return True
        block = depends.blocks[block].inside
    return False


# ---- proofs that could come later -------------------------------------------------------------------------------------
def _early(case: Case, depends: Dependencies) -> Iterator[Finding]:
    """A proof with many steps between it and the first that needs it, all of which could come before it."""
    needed: dict[int, int] = {}
    for edge in depends.binding:
        if edge.relation in (Relation.NEEDS, Relation.ONE_OF, Relation.GUARDS):
            needed[edge.source] = min(edge.target, needed.get(edge.source, edge.target))
    for unit in depends.units:
        work, first = unit.work, needed.get(unit.number)
        if not isinstance(work, Step) or work.verb != "prove" or first is None:
            continue
        between = [u for u in depends.units[unit.number + 1 : first] if u.block == unit.block]
        if len(between) > FEW and all(depends.independent(unit.number, u.number) for u in between):
            spaces = ", ".join(title(case.equipment, ref.name) for ref in work.objects)
            yield _note(
                EARLY, work, f"{spaces} could be proved {len(between)} steps later, just before what needs it",
                "a proof shows the pressure at its own time; the less that lies between, the fresher it is",
                f"move it to just before line {depends.units[first].work.where.line}",
                (Mark(depends.units[first].work.where, "first needed here"),),
            )  # fmt: skip


# ---- holds that could see more ------------------------------------------------------------------------------------------
def _holds(case: Case, machine: Machine) -> Iterator[Finding]:
    """A hold on fitted things, with more things fitted behind it before the step that hides them all."""
    for body in _bodies(case.procedure.body):
        for at, hold in enumerate(body):
            if not isinstance(hold, Hold) or hold.point != "hold" or not hold.sees:
                continue
            seen = {ref.name for ref in hold.sees}
            more: list[Step] = []
            for work in body[at + 1 :]:
                if not isinstance(work, Step):
                    break
                names = [ref.name for ref in work.objects]
                if work.verb == "fit" and any(_hides(machine, name, seen) for name in names):
                    # what goes in with the part that hides is hidden by its own step
                    if more:
                        parts = ", ".join(title(case.equipment, ref.name) for step in more for ref in step.objects)
                        yield _note(
                            MORE_VISIBLE, hold, f"the hold could stand {len(more)} steps later and see {parts} too",
                            "what it sees is hidden only further on, and more is in place by then",
                            f"move it to just before line {work.where.line}, and name what it sees",
                            (Mark(work.where, "hidden from here on"),),
                        )  # fmt: skip
                    break
                if work.verb == "fit":
                    more.append(work)
                elif work.verb not in ("clean", "lubricate", "count", "inspect", "mark"):
                    break


def _bodies(body: tuple[AnyWork, ...]) -> Iterator[tuple[AnyWork, ...]]:
    """Every body of the tree as it is walked: sections one by one."""
    yield body
    for work in walk(body):
        if isinstance(work, Group):
            yield from work.lanes
        elif isinstance(work, Repeat):
            yield work.body


def _hides(machine: Machine, name: str, seen: set[str]) -> bool:
    """Whether a part, once fitted, lies over one of the things seen."""
    return bool(seen & set(machine.beneath(name)))
