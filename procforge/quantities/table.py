"""The closed table of units: exact factors from the definitions, and the spellings accepted for each.

Sources of the factors: the SI Brochure (9th edition) for the SI and the units accepted with it; NIST SP 811 (2008),
appendix B, for the rest: pound 0.45359237 kg, inch 25.4 mm, standard gravity 9.80665 m/s², standard atmosphere
101325 Pa, conventional mercury 13595.1 kg/m³ and water 1000 kg/m³, US gallon 231 in³, British gallon 4.54609 L,
Btu (IT) 1055.05585262 J. Everything else is a product of these, so each factor is an exact fraction.
"""

from __future__ import annotations

from fractions import Fraction

from procforge.quantities.kinds import Unit

F = Fraction  # short, so that a row of the table stays readable
G = F(980665, 100000)
LB = F(45359237, 100000000)
LBF = LB * G
IN = F(254, 10000)
FT = 12 * IN
GAL_US = 231 * IN**3
GAL_UK = F(454609, 100000000)
MMHG = F(135951, 10) * G / 1000
KILO, MEGA, MILLI, MICRO = F(1000), F(10**6), F(1, 1000), F(1, 10**6)
MIN, HOUR, DAY = F(60), F(3600), F(86400)

Rows = tuple[tuple[str, F, str], ...]

