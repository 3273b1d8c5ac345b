"""Generated files as trees of lines and blocks, so that an edit keeps them readable."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(slots=True)
class Line:
    """One statement with the lines under it."""

    text: str
    under: list[str] = field(default_factory=list)


@dataclass(slots=True)
class Block:
    """A block: its arms, each with the line that opens it."""

    arms: list[tuple[str, list[Line | Block]]]


Item = Line | Block


def render(items: list[Item], indent: str = "") -> list[str]:
    """The lines of a body."""
    lines: list[str] = []
    for item in items:
        if isinstance(item, Line):
            lines.append(indent + item.text)
            lines += [indent + "  " + u for u in item.under]
        else:
            for head, body in item.arms:
                lines += [indent + h for h in head.split("\n")]
                lines += render(body, indent + "  ")
            lines.append(indent + "end")
    return lines


def bodies(items: list[Item]) -> list[list[Item]]:
    """The body and all bodies in it, to edit in place."""
    found = [items]
    for item in items:
        if isinstance(item, Block):
            for _, body in item.arms:
                found += bodies(body)
    return found


def step(words: str, *under: str) -> Line:
    """A step."""
    return Line(f"step {words}", list(under))
