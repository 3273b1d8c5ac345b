"""One figure of the planner's page: what it is, its value, what it was worked out from, its source."""

from __future__ import annotations

from dataclasses import dataclass

from procforge.engineering.base import Outside, Result
from procforge.reckon.write import printed


@dataclass(frozen=True, slots=True)
class PlanFigure:
    """A row of a table on the planner's page. `about` is the thing it belongs to; `refused` where there is no number."""

    about: str
    name: str
    value: str
    basis: str = ""
    source: str = ""
    limits: tuple[str, ...] = ()
    refused: bool = False


def made(about: str, name: str, result: Result | Outside, unit: str = "", digits: int = 3) -> PlanFigure:
    """A figure of a result; of a refusal, a row that says why there is no number."""
    if isinstance(result, Outside):
        return PlanFigure(about, name, f"not worked out: {result.message}", result.hint, refused=True)
    value = f"{result.value * 100:.3g} %" if unit == "%" else printed(result.value, result.unit, unit, digits)
    inputs = "; ".join(f"{one.name} {printed(one.value, one.unit, digits=5)}" for one in result.inputs)
    return PlanFigure(about, name, value, f"{result.formula}: {inputs}", result.source, result.limits)