# Each row: printed symbol, factor to the base unit of the kind, other spellings, in the plain form that
# spelling.plain() makes: `·` for any product sign (left out, it is accepted too), 2 and 3 for powers, ⁻1 for a
# reciprocal.
ROWS: dict[str, Rows] = {
    "count": (("", F(1), ""), ("pcs", F(1), "pc piece pieces off")),
    "length": (
        ("m", F(1), ""), ("cm", F(1, 100), ""), ("mm", MILLI, ""), ("μm", MICRO, "um micron microns"),
        ("km", KILO, ""), ("in", IN, "inch inches"), ("ft", FT, "foot feet"), ("thou", IN / 1000, "mil mils"),
    ),
    "area": (
        ("m²", F(1), ""), ("cm²", F(1, 10**4), ""), ("mm²", MICRO, ""), ("in²", IN**2, "sq·in"),
        ("ft²", FT**2, "sq·ft"),
    ),
    "volume": (
        ("m³", F(1), ""), ("dm³", MILLI, ""), ("L", MILLI, "l litre litres"), ("mL", MICRO, "ml"),
        ("cm³", MICRO, "cc ccm"), ("mm³", F(1, 10**9), ""), ("ft³", FT**3, "cu·ft"), ("in³", IN**3, "cu·in"),
        ("gal(US)", GAL_US, "US·gal"), ("gal(UK)", GAL_UK, "UK·gal"),
    ),
    "mass": (
        ("kg", F(1), "kgs"), ("g", MILLI, ""), ("mg", MICRO, ""), ("t", KILO, "tonne tonnes"),
        ("lb", LB, "lbs lbm"),
    ),
    "force": (
        ("N", F(1), ""), ("kN", KILO, ""), ("MN", MEGA, ""), ("lbf", LBF, ""), ("kip", 1000 * LBF, "kips"),
        ("kgf", G, "kp"), ("daN", F(10), ""),
    ),
    # A wrench marked ft-lb measures torque: the pound in a torque is the pound-force, in either order.
    "torque": (
        ("N·m", F(1), ""), ("kN·m", KILO, ""), ("N·mm", MILLI, ""), ("N·cm", F(1, 100), ""), ("daN·m", F(10), ""),
        ("lbf·ft", LBF * FT, "ft·lbf lb·ft ft·lb lbs·ft ft·lbs"),
        ("lbf·in", LBF * IN, "in·lbf lb·in in·lb lbs·in in·lbs"),
        ("kgf·m", G, "m·kgf kp·m m·kp kg·m m·kg"), ("kgf·cm", G / 100, "kp·cm kg·cm"),
    ),
    "energy": (
        ("J", F(1), ""), ("kJ", KILO, ""), ("MJ", MEGA, ""), ("W·h", HOUR, ""), ("kW·h", KILO * HOUR, ""),
        ("Btu", F(105505585262, 10**8), "BTU"),
    ),
    "power": (
        ("W", F(1), ""), ("kW", KILO, ""), ("MW", MEGA, ""), ("hp", 550 * LBF * FT, "HP"), ("PS", 75 * G, ""),
    ),
    "pressure-rate": (
        ("Pa/s", F(1), ""), ("Pa/min", 1 / MIN, ""), ("Pa/h", 1 / HOUR, ""), ("kPa/min", KILO / MIN, ""),
        ("kPa/h", KILO / HOUR, ""), ("mbar/min", F(100) / MIN, ""), ("mbar/h", F(100) / HOUR, ""),
        ("bar/s", F(10**5), ""), ("bar/min", F(10**5) / MIN, ""), ("bar/h", F(10**5) / HOUR, ""),
        ("MPa/min", MEGA / MIN, ""), ("psi/min", LBF / IN**2 / MIN, ""), ("psi/h", LBF / IN**2 / HOUR, ""),
    ),
    "stress": (
        ("N/m²", F(1), ""), ("N/mm²", MEGA, ""), ("kN/mm²", F(10**9), ""), ("ksi", 1000 * LBF / IN**2, ""),
    ),
    "stiffness": (
        ("N/m", F(1), ""), ("N/mm", KILO, ""), ("kN/mm", MEGA, ""), ("lbf/in", LBF / IN, "lb/in"),
    ),
    "temperature-rate": (
        ("K/s", F(1), ""), ("K/min", 1 / MIN, "°C/min degC/min"), ("K/h", 1 / HOUR, "°C/h degC/h"),
        ("°F/min", F(5, 9) / MIN, "degF/min"), ("°F/h", F(5, 9) / HOUR, "degF/h"),
    ),
    "time": (
        ("s", F(1), "sec secs second seconds"), ("ms", MILLI, ""), ("min", MIN, "mins minute minutes"),
        ("h", HOUR, "hr hrs hour hours"), ("d", DAY, "day days"), ("week", 7 * DAY, "weeks wk"),
    ),
    # A month is no fixed number of seconds.
    "calendar": (("month", F(1), "months"), ("year", F(12), "years")),
    "angle": (("°", F(1), "deg degree degrees"), ("turn", F(360), "turns rev revs")),
    "slope": (("mm/m", MILLI, ""), ("μm/m", MICRO, "um/m"), ("thou/in", MILLI, "mil/in mils/in")),
    "velocity": (
        ("m/s", F(1), ""), ("m/min", 1 / MIN, ""), ("mm/s", MILLI, ""), ("mm/min", MILLI / MIN, ""),
        ("in/s", IN, "ips"), ("ft/s", FT, ""), ("ft/min", FT / MIN, "fpm"), ("km/h", F(5, 18), ""),
    ),
    "acceleration": (("m/s²", F(1), ""), ("mm/s²", MILLI, "")),
    "speed-of-rotation": (("r/s", F(1), "rps"), ("r/min", 1 / MIN, "rpm RPM rev/min min⁻1")),
    "frequency": (("Hz", F(1), ""), ("kHz", KILO, "")),
    "flow-volume": (
        ("m³/s", F(1), ""), ("m³/min", 1 / MIN, ""), ("m³/h", 1 / HOUR, ""), ("L/s", MILLI, "l/s"),
        ("L/min", MILLI / MIN, "l/min"), ("L/h", MILLI / HOUR, "l/h"), ("mL/min", MICRO / MIN, "ml/min"),
        ("mL/h", MICRO / HOUR, "ml/h"), ("cm³/min", MICRO / MIN, "cc/min"), ("mm³/s", F(1, 10**9), ""),
        ("ft³/min", FT**3 / MIN, "cfm CFM"), ("gal(US)/min", GAL_US / MIN, "US·gal/min"),
        ("gal(UK)/min", GAL_UK / MIN, "UK·gal/min"),
    ),
    "flow-normal": (
        ("m³(n)/s", F(1), "Nm3/s"), ("m³(n)/min", 1 / MIN, "Nm3/min"), ("m³(n)/h", 1 / HOUR, "Nm3/h"),
        ("L(n)/min", MILLI / MIN, "Nl/min NL/min"),
    ),
    "flow-mass": (
        ("kg/s", F(1), ""), ("kg/min", 1 / MIN, ""), ("kg/h", 1 / HOUR, ""), ("g/s", MILLI, ""),
        ("g/h", MILLI / HOUR, ""), ("t/h", KILO / HOUR, ""), ("lb/h", LB / HOUR, "lb/hr"),
    ),
    "leak-rate": (("Pa·m³/s", F(1), ""), ("mbar·L/s", F(1, 10), "mbar·l/s")),
    "drop-rate": (("drops/s", F(1), ""), ("drops/min", 1 / MIN, "drop/min"), ("drops/h", 1 / HOUR, "drop/h")),
    "bubble-rate": (("bubbles/s", F(1), ""), ("bubbles/min", 1 / MIN, "bubble/min")),
    "density": (
        ("kg/m³", F(1), ""), ("g/cm³", KILO, "g/cc"), ("kg/L", KILO, "kg/l kg/dm3"), ("lb/ft³", LB / FT**3, ""),
    ),
    "concentration": (
        ("g/m³", F(1), ""), ("mg/m³", MILLI, ""), ("μg/m³", MICRO, "ug/m3"), ("mg/L", F(1), "mg/l"),
    ),
    "viscosity-kinematic": (("m²/s", F(1), ""), ("mm²/s", MICRO, "cSt")),
    "viscosity-dynamic": (("Pa·s", F(1), ""), ("mPa·s", MILLI, "cP")),
    "voltage": (("V", F(1), "volt volts"), ("mV", MILLI, ""), ("kV", KILO, "")),
    "current": (("A", F(1), "amp amps"), ("mA", MILLI, "")),
    "resistance": (
        ("Ω", F(1), "ohm ohms"), ("mΩ", MILLI, "mohm"), ("kΩ", KILO, "kohm"), ("MΩ", MEGA, "Mohm megohm"),
    ),
    "ratio": (("%", F(1, 100), "percent"), ("‰", MILLI, "")),
    "parts": (("ppm", MICRO, ""), ("ppb", F(1, 10**9), "")),
    "fraction-volume": (
        ("%vol", F(1, 100), "vol% %v/v %(v)"), ("ppm(v)", MICRO, "ppmv"),
        ("ppb(v)", F(1, 10**9), "ppbv"),
    ),
    "fraction-mass": (
        ("%mass", F(1, 100), "mass% wt% %(m)"), ("ppm(m)", MICRO, "ppmw mg/kg"),
        ("g/kg", MILLI, ""),
    ),
    "lel": (("%LEL", F(1, 100), "%lel %LFL"),),
    "humidity": (("%RH", F(1, 100), "%rh"),),
}  # fmt: skip

