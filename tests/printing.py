"""Word files as LibreOffice prints them: many in one run, each page as text."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

import pytest


def pages_of(documents: Sequence[Path], folder: Path, *, raw: bool = True) -> list[list[str]]:
    """For each document its pages as text, spaces folded. Absent tools fail in CI, skip elsewhere."""
    if not (shutil.which("soffice") and shutil.which("pdftotext")):
        (pytest.fail if os.environ.get("CI") else pytest.skip)("soffice and pdftotext are needed")
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    command = ["soffice", "--headless", profile, "--convert-to", "pdf", "--outdir", str(folder)]
    subprocess.run([*command, *map(str, documents)], check=True, capture_output=True, timeout=600)
    out = []
    for document in documents:
        pdf = folder / f"{document.stem}.pdf"
        found = subprocess.run(
            ["pdftotext", *(["-raw"] if raw else []), str(pdf), "-"], check=True, capture_output=True, text=True
        )
        pages = found.stdout.split("\f")[:-1]
        out.append([re.sub(r"(?<=\w)- ", "-", re.sub(r"\s+", " ", page)) for page in pages])
    return out
