"""Gases as data: molar mass, heat capacity ratio, critical point, explosive limits.

Constants: the reference equation of state of each gas as coded in CoolProp 8.0.0; `k` at 288.15 K and 101.325 kPa.
Explosive limits: IEC 60079-20-1:2010 and NFPA 497:2008 as coded in `chemicals` 1.5.2. The tests compare every row.
"""

from __future__ import annotations

from dataclasses import dataclass

R = 8.314462618  # J/(mol·K), CODATA 2018, exact in the SI of 2019 to these digits
ATMOSPHERE = 101325.0  # Pa, standard atmosphere, exact by definition
NORMAL_TEMPERATURE = 273.15  # K, with the standard atmosphere the normal cubic metre (ISO 13443, annex; DIN 1343)

CONSTANTS = "reference equation of state of each gas, as coded in CoolProp 8.0.0"
LEL_EDITIONS = ("IEC 60079-20-1:2010", "NFPA 497:2008")


@dataclass(frozen=True, slots=True)
class Gas:
    """One gas or mixture: `molar_mass` kg/mol, `k` = cp/cv, critical temperature K and pressure Pa, acentric factor.

    `lel` holds the lower explosive limit as a volume fraction in air by IEC and by NFPA, None for a gas that does not
    burn. `parts` names the components of a mixture with their mole fractions, empty for a pure gas.
    """

    name: str
    molar_mass: float
    k: float
    critical_temperature: float
    critical_pressure: float
    acentric: float
    lel: tuple[float, float] | None = None
    parts: tuple[tuple[Gas, float], ...] = ()


def _gas(
    name: str,
    grams: float,
    k: float,
    kelvin: float,
    bar: float,
    acentric: float,
    lel: tuple[float, float] | None = None,
) -> Gas:
    limits = (round(lel[0] / 100, 6), round(lel[1] / 100, 6)) if lel else None
    return Gas(name, grams / 1000, k, kelvin, bar * 1e5, acentric, limits)


#: name: M g/mol, k, T_c K, p_c bar, acentric factor, (LEL vol % IEC, NFPA)
GASES: dict[str, Gas] = {
    gas.name: gas
    for gas in (
        _gas("air", 28.9655, 1.4002, 132.531, 37.860, 0.0335),
        _gas("nitrogen", 28.0135, 1.3996, 126.192, 33.958, 0.0372),
        _gas("oxygen", 31.9988, 1.3956, 154.599, 50.464, 0.0222),
        _gas("argon", 39.948, 1.6667, 150.687, 48.630, -0.0022),
        _gas("helium", 4.0026, 1.6667, 5.1953, 2.2832, -0.3835),
        _gas("carbon dioxide", 44.0098, 1.2931, 304.128, 73.773, 0.2239),
        _gas("methane", 16.0428, 1.3075, 190.564, 45.992, 0.0114, (4.4, 5.0)),
        _gas("ethane", 30.069, 1.1935, 305.322, 48.722, 0.0990, (2.4, 3.0)),
        _gas("ethylene", 28.0538, 1.2474, 282.350, 50.417, 0.0866, (2.3, 2.7)),
        _gas("propane", 44.0956, 1.1318, 369.890, 42.512, 0.1521, (1.7, 2.1)),
        _gas("propylene", 42.0797, 1.1524, 364.211, 45.550, 0.1460, (2.0, 2.4)),
        _gas("n-butane", 58.1222, 1.0949, 425.125, 37.960, 0.2008, (1.4, 1.9)),
        _gas("isobutane", 58.1222, 1.0971, 407.810, 36.290, 0.1835, (1.3, 1.8)),
        _gas("hydrogen", 2.0159, 1.4067, 33.144, 12.964, -0.2190, (4.0, 4.0)),
        _gas("ammonia", 17.0305, 1.3084, 405.560, 113.634, 0.2557, (15.0, 15.0)),
        _gas("hydrogen sulfide", 34.0809, 1.3237, 373.101, 89.989, 0.1005, (4.0, 4.0)),
        _gas("carbon monoxide", 28.0101, 1.3994, 132.860, 34.982, 0.0497, (10.9, 12.5)),
        _gas("sulfur dioxide", 64.0638, 1.2664, 430.640, 78.866, 0.2561),
    )
}

#: Gases that freeze where a vent may take them: triple point K, heat of fusion J/mol. CoolProp 8.0.0 and CRC Handbook
#: (in `chemicals` 1.5.2); the heat of sulfur dioxide from memory.
FREEZING: dict[str, tuple[float, float]] = {
    "carbon dioxide": (216.592, 9020.0),
    "hydrogen sulfide": (187.7, 2380.0),
    "ammonia": (195.495, 5660.0),
    "sulfur dioxide": (197.7, 7401.0),
}

#: Other names in use for the same gas.
ALSO: dict[str, str] = {
    "n2": "nitrogen",
    "o2": "oxygen",
    "ar": "argon",
    "he": "helium",
    "co2": "carbon dioxide",
    "ch4": "methane",
    "c2h6": "ethane",
    "c2h4": "ethylene",
    "ethene": "ethylene",
    "c3h8": "propane",
    "c3h6": "propylene",
    "propene": "propylene",
    "butane": "n-butane",
    "c4h10": "n-butane",
    "i-butane": "isobutane",
    "h2": "hydrogen",
    "nh3": "ammonia",
    "h2s": "hydrogen sulfide",
    "hydrogen sulphide": "hydrogen sulfide",
    "co": "carbon monoxide",
    "so2": "sulfur dioxide",
    "sulphur dioxide": "sulfur dioxide",
}

#: Mixtures by name, mole fractions. Biogas: common practice, no source; a plant's own analysis goes before it.
MIXTURES: dict[str, dict[str, float]] = {"biogas": {"methane": 0.60, "carbon dioxide": 0.40}}
