"""A stored energy that nothing holds back.

The machine file declares a spring, a raised load or a charge, and no part, fastener or pressure space that `holds back`
it in some variant. Then no step lets it go, as far as the proof knows, and nothing asks for it to be made safe.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import ENERGY, Case, static_rule
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    if case.procedure.doubtful:
        return
    for name, item in case.equipment.items.items():
        if item.kind != "stored-energy":
            continue
        there = [m for m in case.machines if name in m.items]
        bare = [m for m in there if not any(name in getattr(i, "holds_back", ()) for i in m.items.values())]
        if bare:
            yield RULE.finding(
                item.where,
                f"nothing holds back {title(case.equipment, name)}",
                label="declared here",
                variants=tuple(m.variant.name for m in bare) if len(bare) < len(case.machines) else (),
            )


RULE = static_rule(
    __doc__,
    "nothing-holds-it-back",
    ENERGY,
    "29 CFR 1910.147(d)(5)",
    find,
    why="a stored energy that no step can let go is one that no step is asked to make safe",
    mend="say at the part, the fastener or the pressure space: holds back …",
)
