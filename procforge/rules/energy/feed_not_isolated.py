"""An energy that nothing isolates.

The machine file gives a pressure space a pressure, or a motion a driver, and nothing that isolates it, and the
procedure opens the space, makes it safe, or puts hands near the motion. Without an isolation every proof of it is
empty. A space that the job leaves alone, or only tests, is not asked, nor one that keeps a
charge of its own (`pre-charged`).
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.analysis.machine import Machine
from procforge.analysis.select import SELECTORS, Act
from procforge.findings import Finding
from procforge.model.base import pick
from procforge.model.equipment import Energy
from procforge.model.procedure import Step
from procforge.rules.base import ENERGY, Case, static_rule
from procforge.rules.wording import title

#: Verbs whose needs ask for the isolation of the thing itself.
MAKES_SAFE = frozenset({"vent", "drain", "purge", "prove", "try-start", "relieve"})
#: Selectors that give the energies an item lets go when it is handled.
LETS_GO = ("bounds", "near", "guarded", "held-back")


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    if case.procedure.doubtful:
        return
    bare: dict[str, list[str]] = {}
    for machine in case.machines:
        for name in _asked(case, machine):
            if _live(machine, machine.energies[name]) and not machine.feeds.get(name):
                bare.setdefault(name, []).append(machine.variant.name)
    for name, variants in bare.items():
        yield RULE.finding(
            case.equipment.items[name].where,
            f"nothing isolates {title(case.equipment, name)}",
            label="declared here",
            variants=tuple(variants) if len(variants) < len(case.machines) else (),
        )


def _asked(case: Case, machine: Machine) -> list[str]:
    """The energies that a step of the variant makes safe or lets go, in the order met."""
    found: list[str] = []
    for work in case.works:
        if isinstance(work, Step) and work.only_for.holds(machine.variant):
            for act in (Act(r.name) for r in work.objects if r.name in machine.items):
                found += [e for s in LETS_GO for e in SELECTORS[s](machine, act)]
                if work.verb in MAKES_SAFE:
                    found += SELECTORS["driven"](machine, act) or (act.name,)
    return [n for n in dict.fromkeys(found) if n in machine.energies]


def _live(machine: Machine, energy: Energy) -> bool:
    if energy.kind == "pressure-space":
        return pick(energy.pressure, machine.variant) is not None and not energy.precharged
    return bool(energy.driver)


RULE = static_rule(
    __doc__,
    "feed-not-isolated",
    ENERGY,
    "29 CFR 1910.147(d)(1), (d)(3)",
    find,
    why="what cannot be isolated cannot be opened safely",
    mend="say what isolates it: isolated by …",
)
