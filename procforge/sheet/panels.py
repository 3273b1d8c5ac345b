"""The printed signal words."""

from __future__ import annotations

from procforge.sheet.labels import Labels
from procforge.sheet.rows import Signal


def signal_name(labels: Labels, signal: Signal) -> str:
    """The word of a signal as the site prints it, in capitals."""
    return {
        Signal.DANGER: labels.danger, Signal.WARNING: labels.warning, Signal.CAUTION: labels.caution, Signal.NOTICE: labels.notice,
    }[signal].upper()  # fmt: skip
