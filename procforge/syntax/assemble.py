"""Statements to a file: property lines go to their head, blocks nest, prose goes where it belongs."""

from __future__ import annotations

from procforge.findings import Finding, Severity
from procforge.syntax.nodes import Arm, File, Item, Line, Unread, Word
from procforge.syntax.order import ARMS, BLOCKS, PROPERTIES, TOP, keyword
from procforge.text import Source

DEEPEST = 60
_TAKES_PROSE_ONLY_AS_HEAD = frozenset({"prose"})


class Assembler:
    """Feeds on statements in order; `finish` gives the file and what was wrong with its structure."""

    def __init__(self, source: Source) -> None:
        self.file = File(source)
        self.findings: list[Finding] = []
        self._stack: list[tuple[Item, Arm]] = []
        self._head: Item | None = None

    # ---- entry -------------------------------------------------------------------------------
    def add(self, item: Item) -> None:
        """Put one statement in its place."""
        form = item.form
        if form in PROPERTIES and self._is_property(item):
            self._property(item)
        elif form in ARMS:
            self._arm(item)
        elif form == "end":
            self._end(item)
        else:
            if form in TOP:
                self._close_all(item)
            self._body().append(item)
            self._head = item
            if form == "section" or form in BLOCKS:
                self._open(item)

    def prose(self, line: int, word: Word) -> None:
        """A paragraph goes to the statement it follows."""
        if self._head is None:
            self.file.items.append(Item("prose", Line("prose", (word,)), line))
        else:
            self._head.prose.append((line, word))

    def hole(self, item: Item, opener: str) -> None:
        """A line that could not be read; if it opened a block, its `end` must not go astray."""
        self.file.holes.append(item)
        if opener == "end":
            self._end(item)
            return
        if opener in ("section", "procedure", "equipment") and self._stack:
            self._close_all(item)
        self._body().append(item)
        self._head = item
        if opener == "section" or opener in BLOCKS:
            self._open(item)

    def finish(self) -> File:
        """Close what is still open."""
        self._close_all(None)
        return self.file

    # ---- parts -------------------------------------------------------------------------------
    def _body(self) -> list[Item]:
        return self._stack[-1][1].body if self._stack else self.file.items

    def _open(self, item: Item) -> None:
        arm = Arm(item)
        if len(self._stack) < DEEPEST:
            item.arms.append(arm)
        elif len(self._stack) == DEEPEST:
            self._fault("nested-too-deep", item, f"blocks are nested more than {DEEPEST} deep", "move the inner work into a block of its own and call it with `do`")
            self.file.holes.append(item)
        self._stack.append((item, arm))

    def _is_property(self, item: Item) -> bool:
        """`only for`, `before` and the like are statements or properties by what they follow."""
        return item.form != "only_for" or (self._head is not None and self._head.form == "define")

    def _property(self, item: Item) -> None:
        head = self._head
        if head is None:
            self._fault("out-of-place", item, f"`{keyword(item.form)}` belongs under another statement; none stands before it", self._belongs(item.form))
            return
        kind = _kind(head)
        if kind in PROPERTIES[item.form] or isinstance(head.node, Unread):
            head.props.append(item)
            return
        name = kind if head.form == "define" else keyword(kind)
        self._fault("out-of-place", item, f"`{keyword(item.form)}` does not belong under `{name}`", self._belongs(item.form))

    def _arm(self, item: Item) -> None:
        for depth in range(len(self._stack) - 1, -1, -1):
            opener, _ = self._stack[depth]
            if isinstance(opener.node, Unread) or item.form in BLOCKS.get(opener.form, ()):
                for inner, _ in reversed(self._stack[depth + 1 :]):
                    self._unclosed(inner)
                del self._stack[depth + 1 :]
                repeated = item.form in ("yes", "no", "otherwise") and any(a.head.form == item.form for a in opener.arms)
                if repeated and not isinstance(opener.node, Unread):
                    self._fault("out-of-place", item, f"`{keyword(item.form)}` stands twice in this `{keyword(opener.form)}`", "keep one of them")
                arm = Arm(item)
                opener.arms.append(arm)
                self._stack[-1] = (opener, arm)
                self._head = item
                return
            if opener.form == "section":
                break
        openers = " or ".join(f"`{keyword(b)}`" for b, arms in BLOCKS.items() if item.form in arms)
        self._fault("out-of-place", item, f"`{keyword(item.form)}` stands outside {openers}", f"open {openers} before it, or take the line out")

    def _end(self, item: Item) -> None:
        if self._stack and self._stack[-1][0].form != "section":
            self._stack.pop()
            self._head = item
            return
        self._fault("out-of-place", item, "`end` closes nothing: no block is open here", "take the line out")

    def _close_all(self, item: Item | None) -> None:
        for opener, _ in reversed(self._stack):
            if opener.form != "section":
                self._unclosed(opener)
        self._stack.clear()

    def _unclosed(self, opener: Item) -> None:
        if isinstance(opener.node, Unread):
            return
        self._fault("block-not-closed", opener, f"this `{keyword(opener.form)}` is not closed", "write `end` after its last line")

    def _belongs(self, form: str) -> str:
        homes = sorted(keyword(p) for p in PROPERTIES[form])
        return "it belongs under " + ", ".join(f"`{h}`" for h in homes[:6])

    def _fault(self, rule: str, item: Item, message: str, mend: str) -> None:
        self.findings.append(Finding(rule, Severity.ERROR, message, item.span(self.file.source), mend=mend))


def _kind(head: Item) -> str:
    if head.form == "define" and isinstance(head.node, Line):
        return str(head.node.parts[0])
    return head.form
