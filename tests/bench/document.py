"""Goals 8 and 9: the Word sheet against the floor of its zip and against general-purpose writers of .docx.

The peers write the words of the rows alone, as a plain table of three columns. Ours is measured with the same plain
table, and with a row for a step that has a box to sign, each a content control with tag, title and bookmark.
"""

from __future__ import annotations

import hashlib
import math
import os
import random
import subprocess
import sys
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

from procforge.render.word import docx_bytes
from procforge.sheet.fields import initials
from procforge.sheet.outline import Block, Control, Heading, ListTable, Sheet, StepRow, Steps
from tests.bench.timing import median

ROWS, SMALL = 3000, 300
HEAD = ("Step", "Instruction", "By")
_CONTROL = Control("Overhaul all joints", "BENCH-1", "A", "2026-01-01", "Released", "0" * 64)


_DO = ("Tighten", "Clean", "Look over", "Measure", "Mark", "Loosen", "Lift out", "Lay down", "Wipe", "Count")
_WHAT = (
    "nuts",
    "cover",
    "valve cage",
    "gasket face",
    "lantern ring",
    "guide bush",
    "spindle",
    "shim pack",
    "O-ring",
    "plug",
)
_WHERE = (
    "inlet pocket",
    "outlet pocket",
    "drive end",
    "distance piece",
    "gland",
    "second stage",
    "bearing frame",
    "header",
)
_HOW = ("in a cross pattern", "with a dry wipe", "by hand", "pass by pass", "without turning it", "before it cools")


def rows(count: int) -> list[tuple[str, str, str]]:
    """Number, instruction and role of so many steps, in words that vary as those of a real job do."""
    pick = random.Random(8)
    return [
        (
            f"{1 + at // 100}.{1 + at % 100}",
            f"{pick.choice(_DO)} the {pick.choice(_WHAT)} of the {pick.choice(_WHERE)} at joint {at} {pick.choice(_HOW)};"
            f" {pick.randint(2, 400)} mm from the {pick.choice(_WHERE)}.",
            "fitter",
        )
        for at in range(count)
    ]


def _sheet(block: Block) -> Sheet:
    return Sheet(_CONTROL, (Heading("Work", 1, "1"), block))


def plain(count: int) -> Sheet:
    """The rows as a list."""
    return _sheet(ListTable(HEAD, tuple(rows(count)), "Work"))


def signed(count: int) -> Sheet:
    """The rows as steps, each with a box for initials."""
    return _sheet(
        Steps(tuple(StepRow(no, (text,), f"s{no}", by=by, initials=initials(f"s{no}")) for no, text, by in rows(count)))
    )


def floor(data: bytes) -> Callable[[], bytes]:
    """Writing the finished parts of a file into a zip, which no writer can do without."""
    with ZipFile(BytesIO(data)) as packed:
        parts = {name: packed.read(name) for name in packed.namelist()}

    def job() -> bytes:
        out = BytesIO()
        with ZipFile(out, "w", ZIP_DEFLATED, compresslevel=6) as packed:
            for name, part in parts.items():
                packed.writestr(name, part)
        return out.getvalue()

    return job


def by_rows(count: int) -> bytes:
    """python-docx: its default template, a row added at a time."""
    import docx

    document = docx.Document()
    table = document.add_table(rows=1, cols=3)
    for cell, text in zip(table.rows[0].cells, HEAD, strict=True):
        cell.text = text
    for line in rows(count):
        for cell, text in zip(table.add_row().cells, line, strict=True):
            cell.text = text
    out = BytesIO()
    document.save(out)
    return out.getvalue()


def by_template(folder: Path, count: int) -> Callable[[], bytes]:
    """docxtpl: a template with one row in a loop."""
    import docx
    from docxtpl import DocxTemplate

    path = folder / "loop.docx"
    document = docx.Document()
    table = document.add_table(rows=3, cols=3)
    table.cell(0, 0).text = "{%tr for row in rows %}"
    for at in range(3):
        table.cell(1, at).text = f"{{{{ row[{at}] }}}}"
    table.cell(2, 0).text = "{%tr endfor %}"
    document.save(str(path))
    given = {"rows": rows(count)}

    def job() -> bytes:
        template = DocxTemplate(path)
        template.render(given, autoescape=True)
        out = BytesIO()
        template.save(out)
        return out.getvalue()

    return job


