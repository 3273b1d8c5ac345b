"""Statements to a file: property lines go to their head, blocks nest, prose goes where it belongs."""

from __future__ import annotations

import re

from procforge.findings import Finding, Severity
from procforge.syntax.nodes import Arm, File, Item, Line, Unread, Word
from procforge.syntax.order import ARMS, BLOCKS, FIRST, ONCE, PROPERTIES, PROSE, TOP, keyword
from procforge.text import Source, Span

DEEPEST = 60
_NAME = re.compile(r"[^\W_][\w-]*")
_QUOTED = re.compile(r'"[^"]*"?|#.*')
_DEFINES = re.compile(r'\s*[^\s",]+\s+[^\s",]+\s+"[^"\n]*"\s*$')


class Assembler:
    """Feeds on statements in order; `finish` gives the file and what was wrong with its structure."""

    def __init__(self, source: Source) -> None:
        self.file = File(source)
        self.findings: list[Finding] = []
        self._stack: list[tuple[Item, Arm]] = []
        self._head: Item | None = None
        self._last = 0
        self._ended: list[tuple[Item, Item]] = []

    # ---- entry -------------------------------------------------------------------------------
    def add(self, item: Item) -> None:
        """Put one statement in its place."""
        form = item.form
        self._last = max(self._last, item.line)
        if form in PROPERTIES and self._is_property(item):
            self._property(item)
        elif form in ARMS:
            self._arm(item)
        elif form == "end":
            self._end(item)
        else:
            if form in TOP:
                self._close_all()
            self._body().append(item)
            self._head = item
            if form == "section" or form in BLOCKS:
                self._open(item)

    def prose(self, line: int, word: Word) -> None:
        """A paragraph goes to the statement it follows."""
        head = self._head
        if head is not None and (_kind(head) in PROSE or isinstance(head.node, Unread)):
            head.prose.append((line, word))
            return
        after = f"text does not belong under `{keyword(_kind(head))}`" if head else "text stands before any statement"
        span = Span(self.file.source, line + word.row, word.column, word.width)
        mend = 'write it under a step, a section or a definition, as `note "…"`, or as a comment after #'
        self.findings.append(Finding("out-of-place", Severity.ERROR, after, span, mend=mend))

    def hole(self, item: Item, meant: tuple[str, ...] = (), text: str = "") -> None:
        """A line that could not be read, put where the statement it was meant to be would stand.

        `meant`: the first words it may have had, likeliest first. If it opened or closed a block the others
        of that block must not go astray; if it was a line under a statement, the next one still is.
        """
        self.file.holes.append(item)
        for word in meant:
            assert isinstance(item.node, Unread)
            item.node.opener = word
            for form in FIRST.get(word, ()):
                if self._hole_as(form, item):
                    return
        self._body().append(item)
        if self._head is None or self._head.form != "define" or _DEFINES.match(text):
            self._head = item
        else:
            self._head.partial = True

    def finish(self) -> File:
        """Close what is still open."""
        self._close_all()
        return self.file

    # ---- parts -------------------------------------------------------------------------------
    def _body(self) -> list[Item]:
        return self._stack[-1][1].body if self._stack else self.file.items

    def _open(self, item: Item) -> None:
        arm = Arm(item)
        if len(self._stack) < DEEPEST:
            item.arms.append(arm)
        elif len(self._stack) == DEEPEST:
            mend = "move the inner work into a block of its own and call it with `do`"
            self._fault("nested-too-deep", item, f"blocks are nested more than {DEEPEST} deep", mend)
            self.file.holes.append(item)
        self._stack.append((item, arm))

    def _is_property(self, item: Item) -> bool:
        """`only for` is a property of a definition (an unread one too) and a block elsewhere."""
        head = self._head
        if item.form != "only_for" or head is None:
            return item.form != "only_for"
        machine = not self.file.source.path.endswith(".proc")
        return head.form == "define" or (isinstance(head.node, Unread) and machine)

    def _property(self, item: Item) -> None:
        head = self._head
        mine = keyword(item.form)
        if head is None:
            message = f"`{mine}` belongs under another statement; none stands before it"
            self._fault("out-of-place", item, message, self._belongs(item.form))
            return
        kind = _kind(head)
        if kind in PROPERTIES[item.form] or isinstance(head.node, Unread):
            once = item.form in ONCE or (head.form == "step" and item.form in ("torque", "kind"))
            if once and any(p.form == item.form for p in head.props):
                self._fault("said-twice", item, f"`{mine}` stands here already", "keep one of them")
            head.props.append(item)
            return
        name = kind if head.form == "define" else keyword(kind)
        self._fault("out-of-place", item, f"`{mine}` does not belong under `{name}`", self._belongs(item.form))

    def _hole_as(self, form: str, item: Item) -> bool:
        """Place a hole as a statement of this form, if one may stand here."""
        head = self._head
        if form in PROPERTIES and (form != "only_for" or (head is not None and head.form == "define")):
            fits = head is not None and (isinstance(head.node, Unread) or _kind(head) in PROPERTIES[form])
            if fits and head is not None:
                head.partial = True
                self._body().append(item)
            return fits
        if form == "end":
            return self._closes(item)
        if form in ARMS:
            depth = self._arm_depth(form)
            if depth >= 0:
                item.form = form  # the arm is known for what it is, though the rest of its line is not
                self._switch(depth, item)
            return depth >= 0
        if form in TOP:
            self._close_all()
        self._body().append(item)
        self._head = item
        if form == "section" or form in BLOCKS:
            self._open(item)
        return True

    def _arm_depth(self, form: str) -> int:
        """The depth of the innermost open block that may have this arm; -1 if none may."""
        for depth in range(len(self._stack) - 1, -1, -1):
            opener = self._stack[depth][0]
            if form in BLOCKS.get(opener.form, ()) or (
                isinstance(opener.node, Unread) and self._opened_as(opener, form)
            ):
                return depth
            if opener.form == "section":
                break
        return -1

    @staticmethod
    def _opened_as(opener: Item, arm: str) -> bool:
        """Whether an unreadable opener may have been of a block with this arm."""
        assert isinstance(opener.node, Unread)
        forms = FIRST.get(opener.node.opener, ())
        return any(arm in BLOCKS.get(f, ()) for f in forms) or not any(f in BLOCKS for f in forms)

    def _switch(self, depth: int, item: Item) -> None:
        """Go on with the next arm of the block at a depth; blocks inside it were not closed."""
        self._leave(depth + 1)
        del self._stack[depth + 1 :]
        opener = self._stack[depth][0]
        arm = Arm(item)
        if opener.arms:  # none: it lies too deep to be read
            opener.arms.append(arm)
        self._stack[-1] = (opener, arm)
        self._head = item

    def _arm(self, item: Item) -> None:
        form = item.form
        depth = self._arm_depth(form)
        if depth < 0:
            openers = " or ".join(f"`{keyword(b)}`" for b, arms in BLOCKS.items() if form in arms)
            mend = f"open {openers} before it, or take the line out"
            self._fault("out-of-place", item, f"`{keyword(form)}` stands outside {openers}", mend)
            return
        opener = self._stack[depth][0]
        twice = form in ("yes", "no", "otherwise") and any(a.head.form == form for a in opener.arms)
        self._switch(depth, item)
        if twice and not isinstance(opener.node, Unread):
            message = f"`{keyword(form)}` stands twice in this `{keyword(opener.form)}`"
            self._fault("out-of-place", item, message, "keep one of them")

    def _closes(self, item: Item) -> bool:
        if self._stack and self._stack[-1][0].form != "section" and not self._is_section_hole():
            opener = self._stack.pop()[0]
            self._ended.append((opener, item))
            self._head = Item("end", Line("end", ()), opener.line)
            return True
        return False

    def _is_section_hole(self) -> bool:
        node = self._stack[-1][0].node
        return isinstance(node, Unread) and node.opener == "section"

    def _end(self, item: Item) -> None:
        if not self._closes(item):
            self._fault("out-of-place", item, "`end` closes nothing: no block is open here", "take the line out")

    def _close_all(self) -> None:
        self._leave(0)
        self._stack.clear()

    def _leave(self, depth: int) -> None:
        """Blocks from a depth inwards were not closed. How far they reach nobody knows: a hole stands after them."""
        told = [self._unclosed(o) for o, _ in reversed(self._stack[depth:]) if o.form != "section"]
        if any(told):
            outermost = next(n for n, (o, _) in enumerate(self._stack) if n >= depth and o.form != "section")
            body = self._stack[outermost - 1][1].body if outermost else self.file.items
            opener = self._stack[outermost][0]
            lines = self.file.source.lines[opener.line - 1 : self._last]
            words = dict.fromkeys(w for text in lines for w in _NAME.findall(_QUOTED.sub(" ", text)))
            body.append(Item("unread", Unread(tuple(words), ""), opener.line))

    def _unclosed(self, opener: Item) -> bool:
        """What lies deeper than anything is read has been reported already."""
        if isinstance(opener.node, Unread) or not opener.arms:
            return False
        mend = "write `end` after its last line"
        meant = self._astray(opener)
        self._fault("block-not-closed", meant, f"this `{keyword(meant.form)}` is not closed", mend)
        return True

    def _astray(self, opener: Item) -> Item:
        """The block whose `end` is missing: one inside it that took the `end` written as far in as the block itself."""
        source = self.file.source

        def indent(item: Item) -> int:
            line = source.line(item.line).expandtabs()
            return len(line) - len(line.lstrip())

        for inner, end in self._ended:
            if isinstance(inner.node, Unread):
                continue
            if inner.line > opener.line and indent(end) == indent(opener) < indent(inner):
                return inner
        return opener

    def _belongs(self, form: str) -> str:
        homes = sorted(keyword(p) for p in PROPERTIES[form])
        more = " …" if len(homes) > 6 else ""
        return "it belongs under " + ", ".join(f"`{h}`" for h in homes[:6]) + more

    def _fault(self, rule: str, item: Item, message: str, mend: str) -> None:
        self.findings.append(Finding(rule, Severity.ERROR, message, item.span(self.file.source), mend=mend))


def _kind(head: Item) -> str:
    if head.form == "define" and isinstance(head.node, Line):
        return str(head.node.parts[0])
    return head.form
