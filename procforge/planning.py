"""The planner's page and the kit list written to files: whole or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from procforge.issue import PAPERS, Choice, IssueError, refused
from procforge.plan.kit import Line, kit
from procforge.plan.page import build_plan, count
from procforge.resolve.load import Library
from procforge.rules.base import Case
from procforge.sheet.naming import Names
from procforge.stages import source_hash

HEAD = (
    "Procedure",
    "Revision",
    "For",
    "Group",
    "Item",
    "Range, size, class",
    "Most",
    "Likely",
    "Unit",
    "Stock no.",
    "Why",
)
_WIDTHS = (14, 9, 18, 22, 34, 34, 8, 8, 8, 14, 18)
SUFFIXES = (".csv", ".xlsx")


def kit_lines(case: Case, choice: Choice, machines: int = 1) -> tuple[Line, ...]:
    """The kit of one variant or unit. Raises IssueError for no machine at all."""
    from procforge.analysis.machine import Machine

    if machines < 1:
        raise IssueError(f"a kit is for one machine or more, not {machines}")
    names = Names(Machine(case.equipment, choice.variant), choice.unit)
    unreached = frozenset(id(work) for work in case.proof.unreached)
    return kit(case.procedure, choice.variant, names.title, machines, unreached=unreached)


def kit_text(lines: Sequence[Line]) -> str:
    """The kit as text for a terminal, group by group."""
    out: list[str] = []
    group = ""
    width = max((len(line.title) for line in lines), default=0)
    for line in lines:
        if line.group != group:
            group = line.group
            out += ([""] if out else []) + [f"{group}:"]
        most, likely = count(line.most, line.unit), count(line.likely, line.unit)
        number = most if most == likely else f"{likely}, at most {most}"
        more = "; ".join(filter(None, (line.detail, f"stock no. {line.stock}" if line.stock else "", line.why)))
        out.append(f"  {line.title:<{width}}  {number:<12}  {more}".rstrip())
    return "\n".join(out)


def write_kit(case: Case, choices: Sequence[Choice], output: Path, machines: int = 1) -> None:
    """The kit of several variants or units as .csv or .xlsx. Raises IssueError."""
    from procforge.plan.tables import Value, csv_bytes, xlsx_bytes

    if output.suffix.lower() not in SUFFIXES:
        raise IssueError(f"a kit list is a {' or '.join(SUFFIXES)} file, not {output.name}")
    rows: list[list[Value]] = []
    for choice in choices:
        for line in kit_lines(case, choice, machines):
            detail = line.detail + ("; calibration in date" if line.calibrated else "")
            rows.append(
                [
                    case.procedure.number, case.procedure.revision, choice.words, line.group, line.title, detail,
                    line.most, line.likely, line.unit, line.stock, line.why,
                ]
            )  # fmt: skip
    data = csv_bytes(HEAD, rows) if output.suffix.lower() == ".csv" else xlsx_bytes("Kit", HEAD, rows, _WIDTHS)
    _put(output, data)


def write_plan(
    case: Case,
    file: Path,
    choice: Choice,
    output: Path,
    machines: int = 1,
    rejected: Sequence[str] = (),
    paper: str = "",
) -> None:
    """The planner's page of one variant or unit as .docx, on the site's paper if none is named. Raises IssueError."""
    from procforge.render.word import TemplateError, docx_bytes
    from procforge.sheet.profile import Profile, labels_of

    if output.suffix.lower() != ".docx":
        raise IssueError(f"a planner's page is a .docx file, not {output.name}")
    paper = paper or case.site.paper or PAPERS[0]
    if paper not in PAPERS:
        raise IssueError(f"no paper is called {paper}; there is {', '.join(PAPERS)}")
    if machines < 1:
        raise IssueError(f"a kit is for one machine or more, not {machines}")
    known = {getattr(work, "name", "") for work in case.works if work.kind == "check"}
    known |= {name.partition(" of ")[0] for name in known}
    for name in rejected:
        if name not in known:
            raise IssueError(
                f"no check is called {name}; there is {', '.join(sorted(k for k in known if k)) or 'none'}"
            )
    built = build_plan(
        case.procedure, choice.variant, unit=choice.unit, source_hash=source_hash(Library(), file), proof=case.proof,
        machines=machines, rejected=frozenset(rejected), labels=labels_of(case.site), profile=Profile.of(case.site),
    )  # fmt: skip
    try:
        data = docx_bytes(built, paper=paper, template=case.site.template)
    except TemplateError as error:
        raise IssueError(f"cannot write {output}: {error}") from error
    _put(output, data)


def _put(output: Path, data: bytes) -> None:
    from procforge.render.word.package import put

    try:
        put(output, data)
    except OSError as error:
        raise refused(output, error) from error
