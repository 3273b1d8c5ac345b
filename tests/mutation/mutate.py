"""The mutants of a Python file: every single change to its syntax tree that we know how to make."""

from __future__ import annotations

import ast
import copy
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

#: Names of rules, states and kinds are words joined by hyphens; sentences and file names are not.
NAME = re.compile(r"[a-z]+(-[a-z]+)+")
COMPARE: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
}
BINARY: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Add,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
    ast.LShift: ast.RShift,
    ast.RShift: ast.LShift,
}


@dataclass(frozen=True)
class Mutant:
    """One change: the file below the root, its line, what is done there, the number of the change in the file."""

    path: str
    line: int
    what: str
    number: int

    @property
    def folder(self) -> str:
        return self.path.rpartition("/")[0]


def _skipped(tree: ast.Module) -> set[int]:
    """Nodes that do nothing when the program runs: annotations, docstrings, blocks for the type checker."""
    dead: set[int] = set()

    def kill(node: ast.AST | None) -> None:
        if node is not None:
            dead.update(id(n) for n in ast.walk(node))

    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            kill(node.returns)
        elif isinstance(node, ast.arg | ast.AnnAssign):
            kill(node.annotation)
        elif isinstance(node, ast.keyword) and node.arg in ("slots", "frozen"):
            kill(node)  # how an object is stored, not what is computed
        elif (
            isinstance(node, ast.Raise | ast.Assert | ast.Import | ast.ImportFrom)
            or (isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant))
            or (isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test))
        ):
            kill(node)
    return dead


def _places(tree: ast.Module) -> Iterator[tuple[ast.AST, str, Callable[[], None]]]:
    """Each place with what is done there and a function that does it to this very tree."""
    dead = _skipped(tree)
    for node in ast.walk(tree):
        if id(node) in dead:
            continue
        if isinstance(node, ast.Compare):
            for at, op in enumerate(node.ops):
                new = COMPARE[type(op)]
                yield (
                    node,
                    f"{type(op).__name__} -> {new.__name__}",
                    lambda n=node, i=at, o=new: n.ops.__setitem__(i, o()),
                )
        elif isinstance(node, ast.BoolOp):
            other = ast.Or if isinstance(node.op, ast.And) else ast.And
            yield node, f"{type(node.op).__name__} -> {other.__name__}", lambda n=node, o=other: setattr(n, "op", o())
        elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
            yield node, "not dropped", lambda n=node: _become(n, n.operand)
        elif isinstance(node, ast.BinOp | ast.AugAssign) and type(node.op) in BINARY:
            text = isinstance(node, ast.BinOp) and any(
                isinstance(side, ast.JoinedStr) for side in (node.left, node.right)
            )
            if not text:
                made = BINARY[type(node.op)]
                yield node, f"{type(node.op).__name__} -> {made.__name__}", lambda n=node, o=made: setattr(n, "op", o())
        elif isinstance(node, ast.Constant):
            value = node.value
            if isinstance(value, bool):
                yield node, f"{value} -> {not value}", lambda n=node: setattr(n, "value", not n.value)
            elif isinstance(value, int):
                yield node, f"{value} -> {value + 1}", lambda n=node: setattr(n, "value", n.value + 1)
            elif isinstance(value, str) and NAME.fullmatch(value):
                yield node, f"name '{value}' changed", lambda n=node: setattr(n, "value", n.value + "-x")
        elif isinstance(node, ast.Return) and node.value is not None:
            if not (isinstance(node.value, ast.Constant) and node.value.value is None):
                yield node, "returns None", lambda n=node: setattr(n, "value", ast.Constant(None))
        elif isinstance(node, ast.Break):
            yield node, "break -> continue", lambda n=node: setattr(n, "__class__", ast.Continue)
        elif isinstance(node, ast.Continue):
            yield node, "continue -> break", lambda n=node: setattr(n, "__class__", ast.Break)
        elif isinstance(node, ast.YieldFrom | ast.Yield):
            yield node, "yields nothing", lambda n=node: _become(n, ast.YieldFrom(ast.Tuple([], ast.Load())))
        if isinstance(node, ast.If | ast.While | ast.IfExp):
            for value in (True, False):
                if not (value and isinstance(node, ast.While)):  # a loop without end shows nothing but the time limit
                    yield node, f"condition {value}", lambda n=node, v=value: setattr(n, "test", ast.Constant(v))


def _become(node: ast.AST, other: ast.AST) -> None:
    """Turn a node into another in its place, whatever holds it."""
    fields = dict(vars(copy.deepcopy(other)))
    node.__class__ = other.__class__  # type: ignore[assignment]
    vars(node).clear()
    vars(node).update(fields)


def mutants(root: Path, path: Path) -> list[Mutant]:
    """All mutants of a file."""
    name = path.relative_to(root).as_posix()
    tree = ast.parse(path.read_text(encoding="utf-8"))
    found = enumerate(_places(tree))
    return [Mutant(name, getattr(node, "lineno", 0), what, number) for number, (node, what, _) in found]


def mutated(root: Path, mutant: Mutant) -> ast.Module:
    """The tree of the file with the change made."""
    tree = ast.parse((root / mutant.path).read_text(encoding="utf-8"))
    for number, (_, _, change) in enumerate(_places(tree)):
        if number == mutant.number:
            change()
            break
    return ast.fix_missing_locations(tree)
