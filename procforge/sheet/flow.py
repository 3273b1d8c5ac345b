"""The flow chart of a procedure, in the symbols of ISO 5807: one frame a section, the numbers of the sheet.

A check read at once is a decision; a question, a free choice and, for the review print, a variant are decisions too.
A called block is one symbol, and is drawn once on a chart of its own with the numbers of its first call; so is each of
several long lanes side by side. The chart
is for looking over the work: hazards, limits and signatures stand on the sheet.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from procforge.analysis.machine import Machine
from procforge.model.base import Scope, Variant
from procforge.model.procedure import AnyWork, Ask, Check, Group, Hold, Mark, Measure, Procedure, Repeat, Step, When
from procforge.sheet.chart import Chart, ChartEdge, ChartGroup, ChartNode, EdgeKind, GroupKind, NodeKind
from procforge.sheet.english import joined, upper_first
from procforge.sheet.naming import Names
from procforge.sheet.numbering import numbers, sections, shown, span, walk_shown
from procforge.sheet.short import LONGEST, judged, short

#: More lanes than this stand under each other in their frame, not side by side: they would print too small.
MOST_LANES = 3
#: With more statements in its lanes a block does not fit a page: each lane is one symbol, drawn on a chart of its own.
LONG_LANES = 12

#: A way out that leads nowhere yet: the node, and the words on the arrow.
End = tuple[str, str]


def flow_chart(procedure: Procedure, variant: Variant | None = None, names: Names | None = None) -> Chart:
    """The whole flow of one variant, or of all in one chart (None), where a variant's own steps hang on a decision.

    `names` are those of a unit, if the chart is for one.
    """
    return Flow(procedure, variant, names).chart()


class Flow:
    """Lays nodes in written order; `ends` are the arrows that wait for the next node."""

    def __init__(self, procedure: Procedure, variant: Variant | None, names: Names | None = None) -> None:
        self.procedure = procedure
        self.variant = variant
        self.numbers = numbers(procedure, variant)
        self.names = names or Names(seen_machine(procedure, variant))
        self.nodes: list[ChartNode] = []
        self.edges: list[ChartEdge] = []
        self.ends: list[End] = []
        self._frames: list[tuple[str, GroupKind, str, list[str], str]] = []
        self._inside: list[int] = []
        self._results: dict[str, tuple[str, AnyWork]] = {}
        self._blocks: dict[str, list[Group]] = {}
        self._apart: list[tuple[str, str, str, tuple[AnyWork, ...]]] = []  # lanes: id, title, title of its chart, work
        self._section = ""

    def chart(self) -> Chart:
        """The chart; see `flow_chart`."""
        self.add("start", NodeKind.START, "Start")
        for section in sections(self.procedure, self.variant):
            self._section = section.title or f"Section {section.number}"
            with self.frame(GroupKind.SECTION, self._section):
                self.body(section.body)
        self.add("end", NodeKind.END, "End")
        self._draw_blocks()
        groups = tuple(
            ChartGroup(ident, kind, title, tuple(members), parent)
            for ident, kind, title, members, parent in self._frames
        )
        return Chart(title(self.procedure, self.variant), tuple(self.nodes), tuple(self.edges), _kept(groups))

    # ---- nodes -------------------------------------------------------------------------------
    def add(self, ident: str, kind: NodeKind, words: str, ref: str = "") -> str:
        """A node that all waiting arrows lead to, and from which the flow goes on."""
        self.nodes.append(ChartNode(ident, kind, self.names.said(words), ref))
        self.edges += [ChartEdge(source, ident, label) for source, label in self.ends]
        self.ends = [(ident, "")]
        if self._inside:
            self._frames[self._inside[-1]][3].append(ident)
        return ident

    @contextmanager
    def frame(self, kind: GroupKind, words: str) -> Iterator[None]:
        """A frame round all nodes added meanwhile."""
        parent = self._frames[self._inside[-1]][0] if self._inside else ""
        self._inside.append(len(self._frames))
        self._frames.append((f"frame-{len(self._frames) + 1}", kind, words, [], parent))
        yield
        self._inside.pop()

    def _new(self, word: str) -> str:
        return f"{word}-{len(self.nodes)}"

    def _say(self, work: AnyWork) -> str:
        return short(work, self.names)

    # ---- sequences ---------------------------------------------------------------------------
    def body(self, works: tuple[AnyWork, ...]) -> None:
        """A sequence; a run of statements for the same variants hangs on one decision in the review print."""
        works = tuple(w for w in works if shown(w, self.variant))
        at = 0
        while at < len(works):
            scope = works[at].only_for
            run = [works[at]]
            while at + len(run) < len(works) and works[at + len(run)].only_for == scope:
                run.append(works[at + len(run)])
            at += len(run)
            if self.variant is None and (scope.models or scope.services):
                self._for_variant(scope, run)
            else:
                self._run(run)

    def _for_variant(self, scope: Scope, run: list[AnyWork]) -> None:
        ident = self.add(self._new("variant"), NodeKind.DECISION, f"{upper_first(scope.words)}?")
        self.ends = [(ident, "Yes")]
        self._run(run)
        self.ends.append((ident, "No"))

    def _run(self, works: list[AnyWork]) -> None:
        at = 0
        while at < len(works):
            following = works[at + 1] if at + 1 < len(works) else None
            if isinstance(following, When) and _result(works[at]) == following.check:
                self._when(following, self._decision(works[at]))
                at += 1
            else:
                self._one(works[at])
            at += 1

    def _one(self, work: AnyWork) -> None:
        ref = self.numbers.get(work.id, "") if work.id else ""
        match work:
            case Step() | Check():
                self._noted(work)
                self.add(work.id, NodeKind.STEP, self._say(work), ref)
            case Measure():
                self._noted(work)
                self.add(work.id, NodeKind.READING, self._say(work), ref)
            case Hold():
                by = f", by {self.names.role(work.role)}" if work.role else ""
                word = "" if work.point == "hold" else f"{upper_first(work.point)}: "
                kind = NodeKind.HOLD if work.point == "hold" else NodeKind.WITNESS
                self.add(work.id, kind, f"{word}{work.text.rstrip('.')}{by}", ref)
            case Ask():
                self._ask(work, ref)
            case When():
                self._when(work, self._look_back(work.check))
            case Repeat():
                self._repeat(work)
            case Group():
                self._group(work)
            case Mark(form="note"):
                pass
            case Mark(form="stop"):
                self.add(work.id, NodeKind.STOP, self._say(work), ref)
                self.ends = []
            case Mark():
                self.add(work.id, NodeKind.STEP, self._say(work), ref)
            case _:
                kind = NodeKind.CALL if work.kind == "call" else NodeKind.STEP
                words = self._say(work) if work.kind == "call" else "A line that could not be read"
                self.add(work.id or self._new(work.kind), kind, words, ref)

    # ---- decisions ---------------------------------------------------------------------------
    def _noted(self, work: AnyWork) -> None:
        if _result(work):
            self._results[_result(work)] = (self.numbers.get(work.id, ""), work)

    def _decision(self, work: AnyWork) -> str:
        self._noted(work)
        return self.add(work.id, NodeKind.DECISION, self._asked(work), self.numbers.get(work.id, ""))

    def _asked(self, work: AnyWork) -> str:
        """A check as a question: `Drip, inlet valve: accepted?`."""
        if not isinstance(work, Check):
            return f"{self._say(work)}: passed?"
        return f"{judged(work, self.names, LONGEST)}: accepted?"

    def _look_back(self, check: str) -> str:
        """A decision on a result that was written down earlier."""
        number, work = self._results.get(check, ("", None))
        words = self._say(work) if work is not None else upper_first(check.replace("-", " "))
        return self.add(
            self._new("result"), NodeKind.DECISION, f"Result of {number}: {words}" if number else f"Result: {words}"
        )

    def _answers(self, check: str) -> tuple[str, str]:
        """The words for (rejected, accepted)."""
        work = self._results.get(check, ("", None))[1]
        return ("Failed", "Passed") if isinstance(work, Step | Measure) else ("Rejected", "Accepted")

    def _arms(self, arms: list[tuple[End, tuple[AnyWork, ...]]]) -> None:
        """Ways that leave at the ends given and meet again."""
        met: list[End] = []
        for start, body in arms:
            self.ends = [start]
            self.body(body)
            met += self.ends
        self.ends = met

    def _when(self, when: When, decision: str) -> None:
        words = self._answers(when.check)
        self._arms(
            [((decision, words[when.accepted]), when.body), ((decision, words[not when.accepted]), when.otherwise)]
        )

    def _ask(self, ask: Ask, ref: str) -> None:
        ident = self.add(ask.id, NodeKind.DECISION, ask.text, ref)
        arms = [((ident, "Yes"), ask.yes), ((ident, "No"), ask.no)]
        self._arms(arms[::-1] if ask.answered[:1] == ("no",) else arms)

    def _repeat(self, repeat: Repeat) -> None:
        rounds = f"at most {repeat.times} rounds" if repeat.times != 1 else "one round"
        first = len(self.nodes)
        with self.frame(
            GroupKind.LOOP, f"Repeat until accepted, {rounds}" if repeat.times else "Repeat until accepted"
        ):
            works = tuple(w for w in repeat.body if shown(w, self.variant))
            if works and _result(works[-1]) == repeat.check:
                self.body(works[:-1])
                test = self._decision(works[-1])
            else:
                self.body(works)
                test = self._look_back(repeat.check)
        rejected, accepted = self._answers(repeat.check)
        if repeat.times != 1:
            self.edges.append(ChartEdge(test, self.nodes[first].id, f"{rejected}: next round", EdgeKind.BACK))
        self.ends = []
        if repeat.otherwise is not None:
            self.ends = [(test, f"{rejected} {repeat.times} times" if repeat.times > 1 else rejected)]
            self.body(repeat.otherwise)
        self.ends.insert(0, (test, accepted))

    # ---- groups ------------------------------------------------------------------------------
    def _group(self, group: Group) -> None:
        lanes = [lane for lane in group.lanes if any(True for _ in walk_shown(lane, self.variant))]
        if group.form == "called":
            self._called(group)
        elif group.form == "either":
            role = f", by {self.names.role(group.role)}" if group.role else ""
            ident = self.add(self._new("choice"), NodeKind.DECISION, f"Free choice{role}")
            self._arms([((ident, "Either" if at == 0 else "Or"), lane) for at, lane in enumerate(group.lanes)])
        elif group.form in ("any-order", "together") and len(lanes) > 1:
            self._lanes(group, lanes)
        elif group.form in ("bench", "lend-back"):
            words = "On the bench" if group.form == "bench" else f"Energy lent back: {group.title}".rstrip(": ")
            with self.frame(GroupKind.PLACE, words):
                self._sequence(lanes)
        else:
            self._sequence(lanes)

    def _sequence(self, lanes: list[tuple[AnyWork, ...]]) -> None:
        for lane in lanes:
            self.body(lane)

    def _lanes(self, group: Group, lanes: list[tuple[AnyWork, ...]]) -> None:
        together = group.form == "together"
        words = "Side by side" if together else "In any order"
        if not together and len(lanes) > MOST_LANES:
            with self.frame(GroupKind.ANY_ORDER, words):
                self._sequence(lanes)
            return
        with self.frame(GroupKind.ANY_ORDER, words):
            fork = self.add(self._new("fork"), NodeKind.FORK, "")
            if sum(1 for lane in lanes for _ in walk_shown(lane, self.variant)) > LONG_LANES:
                self._lanes_apart(fork, lanes)
            else:
                self._arms([((fork, ""), lane) for lane in lanes])
            self.add(self._new("join"), NodeKind.JOIN, "")

    def _lanes_apart(self, fork: str, lanes: list[tuple[AnyWork, ...]]) -> None:
        met: list[End] = []
        for at, lane in enumerate(lanes):
            letter = chr(ord("A") + at)
            roles = dict.fromkeys(getattr(work, "role", "") for work in walk_shown(lane, self.variant))
            people = joined([self.names.role(role) for role in roles if role])
            for work in walk_shown(lane, self.variant):
                self._noted(work)
            self.ends = [(fork, "")]
            numbers_ = span(self.numbers, lane, self.variant)
            words = f"Lane {letter}" + (f": {people}" if people else "")
            ident = self.add(self._new("lane"), NodeKind.CALL, words, numbers_)
            met += self.ends
            self._apart.append((ident, words, f"{self._section}, lane {letter} ({numbers_})", lane))
        self.ends = met

    # ---- called blocks -----------------------------------------------------------------------
    def _called(self, group: Group) -> None:
        listed = self._blocks.setdefault(group.name, [])
        listed.append(group)
        for work in walk_shown(group.lanes[0] if group.lanes else (), self.variant):
            self._noted(work)
        self.add(self._new(f"do-{group.name}"), NodeKind.CALL, _block_title(group), self._span(group))

    def _span(self, group: Group) -> str:
        return span(self.numbers, (group,), self.variant)

    def _draw_blocks(self) -> None:
        drawn: set[str] = set()
        while True:
            if self._apart:
                ident, words, over, lane = self._apart.pop(0)
                self._drawn_apart(ident, words, over, [lane])
            elif name := next((name for name in self._blocks if name not in drawn), ""):
                drawn.add(name)
                group = self._blocks[name][0]
                words = _block_title(group)
                self._section = words
                self._drawn_apart(name, words, f"{words} ({self._span(group)})", [lane for lane in group.lanes if lane])
            else:
                break
        self.ends = []

    def _drawn_apart(self, name: str, words: str, over: str, lanes: list[tuple[AnyWork, ...]]) -> None:
        """Work that another chart shows as one symbol, from its start to where it goes back."""
        self.ends = []
        with self.frame(GroupKind.SECTION, over):
            self.add(f"start-of-{name}", NodeKind.START, words)
            self._sequence(lanes)
            self.add(f"end-of-{name}", NodeKind.END, "Go back")


def seen_machine(procedure: Procedure, variant: Variant | None) -> Machine:
    """The machine as a variant has it; with the items of all variants for the review print."""
    equipment = procedure.equipment
    machine = Machine(equipment, variant or (equipment.variants or (Variant.make(),))[0])
    if variant is None:
        machine.items = dict(equipment.items)
    return machine


def title(procedure: Procedure, variant: Variant | None) -> str:
    """What stands over a chart: number, title, variant."""
    parts = [f"{procedure.number}  {procedure.title}".strip() or "Procedure"]
    if variant is not None and variant.name != "all":
        parts.append(variant.name)
    return ", ".join(parts)


def _result(work: AnyWork) -> str:
    return work.result if isinstance(work, Step | Check | Measure) else ""


def _block_title(group: Group) -> str:
    return group.title or upper_first(group.name.replace("-", " "))


def _kept(groups: tuple[ChartGroup, ...]) -> tuple[ChartGroup, ...]:
    """The frames that hold a node, directly or in a frame of theirs."""
    parents = {group.id: group.parent for group in groups}
    full: set[str] = set()
    for group in groups:
        at = group.id if group.members else ""
        while at and at not in full:
            full.add(at)
            at = parents[at]
    return tuple(group for group in groups if group.id in full)
