"""One regular expression for every unit the table reads, for a grammar to embed."""

from __future__ import annotations

import re
from collections.abc import Iterable

from procforge.quantities.spelling import LOOK_ALIKES, plain
from procforge.quantities.table import rows

Tree = dict[str, "Tree"]  # sign to what may follow it; the empty sign ends a spelling

_CLASSES = {sign: f"[{sign}{likes}]" for sign, likes in LOOK_ALIKES.items()} | {
    "/": "\\/",
    "·": f"[·{LOOK_ALIKES['·']}]?",  # a product may be closed up: Nm, barg
    "2": "\\^?[2\u00b2\u2082]",
    "3": "\\^?[3\u00b3]",
    "⁻1": "(?:\\^?-1|⁻[1\u00b9])",
}
# What may not follow a unit: anything that would make it part of a longer word, product, power or reference.
_GUARD = "(?![\\w%‰°\u00ba\u02da\u00b2\u00b3\u00b9⁻·\u22c5\u2219*^\\/(-]|\\.\\w)"


def unit_pattern() -> str:
    """Regular expression source for any unit typed without spaces, the longest one first, with a guard behind it.

    Made to follow a number in a grammar's terminal: `/` is escaped, nothing is captured, no flags are needed. The
    guard keeps `m` from matching in `mm`, `min` or `m-thing`. Common beginnings are written once: a list of the same
    spellings takes several times as long to compile.
    """
    names = (name for unit, others in rows() for name in (plain(unit.symbol), *others.split()))
    return _alternatives(_tree(filter(None, names))) + _GUARD


def _tree(names: Iterable[str]) -> Tree:
    root: Tree = {}
    for name in names:
        branch = root
        signs = [*name[:-2], "⁻1"] if name.endswith("⁻1") else name
        for sign in signs:
            branch = branch.setdefault(sign, {})
        branch[""] = {}
    return root


def _alternatives(branch: Tree) -> str:
    """Longer spellings before shorter; signs followed by the same are put together."""
    by_rest: dict[str, list[str]] = {}
    for sign, rest in branch.items():
        if sign:
            by_rest.setdefault(_alternatives(rest), []).append(sign)
    choices = [_one_of(signs) + rest for rest, signs in by_rest.items()]
    if not choices:
        return ""
    if len(choices) == 1 and "" not in branch:
        return choices[0]
    if len(choices) == 1 and len(choices[0]) == 1:
        return choices[0] + "?"
    return f"(?:{'|'.join(choices)}){'?' if '' in branch else ''}"


def _one_of(signs: list[str]) -> str:
    plain = [sign for sign in signs if sign not in _CLASSES]
    classes = [_CLASSES[sign] for sign in signs if sign in _CLASSES]
    if len(plain) > 1:
        classes.append(f"[{''.join(map(re.escape, plain))}]")
    else:
        classes.extend(map(re.escape, plain))
    return classes[0] if len(classes) == 1 else f"(?:{'|'.join(classes)})"
