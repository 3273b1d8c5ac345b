"""Gas in a space: what is trapped, how long it takes to vent, what a bore passes, purging, limits, gauges, force."""

from __future__ import annotations

from dataclasses import replace

from procforge.engineering.base import Input, Outside, Result
from procforge.engineering.energy import brode_energy, isentropic_energy
from procforge.engineering.figures import Fault
from procforge.engineering.flammability import lower_explosive_limit
from procforge.engineering.gas import compressibility, density, may_be_liquid, saturation_pressure, trapped_mass
from procforge.engineering.gas_data import LEL_EDITIONS
from procforge.engineering.gauges import WANTED_RATIO, gauge_error, gauge_ratio
from procforge.engineering.orifice import SHARP_EDGED, critical_pressure_ratio, mass_flow, relief_area
from procforge.engineering.purging import normal_volume, pressure_purge, sweep_purge, vacuum_purge
from procforge.engineering.venting import end_temperature, force_on_cover, vent, vent_time
from procforge.findings import Severity
from procforge.reckon.base import Answer, Calculation, Figure, Param, Words, Wrong, answer, figure, refused
from procforge.reckon.given import Given

GROUP = "gas"
_BAROMETER = Param("barometer", "pressure-absolute", "The air pressure, for gauge pressures.", default="1.01325 bar(a)")
_GAS = Param("gas", "gas", "Gas by name or formula, or 'methane=60 %, carbon dioxide=40 %'.")
_VOLUME = Param("volume", "volume", "Volume of the space, as '14 L'.")
_TEMPERATURE = Param("temperature", "temperature", "Temperature, as '20 °C'.", default="20 °C")
_OWN = (
    Param("k", "number", "Ratio of heat capacities, in place of a gas.", optional=True),
    Param("molar-mass", "number", "Molar mass in g/mol, in place of a gas.", optional=True),
)
_Z = Param("z", "number", "Compressibility factor.", optional=True)


def _pressure(name: str, help: str, default: str = "") -> Param:
    return Param(name, "absolute", f"{help}, as '11 bar(g)' or '12 bar(a)'.", default=default)


def trapped(given: Given) -> Answer | Wrong:
    """Mass and stored energy of the gas in a space."""
    gas, volume, pressure, kelvin = given.gas(), given.num("volume"), given.num("pressure"), given.num("temperature")
    ambient = given.num("barometer")
    figures = [
        figure("compressibility factor Z", compressibility(gas, pressure, kelvin), digits=4),
        figure("density", density(gas, pressure, kelvin), "kg/m³"),
        figure("mass of gas", trapped_mass(gas, volume, pressure, kelvin)),
    ]
    if pressure > ambient:
        figures.append(
            figure("stored energy, isentropic", isentropic_energy(pressure, volume, gas.k, ambient), digits=4)
        )
        figures.append(figure("stored energy, by Brode", brode_energy(pressure, volume, gas.k, ambient), digits=4))
    return answer(*figures)


def energy(given: Given) -> Answer | Wrong:
    """Stored energy with the ratio of heat capacities as given, ideal gas."""
    pressure, volume, k, ambient = (given.num(n) for n in ("pressure", "volume", "k", "barometer"))
    return answer(
        figure("stored energy, isentropic", isentropic_energy(pressure, volume, k, ambient), digits=4),
        figure("stored energy, by Brode", brode_energy(pressure, volume, k, ambient), digits=4),
    )


def _k_and_mass(given: Given) -> tuple[float, float] | Wrong:
    """k and molar mass (kg/mol): the user's own before those of the gas."""
    gas = given.gas() if given.has("gas") else None
    if gas is None and not (given.has("k") and given.has("molar-mass")):
        return Wrong("gas", "the gas is not known", "give --gas methane, or both --k and --molar-mass")
    k = given.num("k") if given.has("k") or gas is None else gas.k
    mass = given.num("molar-mass") / 1000 if given.has("molar-mass") or gas is None else gas.molar_mass
    return k, mass


