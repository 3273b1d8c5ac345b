"""What every part of the resolver works with: the findings so far, and readers of words and quantities."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

from procforge.findings import Finding, Mark, Severity
from procforge.model.base import EVERYWHERE, Scope
from procforge.quantities import Problem, Quantity, Tolerance, kind_words, read, read_tolerance
from procforge.syntax.letters import borrowed_words, latin
from procforge.syntax.nodes import Item, Line, Qty, Word
from procforge.syntax.nodes import Tolerance as ToleranceNode
from procforge.text import Source, Span

MOST_COMPARED = 200_000
#: Kinds of quantity that are sizes where they stand alone: nothing has a size of nothing, or less.
SIZES = frozenset({"volume", "mass", "length", "torque", "time", "calendar"})


class Desk:
    """Collects findings; knows the models and services a scope may name, and the names nobody can vouch for."""

    def __init__(self) -> None:
        self.findings: list[Finding] = []
        self.models: tuple[str, ...] = ()
        self.services: tuple[str, ...] = ()
        self.phantoms: set[str] = set()
        self.doubtful: set[str] = set()
        self.tags: dict[str, tuple[str, str]] = {}
        """Tag to the unit and the item that have it."""
        self.blind = False
        """Whether a file that may define anything could not be read."""
        self.lost: list[str] = []
        """What the statement at hand may have meant by names that stand for nothing: it becomes a hole."""
        self._compared = 0

    # ---- findings ----------------------------------------------------------------------------
    def fault(
        self,
        rule: str,
        span: Span,
        message: str,
        mend: str = "",
        marks: tuple[Mark, ...] = (),
        severity: Severity = Severity.ERROR,
    ) -> None:
        """Note one finding."""
        self.findings.append(Finding(rule, severity, message, span, marks=marks, mend=mend))

    def unknown(
        self, span: Span, what: str, name: str, known: Iterable[str], declare: str = "", alters: bool = True
    ) -> list[str]:
        """A name that stands for nothing, with the nearest that does; silent where an unread line or file may have said it.

        `alters`: what the statement does to the machine hangs on the name. Gives the nearest names.
        """
        if name in self.phantoms or (self.blind and what != "role"):
            self.lost.append(name)
            return []
        known = list(known)
        if latin(name) != name and latin(name) in known:
            message, mend = borrowed_words(name)
            self.lost += [latin(name)]
            self.fault("look-alike-letters", span, message, mend)
            return [latin(name)]
        close = self._close(name, known)
        if alters:
            self.lost += [name, *close]
        mend = (
            "did you mean " + " or ".join(f"`{c}`" for c in close) + "?"
            if close
            else declare or "declare it, or mend the name"
        )
        self.fault("unknown-name", span, f"no {what} is called `{name}`", mend)
        return close

    def _close(self, name: str, known: list[str]) -> list[str]:
        """The names most like one that stands for nothing; a text of nothing but such names is not worth the time."""
        self._compared += len(known) * (1 + min(len(name), 4000) // 20)
        if self._compared >= MOST_COMPARED:
            return []
        part = [k for k in known if f"-{name}-" in f"-{k}-"]  # `guard` for `coupling-guard`
        return list(dict.fromkeys([*get_close_matches(name, known, 2, 0.6), *part]))[:2]

    # ---- values ------------------------------------------------------------------------------
    def scope(self, source: Source, item: Item, names: tuple[Word, ...] | None) -> Scope:
        """The variants that `for …` or `only for …` names."""
        if not names:
            return EVERYWHERE
        meant = [str(n) for n in names]
        for name in names:
            if name not in self.models and name not in self.services:
                meant += self.unknown(
                    item.span(source, name),
                    "model or service",
                    name,
                    self.models + self.services,
                    "declare it under `models` or `services`",
                )[:1]
        models, services = (tuple(n for n in known if n in meant) for known in (self.models, self.services))
        return Scope.make(models=models, services=services)

    def amount(self, source: Source, item: Item, qty: Qty | None, *kinds: str) -> Quantity | None:
        """A quantity of one of the kinds, or None with a finding."""
        if qty is None:
            return None
        value = read(f"{qty.number} {qty.unit}")
        span = self.both(source, item, qty)
        if isinstance(value, Problem):
            self.fault("unreadable-quantity", span, value.message, value.hint)
            return None
        if value.kind == "pressure" and not kinds:
            message = f"{value} does not say from where it counts"
            self.fault(
                "wrong-quantity",
                span,
                message,
                f"write {value}(g), {value}(a) or {value}(d): gauge, absolute or difference",
            )
            return None
        if kinds and value.kind not in kinds:
            wanted = " or ".join(kind_words(k) for k in kinds)
            self.fault(
                "wrong-quantity", span, f"{value} is {kind_words(value.kind)}; here stands {wanted}", f"give {wanted}"
            )
            return None
        if value.kind in SIZES and kinds and value.si <= 0:
            self.fault("wrong-quantity", span, f"{value} is no {kind_words(value.kind)}", "give a value above 0")
            return None
        return value

    @staticmethod
    def both(source: Source, item: Item, qty: Qty) -> Span:
        """The place of a number with its unit."""
        start = item.span(source, qty.number)
        if qty.unit.row != qty.number.row:
            return start
        return start._replace(width=qty.unit.column + qty.unit.width - qty.number.column)

    def tolerance(
        self, source: Source, item: Item, node: ToleranceNode, target: Quantity
    ) -> tuple[str, Quantity | None, Quantity | None]:
        """A tolerance as written, with the limits it gives about the target."""
        text = f"{node.sign} {node.number}" + (f" {node.unit}" if node.unit else "")
        span = item.span(source, node.number)
        value = read_tolerance(text)
        if isinstance(value, Tolerance):
            limits = value.limits(target)
            if not isinstance(limits, Problem):
                return str(value), limits[0], limits[1]
            value = limits
        self.fault("unreadable-quantity", span, value.message, value.hint)
        return "", None, None

    def count(self, source: Source, item: Item, word: Word, least: int = 1, most: int = 999_999) -> int:
        """A whole number, or `least` with a finding."""
        if word.isascii() and word.isdigit() and len(word) < 7 and least <= int(word) <= most:
            return int(word)
        shown = word if len(word) <= 20 else f"{word[:20]}…"
        message = f"`{shown}` is not a whole number from {least} to {most:,}"
        self.fault("wrong-quantity", item.span(source, word), message, "give a whole number in that range")
        return least


def first(item: Item, form: str) -> Item | None:
    """The first property line of a form."""
    return next((p for p in item.props if p.form == form), None)


def every(item: Item, form: str) -> list[Item]:
    """All property lines of a form."""
    return [p for p in item.props if p.form == form]


def part(item: Item, index: int) -> object:
    """A part of a statement's node, None where it is not written."""
    node = item.node
    return node.parts[index] if isinstance(node, Line) and index < len(node.parts) else None
