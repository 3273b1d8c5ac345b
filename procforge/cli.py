"""The command line: printing and exit codes only. 0 clean, 1 findings, 2 wrong use or no such file."""

from __future__ import annotations

import gc
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

if TYPE_CHECKING:
    from procforge.findings import Finding
    from procforge.stages import Checked

app = typer.Typer(
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    no_args_is_help=True,
    help="Maintenance procedures for pressure machinery: written as text, proved on every path and model, printed as sheets.",
)

Models = Annotated[list[str] | None, typer.Option("--model", "-m", help="Only this model (may be given again).")]
Services = Annotated[list[str] | None, typer.Option("--service", "-s", help="Only this service (may be given again).")]
UnitTag = Annotated[
    str, typer.Option("--unit", "-u", help="The tag of one machine in a .units file that the procedure uses.")
]
Paper = Annotated[str, typer.Option(help="A4 or Letter; left out, the site's paper or A4.")]
Template = Annotated[Path | None, typer.Option(help="A .docx whose styles are taken; left out, the site's.")]
OutFile = Annotated[Path, typer.Option("--output", "-o", help="The file to write.")]


def main() -> None:
    """The entry of the command line."""
    # one command, then the end: collecting garbage on the way costs more than it frees
    gc.set_threshold(200_000, 20, 100)
    app()


def _wrong(message: str) -> NoReturn:
    """Say what is wrong with the use of the command, and leave with 2."""
    _say(f"procforge: {message}")
    raise typer.Exit(2)


def _say(text: str) -> None:
    """Chatter goes to stderr; nothing the terminal can't show may break it."""
    encoding = getattr(sys.stderr, "encoding", None) or "utf-8"
    sys.stderr.write(f"{text}\n".encode(encoding, "backslashreplace").decode(encoding))


def _print(text: str) -> None:
    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    sys.stdout.write(f"{text}\n".encode(encoding, "replace").decode(encoding))


def _colour() -> bool:
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR")


def _exists(paths: list[Path]) -> None:
    for path in paths:
        if not path.exists():
            _wrong(f"no such file or folder: {path}")


def _checked(paths: list[Path], models: list[str] | None, services: list[str] | None) -> list[Checked]:
    from procforge.stages import check_all

    _exists(paths)
    try:
        checked = check_all(paths, models or (), services or ())
    except OSError as error:
        _wrong(f"cannot read {error.filename or paths[0]}: {error.strerror}")
    if not checked:
        _wrong("no .proc, .equip or .units file there")
    _known(checked, models, services)
    return checked


def _known(checked: list[Checked], models: list[str] | None, services: list[str] | None) -> None:
    """A model or service that no file declares is a slip of the command."""
    cases = [c.case for c in checked if c.case is not None]
    for word, wanted, have in (
        ("model", models, {m for c in cases for m in c.equipment.models}),
        ("service", services, {s for c in cases for s in c.equipment.services}),
    ):
        for name in wanted or ():
            if cases and name not in have:
                _wrong(f"no {word} is called {name}; there is {', '.join(sorted(have)) or 'none'}")


@app.command()
def check(
    paths: Annotated[list[Path], typer.Argument(help="Files or folders.")],
    model: Models = None,
    service: Services = None,
    format: Annotated[str, typer.Option("--format", "-f", help="long, short or json.")] = "long",
) -> None:
    """Prove procedures on every path of every variant, or show the shortest way they hurt someone."""
    from procforge.findings import Severity, in_order
    from procforge.report import FORMATS, summary, write

    if format not in FORMATS:
        _wrong(f"no format is called {format}; there is {', '.join(FORMATS)}")
    checked = _checked(paths, model, service)
    findings: list[Finding] = in_order([f for entry in checked for f in entry.findings])
    write(findings, format, sys.stdout, _colour())
    proved = [c for c in checked if c.sound]
    procedures = [c for c in checked if c.case is not None]
    for entry in procedures:
        if entry.holes:
            _say(f"{entry.path}: not proved: {entry.holes} line{'s' if entry.holes > 1 else ''} could not be read")
    variants = sum(len(c.case.variants) for c in proved if c.case is not None)
    _say(f"{summary(findings)}; {len(proved)} of {len(procedures)} procedures proved, {variants} variants in all")
    if any(f.severity > Severity.NOTE for f in findings):
        raise typer.Exit(1)


