"""One mutant in one process: the changed module is put in the way of the import, then tests run till one fails."""

from __future__ import annotations

import importlib.abc
import importlib.machinery
import importlib.util
import os
import resource
import shutil
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import CodeType, ModuleType

import literate
import pytest

from tests.mutation.mutate import Mutant, mutated

ROOT = Path(__file__).parents[2]
#: Settings of the project without its workers: a worker is another process and would not see the mutant.
OPTIONS = ("-p", "no:xdist", "-p", "no:cacheprovider", "-x", "-q", "-o", "addopts=--import-mode=importlib -p pytester")
#: By the start of the path: folders of pages and test files, the cheap and telling first.
PAGES: dict[str, tuple[str, ...]] = {
    "procforge/analysis": ("energy", "assembly", "judgement", "people", "torque"),
    "procforge/rules/": ("energy", "assembly", "judgement", "people", "torque", "words"),
}
TESTS: dict[str, tuple[str, ...]] = {
    "procforge/analysis/depends": ("test_depends.py", "test_advice.py"),
    "procforge/analysis/order": ("test_depends.py",),
    "procforge/analysis/house": ("test_house_rules.py", "test_patterns.py"),
    "procforge/analysis/regions": ("test_regions.py", "test_agreement_cases.py"),
    "procforge/analysis/tables": ("test_semantics_page.py",),
    "procforge/analysis/reference": ("test_reference.py",),
    "procforge/analysis": ("test_soundness.py", "test_agreement_cases.py", "test_seeded.py", "test_agreement.py"),
    "procforge/rules/registry": ("test_rule_pages.py", "test_seeded.py"),
    "procforge/rules/wording": ("test_house_words.py", "test_seeded.py"),
    "procforge/rules/story": ("test_house_words.py", "test_seeded.py", "test_mistakes.py", "test_acceptance.py"),
    "procforge/rules/slips": ("test_seeded.py", "test_many_mistakes.py", "test_mistakes.py", "test_acceptance.py"),
    "procforge/rules": ("test_seeded.py", "test_rule_pages.py"),
}


class Swapped(importlib.abc.MetaPathFinder):
    """Gives the mutated module when it is asked for, and leaves all others to the usual finders."""

    def __init__(self, mutant: Mutant) -> None:
        self.name = mutant.path.removesuffix(".py").replace("/", ".")
        self.mutant = mutant

    def find_spec(
        self,
        fullname: str,
        path: Sequence[str] | None,  # noqa: ARG002
        target: ModuleType | None = None,  # noqa: ARG002
    ) -> importlib.machinery.ModuleSpec | None:
        if fullname != self.name:
            return None
        file = str(ROOT / self.mutant.path)
        return importlib.util.spec_from_file_location(fullname, file, loader=Loader(fullname, file, self.mutant))


class Loader(importlib.machinery.SourceFileLoader):
    """Compiles the changed tree instead of the file."""

    def __init__(self, name: str, file: str, mutant: Mutant) -> None:
        super().__init__(name, file)
        self.mutant = mutant

    def get_code(self, fullname: str) -> CodeType:  # noqa: ARG002
        return compile(mutated(ROOT, self.mutant), self.path, "exec")


def plan(path: str) -> tuple[list[Path], tuple[str, ...]]:
    """The literate pages and the test files that should notice a change in this file, the nearest first."""
    family = path.split("/")[2] if path.count("/") == 3 else ""
    folders = (family,) if family else next(v for k, v in PAGES.items() if path.startswith(k))
    own = Path(path).stem.replace("_", "-")
    pages = [page for folder in folders for page in sorted((literate.PAGES / folder).glob("*.md"))]
    pages.sort(key=lambda page: page.stem != own)
    return pages, next(v for k, v in TESTS.items() if path.startswith(k))


def killer(path: str) -> str:
    """The first test that fails with the code as it is loaded now; empty when all pass."""
    pages, tests = plan(path)
    if fault := next(_pages(pages), ""):
        return fault
    os.environ["AGREEMENT_SEEDS"] = "0-40"
    for name in tests:
        wanted = "(jobs or tangles)" if name == "test_agreement.py" else ""
        left_out = f"not ({without})" if (without := os.environ.get("MUTATION_WITHOUT")) else ""
        extra = ("-k", " and ".join(filter(None, (wanted, left_out))))
        code = pytest.main([*OPTIONS, "-m", "not bench", *extra, str(ROOT / "tests" / name)])
        if code not in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED):
            return name
    return ""


def _pages(pages: Sequence[Path]) -> Iterator[str]:
    for page in pages:
        for case in literate.cases_of(page.read_text(encoding="utf-8"), page.stem):
            folder = Path(tempfile.mkdtemp(prefix="mutant-"))
            try:
                literate.run(case, folder, literate.PAGES / "shared", literate.check_with_procforge)
            except Exception:  # a crash of the mutant is noticed as much as a wrong finding
                yield f"{page.stem}: {case.title}"
            finally:
                shutil.rmtree(folder, ignore_errors=True)


def child(mutant: Mutant | None, path: str, answer: Path, limit: float) -> None:
    """The life of the process of one mutant (None: the code as it is); writes who noticed it and never returns."""
    os.setpgid(0, 0)
    os.nice(19)
    resource.setrlimit(resource.RLIMIT_CPU, (int(limit), int(limit) + 1))
    null = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(null, stream)
    try:
        if mutant:
            sys.meta_path.insert(0, Swapped(mutant))
        said = killer(path)
    except BaseException as crash:
        said = f"crash: {type(crash).__name__}"
    answer.write_text(said or "survived", encoding="utf-8")
    os._exit(0)
