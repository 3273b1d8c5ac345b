"""Text on a chart: its font, and how it is made safe, measured and wrapped (as in every drawing)."""

from __future__ import annotations

from procforge.sheet.lettering import FONT_PT, clean, width, wrap

__all__ = ["FONT", "FONT_PT", "LINE_PT", "clean", "width", "wrap"]

FONT = "Arial"
LINE_PT = 12.0
