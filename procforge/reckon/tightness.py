"""Leak tests by pressure decay, and what a closed seat may pass."""

from __future__ import annotations

from procforge.engineering.base import Outside, Result
from procforge.engineering.leaks import (
    GAUGE_RATIO,
    allowed_drop,
    allowed_pressure,
    allowed_rate,
    leak_rate,
    molar_rate,
    needed_time,
    temperature_effect,
    throughput,
)
from procforge.engineering.seats import fci_class_v, fci_class_vi, fci_share, iso_5208_rate
from procforge.reckon.base import Answer, Calculation, Param, Wrong, answer, figure, refused
from procforge.reckon.given import Given

GROUP = "tightness"
_BAROMETER = Param("barometer", "pressure-absolute", "The air pressure, for gauge pressures.", default="1.01325 bar(a)")
_VOLUME = Param("volume", "volume", "Volume of the space under test.")
_TIME = Param("time", "time", "How long the test lasts.")
_TEMPERATURE = Param("temperature", "temperature", "Temperature of the gas.", default="20 °C")
_RATE = Param("rate", "leak-rate", "The allowed leak rate at 20 °C, as '0.01 mbar.L/s'.")


def _two(name: str, rate: Result | Outside) -> Answer | Wrong:
    """A leak rate in mol/s and as a throughput at 20 °C."""
    if isinstance(rate, Outside):
        return refused(rate)
    return answer(
        figure(name, rate, digits=4),
        figure("the same at 20 °C", throughput(rate.value), "mbar·L/s", 4),
    )


def decay(given: Given) -> Answer | Wrong:
    """Leak rate from two readings."""
    later = given.num("second-temperature") if given.has("second-temperature") else given.num("temperature")
    rate = leak_rate(given.num("volume"), given.num("first"), given.num("temperature"), given.num("second"), later,
                     given.num("time"))  # fmt: skip
    return _two("leak rate (minus: gas came in)", rate)


def _molar(given: Given) -> float | Wrong:
    rate = molar_rate(given.num("rate"))
    return refused(rate, "rate") if isinstance(rate, Outside) else rate.value


def drop(given: Given) -> Answer | Wrong:
    """The pressure drop that an allowed rate makes in a time, and the lowest pressure that may be read."""
    rate = _molar(given)
    if isinstance(rate, Wrong):
        return rate
    kelvin, seconds, volume = given.num("temperature"), given.num("time"), given.num("volume")
    figures = [figure("allowed drop, temperature constant", allowed_drop(volume, rate, seconds, kelvin), "bar", 4)]
    if given.has("start"):
        later = given.num("second-temperature") if given.has("second-temperature") else kelvin
        lowest = allowed_pressure(volume, given.num("start"), kelvin, later, rate, seconds)
        figures.append(figure("lowest reading allowed, absolute", lowest, "bar(a)", 5))
        change = later - kelvin
        if change:
            effect = temperature_effect(given.num("start"), kelvin, change)
            figures.append(figure("of which the temperature alone makes", effect, "mbar", 4))
    return answer(*figures)


def rate(given: Given) -> Answer | Wrong:
    """The leak rate that a drop stands for."""
    found = allowed_rate(given.num("volume"), given.num("drop"), given.num("time"), given.num("temperature"))
    return _two("leak rate", found)


def test_time(given: Given) -> Answer | Wrong:
    """The time a gauge needs to show an allowed rate."""
    molar = _molar(given)
    if isinstance(molar, Wrong):
        return molar
    found = needed_time(
        given.num("volume"), molar, given.num("smallest-change"), given.num("temperature"), given.num("ratio")
    )
    return answer(figure("shortest test time", found, digits=4))


def seat(given: Given) -> Answer | Wrong:
    """Largest leakage of a closed seat by ISO 5208 or FCI 70-2."""
    if given.has("iso-rate") == given.has("fci-class"):
        return Wrong("iso-rate", "one of iso-rate and fci-class must be given", "give --iso-rate B or --fci-class VI")
    if given.has("iso-rate"):
        if not given.has("dn"):
            return Wrong("dn", "ISO 5208 goes by the nominal size", "give --dn 100")
        found = iso_5208_rate(given.text("iso-rate"), given.num("dn"), gas=given.flag("gas"))
        return answer(figure("largest leakage", found, "mm³/s", 4))
    word = given.text("fci-class").upper()
    if word == "VI":
        if not given.has("seat"):
            return Wrong("seat", "class VI goes by the seat diameter", "give --seat '2 in'")
        return answer(figure("largest leakage, gas", fci_class_vi(given.num("seat")), "mL/min", 3))
    if word == "V":
        if not (given.has("seat") and given.has("difference")):
            return Wrong(
                "seat", "class V goes by seat diameter and pressure difference", "give --seat and --difference"
            )
        return answer(
            figure("largest leakage, water", fci_class_v(given.num("seat"), given.num("difference")), "mL/min", 3)
        )
    if not given.has("capacity"):
        return Wrong("capacity", "this class goes by the rated capacity", "give --capacity '40 m3/h'")
    return answer(figure("largest leakage", fci_share(word, given.num("capacity")), "L/min", 4))


_LATER = Param(
    "second-temperature", "temperature", "Temperature at the second reading; left out, as before.", optional=True
)

TIGHTNESS: tuple[Calculation, ...] = (
    Calculation("pressure-decay", GROUP, "Leak rate from two pressure readings",
                (_BAROMETER, _VOLUME, Param("first", "absolute", "First pressure."), Param("second", "absolute", "Second pressure."),
                 _TIME, _TEMPERATURE, _LATER), decay,
                "--volume '2 L' --first '25.3 kPa(a)' --second '50.6 kPa(a)' --time '70 s'"),
    Calculation("allowed-drop", GROUP, "Pressure drop that an allowed leak rate makes",
                (_BAROMETER, _VOLUME, _RATE, _TIME, _TEMPERATURE, _LATER, Param("start", "absolute", "Pressure at the start.", optional=True)), drop,
                "--volume '14 L' --rate '0.1 mbar.L/s' --time '10 min' --start '6 bar(g)'"),
    Calculation("allowed-rate", GROUP, "Leak rate that a pressure drop stands for",
                (_VOLUME, Param("drop", "pressure-difference", "The drop, as '20 mbar(d)'."), _TIME, _TEMPERATURE), rate,
                "--volume '14 L' --drop '20 mbar(d)' --time '10 min'"),
    Calculation("test-time", GROUP, "Time a gauge needs to show an allowed leak rate",
                (_VOLUME, _RATE, Param("smallest-change", "pressure-difference", "The smallest change the gauge shows."), _TEMPERATURE,
                 Param("ratio", "number", "How many times that the drop must be.", default=str(GAUGE_RATIO))), test_time,
                "--volume '14 L' --rate '0.1 mbar.L/s' --smallest-change '5 mbar(d)'"),
    Calculation("seat-leakage", GROUP, "Largest leakage of a closed seat (ISO 5208, FCI 70-2)",
                (Param("iso-rate", "text", "ISO 5208 rate: A to G.", optional=True), Param("dn", "number", "Nominal size DN.", optional=True),
                 Param("gas", "flag", "Tested with gas, not liquid (ISO 5208)."), Param("fci-class", "text", "FCI 70-2 class: II to VI.", optional=True),
                 Param("seat", "length", "Seat diameter.", optional=True), Param("difference", "pressure-difference", "Pressure difference.", optional=True),
                 Param("capacity", "flow-volume", "Rated capacity.", optional=True)), seat, "--fci-class VI --seat '2 in'"),
)  # fmt: skip