@app.command()
def release(
    file: Annotated[Path, typer.Argument(help="The procedure.")],
    out: Annotated[Path, typer.Option("--out", help="The folder to write into.")],
    model: Models = None,
    service: Services = None,
    unit: UnitTag = "",
    paper: Paper = "",
    template: Template = None,
) -> None:
    """Check a procedure, then write its sheets and charts: everything, or nothing if an error stands."""
    from procforge.issue import IssueError, release_all
    from procforge.report import summary, write

    entry = _one(file, model, service)
    assert entry.case is not None
    write(entry.findings, "long", sys.stdout, _colour())
    if not entry.sound:
        _say(f"{summary(entry.findings)}; nothing was written")
        raise typer.Exit(1)
    try:
        written = release_all(entry.case, file, out, unit, paper, template)
    except IssueError as error:
        _wrong(str(error))
    for path in written:
        _print(str(path))
    _say(f"{len(written)} files written to {out}")


@app.command()
def sheet(
    file: Annotated[Path, typer.Argument(help="The procedure.")],
    output: OutFile,
    model: Annotated[str, typer.Option("--model", "-m", help="The model the sheet is for.")] = "",
    service: Annotated[str, typer.Option("--service", "-s", help="The service the sheet is for.")] = "",
    unit: UnitTag = "",
    paper: Paper = "",
    template: Template = None,
    review: Annotated[
        bool, typer.Option("--review", help="One review print of all variants, not for the field.")
    ] = False,
) -> None:
    """Write the Word sheet of one variant, marked if the procedure is not proved; or the review print of all."""
    from procforge.issue import IssueError, choose, write_review, write_sheet

    if review and (model or service or unit):
        _wrong("a review print holds every variant: leave out --model, --service and --unit")
    entry = _one(file)
    assert entry.case is not None
    _site_told(entry)
    try:
        if review:
            write_review(entry, file, output, paper, template)
            _say(
                f"{output}: review print, {len(entry.case.variants)} variants" + ("" if entry.sound else ", not proved")
            )
            raise typer.Exit(0 if entry.sound else 1)
        chosen = choose(entry.case, model, service, unit)
        left_out = write_sheet(entry, file, chosen, output, paper, template)
    except IssueError as error:
        _wrong(str(error))
    _say(f"{output}: for {chosen.words}")
    for line in left_out:
        _say(line)
    if not entry.sound:
        _say("the procedure is not proved: the sheet is marked as not for use (procforge check says why)")
        raise typer.Exit(1)


@app.command()
def chart(
    file: Annotated[Path, typer.Argument(help="The procedure.")],
    output: OutFile,
    kind: Annotated[str, typer.Option("--kind", "-k", help="flow or depends.")] = "flow",
    model: Annotated[str, typer.Option("--model", "-m", help="The model the chart is for.")] = "",
    service: Annotated[str, typer.Option("--service", "-s", help="The service the chart is for.")] = "",
    unit: UnitTag = "",
) -> None:
    """Draw the flow chart or the dependency chart as .svg, .png or .dot."""
    from procforge.issue import IssueError, choose, write_chart_file

    if kind not in ("flow", "depends"):
        _wrong(f"no chart is called {kind}; there is flow, depends")
    entry = _one(file)
    assert entry.case is not None
    try:
        chosen = choose(entry.case, model, service, unit)
        written = write_chart_file(entry.case, chosen, kind, output)
    except IssueError as error:
        _wrong(str(error))
    for path in written:
        _print(str(path))
    _say(f"{kind} chart for {chosen.words}")


def _site_told(entry: Checked) -> None:
    """Mistakes in the profile of the site stand in no sheet: they are printed where one is written."""
    from procforge.report import write

    found = [f for f in entry.findings if f.span.source.path == entry.site.file]
    if found:
        write(found, "long", sys.stdout, _colour())


def _one(file: Path, models: list[str] | None = None, services: list[str] | None = None) -> Checked:
    """The one procedure that a command is for."""
    if file.is_dir():
        _wrong(f"{file} is a folder; name one procedure")
    entry = _checked([file], models, services)[0]
    if entry.case is None:
        _wrong(f"{file} holds no procedure")
    return entry


@app.command()
def plan(
    file: Annotated[Path, typer.Argument(help="The procedure.")],
    output: OutFile,
    model: Annotated[str, typer.Option("--model", "-m", help="The model the plan is for.")] = "",
    service: Annotated[str, typer.Option("--service", "-s", help="The service the plan is for.")] = "",
    unit: UnitTag = "",
    machines: Annotated[int, typer.Option(help="For how many machines the kit is.")] = 1,
    rejected: Annotated[
        list[str] | None, typer.Option(help="A check to take as rejected (may be given again).")
    ] = None,
    paper: Paper = "",
) -> None:
    """Write the planner's page: time and crew, kit, energies and joints in numbers with their sources."""
    from procforge.issue import IssueError, choose
    from procforge.planning import write_plan

    entry = _one(file)
    assert entry.case is not None
    try:
        chosen = choose(entry.case, model, service, unit)
        write_plan(entry.case, file, chosen, output, machines, rejected or (), paper)
    except IssueError as error:
        _wrong(str(error))
    _say(f"{output}: for {chosen.words}")


