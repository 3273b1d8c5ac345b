"""The blanks of a sheet: stable ids from the identity of what they belong to, and the usual kinds of them.

An id is the step's identity in the model, the round of a repeat (`#2`), and what is written there:
`prove.cylinder#2/reading`. It never holds a printed number, so records of two printings or two revisions compare.
"""

from __future__ import annotations

import re
from hashlib import sha256

from procforge.model.procedure import Limit
from procforge.quantities import Quantity
from procforge.sheet.inline import Blank, BlankKind
from procforge.sheet.labels import Labels
from procforge.sheet.seconds import Seconds

LONGEST = 64
_LABELS = Labels()


def field_id(key: str, *parts: str) -> str:
    """`key/part/…`, at most 64 characters without white space.

    A longer one keeps its beginning and its last part and has eight hex digits of the whole between them.
    """
    whole = re.sub(r"[\s\x00-\x1f\x7f]+", "-", "/".join((key, *parts)))
    if len(whole) <= LONGEST:
        return whole
    tail = "/" + whole.rsplit("/", 1)[-1][-20:] if parts else ""
    mark = "~" + sha256(whole.encode()).hexdigest()[:8]
    return whole[: LONGEST - len(tail) - len(mark)] + mark + tail


def in_round(key: str, rounds: tuple[int, ...]) -> str:
    """The key of a step in a round of a repeat; the first round has the step's own."""
    return key if all(n == 1 for n in rounds) else f"{key}#{'.'.join(map(str, rounds))}"


def tick(key: str, *parts: str, label: str = "Done") -> Blank:
    """A place-keeping box."""
    return Blank(field_id(key, *parts, "done"), BlankKind.TICK, label)


def initials(key: str, *parts: str, label: str = "Initials", role: str = "", other_than: str = "") -> Blank:
    """Initials of who did it."""
    return Blank(field_id(key, *parts, "initials"), BlankKind.INITIALS, label, role=role, other_than=other_than)


def entry(key: str, part: str, kind: BlankKind, label: str, *, required: bool = True) -> Blank:
    """A blank of any kind without choices or limits."""
    return Blank(field_id(key, part), kind, label, required=required)


def choice(key: str, part: str, label: str, choices: tuple[str, ...], *, required: bool = True) -> Blank:
    """One of several words."""
    return Blank(field_id(key, part), BlankKind.CHOICE, label, choices=choices, required=required)


def otherwise(key: str, labels: Labels = _LABELS) -> Blank:
    """The box for a step that was not done as written."""
    ways = (labels.not_needed, labels.done_otherwise, labels.could_not)
    return choice(key, "otherwise", labels.if_otherwise, ways, required=False)


def reading(key: str, part: str, label: str, limit: Limit | None, seconds: Seconds, unit: str = "") -> Blank:
    """A measured value, with the printed limits in one unit, and in the site's second one."""
    low, high, unit = bounds_of(limit, unit)
    second = seconds.of_limit(limit)
    return Blank(field_id(key, part), BlankKind.READING, label, unit, low=low, high=high, second=second)


def bounds_of(limit: Limit | None, unit: str = "") -> tuple[str, str, str]:
    """The two limits as decimal text and their unit; the upper limit's unit counts for both."""
    if limit is None or (limit.low is None and limit.high is None):
        return "", "", unit
    given = limit.high if limit.high is not None else limit.low
    symbol = given.unit.symbol if given is not None else unit

    def text(amount: Quantity | None) -> str:
        if amount is None:
            return ""
        return (amount if amount.unit.symbol == symbol else amount.to(symbol)).written

    return text(limit.low), text(limit.high), symbol


def signing(key: str, *, role: str = "", other_than: str = "", labels: Labels = _LABELS) -> tuple[Blank, ...]:
    """Name, signature, date and time of one who answers for something."""
    return (
        Blank(field_id(key, "name"), BlankKind.TEXT, labels.name, role=role, other_than=other_than),
        Blank(field_id(key, "sign"), BlankKind.SIGN, labels.signature, role=role),
        Blank(field_id(key, "date"), BlankKind.DATE, labels.date),
        Blank(field_id(key, "time"), BlankKind.TIME, labels.time),
    )
