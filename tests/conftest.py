"""Hooks of the test run: literate pages are tests, and a skipped test fails the run where `CI` is set."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import literate
import pytest

SKIPS = pytest.StashKey[list[str]]()


def pytest_configure(config: pytest.Config) -> None:
    config.stash[SKIPS] = []
    if os.environ.get("CI", "").lower() in ("true", "1"):
        config.pluginmanager.register(NoSkips(config.stash[SKIPS]), "no-skips")


class NoSkips:
    """A test that was skipped has shown nothing: say which and why, and fail."""

    def __init__(self, skips: list[str]) -> None:
        self.skips = skips

    def note(self, report: pytest.TestReport | pytest.CollectReport) -> None:
        if report.skipped and not hasattr(report, "wasxfail"):
            reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else report.longrepr
            self.skips.append(f"{report.nodeid}: {reason}")

    pytest_runtest_logreport = pytest_collectreport = note

    @pytest.hookimpl(trylast=True)
    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        if self.skips and session.exitstatus in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED):
            session.exitstatus = pytest.ExitCode.TESTS_FAILED

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        if self.skips:
            terminalreporter.section("skipped tests fail this run (CI is set)", red=True)
            for line in self.skips:
                terminalreporter.write_line(line)


def pytest_collect_file(file_path: Path, parent: pytest.Collector) -> pytest.Collector | None:
    return literate.collect(file_path, parent)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--write-golden", action="store_true", help="write what tests compare with; read the diff then")


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[str, str], None]:
    """`golden(name, text)` compares text with the file `tests/golden/NAME`, or writes it under --write-golden."""

    def compare(name: str, text: str) -> None:
        path = Path(__file__).parent / "golden" / name
        if request.config.getoption("--write-golden"):
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8", newline="\n")
        assert text == path.read_text(encoding="utf-8")

    return compare
