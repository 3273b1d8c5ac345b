"""Tables as CSV and XLSX: safe to open in a spreadsheet, numbers as numbers, the same bytes each time."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from datetime import datetime
from fractions import Fraction
from io import BytesIO, StringIO

Value = str | int | float | Fraction | None
#: First letters that a spreadsheet takes for a formula, or strips before it looks for one.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def safe(text: str) -> str:
    """Text that a spreadsheet does not run: a leading apostrophe where it would be a formula."""
    return f"'{text}" if text.startswith(_FORMULA) else text


def number(value: Fraction | float) -> int | float:
    """A number as a spreadsheet holds it: whole where it is whole."""
    return int(value) if value == int(value) else float(value)


def csv_bytes(head: Sequence[str], rows: Sequence[Sequence[Value]]) -> bytes:
    """RFC 4180 in UTF-8 with a byte order mark, which spreadsheets need to read it as such."""
    out = StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([safe(word) for word in head])
    for row in rows:
        writer.writerow(["" if v is None else safe(v) if isinstance(v, str) else number(v) for v in row])
    return out.getvalue().encode("utf-8-sig")


def xlsx_bytes(title: str, head: Sequence[str], rows: Sequence[Sequence[Value]], widths: Sequence[int] = ()) -> bytes:
    """One sheet with a bold, frozen head; text as text (never a formula or a link), numbers as numbers."""
    import xlsxwriter

    out = BytesIO()
    book = xlsxwriter.Workbook(
        out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    )
    book.set_properties({"title": title, "created": datetime(2000, 1, 1)})  # no clock in the file
    sheet = book.add_worksheet("".join(c for c in title if c not in "[]:*?/\\'")[:31] or "Kit")
    bold, wrap = book.add_format({"bold": True, "bottom": 1}), book.add_format({"text_wrap": True, "valign": "top"})
    for column, word in enumerate(head):
        sheet.write_string(0, column, word, bold)
        sheet.set_column(column, column, widths[column] if column < len(widths) else 16)
    for at, row in enumerate(rows, 1):
        for column, value in enumerate(row):
            if isinstance(value, str) and value:
                sheet.write_string(at, column, value[:32767], wrap)
            elif value is not None and not isinstance(value, str):
                sheet.write_number(at, column, number(value), wrap)
    sheet.freeze_panes(1, 0)
    sheet.repeat_rows(0)
    sheet.fit_to_pages(1, 0)
    sheet.set_landscape()
    sheet.set_paper(9)
    book.close()
    return out.getvalue()
