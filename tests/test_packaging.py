"""The three ways the tool is run: from a wheel, from an editable install, from a bare checkout.

Each is run in an interpreter without this environment's `procforge`: `-S` leaves out the site folders, and only
the folder of the libraries is put back, behind the copy under test.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import tomllib
import zipfile
from pathlib import Path

import pytest

import procforge

ROOT = Path(__file__).parent.parent
GRAMMAR = ROOT / "grammar"
LIBRARIES = sysconfig.get_path("purelib")
BUILD = "import sys, hatchling.build as b; getattr(b, sys.argv[1])(sys.argv[2])"

# Puts a folder (with its .pth files) and the libraries on the path, then runs the command line as `-m` does.
RUN = """
import runpy, site, sys
where, libraries = sys.argv[1:3]
site.addsitedir(where)
sys.path.append(libraries)
import procforge
print(procforge.__file__, file=sys.stderr)
sys.argv = ["procforge", *sys.argv[3:]]
runpy.run_module("procforge", run_name="__main__", alter_sys=True)
"""


def files_below(folder: Path) -> dict[str, bytes]:
    """Path below `folder` and content of each file, without the bytecode the interpreter leaves."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and "__pycache__" not in path.parts
    }


def built(kind: str, into: Path) -> Path:
    """The one file that a build hook (`build_wheel`, `build_editable`, `build_sdist`) leaves in a new folder."""
    into.mkdir()
    result = subprocess.run(
        [sys.executable, "-c", BUILD, kind, str(into)], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert result.returncode == 0, result.stderr
    (archive,) = into.iterdir()
    return archive


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A folder for each way of running; what is in it is what an installer would lay into its library folder."""
    top = tmp_path_factory.mktemp("packages")
    folders = {}
    for kind in ("wheel", "editable"):
        folders[kind] = top / kind
        with zipfile.ZipFile(built(f"build_{kind}", top / f"{kind}-built")) as archive:
            archive.extractall(folders[kind])
    folders["checkout"] = top / "checkout"
    for name in ("procforge", "grammar"):
        shutil.copytree(ROOT / name, folders["checkout"] / name, ignore=shutil.ignore_patterns("__pycache__"))
    return folders


def run(folder: Path, *arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """The command line of the copy in `folder`, run from another directory."""
    return subprocess.run(
        [sys.executable, "-S", "-I", "-c", RUN, str(folder), LIBRARIES, *arguments],
        cwd=cwd,
        capture_output=True,
        text=True,
        encoding="utf-8",
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1", "PYTHONIOENCODING": "utf-8"},
        check=False,
        timeout=120,
    )


def test_the_wheel_holds_the_grammar_as_it_is(installed: dict[str, Path]) -> None:
    shipped = files_below(installed["wheel"] / "procforge" / "grammar")
    assert shipped == files_below(GRAMMAR)
    assert any(name.endswith(".lark") for name in shipped)


def test_the_wheel_holds_the_package_and_nothing_else(installed: dict[str, Path]) -> None:
    shipped = files_below(installed["wheel"] / "procforge")
    package = files_below(ROOT / "procforge")
    assert {name: text for name, text in shipped.items() if not name.startswith("grammar/")} == package
    assert "py.typed" in package
    fonts = {name.rpartition("/")[2] for name in shipped if name.startswith("render/picture/fonts/")}
    assert fonts == {"LiberationSans-Regular.ttf", "LiberationSans-Bold.ttf", "OFL.txt"}
    tops = {path.name for path in installed["wheel"].iterdir()}
    assert tops == {"procforge", f"procforge-{procforge.__version__}.dist-info"}


def test_the_wheel_starts_the_command_line(installed: dict[str, Path]) -> None:
    (info,) = installed["wheel"].glob("*.dist-info")
    assert "procforge = procforge.cli:main" in (info / "entry_points.txt").read_text(encoding="utf-8")
    assert f"\nVersion: {procforge.__version__}\n" in (info / "METADATA").read_text(encoding="utf-8")


@pytest.mark.parametrize("way", ["wheel", "editable", "checkout"])
def test_it_runs_from_another_directory(installed: dict[str, Path], tmp_path: Path, way: str) -> None:
    home = ROOT if way == "editable" else installed[way]
    listed = run(installed[way], "rules", cwd=tmp_path)
    assert listed.returncode == 0, listed.stderr
    assert Path(listed.stderr.splitlines()[0]).parent == home / "procforge"
    assert "opened-before-proved" in listed.stdout

    # A file that can't be read as a procedure needs the grammar, and gives findings, not a traceback.
    (tmp_path / "broken.proc").write_text("procedure\nstep\nfrobnicate\n", encoding="utf-8")
    checked = run(installed[way], "check", "broken.proc", "--format", "json", cwd=tmp_path)
    assert checked.returncode == 1, checked.stderr
    assert {finding["line"] for finding in json.loads(checked.stdout)} >= {1, 3}
    assert list(tmp_path.iterdir()) == [tmp_path / "broken.proc"]


def test_the_source_archive_holds_procedures_tests_and_grammar(tmp_path: Path) -> None:
    with tarfile.open(built("build_sdist", tmp_path / "sdist")) as archive:
        names = {name.partition("/")[2] for name in archive.getnames()}
    for folder in ("procedures", "grammar", "procforge", "tests"):
        assert {f"{folder}/{name}" for name in files_below(ROOT / folder)} <= names, folder
    assert {"README.md", "pyproject.toml", ".ci/run"} <= names


def test_the_readme_and_ci_give_one_test_command() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    for words in (r'-m pip install .*-e "\.\[test\]"', r"-m pytest"):
        assert re.search(words, readme), words
        assert re.search(words, script), words


def test_the_command_library_is_one_that_starts_fast() -> None:
    """rich and pydantic come in with the typer releases that the pin leaves out (see pyproject.toml)."""
    pins = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["dependencies"]
    assert "typer>=0.26,<0.29" in pins
    script = """
import sys, typer
app = typer.Typer(add_completion=False, rich_markup_mode=None)
@app.command()
def one(path: str, model: str = "") -> None: print(path)
@app.command()
def two() -> None: pass
app(["one", "x"], standalone_mode=False)
print(*sorted({"rich", "pydantic"} & set(sys.modules)))
"""
    result = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert result.stdout == "x\n\n"
