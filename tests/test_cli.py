"""The command line as people and scripts meet it: exit codes, streams, consoles, disks that refuse."""

from __future__ import annotations

import errno
import json
import os
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "procedures" / "booster"
PROC = "valve-service.proc"
NAME = "SCR-M-003-A-procedure"
CHARTS = f"{NAME}-charts"
FAULTY = ("step prove cylinder at PI-1 by fitter\n", "step prove cylinder at PI-1 by fitter only for frame-S\n")


def procforge(
    *arguments: str | Path, cwd: Path | None = None, code: str = "", **environment: str
) -> subprocess.CompletedProcess[str]:
    """One run in a process of its own; `code` runs before the command, in that process."""
    env = {k: v for k, v in os.environ.items() if not k.startswith(("PYTHONIOENCODING", "NO_COLOR", "COLUMNS"))}
    env |= {"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"} | environment
    start = (
        ["-c", f"import sys; sys.argv[0] = 'procforge'\n{code}\nfrom procforge.cli import main\nmain()"]
        if code
        else ["-m", "procforge"]
    )
    return subprocess.run(
        [sys.executable, *start, *map(str, arguments)],
        cwd=cwd, env=env, capture_output=True, encoding=env["PYTHONIOENCODING"].split(":")[0], errors="strict", timeout=120,
    )  # fmt: skip


def copied(folder: Path, to: Path) -> Path:
    """A copy of a folder of procedures, beside the files that all of them use."""
    shutil.copytree(folder, to)
    for shared in folder.parent.glob("*.equip"):
        shutil.copy(shared, to.parent)
    return to


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    """A copy of the demo's folder; the procedure in it."""
    return copied(DEMO, tmp_path / "demo") / PROC


@pytest.fixture
def joint(tmp_path: Path) -> Path:
    """A copy of the shortest procedure, for what is written many times; it is for one variant."""
    return copied(DEMO.parent / "flange", tmp_path / "flange") / "flange-gasket.proc"


@pytest.fixture
def faulty(demo: Path) -> Path:
    """The demo with a proof that is left out on one model."""
    text = demo.read_text(encoding="utf-8")
    assert FAULTY[0] in text
    demo.write_text(text.replace(*FAULTY, 1), encoding="utf-8")
    return demo


# ---- exit codes ----------------------------------------------------------------------------------
WRONG_USE: dict[str, tuple[list[str], str]] = {
    "no arguments": ([], "Usage"),
    "no such command": (["prove"], "prove"),
    "no such option": (["check", "--loud", "demo"], "--loud"),
    "check without a path": (["check"], "paths"),
    "missing path": (["check", "nowhere.proc"], "nowhere.proc"),
    "one missing path of two": (["check", "demo", "nowhere.proc"], "nowhere.proc"),
    "folder without files": (["check", "empty"], "no .proc"),
    "unknown format": (["check", "demo", "--format", "xml"], "long, short, json"),
    "unknown model": (["check", "demo", "--model", "frame-X"], "frame-L, frame-S"),
    "unknown service": (["check", "demo", "--service", "steam"], "dry-gas, wet-gas"),
    "folder for a sheet": (["sheet", "demo", "-o", "x.docx"], "folder"),
    "folder for a release": (["release", "demo", "--out", "new"], "folder"),
    "folder for a chart": (["chart", "demo", "-o", "x.svg"], "folder"),
    "machine for a sheet": (["sheet", "demo/booster.equip", "-o", "x.docx"], "no procedure"),
    "units for a release": (["release", "demo/booster.units", "--out", "new"], "no procedure"),
    "sheet to nowhere": (["sheet", f"demo/{PROC}"], "output"),
    "sheet of another kind": (["sheet", f"demo/{PROC}", "-o", "x.pdf"], ".docx"),
    "sheet into no folder": (["sheet", f"demo/{PROC}", "-o", "no/x.docx"], "there is no folder no"),
    "unknown unit": (["sheet", f"demo/{PROC}", "-o", "x.docx", "--unit", "K-9"], "K-101, K-202"),
    "unknown model of a sheet": (["sheet", f"demo/{PROC}", "-o", "x.docx", "--model", "frame-X"], "frame-X"),
    "unknown paper": (["sheet", f"demo/{PROC}", "-o", "x.docx", "--paper", "A9"], "A4, Letter"),
    "unknown paper of a release": (["release", f"demo/{PROC}", "--out", "new", "--paper", "A9"], "A4, Letter"),
    "template that is none": (["sheet", f"demo/{PROC}", "-o", "x.docx", "--template", f"demo/{PROC}"], "template"),
    "unknown chart": (["chart", f"demo/{PROC}", "-o", "x.svg", "--kind", "pie"], "flow, depends"),
    "picture of another kind": (["chart", f"demo/{PROC}", "-o", "x.gif"], ".svg"),
    "chart into no folder": (["chart", f"demo/{PROC}", "-o", "no/x.svg"], "there is no folder no"),
    "release to nowhere": (["release", f"demo/{PROC}"], "--out"),
    "unknown unit of a release": (["release", f"demo/{PROC}", "--out", "new", "--unit", "K-9"], "K-101, K-202"),
    "why without a rule": (["why"], "rule"),
    "unknown rule": (["why", "left-uot"], "left-out"),
    "unknown schema": (["schema", "sheet"], "procedure, equipment"),
    "too many words": (["rules", "energy"], "energy"),
}


