"""Charts before any file format: what stands in a flow chart or a dependency chart.

The node kinds follow the symbols of ISO 5807:1985 (terminator, process, decision, data, predefined
process, loop limit, parallel mode, connector; symbol names from memory). A hold is not in that
standard, so it has a kind, and a legend entry, of its own.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from enum import StrEnum


class NodeKind(StrEnum):
    """What a node is; the renderer gives each kind its symbol."""

    START = "start"  # terminator
    END = "end"  # terminator
    STOP = "stop"  # terminator, marked: the job ends here for good
    STEP = "step"  # process
    DECISION = "decision"  # decision: a check or a question
    HOLD = "hold"  # own symbol: wait for a release by another person
    WITNESS = "witness"  # own symbol: another person may look, or papers are seen; work need not wait
    READING = "reading"  # data: a value is read and written down
    CALL = "call"  # predefined process: a block, another procedure, or a section on an overview
    LOOP_START = "loop-start"  # loop limit, beginning
    LOOP_END = "loop-end"  # loop limit, end
    FORK = "fork"  # parallel mode: lanes begin
    JOIN = "join"  # parallel mode: lanes meet
    CONNECTOR = "connector"  # the flow goes on at the same letter on another chart
    ELSEWHERE = "elsewhere"  # in a dependency chart a step that stands on another chart


class EdgeKind(StrEnum):
    """What an arrow says. In every dependency kind the arrow runs from the earlier node to the later."""

    FLOW = "flow"  # the next thing done
    BACK = "back"  # goes back to do it again; does not count for the order of the nodes
    NEEDS = "needs"  # the later needs what the earlier did
    ONE_OF = "one-of"  # the later needs one of several, this is one
    AFTER = "after"  # the later undoes what the earlier needs, so it must stay after it
    SAME = "same"  # both set the same thing, so their order counts
    GUARDS = "guards"  # a hold, a wait or a stop keeps the two in order


class GroupKind(StrEnum):
    """Why nodes stand in one frame."""

    SECTION = "section"
    ANY_ORDER = "any-order"
    LANE = "lane"
    LOOP = "loop"
    PLACE = "place"  # on the bench, in one of several places


@dataclass(frozen=True, slots=True)
class ChartNode:
    """One symbol: `title` is the words in it, `ref` the number of the step or chart it points to (may be empty)."""

    id: str
    kind: NodeKind
    title: str
    ref: str = ""


@dataclass(frozen=True, slots=True)
class ChartEdge:
    """One arrow between two node ids, with the words on it (the answer, at a decision)."""

    source: str
    target: str
    label: str = ""
    kind: EdgeKind = EdgeKind.FLOW


@dataclass(frozen=True, slots=True)
class ChartGroup:
    """A frame round nodes; `parent` is the id of the frame it stands in, empty for none."""

    id: str
    kind: GroupKind
    title: str
    members: tuple[str, ...]
    parent: str = ""


@dataclass(frozen=True, slots=True)
class Chart:
    """One chart. `nodes` stand in the written order; `legend` asks for a key to the symbols.

    Raises ValueError on a chart that cannot be drawn: an id used twice, an arrow or frame that names
    no node, a node in two frames, frames that hold each other, a way out of a decision without its answer.
    """

    title: str
    nodes: tuple[ChartNode, ...]
    edges: tuple[ChartEdge, ...]
    groups: tuple[ChartGroup, ...] = ()
    legend: bool = True

    def __post_init__(self) -> None:
        if mistakes := _mistakes(self):
            raise ValueError("; ".join(mistakes))


@dataclass(frozen=True, slots=True)
class ChartBook:
    """A flow as charts that each fit a page, in reading order; `overview` is None when there is only one."""

    overview: Chart | None
    charts: tuple[Chart, ...]

    @property
    def pages(self) -> tuple[Chart, ...]:
        """Every chart as printed, the overview first."""
        return ((self.overview,) if self.overview else ()) + self.charts


def _mistakes(chart: Chart) -> list[str]:
    kinds = {node.id: node.kind for node in chart.nodes}
    out = _twice("node", [node.id for node in chart.nodes])
    for edge in chart.edges:
        out += [f"arrow to unknown node {end!r}" for end in (edge.source, edge.target) if end not in kinds]
        flow = edge.kind in (EdgeKind.FLOW, EdgeKind.BACK)
        if flow and kinds.get(edge.source) == NodeKind.DECISION and not edge.label.strip():
            out.append(f"a way out of decision {edge.source!r} has no answer")
    parents = {group.id: group.parent for group in chart.groups}
    out += _twice("frame", [group.id for group in chart.groups])
    out += _twice("frame member", [member for group in chart.groups for member in group.members])
    for group in chart.groups:
        out += [f"frame {group.id!r} holds unknown node {m!r}" for m in group.members if m not in kinds]
        seen, at = {group.id}, group.parent
        while at:
            if at in seen or at not in parents:
                out.append(
                    f"frame {group.id!r} stands in {at!r}, which " + ("holds it" if at in seen else "is unknown")
                )
                break
            seen.add(at)
            at = parents[at]
    return out


def _twice(what: str, ids: list[str]) -> list[str]:
    return [f"{what} {name!r} is there {times} times" for name, times in Counter(ids).items() if times > 1]