def vent_times(given: Given) -> Answer | Wrong:
    """The time a space takes to vent through a bore, both models of heat."""
    volume, start, end, bore = (given.num(n) for n in ("volume", "from", "to", "bore"))
    kelvin, back, coefficient = given.num("temperature"), given.num("back"), given.num("coefficient")
    z = given.num("z") if given.has("z") else 1.0
    known = given.has("gas") and not (given.has("k") or given.has("molar-mass"))
    if known:
        both = vent(given.gas(), volume, start, end, bore, temperature=kelvin, back=back, z=z, coefficient=coefficient)
        slow, fast, cold = both.isothermal, both.adiabatic, both.end_temperature
    else:
        own = _k_and_mass(given)
        if isinstance(own, Wrong):
            return own
        fault = may_be_liquid(given.gas(), start, kelvin) if given.has("gas") else None
        if fault is not None:
            return refused(fault, "gas")
        k, mass = own
        slow, fast = (
            vent_time(volume, start, end, bore, k=k, molar_mass=mass, temperature=kelvin, back=back, z=z,
                      coefficient=coefficient, adiabatic=adiabatic)
            for adiabatic in (False, True)
        )  # fmt: skip
        cold = end_temperature(start, end, k, kelvin)
    if isinstance(slow, Outside):
        return refused(slow)
    parts: list[Figure | Words] = [Figure("time, walls keep the gas warm", slow, given.text("in") or "s", 5)]
    if isinstance(fast, Result):
        parts.append(Figure("time, gas cools as it expands", fast, "s", 5))
    else:
        parts.append(Words("time, gas cools as it expands", f"none: {fast.message}"))
    if isinstance(cold, Result):
        parts.append(Figure("temperature of the gas at the end", cold, "K", 4))
    parts.append(Words("Never a proof", "a computed time does not show that the space is empty; prove it at the gauge"))
    return Answer(tuple(parts))


def flow(given: Given) -> Answer | Wrong:
    """Mass flow through a bore."""
    own = _k_and_mass(given)
    if isinstance(own, Wrong):
        return own
    k, mass = own
    area = _area(given)
    if isinstance(area, Wrong):
        return area
    z = given.num("z") if given.has("z") else 1.0
    found = mass_flow(given.num("from"), given.num("back"), area, k=k, molar_mass=mass, temperature=given.num("temperature"),
                      z=z, coefficient=given.num("coefficient"))  # fmt: skip
    return answer(
        figure("mass flow", found, "kg/h", 4), figure("critical pressure ratio", critical_pressure_ratio(k), digits=4)
    )


def _area(given: Given) -> float | Wrong:
    if given.has("bore") == given.has("area"):
        return Wrong("bore", "one of bore and area must be given", "give --bore '6 mm' or --area '28 mm2'")
    if given.has("area"):
        return given.num("area")
    return 3.141592653589793 / 4 * given.num("bore") ** 2


def relief(given: Given) -> Answer | Wrong:
    """The area a relief device needs for a flow."""
    own = _k_and_mass(given)
    if isinstance(own, Wrong):
        return own
    k, mass = own
    z = given.num("z") if given.has("z") else 1.0
    found = relief_area(given.num("flow"), given.num("pressure"), given.num("back"), k=k, molar_mass=mass,
                        temperature=given.num("temperature"), z=z, coefficient=given.num("coefficient"))  # fmt: skip
    return answer(figure("area", found, "mm²", 4))


def critical(given: Given) -> Answer | Wrong:
    """The pressure ratio below which the flow is choked."""
    k = given.num("k") if given.has("k") else given.gas().k if given.has("gas") else None
    if k is None:
        return Wrong("k", "the gas is not known", "give --k 1.4 or --gas air")
    return answer(figure("critical pressure ratio", critical_pressure_ratio(k), digits=4))


def purge(given: Given) -> Answer | Wrong:
    """Cycles or volumes of purge gas until a fraction is reached, and the nitrogen they take."""
    method = given.text("method")
    start, limit, supply = given.num("start"), given.num("limit"), given.num("supply")
    volume, kelvin = given.num("volume"), given.num("temperature")
    if method == "sweep":
        at = given.num("high") if given.has("high") else given.num("barometer")
        found = sweep_purge(
            start, limit, volume, pressure=at, temperature=kelvin, supply=supply, mixing=given.num("mixing")
        )
    elif method == "pressure":
        if not given.has("high"):
            return Wrong("high", "the pressure filled to must be given", "give --high '6 bar(g)'")
        low = given.num("low") if given.has("low") else given.num("barometer")
        found = pressure_purge(start, limit, low, given.num("high"), volume, temperature=kelvin, supply=supply)
    elif method == "vacuum":
        if not given.has("low"):
            return Wrong("low", "the vacuum drawn must be given", "give --low '0.1 bar(a)'")
        high = given.num("high") if given.has("high") else given.num("barometer")
        found = vacuum_purge(start, limit, given.num("low"), volume, high=high, temperature=kelvin, supply=supply)
    else:
        return Wrong("method", f"no method is called {method}", "write pressure, vacuum or sweep")
    if isinstance(found, Outside):
        return refused(found)
    amount = "volumes of the space" if method == "sweep" else "cycles"
    return answer(
        Figure(amount, found.amount, digits=3),
        Figure("fraction left", found.left, "%", 3),
        Figure("nitrogen", found.nitrogen, "kg", 3),
        figure("nitrogen at 0 °C, 1.01325 bar(a)", normal_volume(found.nitrogen.value), "m³"),
    )


