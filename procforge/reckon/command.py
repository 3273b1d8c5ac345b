"""The sub-commands of `procforge reckon`, made from the table of calculations."""

from __future__ import annotations

import inspect
import json
import sys
from typing import Annotated, Any

import typer

from procforge.findings import Severity
from procforge.quantities import Problem, Unit, unit
from procforge.reckon.base import Calculation, Param, Wrong
from procforge.reckon.given import read_options
from procforge.reckon.registry import CALCULATIONS
from procforge.reckon.write import as_json, as_text, refusal


def application() -> typer.Typer:
    """A command for each calculation; the result on stdout, a refusal on stderr with exit code 2."""
    app = typer.Typer(
        add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False, no_args_is_help=True,
        help="One number of the trade, without a procedure: formula, inputs, result, source, and what it holds for.",
    )  # fmt: skip
    for calculation in CALCULATIONS:
        example = f"Example: procforge reckon {calculation.name} {calculation.example}"
        app.command(calculation.name, help=f"{calculation.title}.", epilog=example)(_command(calculation))
    return app


def _command(calculation: Calculation) -> Any:
    """A function with the calculation's options as its parameters, for the command line to read."""

    def run(**typed: Any) -> None:
        wanted, plain = typed.pop("in_"), typed.pop("json_")
        units = _units(wanted, plain)
        given = read_options(calculation, {name.replace("_", "-").rstrip("-"): value for name, value in typed.items()})
        found = given if isinstance(given, Wrong) else calculation.run(given)
        if isinstance(found, Wrong):
            _refuse(found, plain)
            return
        text = (
            json.dumps(as_json(calculation, found, units), indent=2, ensure_ascii=False)
            if plain
            else as_text(calculation, found, units)
        )
        encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
        sys.stdout.write(f"{text}\n".encode(encoding, "replace").decode(encoding))
        if any(f.severity > Severity.NOTE for f in found.faults):
            raise typer.Exit(1)

    parameters = [_parameter(param) for param in calculation.params]
    parameters.append(
        _keyword(
            "in_",
            Annotated[list[str] | None, typer.Option("--in", help="A unit for the result (may be given again).")],
            None,
        )
    )
    parameters.append(_keyword("json_", Annotated[bool, typer.Option("--json", help="Print JSON.")], False))
    run.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    run.__annotations__ = {one.name: one.annotation for one in parameters}
    return run


def _parameter(param: Param) -> inspect.Parameter:
    name = param.name.replace("-", "_")
    name += "_" if name in ("from", "class") else ""
    flag = f"--{param.name}"
    if param.kind == "flag":
        return _keyword(name, Annotated[bool, typer.Option(flag, help=param.help)], False)
    tail = f" [default: {param.default}]" if param.default else "" if param.optional else " [required]"
    kind: Any = list[str] | None if param.many else str
    empty: Any = None if param.many else ""
    return _keyword(
        name, Annotated[kind, typer.Option(flag, help=param.help + tail, metavar="TEXT", show_default=False)], empty
    )


def _keyword(name: str, annotation: Any, default: Any) -> inspect.Parameter:
    return inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=default, annotation=annotation)


def _units(wanted: list[str] | None, plain: bool) -> list[Unit]:
    found = []
    for text in wanted or ():
        one = unit(text)
        if isinstance(one, Problem):
            _refuse(Wrong("in", one.message, one.hint), plain)
        else:
            found.append(one)
    return found


def _refuse(wrong: Wrong, plain: bool) -> None:
    """Why there is no number, and exit code 2."""
    if plain:
        sys.stdout.write(json.dumps(refusal(wrong), indent=2, ensure_ascii=False) + "\n")
    else:
        place = f"--{wrong.option}: " if wrong.option else ""
        lines = [f"error: {place}{wrong.message}"] + ([f"  mend: {wrong.hint}"] if wrong.hint else [])
        text = "\n".join(lines) + "\n"
        encoding = getattr(sys.stderr, "encoding", None) or "utf-8"
        sys.stderr.write(text.encode(encoding, "backslashreplace").decode(encoding))
    raise typer.Exit(2)
