"""Literate tests: Markdown pages whose snippets are checked and whose comments claim the findings.

A page stands anywhere below `tests/pages` except in `tests/pages/shared`. The fences under one heading form one
case: a folder with a file for each fence, which is checked as a whole. Other fences and all prose are for people.

    ```proc                     a file of the case, `main.proc`; `equip` gives `machine.equip`, `units` `unit.units`
    ```toml                     the site profile of the case, `site.toml`
    ```equip booster.equip      the same under a name of its own
    ```use booster.equip        (empty) a copy of `tests/pages/shared/booster.equip`
    ```png cover.png            a small picture; nothing in the body
    ```proc base=sound.proc     the body is a list of edits on `tests/pages/shared/sound.proc` (a name may precede)

A line that must be reported ends in a comment with the severity and the rule, several separated by commas:
`# error: opened-before-proved` or `# error: first-rule, second-rule, note: third-rule`. A case without such a
comment must be silent; so must one whose heading has the word "silent", and there a claim is a mistake of the page.
A finding that no comment claims fails, and so does a claim that no finding meets. A finding about a file as a
whole stands on line 0 and is claimed on the first line with `# error: RULE on file`.

Edits, one a line, in the order of the base file or not; blank lines are ignored:

    - X    removes the line whose stripped text is X (exactly one such line must exist)
    = X    keeps that line and moves to just after it; a claim after X is put on the line
    + Y    adds the line Y where the last edit left off; it may carry a claim
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import pytest

if TYPE_CHECKING:
    from procforge.findings import Finding

PAGES = Path(__file__).parent / "pages"
#: A whole PNG of one grey point.
PICTURE = (
    b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\1\0\0\0\1\x08\0\0\0\0\x3a\x7e\x9b\x55"
    b"\0\0\0\nIDAT\x78\x9c\x63\x68\0\0\0\x82\0\x81\x77\xcd\x72\xb6\0\0\0\0IEND\xae\x42\x60\x82"
)
DEFAULT_NAMES = {"proc": "main.proc", "equip": "machine.equip", "units": "unit.units", "toml": "site.toml"}

FENCE = re.compile(r"^(?P<ticks>`{3,})(?P<info>[^`]*)$")
HEADING = re.compile(r"^#{1,6}\s+(?P<title>.*?)\s*#*$")
RULE = r"[a-z][a-z0-9-]*(?: on file)?"
CLAIMS = re.compile(
    rf"#\s*(?P<claims>(?:error|warning|note):\s*{RULE}(?:,\s*(?:(?:error|warning|note):\s*)?{RULE})*)\s*$"
)

Check = Callable[[list[Path]], Sequence["Finding"]]


class Fault(Exception):
    """What a page claims and what was found differ, or the page itself is wrong; the text says how."""


class Claim(NamedTuple):
    """A finding that a page asks for; `line` 0 is the file as a whole."""

    file: str
    line: int
    severity: str
    rule: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.severity}: {self.rule}"


@dataclass(frozen=True)
class Fence:
    """One fenced snippet: its line on the page, what follows the backticks, its body."""

    line: int
    kind: str
    name: str
    base: str
    body: tuple[str, ...]

    def lines(self, shared: Path) -> list[str]:
        """The file this fence stands for, line by line."""
        if not self.base:
            return list(self.body)
        path = shared / self.base
        if not path.is_file():
            raise Fault(f"page line {self.line}: there is no shared file {self.base}")
        lines = path.read_text(encoding="utf-8").splitlines()
        if self.kind == "use":
            if any(text.strip() for text in self.body):
                raise Fault(f"page line {self.line}: a `use` fence has no body; `base=` takes edits")
            return lines
        return edited(lines, self.body, self.line + 1)


@dataclass
class Case:
    """The fences under one heading."""

    title: str
    line: int
    fences: list[Fence] = field(default_factory=list)


def edited(base: list[str], edits: Iterable[str], first_line: int) -> list[str]:
    """`base` after the edits (see the head of this module); `first_line` is the page line of the first edit."""
    lines, cursor = list(base), -1
    for number, edit in enumerate(edits, first_line):
        sign, text = edit[:1], edit[2:]
        if not edit.strip():
            continue
        if sign not in ("-", "+", "=") or edit[1:2] not in ("", " "):
            raise Fault(f"page line {number}: an edit starts with `- `, `+ ` or `= `, not: {edit}")
        if sign == "+":
            if cursor < 0:
                raise Fault(f"page line {number}: `+` before any `-` or `=` has no place")
            lines.insert(cursor, text)
            cursor += 1
            continue
        claims = CLAIMS.search(text)
        wanted = (text[: claims.start()] if claims else text).strip()
        if claims and sign == "-":
            raise Fault(f"page line {number}: a removed line can't be reported: {text}")
        places = [at for at, line in enumerate(lines) if line.strip() == wanted]
        if len(places) != 1:
            where = f"is on lines {', '.join(str(at + 1) for at in places)}" if places else "is not in the file"
            raise Fault(f"page line {number}: must stand exactly once in the base, but {where}: {wanted}")
        cursor = places[0]
        if sign == "-":
            del lines[cursor]
        else:
            if claims:
                lines[cursor] = f"{lines[cursor]}  {claims.group()}"
            cursor += 1
    return lines


def claims_on(file: str, lines: Iterable[str]) -> Iterator[Claim]:
    """What the comments of one file claim."""
    for number, line in enumerate(lines, 1):
        match = CLAIMS.search(line)
        severity = ""
        for item in match["claims"].split(",") if match else ():
            head, _, rule = item.rpartition(":")
            severity = head.strip() or severity
            name, _, whole = rule.strip().partition(" ")
            yield Claim(file, 0 if whole else number, severity, name)


def cases_of(text: str, stem: str) -> list[Case]:
    """The cases of a page, in order; headings without a snippet of ours give none."""
    cases = [Case(stem, 1)]
    lines = iter(enumerate(text.splitlines(), 1))
    for number, line in lines:
        if heading := HEADING.match(line):
            cases.append(Case(heading["title"], number))
        elif opened := FENCE.match(line):
            body = []
            for _, inner in lines:
                if inner.rstrip() and set(inner.rstrip()) == {"`"} and len(inner.rstrip()) >= len(opened["ticks"]):
                    break
                body.append(inner)
            else:
                raise Fault(f"page line {number}: the snippet is not closed")
            if fence := fence_of(number, opened["info"].split(), body):
                cases[-1].fences.append(fence)
    cases = [case for case in cases if case.fences]
    if not cases:
        raise Fault("the page has no snippet to check")
    for case in cases:
        twice = [name for name, count in Counter(fence.name for fence in case.fences).items() if count > 1]
        if twice:
            raise Fault(f"page line {case.line}: two snippets of one case are called {', '.join(twice)}")
    return cases


def fence_of(line: int, info: list[str], body: list[str]) -> Fence | None:
    """The snippet a fence opens; None for a fence that is not ours."""
    if not info or info[0] not in (*DEFAULT_NAMES, "use", "png"):
        return None
    kind, words = info[0], info[1:]
    bases = [word.removeprefix("base=") for word in words if word.startswith("base=")]
    names = [word for word in words if not word.startswith("base=")]
    if len(bases) > 1 or len(names) > 1 or (kind == "use" and (bases or not names)):
        raise Fault(f"page line {line}: can't read the head of the snippet: {' '.join(info)}")
    base = names[0] if kind == "use" else "".join(bases)
    return Fence(line, kind, (names or bases or [DEFAULT_NAMES.get(kind, "")])[0], base, tuple(body))


def run(case: Case, folder: Path, shared: Path, check: Check) -> None:
    """Write the case's files below `folder`, check them, and compare; raises Fault with the difference."""
    files = {fence.name: fence.lines(shared) for fence in case.fences}
    claims = [claim for name, lines in files.items() for claim in claims_on(name, lines)]
    if claims and "silent" in case.title.lower().split():
        raise Fault(f"the heading says silent, but there is a claim: {claims[0]}")
    pictures = {fence.name for fence in case.fences if fence.kind == "png"}
    paths = []
    for name, lines in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if name in pictures:
            path.write_bytes(PICTURE)
            continue
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        paths.append(path)
    found: dict[Claim, list[str]] = {}
    for finding in check(paths):
        source = finding.span.source.path
        file = Path(os.path.relpath(os.path.realpath(source), os.path.realpath(folder))).as_posix() if source else ""
        claim = Claim(file, finding.span.line, finding.severity.word, finding.rule)
        found.setdefault(claim, []).append(finding.message)
    compare(Counter(claims), found, files)


