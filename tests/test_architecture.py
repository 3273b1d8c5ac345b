"""The dependency order of the package, and the size and head of each file.

The order is the one tuple below, lowest row first. A module imports only from rows below its own, never from a
neighbour on its row; inside a package anything may import anything. Imports inside functions, under
`TYPE_CHECKING` and through `import_module("...")` count like any other.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from statistics import median

import pytest

PACKAGE = "procforge"
ROOT = Path(__file__).parent.parent / PACKAGE

ORDER: tuple[tuple[str, ...], ...] = (
    ("__init__",),
    ("text", "quantities", "grammar_files"),
    ("findings",),
    ("syntax",),
    ("model",),
    ("resolve",),
    ("engineering",),
    ("site",),
    ("analysis", "reckon"),
    ("rules",),
    ("sheet", "advice"),
    ("plan", "wordfile"),
    ("render", "readback"),
    ("changes", "report"),
    ("library",),
    ("stages",),
    ("issue",),
    ("planning",),
    ("cli", "editor"),
    ("__main__",),
)
ROW = {name: number for number, names in enumerate(ORDER) for name in names}

LONGEST = 400
MEDIAN = 150

PATHS = sorted(ROOT.rglob("*.py"))


def top_level(module: str) -> str:
    """The row name of a dotted module name: `procforge.rules.energy` is `rules`, `procforge` itself `__init__`."""
    return [*module.split("."), "__init__"][1]


def module_name(path: Path, root: Path) -> str:
    """The dotted name of a file below the package folder `root`."""
    parts = [PACKAGE, *path.relative_to(root).with_suffix("").parts]
    return ".".join(parts[:-1] if len(parts) > 2 and parts[-1] == "__init__" else parts)


def imported(tree: ast.Module, module: str, is_package: bool) -> Iterator[tuple[int, str]]:
    """Each module of ours that a file names in an import, wherever it stands, with its line."""
    for node in ast.walk(tree):
        match node:
            case ast.Import(names=names):
                yield from ((node.lineno, name.name) for name in names if name.name.split(".")[0] == PACKAGE)
            case ast.ImportFrom(module=base, names=names, level=level):
                if level:
                    parts = module.split(".")
                    parts = parts[: len(parts) - level + is_package]
                    base = ".".join([*parts, base] if base else parts)
                if base == PACKAGE:  # either a module or a name that __init__ defines
                    yield from ((node.lineno, f"{base}.{n.name}" if n.name in ROW else base) for n in names)
                elif base and base.split(".")[0] == PACKAGE:
                    yield node.lineno, base
            case ast.Call(func=function, args=[ast.Constant(value=str(name)), *_]):
                called = getattr(function, "attr", getattr(function, "id", ""))
                if called in ("import_module", "__import__") and name.split(".")[0] == PACKAGE:
                    yield node.lineno, name


def faults(text: str, module: str, is_package: bool = False) -> list[str]:
    """What is wrong with the imports of one file, in words."""
    own = top_level(module)
    if own not in ROW:
        return [f"{module}: {own} has no row in the order"]
    found = []
    for line, name in imported(ast.parse(text), module, is_package):
        target = top_level(name)
        if target not in ROW:
            found.append(f"{module}:{line}: {target} has no row in the order")
        elif target != own and ROW[target] >= ROW[own]:
            relation = "its neighbour" if ROW[target] == ROW[own] else "a higher row"
            found.append(f"{module}:{line}: {own} imports {target}, {relation}")
    return found


def test_the_package_is_found() -> None:
    assert len(PATHS) >= 5, PATHS


@pytest.mark.parametrize("path", PATHS, ids=lambda path: str(path.relative_to(ROOT)))
def test_module_keeps_the_order_and_its_form(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert faults(text, module_name(path, ROOT), path.name == "__init__.py") == []
    assert ast.get_docstring(ast.parse(text)), "the module has no docstring"
    length = len(text.splitlines())
    assert length <= LONGEST, f"{length} lines, at most {LONGEST}"


def test_files_are_small() -> None:
    assert median(len(path.read_text(encoding="utf-8").splitlines()) for path in PATHS) <= MEDIAN


@pytest.mark.parametrize(
    ("module", "text", "fault"),
    [
        ("procforge.syntax.parser", "from procforge.text import Span\nfrom procforge.findings import Finding", None),
        ("procforge.syntax.parser", "import procforge.syntax.nodes", None),
        ("procforge.report.frame", "from procforge import __version__", None),
        ("procforge.__main__", "from procforge.cli import main", None),
        ("procforge.text", "from procforge.findings import Finding", "text imports findings, a higher row"),
        ("procforge.text", "import procforge.quantities as q", "text imports quantities, its neighbour"),
        (
            "procforge.changes",
            "def f():\n    from procforge.report import write",
            "changes imports report, its neighbour",
        ),
        ("procforge.model.parts", "if TYPE_CHECKING:\n    from procforge.rules.x import y", "model imports rules"),
        ("procforge.model.parts", "from procforge import stages", "model imports stages"),
        ("procforge.model.parts", "from ..stages import check_paths", "model imports stages"),
        ("procforge.model.parts", "from .. import stages", "model imports stages"),
        ("procforge.model.parts", "importlib.import_module('procforge.cli')", "model imports cli"),
        ("procforge.model.parts", "import procforge.unheard_of", "unheard_of has no row"),
        ("procforge.unheard_of", "", "unheard_of has no row"),
    ],
)
def test_the_check_itself(module: str, text: str, fault: str | None) -> None:
    found = faults(text, module)
    assert len(found) == (fault is not None), found
    assert fault is None or fault in found[0]


def test_relative_imports_of_a_package_start_at_itself() -> None:
    assert faults("from .nodes import Node", "procforge.syntax", is_package=True) == []
    assert faults("from ..rules import x", "procforge.syntax", is_package=True) != []


def test_module_names() -> None:
    names = [module_name(ROOT / p, ROOT) for p in ("__init__.py", "text.py", "rules/__init__.py", "rules/a/b.py")]
    assert names == ["procforge.__init__", "procforge.text", "procforge.rules", "procforge.rules.a.b"]
    assert [top_level(name) for name in ("procforge", *names)] == ["__init__", "__init__", "text", "rules", "rules"]
