"""Whether a gauge is fine enough to prove a limit: its error beside the limit."""

from __future__ import annotations

from procforge.engineering.base import Input, Outside, Result, number

WANTED_RATIO = 4.0  # common practice, no source
_SOURCE = "accuracy class as in EN 837-1: error in per cent of full scale"


def gauge_error(accuracy_class: float, low: float, high: float) -> Result | Outside:
    """Largest error in the unit of the scale marks `low` and `high` (Pa) of a gauge of that accuracy class."""
    fault = (
        number("the accuracy class", accuracy_class, above=0, most=10)
        or number("the lowest mark", low, unit="Pa")
        or number("the highest mark", high, above=low, unit="Pa")
    )
    if fault:
        return fault
    inputs = (
        Input("accuracy class", accuracy_class),
        Input("lowest mark", low, "Pa"),
        Input("highest mark", high, "Pa"),
    )
    limits = ("calibrated, at 20 °C, read square on",)
    return Result(accuracy_class / 100 * (high - low), "Pa", "error = class × span / 100", inputs, _SOURCE, limits)


def gauge_ratio(limit: float, accuracy_class: float, low: float, high: float) -> Result | Outside:
    """The `limit` to be proved, as a multiple of the gauge's error; 4 or more is wanted (`WANTED_RATIO`)."""
    fault = number("the limit", limit, above=0, unit="Pa")
    error = fault or gauge_error(accuracy_class, low, high)
    if isinstance(error, Outside):
        return error
    if limit > high:
        return Outside("the limit lies above the highest mark of the gauge", "name a gauge whose range holds the limit")
    inputs = (Input("limit to be proved", limit, "Pa"), *error.inputs)
    wanted = f"at least {WANTED_RATIO:g} is wanted (common practice); a lower ratio proves nothing"
    return Result(limit / error.value, "", "ratio = limit / error", inputs, _SOURCE, (*error.limits, wanted))
