"""Finds the grammar folder: inside the installed package first, beside the package in a bare checkout second."""

from __future__ import annotations

from pathlib import Path

_HERE = Path(__file__).resolve().parent


def grammar_folder() -> Path:
    """The folder that holds procforge.lark and the language reference."""
    inside = _HERE / "grammar"
    return inside if (inside / "procforge.lark").is_file() else _HERE.parent / "grammar"


def grammar_text(name: str) -> str:
    """The text of one grammar file, by name."""
    return (grammar_folder() / name).read_text(encoding="utf-8")
