"""An energy that nothing isolates.

The machine file gives a pressure space a pressure, or a motion a driver, and nothing that isolates it. Nothing
that opens it can be made safe.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.base import pick
from procforge.rules.base import ENERGY, Case, static_rule
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for machine in case.machines:
        touched = {r.name for w in case.works for r in getattr(w, "objects", ())}
        for name, energy in machine.energies.items():
            live = (
                pick(energy.pressure, machine.variant) is not None
                if energy.kind == "pressure-space"
                else bool(energy.driver)
            )
            opened = any(p in touched for p in machine.boundary.get(name, ())) or name in touched
            if (
                live
                and opened
                and not machine.feeds.get(name)
                and not any(f.kind == energy.kind and f.name == name and f.turned_by for f in (energy,))
            ):
                yield RULE.finding(
                    energy.where,
                    f"nothing isolates {title(case.equipment, name)}",
                    variants=(machine.variant.name,) if machine.variant.name != "all" else (),
                )


RULE = static_rule(
    __doc__,
    "feed-not-isolated",
    ENERGY,
    "29 CFR 1910.147(d)(1), (d)(3)",
    find,
    why="what cannot be isolated cannot be opened safely",
    mend="say what isolates it: isolated by …",
)
