"""The second units of a site: what is printed smaller, in brackets, after a quantity."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from procforge.model.procedure import Limit
from procforge.quantities import Quantity, Rounding, Unit, second, second_span
from procforge.sheet.english import nb
from procforge.sheet.inline import Prose, Run

_LONGEST = 28  # characters that are kept on one line
_NONE: Mapping[str, Unit] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Seconds:
    """By kind of quantity the unit that is printed second; a kind without one is printed in its own unit alone."""

    units: Mapping[str, Unit] = field(default_factory=lambda: _NONE)

    def of(self, amount: Quantity | None, rounding: Rounding = "nearest") -> str:
        """`44.3 lbf·ft`; "" where there is nothing to print second."""
        other = self.units.get(amount.kind) if amount is not None else None
        return nb(second(amount, other, rounding)) if amount is not None and other is not None else ""

    def of_span(self, low: Quantity | None, high: Quantity | None) -> str:
        """`42.1 to 46.4 lbf·ft`, never wider than the limits are; "" where there is nothing to print second."""
        given = high if high is not None else low
        other = self.units.get(given.kind) if given is not None else None
        if given is None or other is None:
            return ""
        return _close(second_span(low, high, other))

    def of_limit(self, limit: Limit | None) -> str:
        """A limit as `of_span` gives it."""
        return self.of_span(limit.low, limit.high) if limit is not None else ""

    def words(self, amount: Quantity, rounding: Rounding = "nearest") -> Prose:
        """`60 N·m` with its second unit."""
        return bracketed(nb(amount), self.of(amount, rounding))

    def spread(
        self,
        text: str,
        amounts: Iterable[Quantity | None],
        rounding: Rounding = "nearest",
        *,
        strong: bool = False,
    ) -> Prose:
        """A written sentence with the second unit after the first place where each of the amounts stands in it."""
        parts: list[str | Run] = [text]
        for amount in amounts:
            said = self.of(amount, rounding)
            for at, part in enumerate(parts):
                if said and isinstance(part, str) and (found := _stands(nb(amount), part)):
                    small = Run(f"\u00a0({said})", small=True)
                    parts[at : at + 1] = [part[: found.end()], small, part[found.end() :]]
                    break
        if strong:
            return tuple(Run(p, strong=True) if isinstance(p, str) else p for p in parts if p)
        return text if len(parts) == 1 else tuple(part for part in parts if part)


def bracketed(text: str, said: str) -> Prose:
    """Words with what is said second behind them; in a narrow cell it may go on the next line."""
    return (text, Run(f" ({said})", small=True)) if said else text


def glued(*parts: Prose) -> Prose:
    """Several pieces of words as one."""
    out: list[str | Run] = []
    for part in parts:
        for piece in (part,) if isinstance(part, str) else part:
            if isinstance(piece, str) and out and isinstance(out[-1], str):
                out[-1] += piece
            elif piece:
                out.append(piece)
    return out[0] if len(out) == 1 and isinstance(out[0], str) else tuple(out) if out else ""


def _stands(amount: str, text: str) -> re.Match[str] | None:
    """Where an amount stands whole: `6 bar` is not in `16 bar` nor in `6 bar(g)`."""
    return re.search(rf"(?<![\w.,]){re.escape(amount)}(?![\w(·/²³])", text)


def _close(span: str) -> str:
    """On one line as a whole; a long one may be parted before `to` or `or`."""
    if len(span) <= _LONGEST:
        return nb(span)
    head, sep, tail = span.partition(" to ")
    return f"{nb(head)} to\u00a0{nb(tail)}" if sep else nb(span)
