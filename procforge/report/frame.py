"""The long format: a finding with its place in the text, the shortest way there, reason, basis and mend."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from procforge.findings import Beat, Finding, Mark, Severity
from procforge.report import excerpt
from procforge.report.screen import Screen, Style

STYLES: dict[Severity, Style] = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "note"}
MESSAGE = 1000
"""The most columns of one sentence of ours, which may quote a name of the user's."""
CELL = 60
"""The most columns of one cell of the path's table."""
PATH_HEAD, PATH_TAIL = 8, 24
"""Entries shown of a long path: its start and its end, and between them the skipped steps alone."""
MOST_VARIANTS = 8


def lines(findings: Sequence[Finding], screen: Screen) -> Iterator[str]:
    """Each finding as a frame, with an empty line between two."""
    for number, finding in enumerate(findings):
        if number:
            yield ""
        yield from frame(finding, screen)


def frame(finding: Finding, screen: Screen) -> Iterator[str]:
    """The lines of one finding."""
    style = STYLES[finding.severity]
    head = screen.paint(f"{finding.severity.word}:", style)
    yield f"{head} {screen.paint(screen.prose(finding.message, MESSAGE), 'strong')}  [{finding.rule}]"

    main = Mark(finding.span, finding.label)
    by_file: dict[str, list[Mark]] = {}
    for mark in (main, *finding.marks):
        by_file.setdefault(mark.span.source.path, []).append(mark)
    drawn = {file: [mark for mark in marks if on_a_line(mark)] for file, marks in by_file.items()}
    gutter = len(str(max((mark.span.line for marks in drawn.values() for mark in marks), default=1)))
    for file, marks in by_file.items():
        if file or drawn[file]:
            yield screen.paint(f"  {place(marks[0], screen)}", "frame")
        if drawn[file]:
            yield from excerpt.lines(drawn[file], main, style, gutter, screen)

    for title, text in notes(finding):
        if title == "path":
            yield from path(finding, gutter, screen)
        else:
            yield f"{edge(gutter, screen)} {title}{screen.prose(text, MESSAGE)}"


def notes(finding: Finding) -> Iterator[tuple[str, str]]:
    """The closing lines of a frame in their order, as title and text; `path` stands for the path's table."""
    if len(finding.variants) > 1 or (finding.variants and not finding.path):
        yield "holds for ", names(finding.variants)
    if finding.path:
        yield "path", ""
    for title, text in (("why: ", finding.why), ("basis: ", finding.basis), ("mend: ", finding.mend)):
        if text:
            yield title, text
    if finding.also:
        yield "also: ", ", ".join(finding.also)


def on_a_line(mark: Mark) -> bool:
    """Whether the mark's line exists; a finding may be about a file that is missing, or its end."""
    return 0 < mark.span.line <= len(mark.span.source.lines)


def place(mark: Mark, screen: Screen) -> str:
    """`file, line 31`; the file alone where the mark has no line."""
    path = screen.safe(mark.span.source.path, MESSAGE)
    return f"{path}, line {mark.span.line}" if mark.span.line else path


def edge(gutter: int, screen: Screen) -> str:
    """The start of a closing line, under the bar of the excerpt."""
    return screen.paint(" " * gutter + " =", "frame")


def names(variants: Sequence[str]) -> str:
    """Variant names in a row; a long row is cut with the number of those left out."""
    comma = "; " if any("," in name for name in variants) else ", "
    row = comma.join(variants[:MOST_VARIANTS])
    return f"{row} and {len(variants) - MOST_VARIANTS} more" if len(variants) > MOST_VARIANTS else row


def path(finding: Finding, gutter: int, screen: Screen) -> Iterator[str]:
    """The counter-example as a table: place, what is done, the state after it."""
    one = f", {screen.prose(finding.variants[0], CELL)}" if len(finding.variants) == 1 else ""
    yield f"{edge(gutter, screen)} shortest way there{one}"
    rows: list[tuple[str, str, str] | int] = []
    told = [beat for beat in finding.path if not beat.quiet]
    for number, beat in enumerate(told):
        if PATH_HEAD <= number < len(told) - PATH_TAIL and not beat.skipped:
            if rows and isinstance(rows[-1], int):
                rows[-1] += 1
            else:
                rows.append(1)
        else:
            rows.append(row(beat, finding, screen))
    full = [row for row in rows if not isinstance(row, int)]
    first, second = (max(screen.width(row[column]) for row in full) for column in (0, 1))
    indent = " " * (gutter + 5)
    for entry in rows:
        if isinstance(entry, int):
            yield screen.paint(f"{indent}... {entry} {'step' if entry == 1 else 'steps'} between", "faint")
            continue
        where, text, state = entry
        line = f"{indent}{pad(where, first, screen)}  {pad(text, second, screen)}   {state}".rstrip()
        yield screen.paint(line, "faint") if state.startswith("skipped") else line


def row(beat: Beat, finding: Finding, screen: Screen) -> tuple[str, str, str]:
    """One entry of the path; the file is named where it is not the finding's own."""
    where = f"line {beat.span.line}" if beat.span.line else ""
    if beat.span.source.path not in ("", finding.span.source.path):
        file = screen.safe(beat.span.source.path, CELL)
        where = f"{file}, {where}" if where else file
    state = screen.prose(beat.state, CELL * 2)
    if beat.skipped and not state.startswith("skipped"):
        state = f"skipped; {state}" if state else "skipped"
    return where, screen.prose(beat.text, CELL), state


def pad(shown: str, columns: int, screen: Screen) -> str:
    """Text that is already safe, filled to `columns`."""
    return shown + " " * (columns - screen.width(shown))
