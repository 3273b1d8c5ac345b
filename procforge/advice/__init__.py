"""Advice that is no error: what a sound procedure could leave out, do side by side, or do at a better time."""

from procforge.advice.advise import KINDS, advise

__all__ = ["KINDS", "advise"]
