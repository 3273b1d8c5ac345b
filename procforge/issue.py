"""What is written from a checked procedure: the sheet, the charts, the whole release. All of it or nothing."""

from __future__ import annotations

import errno
import os
import re
import shutil
import tempfile
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from procforge.model.base import Variant
from procforge.model.equipment import Unit
from procforge.resolve.load import Library
from procforge.rules.base import Case
from procforge.stages import BUDGET, Checked, source_hash

if TYPE_CHECKING:
    from procforge.sheet.outline import Sheet

PAPERS = ("A4", "Letter")
PICTURES = (".svg", ".png", ".dot")
KINDS = ("flow", "depends")
_PAGE = re.compile(rf"(?:{'|'.join(KINDS)})(?:-\d+)?\.(?:svg|png)")
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
    entry: Checked, file: Path, choice: Choice, output: Path, paper: str = "", template: Path | None = None
) -> list[str]:
    """One Word sheet; marked as not for use if the procedure is not proved. Raises IssueError.

    A `paper` or `template` given goes before the site's. Tells what had to be left out: charts without a layout program.
    """
    from procforge.sheet.build import build_sheet
    from procforge.sheet.profile import Profile, labels_of

    case = entry.case
    assert case is not None
    built = build_sheet(
        case.procedure, choice.variant, unit=choice.unit, source_hash=source_hash(Library(), file), proof=case.proof,
        labels=labels_of(case.site), profile=Profile.of(case.site),
    )  # fmt: skip
    if not entry.sound:
        built = replace(built, control=replace(built.control, mark=NOT_FOR_USE))
    return _written(built, output, paper or case.site.paper, template or case.site.template)


def _written(built: Sheet, output: Path, paper: str, template: Path | None) -> list[str]:
    """An outline as a Word file; on A4 where neither the command nor the site names a paper."""
    paper = paper or PAPERS[0]
    if output.suffix.lower() != ".docx":
        raise IssueError(f"a sheet is a .docx file, not {output.name}")
    if paper not in PAPERS:
        raise IssueError(f"no paper is called {paper}; there is {', '.join(PAPERS)}")
    from procforge.render.word import TemplateError, write_docx

    try:
        return write_docx(built, output, paper=paper, template=template)
    except TemplateError as error:
        raise IssueError(f"cannot write {output}: {error}") from error
    except OSError as error:
        raise refused(output, error) from error


def write_review(entry: Checked, file: Path, output: Path, paper: str = "", template: Path | None = None) -> None:
    """The review print of all variants; findings first if the procedure is not proved. Raises IssueError."""
    from procforge.sheet.profile import Profile, labels_of
    from procforge.sheet.review import build_review

    case = entry.case
    assert case is not None
    if not case.variants:
        raise IssueError("the procedure is for no variant of its machine: there is nothing to review")
    built = build_review(
        case, entry.findings, sound=entry.sound, source_hash=source_hash(Library(), file), budget=BUDGET,
        labels=labels_of(case.site), profile=Profile.of(case.site),
    )  # fmt: skip
    _written(built, output, paper or case.site.paper, template or case.site.template)


def write_chart_file(case: Case, choice: Choice, kind: str, output: Path) -> list[Path]:
    """The flow or dependency chart; a chart of several pages gives several files, all or none. Raises IssueError."""
    if output.suffix.lower() not in PICTURES:
        raise IssueError(f"a chart is a {', '.join(PICTURES)} file, not {output.name}")
    try:
        with tempfile.TemporaryDirectory(prefix=".procforge-", dir=output.parent) as beside:
            new = Path(beside) / "new"
            new.mkdir()
            _draw(case, choice, kind, new / output.name)
            return _moved_in(new, output.parent)
    except OSError as error:
        raise refused(output, error) from error


