"""The work of a procedure as a tree: sections, branches, rounds, lanes, calls, marks."""

from __future__ import annotations

from typing import Any

from procforge.findings import Mark as Underline
from procforge.model.procedure import (
    AnyWork,
    Ask,
    Call,
    Group,
    Hold,
    Hole,
    Mark,
    Repeat,
    When,
)
from procforge.resolve.desk import first, part
from procforge.resolve.meant import names_in
from procforge.resolve.refs import References, Scene
from procforge.resolve.steps import Doings
from procforge.syntax.nodes import Item, Line, Modifier, Object, Qty, Step, Unread, Word
from procforge.syntax.order import WORK

DEEPEST_CALL = 12
MOST_ROUNDS = 100
MOST_LAID_OUT = 20_000
"""Statements that rounds of `for each` and called blocks may give, beyond what stands written."""


class Works:
    """Resolves statements of work; `blocks` are the file's named blocks, `calls` collects called files."""

    def __init__(self, refs: References, blocks: dict[str, Item]) -> None:
        self.refs = refs
        self.desk = refs.desk
        self.doings = Doings(refs)
        self.blocks = blocks
        self.called: set[str] = set()
        self.calls: list[tuple[str, Item, Scene]] = []
        self.holes = 0
        self.results: set[str] = set()
        self.laid_out = 0
        self.cut = False
        """Whether the work was too much to read whole."""
        self._outermost: Item | None = None

    def body(self, scene: Scene, items: list[Item]) -> tuple[AnyWork, ...]:
        """A sequence of statements."""
        found: list[AnyWork] = []
        for item in items:
            if isinstance(item.node, Unread):
                found += self._unread_block(scene, item, item.node)
                continue
            if item.form not in WORK and item.form != "section":
                continue
            if self._overflows(scene, item):
                return ()
            outer, self.desk.lost = self.desk.lost, []
            made = self.one(scene, item)
            lost, self.desk.lost = self.desk.lost, outer
            self.results.update(r for m in made if (r := getattr(m, "result", "")))
            found += self.lossy(scene, item, made, lost) if lost else made
            if isinstance(item.node, Step) and not self.refs.means(
                str(item.node.verb), [r for m in made for r in getattr(m, "objects", ())]
            ):
                found.append(self.hole(scene, item, self._meant(scene, item)))
        return tuple(found)

    def _unread_block(self, scene: Scene, item: Item, node: Unread) -> list[AnyWork]:
        """A line nobody could read, and what stood in the block it opened: ways of a branch, or a sequence."""
        if item in self.blocks.values():
            return []  # it is resolved where it is called
        self.refs.used.update(node.words, names_in(scene.source, Item("unread", node, item.line, item.props)))
        hole = self.hole(scene, item, node.words)
        bodies = [self.body(scene, arm.body) for arm in item.arms]
        if not bodies:
            return [hole]
        first, ways = bodies[0], bodies[1:]
        if node.opener == "repeat" and ways:
            return [hole, *first, self._group(scene, item, "either", ((), *ways)), hole]
        if node.opener in ("ask", "when", "either"):
            lanes = (first, *ways) if first else tuple(ways)
            return [hole, self._group(scene, item, "either", lanes if len(lanes) > 1 else (*lanes, ())), hole]
        return [hole, *(work for body in bodies for work in body), hole]

    def _overflows(self, scene: Scene, item: Item) -> bool:
        """Whether rounds and calls lay out more than is read; told once, at the statement that starts them."""
        if not scene.suffix and not scene.calls:
            self._outermost = item
            return False
        self.laid_out += 1
        if self.laid_out > MOST_LAID_OUT and not self.cut:
            self.cut = True
            self.holes += 1
            self.desk.fault(
                "too-many-statements",
                (self._outermost or item).span(scene.source),
                f"`for each` and `do` lay out more than {MOST_LAID_OUT:,} statements from here",
                "name fewer in `for each`, or call a block in fewer places",
            )
        return self.cut

    def lossy(self, scene: Scene, item: Item, made: list[AnyWork], lost: list[str]) -> list[AnyWork]:
        """A statement with a name that stands for nothing: what it does to the things it names nobody knows."""
        self.holes += 1
        called = [n for word in lost if word in self.blocks for n in names_in(scene.source, self.blocks[word])]
        hole = self.hole(scene, item, (*lost, *called, *self._meant(scene, item)))
        return [hole] if item.form == "step" else [hole, *made, hole]

    @staticmethod
    def _meant(scene: Scene, item: Item) -> tuple[str, ...]:
        """What the names in a statement stand for."""
        return tuple(dict.fromkeys(scene.bound.get(n, (n, None))[0] for n in names_in(scene.source, item)))

    def _unread(self, scene: Scene, item: Item, check: Word) -> list[AnyWork]:
        """A result that nothing before it gives may be any: what checks decide is not known from here on."""
        if self._result(scene, check) in self.results:
            return []
        return [self.hole(scene, item, (str(check), *sorted({r.partition(" of ")[0] for r in self.results})))]

    def hole(self, scene: Scene, item: Item, words: tuple[str, ...]) -> Hole:
        """A line nobody could read."""
        names: list[str] = []
        for word in words:
            names += self.refs.symbols.instances(word) if word in self.refs.symbols.definitions else [word]
        return Hole.make(where=item.span(scene.source), words=tuple(names))

    def one(self, scene: Scene, item: Item) -> list[AnyWork]:
        """One statement; a loop or a called block gives several."""
        form = item.form
        if form == "step":
            return [self.doings.step(scene, item)]
        if form == "check":
            return [self.doings.check(scene, item)]
        if form in ("measure", "readings"):
            return [self.doings.measure(scene, item)]
        return list(getattr(self, f"_{form}")(scene, item))

    # ---- groups ------------------------------------------------------------------------------
    def _common(self, scene: Scene, item: Item) -> dict[str, Any]:
        return {"where": item.span(scene.source), **self.doings.prose(scene, item)}

    def _group(self, scene: Scene, item: Item, form: str, lanes: tuple[tuple[AnyWork, ...], ...], **more: Any) -> Group:
        return Group.make(**self._common(scene, item), form=form, lanes=lanes, **more)

    def _section(self, scene: Scene, item: Item) -> list[AnyWork]:
        names = part(item, 1)
        places = tuple(str(w) for w in names) if isinstance(names, tuple) else ()
        for word in names if isinstance(names, tuple) else ():
            if word not in self.refs.symbols.places:
                self.desk.unknown(item.span(scene.source, word), "place", word, self.refs.symbols.places)
        inner = scene.inner(places=places or scene.places)
        body = self.body(inner, item.arms[0].body) if item.arms else ()
        return [self._group(scene, item, "section", (body,), title=str(part(item, 0)), places=places)]

    def _only_for(self, scene: Scene, item: Item) -> list[AnyWork]:
        names = part(item, 0)
        scope = self.desk.scope(scene.source, item, names if isinstance(names, tuple) else None)
        body = self.body(scene, item.arms[0].body) if item.arms else ()
        return [self._group(scene, item, "only", (body,), only_for=scope, only_where=item.span(scene.source))]

    def _any_order(self, scene: Scene, item: Item) -> list[AnyWork]:
        lanes = tuple(lane for entry in (item.arms[0].body if item.arms else []) if (lane := self.body(scene, [entry])))
        return [self._group(scene, item, "any-order", lanes)]

    def _together(self, scene: Scene, item: Item) -> list[AnyWork]:
        return [self._group(scene, item, "together", tuple(self.body(scene, a.body) for a in item.arms))]

    def _either(self, scene: Scene, item: Item) -> list[AnyWork]:
        role = self.refs.role(scene, item, part(item, 0))  # type: ignore[arg-type]
        return [self._group(scene, item, "either", tuple(self.body(scene, a.body) for a in item.arms), role=role)]

    def _bench(self, scene: Scene, item: Item) -> list[AnyWork]:
        names = part(item, 0)
        objects = tuple(Object(w) for w in names) if isinstance(names, tuple) else ()
        units = self.refs.objects(scene, item, objects)
        body = self.body(
            scene.inner(places=tuple(u.name for u in units) or scene.places), item.arms[0].body if item.arms else []
        )
        return [self._group(scene, item, "bench", (body,), places=tuple(u.name for u in units))]

    def _lend_back(self, scene: Scene, item: Item) -> list[AnyWork]:
        body = self.body(scene, item.arms[0].body if item.arms else [])
        return [self._group(scene, item, "lend-back", (body,), title=str(part(item, 0) or ""))]

    def _for_each(self, scene: Scene, item: Item) -> list[AnyWork]:
        word, names = part(item, 0), part(item, 1)
        assert isinstance(word, Word) and isinstance(names, tuple)
        found: list[AnyWork] = []
        for name in names:
            member = str(name)
            inner = scene.inner(bound={**scene.bound, str(word): (member, None)}, suffix=f"{scene.suffix} of {member}")
            if member in self.refs.symbols.places:
                inner.places = (member,)
            elif member in self.refs.symbols.definitions:
                self.refs.used.add(member)
                inner.bound = {**scene.bound, str(word): (member, None)}
                inner.places = self.refs.symbols.definitions[member].places or scene.places
            else:
                self.desk.unknown(
                    item.span(scene.source, name),
                    "item or place",
                    member,
                    [*self.refs.symbols.places, *self.refs.symbols.definitions],
                )
                continue
            body = self.body(inner, item.arms[0].body if item.arms else [])
            found.append(self._group(scene, item, "each", (body,), title=member))
        return found

    def _block(self, _scene: Scene, _item: Item) -> list[AnyWork]:
        return []

    def _call(self, scene: Scene, item: Item) -> list[AnyWork]:
        word = part(item, 0)
        assert isinstance(word, Word)
        span = item.span(scene.source, word)
        name = str(word)
        if name.endswith(".proc") or "/" in name:
            self.calls.append((name, item, scene))
            return [Call.make(**self._common(scene, item), id=self.doings.identity(scene, f"do.{name}"), file=name)]
        block = self.blocks.get(name)
        if block is None:
            near = self.desk.unknown(span, "block", name, self.blocks, f"write it: block {name} … end")
            if not near:
                return []
            name, block = near[0], self.blocks[near[0]]
        self.called.add(name)
        if name in scene.calls:
            chain = " -> ".join([*scene.calls, name])
            self.desk.fault(
                "calls-in-a-circle",
                span,
                f"the block calls itself: {chain}",
                "take this `do` out",
                (Underline(block.span(scene.source), "the block"),),
            )
            return []
        if len(scene.calls) >= DEEPEST_CALL:
            self.cut = True
            self.holes += 1
            message = f"blocks call blocks more than {DEEPEST_CALL} deep"
            self.desk.fault("nested-too-deep", span, message, "let the outer blocks call the inner ones directly")
            return []
        inner = scene.inner(prefix=self.doings.identity(scene, f"do.{name}") + "/", calls=(*scene.calls, name))
        body = self.body(inner, block.arms[0].body if block.arms else [])
        title = part(block, 1)
        return [self._group(scene, item, "called", (body,), name=name, title=str(title or ""))]

    # ---- branches ----------------------------------------------------------------------------
    def _ask(self, scene: Scene, item: Item) -> list[AnyWork]:
        mods = tuple(m for m in item.node.parts[1:] if isinstance(m, Modifier))  # type: ignore[union-attr]
        fields = self.doings.modifiers(scene, item, mods)
        arms = {"yes": (), "no": ()} | {a.head.form: self.body(scene, a.body) for a in item.arms[1:]}
        before = self.body(scene, item.arms[0].body) if item.arms else ()
        if before:
            self.desk.fault(
                "out-of-place",
                before[0].where,
                "work stands between the question and its first answer",
                "put it under `yes` or `no`, or before the question",
            )
        meets = self.doings.lines(scene, item).get("meets", ())
        answered = tuple(a.head.form for a in item.arms[1:])
        return [
            Ask.make(
                **self._common(scene, item), id=self.doings.identity(scene, "ask"), text=str(part(item, 0)), answered=answered, meets=meets,
                yes=arms["yes"], no=arms["no"], role=fields.get("role", ""), only_for=fields.get("only_for", scene_everywhere()),
            )
        ]  # fmt: skip

    def _when(self, scene: Scene, item: Item) -> list[AnyWork]:
        check, outcome = part(item, 0), part(item, 1)
        assert isinstance(check, Word) and isinstance(outcome, Word)
        accepted = self._outcome(scene, item, outcome)
        lost = self._unread(scene, item, check)
        otherwise: tuple[AnyWork, ...] = ()
        body: tuple[AnyWork, ...] = ()
        for arm in item.arms:
            inner = self.body(scene, arm.body)
            if arm.head.form == "otherwise":
                otherwise += inner
            else:
                body += inner
        return [
            *lost,
            When.make(
                **self._common(scene, item), id=self.doings.identity(scene, f"when.{check}"), check=self._result(scene, check),
                accepted=accepted, check_where=item.span(scene.source, check), body=body, otherwise=otherwise,
            ),
            *lost,
        ]  # fmt: skip

    def _outcome(self, scene: Scene, item: Item, word: Word) -> bool:
        if word in ("accepted", "passed"):
            return True
        if word not in ("rejected", "failed"):
            self.desk.unknown(
                item.span(scene.source, word), "outcome", word, ("accepted", "rejected", "passed", "failed")
            )
        return False

    @staticmethod
    def _result(scene: Scene, word: Word) -> str:
        return str(word) + scene.suffix

    def _repeat(self, scene: Scene, item: Item) -> list[AnyWork]:
        check, outcome, times = part(item, 0), part(item, 1), part(item, 2)
        assert isinstance(check, Word) and isinstance(outcome, Word)
        if not self._outcome(scene, item, outcome):
            self.desk.fault(
                "repeat-until-rejected",
                item.span(scene.source, outcome),
                "rounds go on until a check is accepted",
                "write `repeat until … accepted`",
            )
        body: tuple[AnyWork, ...] = ()
        otherwise: tuple[AnyWork, ...] | None = None
        for arm in item.arms:
            if arm.head.form == "otherwise":
                otherwise = (otherwise or ()) + self.body(scene, arm.body)
            else:
                body += self.body(scene, arm.body)
        lost = self._unread(scene, item, check)
        return [
            *lost,
            Repeat.make(
                **self._common(scene, item), id=self.doings.identity(scene, f"repeat.{check}"), check=self._result(scene, check),
                check_where=item.span(scene.source, check), body=body, otherwise=otherwise,
                times=self.desk.count(scene.source, item, times, most=MOST_ROUNDS) if isinstance(times, Word) else 0,
            ),
            *lost,
        ]  # fmt: skip

    # ---- holds and marks ---------------------------------------------------------------------
    def _hold(self, scene: Scene, item: Item) -> list[AnyWork]:
        point, name, text = part(item, 0), part(item, 1), part(item, 2)
        assert isinstance(item.node, Line) and isinstance(name, Word)
        fields = self.doings.modifiers(scene, item, tuple(m for m in item.node.parts[3:] if isinstance(m, Modifier)))
        fields = {k: v for k, v in fields.items() if k in ("role", "role_where", "only_for", "only_where")}
        lines = self.doings.lines(scene, item)
        sees, before = first(item, "sees"), []
        for line in item.props:
            if line.form == "hold_before":
                verb, listed = part(line, 0), part(line, 1)
                if isinstance(listed, tuple):
                    before.append((str(verb), self.refs.objects(scene, line, listed), line.span(scene.source)))
        listed = part(sees, 0) if sees else None
        criterion = first(item, "criterion")
        return [
            Hold.make(
                **self._common(scene, item), **fields, id=self.doings.identity(scene, f"{point}.{name}"), point=str(point), name=str(name),
                text=str(text), sees=self.refs.objects(scene, sees, listed) if sees and isinstance(listed, tuple) else (), before=tuple(before),
                criterion=str(part(criterion, 0)) if criterion else "", takes=lines.get("takes"), meets=lines.get("meets", ()),
                waivers=lines.get("waivers", ()),
            )
        ]  # fmt: skip

    def _mark(self, scene: Scene, item: Item, form: str, **more: Any) -> list[AnyWork]:
        return [Mark.make(**self._common(scene, item), id=self.doings.identity(scene, form), form=form, **more)]

    def _stop(self, scene: Scene, item: Item) -> list[AnyWork]:
        role = part(item, 0)
        return self._mark(scene, item, "stop", role=self.refs.role(scene, item, role), text=str(part(item, 1) or ""))  # type: ignore[arg-type]

    def _may_stop(self, scene: Scene, item: Item) -> list[AnyWork]:
        return self._mark(scene, item, "may-stop", text=str(part(item, 0) or ""))

    def _handover(self, scene: Scene, item: Item) -> list[AnyWork]:
        return self._mark(scene, item, "handover", role=self.refs.role(scene, item, part(item, 0)))  # type: ignore[arg-type]

    def _note(self, scene: Scene, item: Item) -> list[AnyWork]:
        return self._mark(scene, item, "note", text=str(part(item, 0)))

    def _wait(self, scene: Scene, item: Item) -> list[AnyWork]:
        duration, verb, entry, longest = (part(item, i) for i in range(4))
        after = ""
        if isinstance(verb, Word):
            names = [r.name for r in self.refs.thing(scene, item, entry)] if isinstance(entry, Object) else []
            after = " ".join([str(verb), *names])
        where = item.span(scene.source, verb) if isinstance(verb, Word) else item.span(scene.source)
        return self._mark(
            scene, item, "wait", after=after, after_where=where,
            duration=self.desk.amount(scene.source, item, duration, "time") if isinstance(duration, Qty) else None,
            longest=self.desk.amount(scene.source, item, longest, "time") if isinstance(longest, Qty) else None,
        )  # fmt: skip


def scene_everywhere() -> Any:
    """The scope of everything."""
    from procforge.model.base import EVERYWHERE

    return EVERYWHERE
