"""The parser for one statement: the lark grammar with its table built beforehand.

Building the LALR table takes over a second; `grammar/table.json` holds it, with the hash of the grammar
it was built from. When the grammar was edited the table is built in memory and the file is out of date,
which a test reports (`python -m procforge.syntax.table` writes it anew).
"""

from __future__ import annotations

import hashlib
import json
import re
from functools import cache
from typing import TYPE_CHECKING, Any

from procforge.grammar_files import grammar_folder, grammar_text

if TYPE_CHECKING:
    from lark import Lark
    from lark.lexer import TerminalDef


def _word_ends(terminal: TerminalDef) -> None:
    """A keyword ends at a word border, so that names may start with one."""
    from lark.lexer import PatternRE, PatternStr

    pattern = terminal.pattern
    if isinstance(pattern, PatternStr) and re.fullmatch(r"[\w-]+", pattern.value):
        terminal.pattern = PatternRE(re.escape(pattern.value) + r"(?![\w-])")
        terminal.priority = 2


def build(*, strict: bool = False, transformer: Any = None) -> Lark:
    """The parser from the grammar text; strict=True raises on any conflict or colliding terminals."""
    from lark import Lark

    return Lark(
        grammar_text("procforge.lark"),
        parser="lalr",
        maybe_placeholders=True,
        edit_terminals=_word_ends,
        strict=strict,
        transformer=transformer,
    )


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def table_text() -> str:
    """What grammar/table.json has to hold for the grammar of today."""
    from lark.grammar import Rule
    from lark.lexer import TerminalDef

    data, memo = build().memo_serialize([TerminalDef, Rule])
    data["options"]["edit_terminals"] = None
    table = {"grammar": _digest(grammar_text("procforge.lark")), "data": data, "memo": memo}
    return json.dumps(table, separators=(",", ":"), default=list) + "\n"


def _integer_keys(value: Any) -> Any:
    """JSON made strings of the integer keys; lark wants them back."""
    if isinstance(value, dict):
        return {int(k) if k.isdigit() else k: _integer_keys(v) for k, v in value.items()}
    if isinstance(value, list):
        return [_integer_keys(v) for v in value]
    return value


@cache
def parser() -> Lark:
    """The statement parser, its nodes made while it parses."""
    from lark import Lark

    from procforge.syntax.build import Builder

    path = grammar_folder() / "table.json"
    if path.is_file():
        table = json.loads(path.read_text(encoding="utf-8"))
        if table["grammar"] == _digest(grammar_text("procforge.lark")):
            data, memo = _integer_keys(table["data"]), _integer_keys(table["memo"])
            made: Lark = Lark._load_from_dict(data, memo, transformer=Builder())  # type: ignore[no-untyped-call]
            return made
    return build(transformer=Builder())


if __name__ == "__main__":
    (grammar_folder() / "table.json").write_text(table_text(), encoding="utf-8")