def _draw(case: Case, choice: Choice, kind: str, *outputs: Path) -> None:
    """One chart into files of several kinds, laid out once for all of them."""
    from procforge.analysis.machine import Machine
    from procforge.render.chart import NoLayout, laid_book, write_book, write_drawn
    from procforge.sheet.depchart import dependency_chart
    from procforge.sheet.flow import flow_chart
    from procforge.sheet.naming import Names

    machine = Machine(case.equipment, choice.variant)
    if kind == "flow":
        chart = flow_chart(case.procedure, choice.variant, Names(machine, choice.unit))
    else:
        chart = dependency_chart(case.procedure, machine)
    try:
        if outputs[0].suffix.lower() == ".dot":
            write_book(chart, outputs[0])
            return
        drawn = laid_book(chart)
        for output in outputs:
            write_drawn(drawn, output)
    except NoLayout as error:
        raise IssueError(f"cannot write {outputs[0].name}: {error}") from error


def release_all(
    case: Case, file: Path, out: Path, unit: str = "", paper: str = "", template: Path | None = None
) -> list[Path]:
    """Sheets and charts of every variant looked at, or of one unit: written beside, then moved in. Raises IssueError."""
    entry = Checked(file, case, ())
    choices = [choose(case, unit=unit)] if unit else [Choice(v) for v in case.variants]
    if not choices:
        raise IssueError("no variant of the procedure is left to write for")
    stem = _safe(f"{case.procedure.number}-{case.procedure.revision}")
    if paper and paper not in PAPERS:
        raise IssueError(f"no paper is called {paper}; there is {', '.join(PAPERS)}")
    fresh = not out.exists()
    try:
        out.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".procforge-", dir=out) as beside:
            folder = Path(beside) / "new"
            folder.mkdir()
            for choice in choices:
                name = "-".join(filter(None, (stem, _safe(choice.stem))))
                write_sheet(entry, file, choice, folder / f"{name}.docx", paper, template)
                charts = folder / f"{name}-charts"
                charts.mkdir()
                for kind in KINDS:
                    _draw(case, choice, kind, *(charts / f"{kind}{suffix}" for suffix in (".svg", ".png")))
            return _moved_in(folder, out)
    except OSError as error:
        raise refused(out, error) from error
    finally:
        if fresh and out.is_dir() and not any(out.iterdir()):
            out.rmdir()


def _moved_in(folder: Path, out: Path) -> list[Path]:
    """Put all files made in `folder` into `out`, or leave everything there as it was. Raises OSError.

    Pages of charts that an earlier, longer release left in a folder of charts go.
    """
    made = [p.relative_to(folder) for p in sorted(folder.rglob("*")) if p.is_file()]
    stale = [
        page
        for charts in folder.iterdir() if charts.is_dir()
        for page in (out / charts.name).glob("*") if _PAGE.fullmatch(page.name) and not (charts / page.name).exists()
    ]  # fmt: skip
    old = folder.parent / "old"
    done: list[Path] = []
    fresh: list[Path] = []
    try:
        for path in made:
            if (out / path).is_dir():
                raise IsADirectoryError(errno.EISDIR, "a folder stands there", str(out / path))
            if (out / path).exists():
                (old / path).parent.mkdir(parents=True, exist_ok=True)
                _kept(out / path, old / path)
        for path in made:
            home = (out / path).parent
            if not home.exists():
                home.mkdir()
                fresh.append(home)
            (folder / path).replace(out / path)
            done.append(path)
    except BaseException:
        for path in done:
            with suppress(OSError):  # whatever can be put back is
                (old / path).replace(out / path) if (old / path).exists() else (out / path).unlink()
        for home in fresh:
            with suppress(OSError):
                home.rmdir()
        raise
    for page in stale:
        page.unlink(missing_ok=True)
    return [out / path for path in made]


def _kept(path: Path, copy: Path) -> None:
    """A second name for a file, or a copy where the disk has no such thing."""
    try:
        os.link(path, copy)
    except OSError:
        shutil.copy2(path, copy)


def refused(path: Path, error: OSError) -> IssueError:
    """What the disk refused, in words: the file asked for, not the one written beside it."""
    if isinstance(error, FileNotFoundError):
        return IssueError(f"cannot write {path}: there is no folder {path.parent}")
    if isinstance(error, IsADirectoryError):
        return IssueError(f"cannot write {error.filename2 or error.filename}: a folder stands there")
    return IssueError(f"cannot write {path}: {(error.strerror or str(error)).lower()}")


def _safe(text: str) -> str:
    """Text as part of a file name on any system."""
    return re.sub(r"[^\w.-]+", "-", text).strip("-.") or "procedure"
