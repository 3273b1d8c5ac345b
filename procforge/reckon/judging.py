"""Readings judged, limits for the field, repeats, growth with temperature, alignment sums, lives of parts, lifting."""

from __future__ import annotations

from fractions import Fraction

from procforge.engineering.acceptance import Band, Zone, acceptance_zone, judge, printed_limits
from procforge.engineering.base import Input, Outside, Result
from procforge.engineering.figures import Fault
from procforge.engineering.life import weibull
from procforge.engineering.lifting import HAND_LIMIT, judge_lift
from procforge.engineering.readings import SUM_TOLERANCE, length_at_20, repeats, sum_check, thermal_growth
from procforge.findings import Severity
from procforge.quantities import Problem, read, read_number
from procforge.quantities.quantity import shortest
from procforge.reckon.base import Answer, Calculation, Figure, Param, Words, Wrong, answer, figure, refused
from procforge.reckon.given import Given

GROUP = "readings"


def _plain(
    name: str, value: float, formula: str, inputs: tuple[Input, ...], source: str, limits: tuple[str, ...] = ()
) -> Figure:
    return Figure(name, Result(value, "", formula, inputs, source, limits), digits=6)


def _show(value: Fraction | None) -> str:
    return "open" if value is None else shortest(value, 8)


def _span(zone: Zone) -> str:
    return f"{_show(zone.low)} to {_show(zone.high)}"


def reading(given: Given) -> Answer | Wrong:
    """Pass, fail or undecided, with the zone in which a reading proves its limits."""
    low = given.exact("low") if given.has("low") else None
    high = given.exact("high") if given.has("high") else None
    names = {"U": Band.EXPANDED, "1.65u": Band.ONE_SIDED}
    band = names.get(given.text("band").replace(" ", ""))
    if band is None:
        return Wrong("band", f"no guard band is called {given.text('band')}", "write U or 1.65u")
    uncertainty = given.exact("uncertainty")
    zone = acceptance_zone(low, high, uncertainty, band)
    if isinstance(zone, Outside) and (low is None and high is None):
        return refused(zone, "low")
    parts: list[Words] = []
    if isinstance(zone, Zone):
        parts.append(Words("accepted from", _span(zone), zone.source))
    else:
        parts.append(Words("accepted from", f"nothing: {zone.message}", band.source))
    faults: tuple[Fault, ...] = ()
    if given.has("reading"):
        verdict = judge(given.exact("reading"), low, high, uncertainty, band)
        if isinstance(verdict, Outside):
            return refused(verdict)
        parts.append(Words("verdict", verdict.value, band.source))
        if verdict.value != "pass":
            message = f"the reading {_show(given.exact('reading'))} is judged {verdict.value}"
            faults = (
                Fault(
                    f"reading-{verdict.value}",
                    Severity.WARNING,
                    message,
                    "measure again, or decide by the maker's manual",
                ),
            )
    return Answer(tuple(parts), faults)


def field(given: Given) -> Answer | Wrong:
    """Limits to print for an instrument in the field."""
    low = given.exact("low") if given.has("low") else None
    high = given.exact("high") if given.has("high") else None
    step = given.exact("resolution") if given.has("resolution") else None
    zone = printed_limits(low, high, given.exact("error"), step)
    if isinstance(zone, Outside):
        return refused(zone)
    return Answer((Words("print", _span(zone), zone.source),))


def several(given: Given) -> Answer | Wrong:
    """Mean of repeats and how well it is known."""
    values = given.numbers("values")
    found = repeats([float(v) for v in values])
    if isinstance(found, Outside):
        return refused(found, "values")
    inputs = (
        Input("readings n", found.count),
        Input("standard deviation s", found.deviation),
        Input("t, 95 %", found.t),
    )
    return Answer((
        _plain("mean", found.mean, "Σ x / n", inputs[:1], found.source),
        _plain("half-width of the mean, 95 %", found.half_width, "t·s/√n", inputs, found.source,
               ("readings independent, of one thing that does not change",)),
    ))  # fmt: skip


def growth(given: Given) -> Answer | Wrong:
    """Growth of a length with temperature, or a length brought to 20 °C."""
    material = given.text("material")
    if given.has("rise") == given.has("at"):
        return Wrong("rise", "one of rise and at must be given", "give --rise '10 K(d)' or --at '35 °C'")
    if given.has("rise"):
        return answer(figure("growth", thermal_growth(given.num("length"), given.num("rise"), material), "mm", 4))
    return answer(figure("length at 20 °C", length_at_20(given.num("length"), given.num("at"), material), "mm", 7))


def alignment(given: Given) -> Answer | Wrong:
    """Sum check of a dial turned once round."""
    tolerance = given.exact("tolerance")
    found = sum_check(given.exact("top"), given.exact("right"), given.exact("bottom"), given.exact("left"), tolerance)
    if isinstance(found, Outside):
        return refused(found)
    faults: tuple[Fault, ...] = ()
    if not found.holds:
        message = f"top + bottom and left + right differ by {_show(found.difference)}"
        faults = (
            Fault(
                "sums-differ",
                Severity.ERROR,
                message,
                "a slipped dial, a bent bracket or a misread sign: take them again",
            ),
        )
    return Answer(
        (
            Words("top + bottom", _show(found.vertical), found.source),
            Words("left + right", _show(found.horizontal)),
            Words("differ by", f"{_show(found.difference)}, at most {_show(tolerance)} may be"),
        ),
        faults,
    )