@app.command()
def kit(
    file: Annotated[Path, typer.Argument(help="The procedure.")],
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="A .csv or .xlsx file; left out, printed.")
    ] = None,
    model: Annotated[str, typer.Option("--model", "-m", help="The model the kit is for.")] = "",
    service: Annotated[str, typer.Option("--service", "-s", help="The service the kit is for.")] = "",
    unit: UnitTag = "",
    machines: Annotated[int, typer.Option(help="For how many machines.")] = 1,
) -> None:
    """List tools, parts, consumables, locks and wear for the job: the most over all paths, and the likely kit."""
    from procforge.issue import Choice, IssueError, choose
    from procforge.planning import kit_lines, kit_text, write_kit

    entry = _one(file)
    assert entry.case is not None
    try:
        if output is None or model or service or unit:
            choices = [choose(entry.case, model, service, unit)]
        else:
            choices = [Choice(variant) for variant in entry.case.variants]
        if output is None:
            _print(kit_text(kit_lines(entry.case, choices[0], machines)))
        else:
            write_kit(entry.case, choices, output, machines)
    except IssueError as error:
        _wrong(str(error))
    _say("for " + "; ".join(choice.words for choice in choices))


@app.command()
def advise(
    file: Annotated[Path, typer.Argument(help="The procedure.")],
    model: Models = None,
    service: Services = None,
    format: Annotated[str, typer.Option("--format", "-f", help="long, short or json.")] = "long",
) -> None:
    """Say what a sound procedure could leave out, do side by side, or do at a better time. No advice is a fault."""
    from procforge.advice import advise as advice
    from procforge.report import FORMATS, write

    if format not in FORMATS:
        _wrong(f"no format is called {format}; there is {', '.join(FORMATS)}")
    entry = _one(file, model, service)
    assert entry.case is not None
    if not entry.sound:
        _say("the procedure is not proved: mend that first (procforge check says what)")
        raise typer.Exit(1)
    found = advice(entry.case)
    write(found, format, sys.stdout, _colour())
    _say(f"{len(found)} pieces of advice")


@app.command()
def why(rule: Annotated[str, typer.Argument(help="The rule's name, as findings print it.")]) -> None:
    """Print the page of a rule."""
    from difflib import get_close_matches

    from procforge.rules.registry import BY_NAME

    found = BY_NAME.get(rule)
    if found is None:
        close = get_close_matches(rule, BY_NAME, 3, 0.5)
        _wrong(
            f"no rule is called {rule}"
            + (f"; did you mean {' or '.join(close)}?" if close else "; `procforge rules` lists them")
        )
    _print(f"{found.name}\n{'=' * len(found.name)}\n\n{found.page.strip()}\n")
    for label, text in (
        ("Why", found.why if "{" not in found.why else ""),
        ("Mend", found.mend if "{" not in found.mend else ""),
        ("Basis", found.basis),
    ):
        if text:
            _print(f"{label}: {text}")
    _print(
        f"Severity: {found.severity.word}; "
        + ("may be waived at one step, with a role and a reason" if found.waivable else "cannot be waived")
    )


@app.command()
def rules() -> None:
    """List all rules, by family."""
    from procforge.rules.registry import RULES

    family = ""
    for rule in RULES:
        if rule.family != family:
            family = rule.family
            _print(f"{family}:")
        _print(f"  {rule.name:32} {rule.title}")


@app.command()
def labels() -> None:
    """List the fixed words of a sheet as a site profile may set them."""
    import json

    from procforge.sheet.labels import TEXTS

    _print("[labels]")
    for name, text in TEXTS.items():
        _print(f"{name.rstrip('_').replace('_', '-')} = {json.dumps(text, ensure_ascii=False)}")


@app.command()
def schema(
    of: Annotated[str, typer.Argument(help="procedure or equipment.")] = "procedure",
) -> None:
    """Print the JSON Schema of the models."""
    import json

    from procforge.model.base import Model
    from procforge.model.equipment import Equipment
    from procforge.model.procedure import Procedure

    models: dict[str, type[Model]] = {"procedure": Procedure, "equipment": Equipment}
    if of not in models:
        _wrong(f"no model is called {of}; there is {', '.join(models)}")
    _print(json.dumps(models[of].model_json_schema(), indent=2))


@app.command(add_help_option=False, context_settings={"allow_extra_args": True, "ignore_unknown_options": True})
def reckon(context: typer.Context) -> None:
    """Work out one number of the trade, without a procedure (`procforge reckon --help` lists them)."""
    from procforge.reckon.command import application

    application()(context.args, prog_name="procforge reckon")
