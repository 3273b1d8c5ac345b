"""The json format: a list of findings, one a line, in ASCII so that any console and any pipe carries it whole."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from procforge.findings import Finding
from procforge.report.screen import Screen


def lines(findings: Sequence[Finding], _screen: Screen) -> Iterator[str]:
    """The document line by line; with no findings it is `[]`."""
    import json

    if not findings:
        yield "[]"
        return
    for number, finding in enumerate(findings):
        start = " " if number else "["
        end = "," if number < len(findings) - 1 else "]"
        yield start + json.dumps(entry(finding)) + end


def entry(finding: Finding) -> dict[str, Any]:
    """One finding; `line` 0 says the file as a whole, an empty `variants` all of them."""
    return {
        "rule": finding.rule,
        "severity": finding.severity.word,
        "message": finding.message,
        "file": finding.span.source.path,
        "line": finding.span.line,
        "column": finding.span.column,
        "variants": list(finding.variants),
        "basis": finding.basis,
        "path": [
            {
                "file": beat.span.source.path,
                "line": beat.span.line,
                "text": beat.text,
                "state": beat.state,
                "skipped": beat.skipped,
            }
            for beat in finding.path
        ],
        "why": finding.why,
        "mend": finding.mend,
        "also": list(finding.also),
    }
