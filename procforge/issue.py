"""What is written from a checked procedure: the sheet, the charts, the whole release. All of it or nothing."""

from __future__ import annotations

import re
import tempfile
from dataclasses import dataclass, replace
from pathlib import Path

from procforge.model.base import Variant
from procforge.model.equipment import Unit
from procforge.resolve.load import Library
from procforge.rules.base import Case
from procforge.stages import Checked, source_hash

PAPERS = ("A4", "Letter")
PICTURES = (".svg", ".png", ".dot")
#: What a sheet says at its head when its procedure is not proved.
NOT_FOR_USE = "Draft. Not proved. Not for use."


class IssueError(Exception):
    """A wrong choice of variant, unit, paper or file; the message is for the user."""


@dataclass(frozen=True)
class Choice:
    """The variant, and the unit if one is named, that a sheet or chart is for."""

    variant: Variant
    unit: Unit | None = None

    @property
    def words(self) -> str:
        """`C-101: frame-L, wet-gas`."""
        return f"{self.unit.tag}: {self.variant.name}" if self.unit else self.variant.name

    @property
    def stem(self) -> str:
        """The part of a file name that tells the variant or unit."""
        if self.unit:
            return self.unit.tag
        return "-".join(w for w in (self.variant.model, self.variant.service) if w)


def choose(case: Case, model: str = "", service: str = "", unit: str = "") -> Choice:
    """The one variant that is meant; without a word the first the procedure applies to. Raises IssueError."""
    if unit:
        found = next((u for u in case.equipment.units if u.tag == unit), None)
        if found is None:
            known = ", ".join(u.tag for u in case.equipment.units)
            raise IssueError(
                f"no unit has the tag {unit}; there is {known or 'none: the procedure must use a .units file'}"
            )
        return Choice(_variant(case, found.model, found.service), found)
    return Choice(_variant(case, model, service))


def _variant(case: Case, model: str, service: str) -> Variant:
    fitting = [v for v in case.variants if (not model or v.model == model) and (not service or v.service == service)]
    if not fitting:
        known = "; ".join(v.name for v in case.variants)
        raise IssueError(
            f"the procedure is not for {', '.join(w for w in (model, service) if w)}; it is for {known or 'no variant'}"
        )
    return fitting[0]


def write_sheet(
    entry: Checked, file: Path, choice: Choice, output: Path, paper: str = "A4", template: Path | None = None
) -> None:
    """One Word sheet; marked as not for use if the procedure is not proved. Raises IssueError."""
    if output.suffix.lower() != ".docx":
        raise IssueError(f"a sheet is a .docx file, not {output.name}")
    if paper not in PAPERS:
        raise IssueError(f"no paper is called {paper}; there is {', '.join(PAPERS)}")
    from procforge.render.word import TemplateError, write_docx
    from procforge.sheet.build import build_sheet

    case = entry.case
    assert case is not None
    built = build_sheet(
        case.procedure, choice.variant, unit=choice.unit, source_hash=source_hash(Library(), file), proof=case.proof
    )
    if not entry.sound:
        built = replace(built, control=replace(built.control, mark=NOT_FOR_USE))
    try:
        write_docx(built, output, paper=paper, template=template)
    except (OSError, TemplateError) as error:
        raise IssueError(f"cannot write {output}: {error}") from error


def write_chart_file(case: Case, choice: Choice, kind: str, output: Path) -> list[Path]:
    """The flow or dependency chart; a chart of several pages gives several files. Raises IssueError."""
    if output.suffix.lower() not in PICTURES:
        raise IssueError(f"a chart is a {', '.join(PICTURES)} file, not {output.name}")
    from procforge.analysis.machine import Machine
    from procforge.render.chart import NoLayout, write_book
    from procforge.sheet.depchart import dependency_chart
    from procforge.sheet.flow import flow_chart

    try:
        if kind == "flow":
            return write_book(flow_chart(case.procedure, choice.variant), output)
        return write_book(dependency_chart(case.procedure, Machine(case.equipment, choice.variant)), output)
    except (OSError, NoLayout) as error:
        raise IssueError(f"cannot write {output}: {error}") from error


def release_all(case: Case, file: Path, out: Path, unit: str = "", paper: str = "A4") -> list[Path]:
    """Sheets and charts of every variant looked at, or of one unit: written beside, then moved in. Raises IssueError."""
    entry = Checked(file, case, ())
    choices = [choose(case, unit=unit)] if unit else [Choice(v) for v in case.variants]
    if not choices:
        raise IssueError("no variant of the procedure is left to write for")
    stem = _safe(f"{case.procedure.number}-{case.procedure.revision}")
    try:
        out.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".procforge-", dir=out) as beside:
            folder = Path(beside)
            for choice in choices:
                name = "-".join(filter(None, (stem, _safe(choice.stem))))
                write_sheet(entry, file, choice, folder / f"{name}.docx", paper)
                charts = folder / f"{name}-charts"
                charts.mkdir()
                for kind in ("flow", "depends"):
                    for suffix in (".svg", ".png"):
                        write_chart_file(case, choice, kind, charts / f"{kind}{suffix}")
            made = [p.relative_to(folder) for p in sorted(folder.rglob("*")) if p.is_file()]
            for path in made:
                (out / path).parent.mkdir(exist_ok=True)
            for path in made:
                (folder / path).replace(out / path)
    except OSError as error:
        raise IssueError(f"cannot write into {out}: {error.strerror or error}") from error
    return [out / path for path in made]


def _safe(text: str) -> str:
    """Text as part of a file name on any system."""
    return re.sub(r"[^\w.-]+", "-", text).strip("-.") or "procedure"
