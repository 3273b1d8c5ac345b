"""A value is missing for a variant.

The machine file gives an item a value for some variants and not for others: a mass, pressure, volume, torque,
a vent, a gauge.
"""

from __future__ import annotations

from collections.abc import Iterator

from procforge.findings import Finding
from procforge.rules.base import PEOPLE, Case, static_rule
from procforge.rules.common import given, item_first
from procforge.rules.wording import title

#: Fields of the model, and what they are called.
FIELDS = {
    "pressure": "pressure", "volume": "volume", "test_limit": "test limit", "mass": "mass", "torque": "torque",
    "fluid": "fluid", "stock": "stock", "vents": "vent", "gauges": "gauge",
}  # fmt: skip


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    declared = [v for v in case.equipment.variants if case.procedure.applies.holds(v)]
    for item in case.equipment.items.values():
        for field in FIELDS:
            values = getattr(item, field, ())
            if not values or item.name != item_first(case, item):
                continue
            lacking = tuple(v.name for v in declared if item.only_for.holds(v) and not given(values, v))
            if lacking:
                yield RULE.finding(
                    values[0].where,
                    f"{title(case.equipment, item.name)} has no {FIELDS[field]} for {'; '.join(lacking)}",
                    variants=lacking,
                )


RULE = static_rule(
    __doc__,
    "value-missing",
    PEOPLE,
    "common practice",
    find,
    why="the sheet of that variant would have an empty place",
    mend="give the value for every variant",
)