def by_pandoc(folder: Path, count: int) -> Callable[[], bytes]:
    """pandoc: the table from HTML; the program's start is within."""
    import pypandoc

    page, made = folder / "rows.html", folder / "rows.docx"
    lines = "".join("<tr>" + "".join(f"<td>{text}</td>" for text in line) + "</tr>" for line in rows(count))
    head = "".join(f"<th>{text}</th>" for text in HEAD)
    page.write_text(f"<table><thead><tr>{head}</tr></thead><tbody>{lines}</tbody></table>", encoding="utf-8")
    command = [pypandoc.get_pandoc_path(), "-f", "html", "-t", "docx", "-o", str(made), str(page)]

    def job() -> bytes:
        subprocess.run(command, check=True, timeout=300)
        return made.read_bytes()

    return job


def words(data: bytes) -> int:
    """How many rows' words a file holds, so that all are known to have written them."""
    with ZipFile(BytesIO(data)) as packed:
        return packed.read("word/document.xml").decode().count(">fitter<")


def goal_8(folder: Path) -> list[str]:
    """Time to write 3,000 rows."""
    ours, steps = plain(ROWS), signed(ROWS)
    few, few_steps = plain(SMALL), signed(SMALL)
    jobs: dict[str, Callable[[], object]] = {
        "plain": lambda: docx_bytes(ours),
        "plain floor": floor(docx_bytes(ours)),
        "steps": lambda: docx_bytes(steps),
        "steps floor": floor(docx_bytes(steps)),
        "few": lambda: docx_bytes(few),
        "few steps": lambda: docx_bytes(few_steps),
        "pandoc": by_pandoc(folder, ROWS),
        "add_row": lambda: by_rows(ROWS),
        "docxtpl": by_template(folder, ROWS),
    }
    for name in ("plain", "steps", "pandoc", "add_row", "docxtpl"):
        made = jobs[name]()
        assert isinstance(made, bytes)
        assert words(made) == ROWS, name
    quick = {name: job for name, job in jobs.items() if name not in ("pandoc", "add_row")}
    slow = {name: jobs[name] for name in ("pandoc", "add_row", "plain")}
    times = median(quick, 7)
    peers = median(slow, 3)
    exponent = {
        name: math.log10(times[large] / times[small])
        for name, large, small in (("plain", "plain", "few"), ("steps", "steps", "few steps"))
    }
    return [
        f"| 8 | 3,000 rows written as .docx | {times['plain'] / times['plain floor']:.1f} x the zip of its parts;"
        f" {peers['pandoc'] / peers['plain']:.0f} x faster than pandoc, {peers['add_row'] / peers['plain']:.0f} x than"
        f" python-docx row by row, {times['docxtpl'] / times['plain']:.1f} x than docxtpl; exponent"
        f" {exponent['plain']:.2f} | 2 x; 20 x, 20 x, 4 x; 1.0 |",
        f"| 8 | the same as 3,000 steps, each with a control to sign | {times['steps'] / times['steps floor']:.1f} x the"
        f" zip of its parts; {peers['pandoc'] / times['steps']:.0f} x, {peers['add_row'] / times['steps']:.0f} x,"
        f" {times['docxtpl'] / times['steps']:.1f} x faster than the peers' plain tables; exponent"
        f" {exponent['steps']:.2f} | - |",
    ]


_PROGRAM = """
import hashlib, sys
from procforge.render.word import docx_bytes
from tests.bench.document import signed
print(hashlib.sha256(docx_bytes(signed(100))).hexdigest())
"""


def goal_9() -> list[str]:
    """The same bytes, and few of them."""
    root = str(Path(__file__).parents[2])
    seen = {hashlib.sha256(docx_bytes(signed(100))).hexdigest() for _ in range(2)}
    for seed in ("0", "1", "42"):
        environment = os.environ | {"PYTHONHASHSEED": seed, "PYTHONPATH": root}
        done = subprocess.run([sys.executable, "-c", _PROGRAM], env=environment, capture_output=True, check=True)
        seen.add(done.stdout.decode().strip())
    size = len(docx_bytes(signed(100))) / len(by_rows(100))
    same = "identical over runs and hash seeds" if len(seen) == 1 else f"{len(seen)} different files"
    return [f"| 9 | .docx of 100 steps | {same}; {size:.2f} x python-docx with its own template | identical; 0.4 x |"]