@pytest.mark.parametrize("case", WRONG_USE)
def test_wrong_use_is_2_with_a_word_on_stderr_and_nothing_written(case: str, demo: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    before = sorted(tmp_path.rglob("*"))
    arguments, word = WRONG_USE[case]
    done = procforge(*arguments, cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, ""), done
    assert word in done.stderr
    assert "Traceback" not in done.stderr
    assert sorted(tmp_path.rglob("*")) == before


@pytest.mark.parametrize(
    "command", [["rules"], ["why", "left-out"], ["schema"], ["schema", "equipment"], ["--help"], ["check", "--help"]]
)
def test_what_only_prints_is_0_and_says_nothing_on_stderr(command: list[str]) -> None:
    done = procforge(*command)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.strip()


def test_clean_is_0_and_only_chatter(demo: Path) -> None:
    done = procforge("check", demo.parent)
    assert (done.returncode, done.stdout) == (0, "")
    assert "1 of 1 procedures proved" in done.stderr


def test_findings_are_1_and_stand_on_stdout(faulty: Path) -> None:
    done = procforge("check", faulty)
    assert done.returncode == 1
    assert "hold-before-proof" in done.stdout
    assert "hold-before-proof" not in done.stderr
    assert "0 of 1 procedures proved" in done.stderr


def test_a_model_that_the_fault_spares_is_clean(faulty: Path) -> None:
    assert procforge("check", faulty, "--model", "frame-S").returncode == 0
    assert procforge("check", faulty, "--model", "frame-L", "--service", "dry-gas").returncode == 1


def test_notes_leave_the_exit_code_alone(demo: Path) -> None:
    text = demo.read_text(encoding="utf-8")
    start = text.index("when cover-test failed")
    again = text[start : text.index("end\n", start) + 4]
    demo.write_text(text.replace(again, again + again), encoding="utf-8")
    done = procforge("check", demo, "--format", "short")
    assert "note: " in done.stdout and "[result-read-twice]" in done.stdout
    assert "error: " not in done.stdout
    assert done.returncode == 0


def test_a_machine_alone_may_be_checked(demo: Path) -> None:
    assert procforge("check", demo.parent / "booster.equip").returncode == 0
    assert procforge("check", demo.parent / "booster.units").returncode == 0


def test_a_missing_used_file_is_a_finding_not_wrong_use(demo: Path) -> None:
    (demo.parent / "booster.equip").unlink()
    done = procforge("check", demo, "--format", "short")
    assert done.returncode == 1
    assert "[file-not-found]" in done.stdout


# ---- json ----------------------------------------------------------------------------------------
def test_json_gives_every_finding_with_its_counter_example(faulty: Path) -> None:
    done = procforge("check", faulty, "--format", "json")
    findings = json.loads(done.stdout)
    assert {"rule", "severity", "message", "file", "line", "column", "variants", "basis", "path"} <= set(findings[0])
    (found,) = [f for f in findings if f["rule"] == "hold-before-proof"]
    assert found["severity"] == "error"
    assert Path(found["file"]) == faulty
    text = faulty.read_text(encoding="utf-8").split("\n")
    assert text[found["line"] - 1].startswith("hold H1")
    # the dry gas has fewer steps, so the shortest way is one of its own: that variant comes first
    assert found["variants"] == ["frame-L, dry-gas", "frame-L, wet-gas"]
    for beat in found["path"]:
        assert {"file", "line", "text", "state"} <= set(beat)
        assert beat["text"] and 0 < beat["line"] <= len(text)
    assert any("only for frame-S" in text[b["line"] - 1] and b["skipped"] for b in found["path"])


def test_json_of_nothing_is_an_empty_list(demo: Path) -> None:
    assert json.loads(procforge("check", demo, "--format", "json").stdout) == []


# ---- consoles and odd words ----------------------------------------------------------------------
ODD = "[bold]x[/bold] {y} %s %(z)d <b>&amp;</b> \\n $HOME `ls` Ünïcödé Ж 漢字 \u202e \u200b é́́́́"


@pytest.fixture
def odd(demo: Path) -> Path:
    """A faulty procedure whose file name, titles and instructions have markup of all kinds and letters of all scripts."""
    text = demo.read_text(encoding="utf-8").replace(*FAULTY, 1)
    escaped = ODD.replace("\\", "\\\\")
    text = text.replace("Zero pressure witnessed", escaped, 1).replace("Ж", "Ж", 1)
    text += f'\nsection "{escaped}"\nstep carry-out "{escaped}" by fitter\nstep remove [red]{{q}}%d\n'
    target = demo.parent / "Ж [i]a[-i] {b} %s.proc"
    target.write_text(text, encoding="utf-8")
    return target


@pytest.mark.parametrize("encoding", ["utf-8", "cp1252", "ascii", "cp437", "utf-16"])
@pytest.mark.parametrize("format", ["long", "short", "json"])
def test_no_console_is_too_narrow_for_any_text(odd: Path, encoding: str, format: str) -> None:
    done = procforge("check", odd, "--format", format, PYTHONIOENCODING=encoding)
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    assert "%s.proc" in done.stdout


def test_user_text_is_no_markup(odd: Path) -> None:
    done = procforge("check", odd)
    for part in ("[i]a[-i] {b} %s.proc", "[red]{q}%d"):
        assert part in done.stdout
    assert "\x1b" not in done.stdout + done.stderr
    assert "\u202e" not in done.stdout  # what turns the line round is shown by its number


def test_no_colour_into_a_pipe_or_under_no_color(faulty: Path) -> None:
    terminal = "sys.stdout.isatty = lambda: True"
    assert "\x1b[" not in procforge("check", faulty).stdout
    assert "\x1b[" in procforge("check", faulty, code=terminal).stdout
    assert "\x1b[" not in procforge("check", faulty, code=terminal, NO_COLOR="1").stdout


def test_a_closed_pipe_is_no_traceback(faulty: Path) -> None:
    run = [sys.executable, "-m", "procforge", "rules"]
    with subprocess.Popen(
        run, env=os.environ | {"PYTHONPATH": str(ROOT)}, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None and process.stderr is not None
        process.stdout.close()
        assert "Traceback" not in process.stderr.read()


# ---- start-up and order --------------------------------------------------------------------------
HEAVY = ("docx", "graphviz", "graphviz_pure", "rich", "networkx", "lxml", "PIL", "pint", "hypothesis")


@pytest.mark.parametrize("arguments", [["check", str(DEMO)], ["rules"], ["why", "left-out"], ["--help"]])
def test_checking_loads_no_writer(arguments: list[str]) -> None:
    code = f"import atexit\natexit.register(lambda: sys.stderr.write('LOADED ' + ' '.join(m for m in {HEAVY!r} if m in sys.modules)))"
    done = procforge(*arguments, code=code)
    assert done.returncode == 0
    assert done.stderr.endswith("LOADED "), done.stderr


def test_hash_seeds_change_nothing(faulty: Path, tmp_path: Path) -> None:
    text = (
        faulty.read_text(encoding="utf-8").replace("meets gas-jet", "meets gas-jit").replace("step lock", "step lok", 1)
    )
    (faulty.parent / "more.proc").write_text(text, encoding="utf-8")
    runs = [procforge("check", faulty.parent, PYTHONHASHSEED=seed) for seed in ("0", "1", "4242")]
    assert runs[0].stdout
    assert len({(r.returncode, r.stdout, r.stderr) for r in runs}) == 1


def test_hash_seeds_change_no_byte_of_a_release(joint: Path, tmp_path: Path) -> None:
    made = []
    for seed in ("1", "77"):
        out = tmp_path / seed
        assert procforge("release", joint, "--out", out, PYTHONHASHSEED=seed).returncode == 0
        made.append({p.relative_to(out): p.read_bytes() for p in out.rglob("*") if p.is_file()})
    assert made[0].keys() == made[1].keys()
    assert [p for p in made[0] if made[0][p] != made[1][p]] == []


# ---- writing -------------------------------------------------------------------------------------
def test_a_release_writes_everything_and_names_it(joint: Path, tmp_path: Path) -> None:
    out = tmp_path / "deep" / "out"
    done = procforge("release", joint, "--out", out)
    assert done.returncode == 0
    written = sorted(p for p in out.rglob("*") if p.is_file())
    assert sorted(map(Path, done.stdout.split("\n")[:-1])) == written
    assert {p.suffix for p in written} == {".docx", ".svg", ".png"}
    assert all(not part.startswith(".") for p in written for part in p.relative_to(out).parts)


def test_a_release_of_a_faulty_procedure_writes_nothing(faulty: Path, tmp_path: Path) -> None:
    done = procforge("release", faulty, "--out", tmp_path / "out")
    assert done.returncode == 1
    assert "hold-before-proof" in done.stdout
    assert "nothing was written" in done.stderr
    assert not (tmp_path / "out").exists()


def test_a_sheet_of_a_faulty_procedure_is_marked(faulty: Path, tmp_path: Path) -> None:
    from docx import Document

    done = procforge("sheet", faulty, "-o", tmp_path / "x.docx", "--model", "frame-L")
    assert done.returncode == 1
    assert "not for use" in done.stderr
    document = Document(str(tmp_path / "x.docx"))
    assert "Not for use" in document.element.xml + document.sections[0].header._element.xml


def tree(folder: Path) -> dict[Path, bytes]:
    """Everything in a folder, hidden files included."""
    return {p.relative_to(folder): p.read_bytes() if p.is_file() else b"folder" for p in folder.rglob("*")}


REFUSE = """
import os, pathlib
real = os.replace
left = [{0}]
def refuse(source, target, **more):
    if "/new/" in str(source) and str(target).startswith({1!r}) and ".procforge-" not in str(target):
        left[0] -= 1
        if left[0] < 0:
            raise OSError({2}, os.strerror({2}), str(source), None, str(target))
    return real(source, target, **more)
os.replace = refuse
pathlib.Path.replace = lambda self, target: (refuse(self, target), pathlib.Path(target))[1]
"""


@pytest.mark.parametrize("after", [0, 1, 20])
def test_a_disk_that_fails_in_the_middle_of_a_release_changes_nothing(joint: Path, tmp_path: Path, after: int) -> None:
    out = tmp_path / "out"
    assert procforge("release", joint, "--out", out).returncode == 0
    (out / CHARTS / "mine.txt").write_text("kept")
    (out / CHARTS / "flow-99.svg").write_text("of an earlier, longer release")
    (out / f"{NAME}.docx").write_text("old")
    before = tree(out)
    done = procforge("release", joint, "--out", out, code=REFUSE.format(after, str(out), errno.ENOSPC))
    assert done.returncode == 2
    assert "no space left" in done.stderr
    assert tree(out) == before
    assert procforge("release", joint, "--out", out).returncode == 0
    after_all = tree(out)
    assert Path(CHARTS, "mine.txt") in after_all
    assert Path(CHARTS, "flow-99.svg") not in after_all


@pytest.mark.parametrize(
    "command",
    [["sheet", "-o", "out/x.docx"], ["chart", "-o", "out/x.svg"], ["chart", "-o", "out/x.png", "--kind", "depends"]],
)
def test_a_disk_that_fails_leaves_the_old_file(command: list[str], joint: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    for name in ("x.docx", "x.svg", "x.png"):
        (out / name).write_text("old")
    before = tree(out)
    limit = "import resource, signal\nsignal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
    limit += "resource.setrlimit(resource.RLIMIT_FSIZE, (1500, 1500))"
    done = procforge(command[0], joint, *command[1:], cwd=tmp_path, code=limit)
    assert done.returncode == 2, done
    assert "file too large" in done.stderr
    assert tree(out) == before


@pytest.mark.parametrize(
    ("command", "folder"),
    [
        (["sheet", "-o", "out/x.docx"], "x.docx"),
        (["chart", "-o", "out/x.svg"], "x.svg"),
        (["release", "--out", "out"], f"{NAME}.docx"),
    ],
)
def test_a_folder_in_place_of_the_file_stays(command: list[str], folder: str, joint: Path, tmp_path: Path) -> None:
    (tmp_path / "out" / folder / "inside").mkdir(parents=True)
    before = tree(tmp_path / "out")
    done = procforge(command[0], joint, *command[1:], cwd=tmp_path)
    assert done.returncode == 2
    assert "a folder stands there" in done.stderr
    assert tree(tmp_path / "out") == before


def test_a_file_in_place_of_the_folder_stays(joint: Path, tmp_path: Path) -> None:
    (tmp_path / "out").write_text("mine")
    done = procforge("release", joint, "--out", tmp_path / "out")
    assert done.returncode == 2
    assert "cannot write" in done.stderr
    assert (tmp_path / "out").read_text() == "mine"


READ_ONLY = "import os, tempfile\ndef no(*a, **k): raise PermissionError(13, os.strerror(13))\ntempfile.mkstemp = tempfile.mkdtemp = no"


@pytest.mark.parametrize(
    "command",
    [["sheet", "-o", "out/x.docx"], ["chart", "-o", "out/x.svg"], ["release", "--out", "out"]],
)
def test_a_read_only_folder_is_said(command: list[str], joint: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    out.chmod(stat.S_IRUSR | stat.S_IXUSR)
    # the administrator may write anywhere: then the refusal is made up
    code = READ_ONLY if os.access(out, os.W_OK) else ""
    done = procforge(command[0], joint, *command[1:], cwd=tmp_path, code=code)
    out.chmod(stat.S_IRWXU)
    assert done.returncode == 2, done
    assert "permission denied" in done.stderr.lower()
    assert tree(out) == {}
