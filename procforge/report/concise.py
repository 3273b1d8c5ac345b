"""The short format: one line a finding, `file:line:column: severity: message [rule] (variants)`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from procforge.findings import Finding
from procforge.report.frame import names
from procforge.report.screen import Screen

MESSAGE = 400


def lines(findings: Sequence[Finding], screen: Screen) -> Iterator[str]:
    """One line for each finding; a finding about no line, or about no file, leaves those parts out."""
    for finding in findings:
        span = finding.span
        parts = [screen.safe(span.source.path, MESSAGE)] if span.source.path else []
        parts += [f"{span.line}:{span.column}"] if span.line else []
        place = "".join(f"{part}:" for part in parts)
        text = f"{finding.severity.word}: {screen.prose(finding.message, MESSAGE)} [{finding.rule}]"
        variants = f" ({screen.prose(names(finding.variants), MESSAGE)})" if finding.variants else ""
        yield f"{place} {text}{variants}".lstrip()