def compare(claims: Counter[Claim], found: dict[Claim, list[str]], files: dict[str, list[str]]) -> None:
    """Raise Fault unless each finding is claimed and each claim found, as often as said."""

    def line_of(claim: Claim) -> str:
        lines = files.get(claim.file, [])
        return f"\n      | {lines[claim.line - 1].strip()}" if 0 < claim.line <= len(lines) else ""

    report = []
    for claim in sorted({*claims, *found}):
        messages = found.get(claim, [])
        missing = claims[claim] - len(messages)
        report += [f"  claimed, not found:  {claim}{line_of(claim)}"] * max(missing, 0)
        report += [f"  found, not claimed:  {claim}: {text}{line_of(claim)}" for text in messages[claims[claim] :]]
    if report:
        raise Fault("\n".join(report))


def check_with_procforge(paths: list[Path]) -> Sequence[Finding]:
    """The check a user runs."""
    from procforge.stages import check_paths

    return check_paths(paths)


class Page(pytest.File):
    """A page as a collector of its cases."""

    check: Check = staticmethod(check_with_procforge)
    shared: Path = PAGES / "shared"

    def collect(self) -> Iterator[pytest.Item]:
        try:
            cases = cases_of(self.path.read_text(encoding="utf-8"), self.path.stem)
        except Fault as fault:
            raise self.CollectError(str(fault)) from None
        titles = Counter(case.title for case in cases)
        for case in cases:
            name = case.title if titles[case.title] == 1 else f"{case.title} (line {case.line})"
            yield PageCase.from_parent(self, name=name, case=case)