def explosive(given: Given) -> Answer | Wrong:
    """The lower explosive limit, lower of two editions and by each, and what a share of it is."""
    found = lower_explosive_limit(given.gas())
    if isinstance(found, Outside):
        return refused(found, "gas")
    share = given.num("share")
    inputs = (Input("lower explosive limit", found.value), Input("share", share))
    part = Result(found.value * share, "", "limit · share", inputs, found.source, found.limits)
    editions = [
        Figure(
            f"by {edition}, vol",
            replace(
                found, value=limit, formula=found.formula.replace("the lower of two editions", edition), source=edition
            ),
            "%",
            3,
        )
        for edition, limit in zip(LEL_EDITIONS, given.gas().lel or (), strict=False)
    ]
    return answer(
        Figure("lower explosive limit, vol", found, "%", 3),
        Figure(f"{share * 100:g} % of it, vol", part, "%", 3),
        *editions,
    )


def saturated(given: Given) -> Answer | Wrong:
    """Whether a gas may be liquid at a pressure and temperature."""
    gas, pressure, kelvin = given.gas(), given.num("pressure"), given.num("temperature")
    fault = may_be_liquid(gas, pressure, kelvin)
    parts: list[Figure | Words] = []
    vapour = None if gas.parts else saturation_pressure(gas, kelvin)
    if vapour is not None:
        parts.append(Figure("saturation pressure", Result(
            vapour, "Pa", "ln(p/p_c) by three terms in 1 − T/T_c", (Input("temperature", kelvin, "K"),),
            "Ambrose and Walton, Pure and Applied Chemistry 61 (1989) 1395",
        ), "bar", 3))  # fmt: skip
    parts.append(Words("state", f"may be liquid: {fault.message}" if fault else "gas at that pressure and temperature"))
    return Answer(tuple(parts))


def gauge(given: Given) -> Answer | Wrong:
    """Whether a gauge can prove a limit."""
    low, high, accuracy = given.num("lowest"), given.num("highest"), given.num("class")
    if given.has("lowest") and given.has("highest") and given.has("limit"):
        ratio = gauge_ratio(given.num("limit"), accuracy, low, high)
        error = gauge_error(accuracy, low, high)
        faults: tuple[Fault, ...] = ()
        if isinstance(ratio, Result) and ratio.value < WANTED_RATIO:
            hint = "use a gauge of a smaller range or a better class"
            faults = (
                Fault(
                    "gauge-too-coarse",
                    Severity.ERROR,
                    f"the limit is {ratio.value:.3g} times the error of the gauge; {WANTED_RATIO:g} is wanted",
                    hint,
                ),
            )
        return answer(
            figure("error of the gauge, ±", error, given.symbol("limit")),
            figure("limit over error", ratio),
            faults=faults,
        )
    return Wrong("limit", "it must be given")


def force(given: Given) -> Answer | Wrong:
    """The force a small pressure leaves on a cover."""
    pressure = given.quantities["pressure"]
    si = given.num("pressure")
    if pressure.kind == "pressure-absolute":
        return Wrong(
            "pressure", f"{pressure} is an absolute pressure", "write the difference across the cover, as '0.5 bar(g)'"
        )
    return answer(figure("force on the cover", force_on_cover(si, given.num("diameter")), "N", 4))


def cooled(given: Given) -> Answer | Wrong:
    """The temperature of the gas after an adiabatic fall of pressure."""
    own = given.num("k") if given.has("k") else given.gas().k if given.has("gas") else None
    if own is None:
        return Wrong("k", "the gas is not known", "give --k 1.4 or --gas air")
    return answer(
        figure(
            "temperature at the end",
            end_temperature(given.num("from"), given.num("to"), own, given.num("temperature")),
            "K",
            4,
        )
    )


_MAYBE_GAS = Param("gas", "gas", _GAS.help, optional=True)
_COEFFICIENT = Param("coefficient", "number", "Discharge coefficient of the bore.", default=str(SHARP_EDGED))
_BACK = _pressure("back", "Pressure it blows into", "1.01325 bar(a)")

