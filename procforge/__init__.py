"""procforge: maintenance procedures for pressure machinery, written as text, proved, and printed."""

__version__ = "0.1.0"