class PageCase(pytest.Item):
    """One case of a page as a test."""

    parent: Page

    def __init__(self, *, case: Case, **rest: object) -> None:
        super().__init__(**rest)  # type: ignore[arg-type]
        self.case = case

    def runtest(self) -> None:
        folder = Path(tempfile.mkdtemp(prefix="page-"))
        try:
            run(self.case, folder, self.parent.shared, self.parent.check)
        finally:
            shutil.rmtree(folder, ignore_errors=True)

    def repr_failure(self, excinfo: pytest.ExceptionInfo[BaseException], *args: object) -> object:
        if isinstance(excinfo.value, Fault):
            return f"{self.path}, line {self.case.line}: {self.case.title}\n{excinfo.value}"
        return super().repr_failure(excinfo, *args)  # type: ignore[arg-type]

    def reportinfo(self) -> tuple[Path, int, str]:
        return self.path, self.case.line - 1, self.name


def collect(
    file_path: Path, parent: pytest.Collector, pages: Path = PAGES, check: Check = check_with_procforge
) -> Page | None:
    """The collector for `file_path` if it is a page; None otherwise."""
    if file_path.suffix != ".md" or pages not in file_path.parents or pages / "shared" in file_path.parents:
        return None
    page: Page = Page.from_parent(parent, path=file_path)
    page.check, page.shared = check, pages / "shared"
    return page