GASES: tuple[Calculation, ...] = (
    Calculation("trapped-gas", GROUP, "Gas shut in a space: mass and stored energy",
                (_BAROMETER, _GAS, _VOLUME, _pressure("pressure", "Pressure of the space"), _TEMPERATURE), trapped,
                "--gas biogas --volume '14 L' --pressure '11 bar(g)'"),
    Calculation("stored-energy", GROUP, "Stored energy of an ideal gas",
                (_BAROMETER, _VOLUME, _pressure("pressure", "Pressure of the space"),
                 Param("k", "number", "Ratio of heat capacities.", default="1.4")), energy,
                "--volume '1 m3' --pressure '100 bar(g)'"),
    Calculation("vent-time", GROUP, "Time a space takes to vent through a bore (planning only)",
                (_BAROMETER, _MAYBE_GAS, _VOLUME, _pressure("from", "Pressure at the start"), _pressure("to", "Pressure at the end"),
                 Param("bore", "length", "Diameter of the narrowest bore."), _TEMPERATURE, _BACK, _COEFFICIENT, _Z, *_OWN), vent_times,
                "--gas methane --volume '2 m3' --from '51 bar(a)' --to '1.05 bar(a)' --bore '6 mm' --temperature '40 °C' --coefficient 0.85"),
    Calculation("bore-flow", GROUP, "Mass flow of a gas through a bore",
                (_BAROMETER, _MAYBE_GAS, _pressure("from", "Pressure upstream"), _BACK, Param("bore", "length", "Diameter.", optional=True),
                 Param("area", "area", "Or its area.", optional=True), _TEMPERATURE, _COEFFICIENT, _Z, *_OWN), flow,
                "--gas air --from '7 bar(g)' --bore '5 mm'"),
    Calculation("relief-area", GROUP, "Area of a relief device for a flow",
                (_BAROMETER, _MAYBE_GAS, Param("flow", "flow-mass", "The flow to relieve."), _pressure("pressure", "Relieving pressure"), _BACK,
                 _TEMPERATURE, Param("coefficient", "number", "Discharge coefficient.", default="0.975"), _Z, *_OWN), relief,
                "--flow '24270 kg/h' --pressure '670 kPa(a)' --temperature '348 K' --z 0.9 --molar-mass 51 --k 1.11"),
    Calculation("critical-ratio", GROUP, "Pressure ratio below which flow is choked",
                (_MAYBE_GAS, Param("k", "number", "Ratio of heat capacities.", optional=True)), critical, "--k 1.4"),
    Calculation("purge", GROUP, "Purge cycles or volumes, and the nitrogen they take",
                (_BAROMETER, Param("method", "text", "pressure, vacuum or sweep."), Param("start", "share", "Volume fraction at the start, as '21 %'."),
                 Param("limit", "share", "Volume fraction to reach, as '1 %'."), _VOLUME,
                 Param("low", "absolute", "Lowest pressure of a cycle.", optional=True),
                 Param("high", "absolute", "Highest pressure of a cycle; of a sweep, its pressure.", optional=True), _TEMPERATURE,
                 Param("supply", "share", "The same substance in the purge gas.", default="0"),
                 Param("mixing", "number", "1 for perfect mixing, 0.1 to 1.", default="1")), purge,
                "--method pressure --start '21 %' --limit '1 %' --low '1 atm(a)' --high '5 atm(a)' --volume '1 m3'"),
    Calculation("explosive-limit", GROUP, "Lower explosive limit, the lower of two editions",
                (_GAS, Param("share", "share", "A share of it, for a gas test.", default="10 %")), explosive, "--gas methane"),
    Calculation("saturation", GROUP, "Whether a fluid may be liquid",
                (_BAROMETER, _GAS, _pressure("pressure", "Pressure"), _TEMPERATURE), saturated,
                "--gas propane --pressure '10 bar(a)' --temperature '300 K'"),
    Calculation("gauge", GROUP, "Whether a gauge can prove a limit",
                (Param("limit", "scale", "The limit to prove, as '0.05 bar(g)'."), Param("lowest", "scale", "Its lowest mark."),
                 Param("highest", "scale", "Its highest mark."), Param("class", "number", "Its accuracy class.")), gauge,
                "--limit '0.1 bar(g)' --lowest '0 bar(g)' --highest '1 bar(g)' --class 1.6"),
    Calculation("cover-force", GROUP, "Force that a pressure leaves on a cover",
                (Param("pressure", "scale", "Pressure difference, as '0.5 bar(g)'."), Param("diameter", "length", "Diameter it is sealed at.")),
                force, "--pressure '0.5 bar(g)' --diameter '400 mm'"),
    Calculation("end-temperature", GROUP, "Temperature of a gas after a fast fall of pressure",
                (_BAROMETER, _MAYBE_GAS, _pressure("from", "Pressure at the start"), _pressure("to", "Pressure at the end"), _TEMPERATURE,
                 Param("k", "number", "Ratio of heat capacities.", optional=True)), cooled, "--k 1.4 --from '100 atm(a)' --to '1.893 atm(a)' --temperature '300 K'"),
)  # fmt: skip
