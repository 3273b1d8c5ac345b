"""How findings are shown: one module a format, one line in `FORMATS`."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import TextIO

from procforge.findings import Finding, Severity
from procforge.report import concise, frame, jsonlist
from procforge.report.screen import Screen

Format = Callable[[Sequence[Finding], Screen], Iterable[str]]

FORMATS: Mapping[str, Format] = MappingProxyType(
    {
        "long": frame.lines,
        "short": concise.lines,
        "json": jsonlist.lines,
    }
)


def write(findings: Sequence[Finding], format: str, stream: TextIO, colour: bool = False) -> None:
    """Write `findings`, in the order given, to `stream` in one of `FORMATS` (KeyError for another name).

    Characters the stream's encoding lacks are shown by their code point; writing never fails for them.
    """
    encoding = getattr(stream, "encoding", None) or "utf-8"
    for line in FORMATS[format](findings, Screen(encoding, colour)):
        # The formats write what the encoding has; replacing is for an encoding that lies about itself.
        stream.write(f"{line}\n".encode(encoding, errors="replace").decode(encoding))


def summary(findings: Iterable[Finding]) -> str:
    """`2 errors, 1 warning, 3 notes`, gravest first; `no findings` for none."""
    counts = Counter(finding.severity for finding in findings)
    words = [
        f"{counts[severity]} {severity.word}{'s' * (counts[severity] > 1)}"
        for severity in sorted(Severity, reverse=True)
        if counts[severity]
    ]
    return ", ".join(words) or "no findings"
