"""Words made to fit one line of a known width: a smaller size first, then less of them, then an ellipsis."""

from __future__ import annotations

from collections.abc import Sequence

from procforge.sheet.lettering import width


def fitted(
    texts: Sequence[str], room: float, sizes: Sequence[int], *, bold: bool = False, fixed: float = 0.0
) -> tuple[str, int]:
    """The first of the texts that fits `room` points, at the largest of `sizes` (half points) it fits at.

    Each text is tried at every size before the next, so the first ones say more and the last ones less. Where none
    fits, the last one cut with an ellipsis at the smallest size. `fixed` are points that stand on the line beside it.
    """
    for text in texts:
        for size in sizes:
            if width(text, size / 2, bold=bold) + fixed <= room:
                return text, size
    text, size = texts[-1], sizes[-1]
    while text and width(f"{text}\u2026", size / 2, bold=bold) + fixed > room:
        text = text[:-1].rstrip()
    return f"{text}\u2026", size