PRESSURES: Rows = (
    ("Pa", F(1), ""), ("hPa", F(100), ""), ("kPa", KILO, ""), ("MPa", MEGA, ""), ("mbar", F(100), ""),
    ("bar", F(10**5), ""), ("psi", LBF / IN**2, "PSI lbf/in2 lb/in2"), ("kgf/cm²", G * 10**4, "kg/cm2 kp/cm2"),
    ("atm", F(101325), ""), ("torr", F(101325, 760), "Torr"), ("mmHg", MMHG, ""),
    ("inHg", MMHG * F(254, 10), ""), ("mmH₂O", G, "mmWC mmWG"), ("inH₂O", G * F(254, 10), "inWC inWG"),
)  # fmt: skip
REFERENCES = {"": "pressure", "g": "pressure-gauge", "a": "pressure-absolute", "d": "pressure-difference"}
RUN_TOGETHER = ("bar", "mbar", "psi", "PSI", "kPa", "MPa")  # those also written barg, bar-g, psia, ...

TEMPERATURES: tuple[tuple[str, F, F, str], ...] = (
    ("K", F(1), F(0), ""),
    ("°C", F(1), F(27315, 100), "degC"),
    ("°F", F(5, 9), F(45967, 100) * F(5, 9), "degF"),
)


def rows() -> list[tuple[Unit, str]]:
    """Every unit of the table with its other spellings, space-separated; a symbol stands once."""
    found = [(Unit(symbol, kind, factor), more) for kind, group in ROWS.items() for symbol, factor, more in group]
    for symbol, factor, more in PRESSURES:
        for letter, kind in REFERENCES.items():
            mark = f"({letter})" if letter else ""
            spellings = [name + mark for name in more.split()]
            if letter:
                for name in (symbol, *more.split()):
                    if name in RUN_TOGETHER:
                        spellings.append(f"{name}·{letter.upper() if name.isupper() else letter}")
            found.append((Unit(symbol + mark, kind, factor), " ".join(spellings)))
    for symbol, factor, offset, more in TEMPERATURES:
        found.append((Unit(symbol, "temperature", factor, offset), more))
        apart = " ".join([f"Δ{symbol}", *(f"{name}(d)" for name in more.split())])
        found.append((Unit(f"{symbol}(d)", "temperature-difference", factor), apart))
    return found
