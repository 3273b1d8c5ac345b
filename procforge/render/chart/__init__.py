"""Charts as SVG, PNG and DOT: `book` cuts a chart into pages that print large enough, `write_chart` draws one."""

from procforge.render.chart.book import LEAST_PT, book, laid_book
from procforge.render.chart.dot import node_id, safe_name, to_dot
from procforge.render.chart.drawing import Drawn, draw, lay, pictures
from procforge.render.chart.layout import NoLayout, layout, layout_many
from procforge.render.chart.raster import Key, key_of, rasters
from procforge.render.chart.split import split
from procforge.render.chart.svg import PRINT_PT, describe, print_scale
from procforge.render.chart.write import write_book, write_chart, write_drawn

__all__ = [
    "LEAST_PT",
    "PRINT_PT",
    "Drawn",
    "Key",
    "NoLayout",
    "book",
    "describe",
    "draw",
    "key_of",
    "laid_book",
    "lay",
    "layout",
    "layout_many",
    "node_id",
    "pictures",
    "print_scale",
    "rasters",
    "safe_name",
    "split",
    "to_dot",
    "write_book",
    "write_chart",
    "write_drawn",
]
