"""Drawings as pictures: SVG text, and PNG in print resolution with the fonts of this package."""

from procforge.render.picture.raster import DPI, Unlettered, png
from procforge.render.picture.vector import svg

__all__ = ["DPI", "Unlettered", "png", "svg"]