def lives(given: Given) -> Answer | Wrong:
    """Weibull fit of lives of parts."""
    found = weibull([float(v) for v in given.numbers("failed")], [float(v) for v in given.numbers("running")])
    if isinstance(found, Outside):
        return refused(found, "failed")
    inputs = (Input("failures", found.failures), Input("still running", len(given.numbers("running"))))
    formula = "η^β = Σ t^β / r;  Σ t^β ln t/Σ t^β − 1/β = (Σ ln t_f)/r"
    parts = [
        _plain("slope β", found.slope, formula, inputs, found.source, found.limits),
        _plain("scale η", found.scale, formula, inputs, found.source, found.limits),
    ]
    if given.has("after"):
        after = given.num("after")
        more = (*inputs, Input("hours", after))
        parts.append(
            _plain("share still good", found.surviving(after), "exp(−(t/η)^β)", more, found.source, found.limits)
        )
    return Answer(tuple(parts))


def lift(given: Given) -> Answer | Wrong:
    """A mass against the hand limit, or an aid's rating."""
    rating = given.num("rating") if given.has("rating") else None
    tackle = given.num("tackle") if given.has("tackle") else 0.0
    found = judge_lift(given.num("mass"), given.count("people"), rating, tackle, given.num("one"))
    if isinstance(found, Outside):
        return refused(found, "people" if "people" in found.message else "mass")
    return Answer((Words("way", found.way), Figure("limit by hand", found.hand_limit, "kg")), found.faults)


def convert(given: Given) -> Answer | Wrong:
    """A quantity in another unit, exact."""
    text, wanted = given.text("quantity"), given.text("to")
    found = read(text)
    if isinstance(found, Problem):
        return Wrong("quantity", found.message, found.hint)
    digits = 6
    if given.has("digits"):
        asked = read_number(given.text("digits"))
        if isinstance(asked, Problem) or asked.denominator != 1 or not 1 <= asked <= 30:
            return Wrong("digits", f"{given.text('digits')} is no number of digits", "write 1 to 30")
        digits = int(asked)
    try:
        other = found.to(wanted)
    except ValueError as error:
        message, _, hint = str(error).partition("; ")
        return Wrong("to", message, hint)
    text = f"{shortest(other.value, digits)} {other.unit.symbol}".strip()
    if found.unit.offset or other.unit.offset:
        rule = "by way of its zero point"
    else:
        rule = f"1 {found.unit.symbol} = {shortest(found.unit.factor / other.unit.factor, 15)} {other.unit.symbol}"
    source = "exact factors from the definitions (SI Brochure, 9th edition; NIST SP 811)"
    return Answer((Words(f"{found}", text, source), Words("factor", rule)))


_LOW = Param("low", "number", "Lower limit.", optional=True)
_HIGH = Param("high", "number", "Upper limit.", optional=True)

JUDGING: tuple[Calculation, ...] = (
    Calculation("reading", GROUP, "Pass, fail or undecided: a reading against its limits",
                (Param("reading", "number", "The reading.", optional=True), _LOW, _HIGH,
                 Param("uncertainty", "number", "Expanded uncertainty U (k = 2), same unit.", default="0"),
                 Param("band", "text", "Guard band: U or 1.65u.", default="U")), reading,
                "--reading 10.01 --low 10.00 --high 10.10 --uncertainty 0.02"),
    Calculation("field-limit", GROUP, "Limits to print for an instrument in the field",
                (_LOW, _HIGH, Param("error", "number", "The most the instrument may be off."),
                 Param("resolution", "number", "Its smallest step.", optional=True)), field, "--low 10.00 --high 10.10 --error 0.02 --resolution 0.01"),
    Calculation("repeats", GROUP, "Mean of repeated readings and how well it is known",
                (Param("values", "numbers", "The readings, separated by spaces."),), several, "--values '10.1 10.3 10.2'"),
    Calculation("growth", GROUP, "Growth of a length with temperature",
                (Param("length", "length", "The length."), Param("rise", "temperature-difference", "Rise, as '10 K(d)'.", optional=True),
                 Param("at", "temperature", "Or the temperature it was measured at.", optional=True),
                 Param("material", "text", "Material.", default="steel")), growth, "--length '300 mm' --rise '10 K(d)'"),
    Calculation("alignment-sum", GROUP, "Sum check of dial readings at four places",
                (*(Param(place, "number", f"Reading at the {place}.") for place in ("top", "right", "bottom", "left")),
                 Param("tolerance", "number", "Difference allowed.", default=str(float(SUM_TOLERANCE)))), alignment,
                "--top 0 --right 0.10 --bottom 0.16 --left 0.06"),
    Calculation("part-life", GROUP, "Wear-out line through lives of parts (Weibull)",
                (Param("failed", "numbers", "Hours at which parts failed."), Param("running", "numbers", "Hours of parts still good.", optional=True),
                 Param("after", "number", "Hours for which the share still good is wanted.", optional=True)), lives,
                "--failed '54 187 216 240 244 335 361 373 375 386' --running '500 500 500 500 500 500 500 500 500 500'"),
    Calculation("lift", GROUP, "A mass against the hand limit, or a lifting aid",
                (Param("mass", "mass", "The mass."), Param("people", "whole", "How many lift.", default="1"),
                 Param("rating", "mass", "Rating of a lifting aid.", optional=True), Param("tackle", "mass", "Mass of slings and shackles.", optional=True),
                 Param("one", "mass", "Limit of one person.", default=f"{HAND_LIMIT:g} kg")), lift, "--mass '38 kg' --people 2"),
    Calculation("convert", "units", "A quantity in another unit",
                (Param("quantity", "text", "The quantity, as '25 lbf.ft'."), Param("to", "text", "The unit wanted."),
                 Param("digits", "text", "Significant digits.", optional=True)), convert, "--quantity '25 lbf.ft' --to N.m --digits 3"),
)  # fmt: skip
