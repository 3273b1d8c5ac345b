"""No torque given.

A fastener is tightened for which the machine file gives no torque for some variant. Where it is to be tightened
by hand, say `hand-tight`; where the value lives in the maker's book, `look up "…" in "…"`; where there is none,
`no value given "how"`.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.model.equipment import Fastener
from procforge.model.procedure import Step
from procforge.rules.base import TORQUE, Case, static_rule
from procforge.rules.common import applies, given
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    for work in case.works:
        if (
            not isinstance(work, Step)
            or work.verb not in ("tighten", "retighten")
            or work.torque
            or work.no_value
            or work.look_up
        ):
            continue
        for ref in work.objects:
            item = case.equipment.items.get(ref.name)
            if isinstance(item, Fastener) and not (item.torque or item.hand_tight or item.no_value or item.look_up):
                lacking = tuple(
                    m.variant.name
                    for m in case.machines
                    if ref.name in m.items
                    and work.only_for.holds(m.variant)
                    and not given(item.torque, m.variant)
                    and applies(case, work, m.variant)
                )
                if lacking:
                    yield RULE.finding(
                        ref.where,
                        f"{title(case.equipment, ref.name)} has no torque"
                        + (f" for {'; '.join(lacking)}" if lacking != ("all",) else ""),
                        variants=lacking if lacking != ("all",) else (),
                    )


RULE = static_rule(
    __doc__,
    "torque-missing",
    TORQUE,
    "ASME PCC-1 (from memory); common practice",
    find,
    why='"tight" is not a value',
    mend="give the torque in the machine file, once: torque 60 N.m +/- 5 %",
)
