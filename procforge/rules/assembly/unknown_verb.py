"""A verb that the language does not have.

A step starts with a trade verb of the verb table; `carry-out "…"` is for work that no verb says.
"""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches
from functools import cache

from procforge.findings import Finding
from procforge.model.procedure import Step
from procforge.model.verbs import words
from procforge.rules.base import ASSEMBLY, Case, static_rule


def find(case: Case) -> Iterator[Finding]:
    """The findings of this rule."""
    known = words()
    for work in case.works:
        if isinstance(work, Step) and work.verb not in known:
            close = [v for word, v in _same() if work.verb == word] or get_close_matches(work.verb, known, 2, 0.6)
            mend = "did you mean " + " or ".join(f"`{c}`" for c in close) + "?" if close else ""
            yield RULE.finding(work.verb_where, f"`{work.verb}` is no verb of the language", mend)


#: Trade words for what a verb of the table says.
SAME = {
    "ease": "loosen slacken slack-off back-off crack",
    "remove": "undo unscrew unbolt dismount dismantle disassemble take-off take-out strip extract withdraw",
    "fit": "install mount assemble insert place put reinstall refit put-in put-on",
    "tighten": "torque bolt-up screw-in tighten-up",
    "retighten": "retorque",
    "renew": "replace change",
    "exchange": "replace change swap",
    "shut": "close",
    "switch-off": "de-energise turn-off disconnect-power",
    "switch-on": "energise turn-on",
    "vent": "depressurise depressurize bleed blow-down relieve-pressure",
    "purge": "inert sweep flush",
    "prove": "verify confirm",
    "gas-test": "sniff test-gas",
    "leak-test": "pressure-test test-leak",
    "pressurise": "pressurize",
    "let-down": "release-pressure",
    "lock": "lock-out lockout tag tag-out",
    "unlock": "untag",
    "shut-down": "stop shutdown halt trip",
    "start": "start-up startup run",
    "notify": "tell inform warn",
    "inspect": "examine look-at view",
    "look-into": "look",
    "clean": "wipe wash",
    "lubricate": "grease oil",
    "rebuild": "overhaul recondition repair",
    "lift": "hoist raise",
    "record": "note write-down",
    "carry-out": "perform do execute",
}


@cache
def _same() -> tuple[tuple[str, str], ...]:
    return tuple((word, verb) for verb, listed in SAME.items() for word in listed.split())


RULE = static_rule(
    __doc__,
    "unknown-verb",
    ASSEMBLY,
    "the language reference, grammar/README.md",
    find,
    waivable=False,
    why="a verb the table does not have has no known effect on the machine",
    mend='use a verb of the table, or carry-out "…"',
)
