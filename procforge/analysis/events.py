"""Events that undo a user's fact or a house rule: `cylinder opened`, `motor started`."""

from __future__ import annotations

from procforge.analysis.machine import Machine
from procforge.analysis.select import Act, bounds

#: Participle to the verbs that make the event happen to their object.
VERBS_OF: dict[str, frozenset[str]] = {
    word: frozenset(verbs.split())
    for word, verbs in {
        "opened": "ease remove open", "closed": "tighten fit shut", "removed": "remove", "fitted": "fit", "eased": "ease",
        "tightened": "tighten", "vented": "vent drain", "drained": "drain", "purged": "purge", "proved": "prove try-start",
        "isolated": "isolate", "returned": "return open switch-on", "locked": "lock", "unlocked": "unlock",
        "started": "start", "stopped": "shut-down", "pressurised": "pressurise leak-test", "tested": "leak-test gas-test",
        "connected": "connect", "disconnected": "disconnect", "relieved": "relieve", "cleaned": "clean",
        "renewed": "renew", "rebuilt": "rebuild", "told": "notify",
    }.items()
}  # fmt: skip


def happens(machine: Machine, event: tuple[str, str], verb: str, act: Act) -> bool:
    """Whether a verb on this object is the event: it happens to the thing named, or to a space by its boundary."""
    name, what = event
    if verb not in VERBS_OF.get(what, frozenset({what})):
        return False
    base = name.split(" of ")[0]
    item = machine.equipment.items.get(act.name)
    own = act.name == name or (item is not None and item.base == base and (" of " not in name or act.name == name))
    return own or (what in ("opened", "closed") and name in bounds(machine, act))
