"""What lies over what: the stacks of a machine from outside to inside, as graphs, from the machine file.

A stack's layers are parts, seals and the pressure spaces behind what closes them. A seal that lies nowhere else lies
under the part it seals; a space lies behind the innermost part that closes it and that part's seals. What covers a
fastener lies over what the fastener holds. Fasteners are no layers: each goes through the layers from the outermost
that it lies over to the part that it holds.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from procforge.analysis.machine import Machine

#: Before the name of a part: the layer of the spaces that it closes.
BEHIND = "behind "
_KINDS = frozenset({"part", "guard", "safety-device", "seal"})


@dataclass(frozen=True, slots=True)
class Stack:
    """One pile of layers. `under` gives for each layer those right under it; layers stand from outside to inside.

    `spaces` are the spaces of each layer that stands for some; `rooms` what lies in them, where that is several things:
    they are stacks of their own. `units` are the parts that all this is the inside of.
    """

    layers: tuple[str, ...]
    under: dict[str, tuple[str, ...]]
    spaces: dict[str, tuple[str, ...]]
    rooms: dict[str, tuple[str, ...]]
    units: tuple[str, ...] = ()

    def items(self, machine: Machine) -> tuple[str, ...]:
        """Every item that has to do with it: layers and fasteners."""
        solid = tuple(name for name in self.layers if not name.startswith(BEHIND))
        held = (name for part in solid for name in fasteners(machine, part))
        return tuple(dict.fromkeys((*solid, *held)))


@dataclass(slots=True)
class _Graph:
    """Edges from what lies over to what lies under, in the order they were told."""

    under: dict[str, list[str]] = field(default_factory=dict)

    def add(self, over: str, under: str) -> None:
        self.under.setdefault(over, [])
        self.under.setdefault(under, [])
        if under not in self.under[over] and under != over:
            self.under[over].append(under)

    def move(self, old: str, new: str) -> None:
        """What lies under `old` lies under `new` instead, and `new` under `old`."""
        below = [name for name in self.under.get(old, []) if name != new]
        self.under[old] = []
        self.add(old, new)
        for name in below:
            self.add(new, name)

    def reached(self, start: str) -> set[str]:
        found: set[str] = set()
        waiting = list(self.under.get(start, ()))
        while waiting:
            name = waiting.pop()
            if name not in found:
                found.add(name)
                waiting += self.under[name]
        return found


def fasteners(machine: Machine, part: str) -> tuple[str, ...]:
    """What holds a part in this variant."""
    item = machine.solids.get(part)
    return tuple(name for name in item.held_by if name in machine.fasteners) if item else ()


def stacks(machine: Machine) -> tuple[Stack, ...]:
    """The stacks of one variant that have at least two parts or seals, in the order of the machine file."""
    graph = _graph(machine)
    if any(name in graph.reached(name) for name in graph.under):
        return ()  # things that lie over each other in a circle: nothing true can be drawn
    _seals(machine, graph)
    spaces = _spaces(machine, graph)
    _thinned(graph)
    rooms = {name: tuple(below) for name, below in graph.under.items() if name in spaces and len(below) > 1}
    for name in rooms:
        graph.under[name] = []
    found = []
    for names in _pieces(graph):
        solid = [name for name in names if not name.startswith(BEHIND)]
        if len(solid) < 2 or all(machine.kind(name) == "seal" for name in solid):
            continue
        inner = set(solid) | {name for part in solid for name in fasteners(machine, part)}
        units = tuple(name for name, item in machine.solids.items() if inner & set(item.made_of))
        layers = _in_order(graph, names)
        under = {name: tuple(graph.under[name]) for name in layers}
        found.append(
            Stack(
                layers,
                under,
                {name: spaces[name] for name in layers if name in spaces},
                {name: rooms[name] for name in layers if name in rooms},
                units,
            )
        )
    return tuple(found)


def _graph(machine: Machine) -> _Graph:
    graph = _Graph()
    stackable = {name for name in machine.items if machine.kind(name) in _KINDS}
    for name in machine.items:
        if name in stackable:
            graph.under.setdefault(name, [])
            for below in machine.beneath(name):
                targets = machine.held.get(below, ()) if below in machine.fasteners else (below,)
                for target in targets:
                    if target in stackable:
                        graph.add(name, target)
    return graph


def _seals(machine: Machine, graph: _Graph) -> None:
    """A seal that nothing lies over goes under the part it seals, and what was there under the seal."""
    placed = {name for below in graph.under.values() for name in below}
    for part, item in machine.solids.items():
        if part not in graph.under:
            continue
        mine = [name for name in item.sealed_by if name in machine.seals]
        loose = [name for name in mine if name not in placed and not graph.under.get(name)]
        below = list(graph.under[part]) if loose else []
        for name in loose:
            if below:
                graph.under[part] = [n for n in graph.under[part] if n not in below]
            graph.add(part, name)
            for other in below:
                graph.add(name, other)
        for name in mine:
            if name not in loose and name not in graph.reached(part):
                graph.add(part, name)


def _spaces(machine: Machine, graph: _Graph) -> dict[str, tuple[str, ...]]:
    """The spaces behind a part: under its seals, or right under it; of parts in one pile behind the innermost."""
    closing = {part: machine.closes(part) for part in machine.solids if part in graph.under}
    found: dict[str, tuple[str, ...]] = {}
    for part, spaces in closing.items():
        inside = graph.reached(part)
        deeper = {space for other in inside for space in closing.get(other, ())}
        own = tuple(space for space in spaces if space not in deeper)
        if not own:
            continue
        found[BEHIND + part] = own
        item = machine.solids[part]
        last = [name for name in item.sealed_by if name in inside] or [part]
        for name in last:
            graph.move(name, BEHIND + part)
    return found


def _thinned(graph: _Graph) -> None:
    """Leave out what follows from the rest: over the cage and what the cage is over."""
    reached = {name: graph.reached(name) for name in graph.under}
    for name, below in graph.under.items():
        graph.under[name] = [n for n in below if not any(n in reached[other] for other in below if other != n)]


def _pieces(graph: _Graph) -> Iterable[list[str]]:
    """What hangs together, each in the order of the machine file."""
    neighbours: dict[str, set[str]] = {name: set(below) for name, below in graph.under.items()}
    for name, below in graph.under.items():
        for other in below:
            neighbours[other].add(name)
    seen: set[str] = set()
    for start in graph.under:
        if start in seen:
            continue
        piece, waiting = set(), [start]
        while waiting:
            name = waiting.pop()
            if name not in piece:
                piece.add(name)
                waiting += neighbours[name]
        seen |= piece
        yield [name for name in graph.under if name in piece]


def _in_order(graph: _Graph, names: list[str]) -> tuple[str, ...]:
    """From outside to inside: by how many lie over it at most, then as the machine file has them."""
    depth = depths({name: tuple(graph.under[name]) for name in names})
    return tuple(sorted(names, key=lambda name: (depth[name], names.index(name))))


def depths(under: dict[str, tuple[str, ...]]) -> dict[str, int]:
    """How many layers lie over each at most; `under` has no circle."""
    over: dict[str, list[str]] = {name: [] for name in under}
    for name, below in under.items():
        for other in below:
            over[other].append(name)
    found: dict[str, int] = {}

    def depth(name: str) -> int:
        if name not in found:
            found[name] = 1 + max((depth(other) for other in over[name]), default=-1)
        return found[name]

    for name in under:
        depth(name)
    return found
