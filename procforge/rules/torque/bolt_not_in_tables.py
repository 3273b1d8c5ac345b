"""A bolt that no table knows.

The thread, class or lubricant of a fastener is none that the tables of threads, strengths and friction hold, so
that most likely it is a slip of the pen: `N12` for `M12`, class `8.9` for `9.8`, `olied`. Pipe and trapezoidal
threads, sizes beyond the tables, stainless and nut classes, and a lubricant that is no near miss of a known one are
taken as they are; their share of the proof load is not worked out.
"""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from procforge.findings import Finding
from procforge.model.equipment import Fastener
from procforge.rules.base import TORQUE, Case, static_rule
from procforge.rules.common import item_first
from procforge.rules.torque.bolt_figures import friction_of, line_of, strength_of, thread_of
from procforge.rules.wording import title


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    from procforge.engineering.base import Outside
    from procforge.engineering.friction import FRICTION

    for item in case.equipment.items.values():
        if not isinstance(item, Fastener) or item.name != item_first(case, item):
            continue
        name = title(case.equipment, item.name)
        for found in (thread_of(item), strength_of(item)):
            if isinstance(found, Outside):
                yield RULE.finding(line_of(item), f"{name}: {found.message}", mend=found.hint)
        if isinstance(friction_of(item), Outside) and (close := get_close_matches(item.lubricant, FRICTION, 1, 0.8)):
            message = f"{name}: no friction is known for the lubricant '{item.lubricant[:40]}'"
            yield RULE.finding(line_of(item), message, mend=f"did you mean {close[0]}?")


RULE = static_rule(
    __doc__,
    "bolt-not-in-tables",
    TORQUE,
    "ISO 898-1, SAE J429, ASTM A193 (strength); ISO 261 and ASME B1.1 (threads); VDI 2230 (friction); all at second hand",
    find,
    why="a thread, class or lubricant written wrongly sends the technician for the wrong bolt",
    mend="write the thread, class and lubricant as they are marked",
)
