"""What a closed valve may pass: ISO 5208 by size, FCI 70-2 by class. Volume flows in m³/s, lengths in m, Pa."""

from __future__ import annotations

from procforge.engineering.base import Input, Outside, Result, number

ISO_5208 = "ISO 5208:2015, table 4 (as quoted by a valve reference)"
FCI_70_2 = "ANSI/FCI 70-2-2006, tables 1 and 2 (as quoted by a valve reference)"

#: ISO 5208: rate: (liquid, gas) in mm³/s for each millimetre of DN; rate A allows no visible leakage.
ISO_RATES: dict[str, tuple[float, float]] = {
    "A": (0.0, 0.0),
    "AA": (0.006, 0.18),
    "B": (0.01, 0.3),
    "C": (0.03, 3.0),
    "CC": (0.08, 22.3),
    "D": (0.1, 30.0),
    "E": (0.3, 300.0),
    "EE": (0.39, 470.0),
    "F": (1.0, 3000.0),
    "G": (2.0, 6000.0),
}

#: FCI 70-2 classes II to IV: share of the rated capacity.
FCI_SHARES: dict[str, float] = {"II": 0.005, "III": 0.001, "IV": 0.0001}

#: FCI 70-2 class V with water: m³/s for each metre of seat diameter and each pascal of pressure difference.
FCI_V_WATER = 5e-12 * 1e3 / 1e5

#: FCI 70-2 class VI: nominal seat diameter mm (inches in the standard 1 to 16): millilitres of gas a minute.
FCI_VI: dict[int, float] = {
    **{25: 0.15, 38: 0.30, 51: 0.45, 64: 0.60, 76: 0.90, 102: 1.70, 152: 4.00, 203: 6.75},
    **{250: 11.1, 300: 16.0, 350: 21.6, 400: 28.4},
}
_MILLILITRE_A_MINUTE = 1e-6 / 60
_ISO_LIMITS = (
    "discharge to the atmosphere, at the test pressure and for the test time of the standard",
    "the valve's own product standard or the order may ask for less",
)


def iso_5208_rate(rate: str, nominal_size: float, *, gas: bool) -> Result | Outside:
    """Largest seat leakage in m³/s for an ISO 5208 rate letter and a DN (a pure number, 100 for DN 100)."""
    row = ISO_RATES.get(rate.strip().upper())
    if row is None:
        return Outside(f"ISO 5208 has no leakage rate {rate!r}", f"its rates are {', '.join(ISO_RATES)}")
    fault = number("DN", nominal_size, above=0, most=4000)
    if fault:
        return fault
    limits = ("no visible leakage for the duration of the test", *_ISO_LIMITS) if not any(row) else _ISO_LIMITS
    inputs = (Input("DN", nominal_size), Input(f"factor of rate {rate.strip().upper()}, mm³/s", row[gas]))
    return Result(row[gas] * nominal_size * 1e-9, "m³/s", "Q = factor × DN", inputs, ISO_5208, limits)


def fci_share(leakage_class: str, capacity: float) -> Result | Outside:
    """Largest seat leakage for FCI 70-2 classes II to IV, in the unit of `capacity` (m³/s at the test conditions)."""
    share = FCI_SHARES.get(leakage_class.strip().upper())
    if share is None:
        return Outside(
            f"FCI 70-2 gives no share of capacity for class {leakage_class!r}",
            "classes II, III and IV; V and VI go by the seat diameter, I has no test",
        )
    fault = number("the rated capacity", capacity, above=0, unit="m³/s")
    if fault:
        return fault
    limits = ("air or water, 3 to 4 bar or the working pressure difference if lower, 10 to 52 °C",)
    inputs = (Input("rated capacity at the test conditions", capacity, "m³/s"), Input("share", share))
    return Result(share * capacity, "m³/s", "Q = share × capacity", inputs, FCI_70_2, limits)


def fci_class_v(seat_diameter: float, pressure_difference: float) -> Result | Outside:
    """Largest flow of water in m³/s for class V: seat diameter m, service pressure difference Pa."""
    fault = number("the seat diameter", seat_diameter, above=0, most=2, unit="m") or number(
        "the pressure difference", pressure_difference, above=0, unit="Pa"
    )
    if fault:
        return fault
    inputs = (Input("seat diameter", seat_diameter, "m"), Input("pressure difference", pressure_difference, "Pa"))
    limits = ("water at 10 to 52 °C, at the service pressure difference",)
    return Result(
        FCI_V_WATER * seat_diameter * pressure_difference,
        "m³/s",
        "Q = 5e-12 m³/s per mm and bar",
        inputs,
        FCI_70_2,
        limits,
    )


def fci_class_vi(seat_diameter: float) -> Result | Outside:
    """Largest flow of gas in m³/s for class VI, for a tabulated seat diameter in m (2 mm either way).

    Between the rows the next smaller is taken, the tighter: no interpolation.
    """
    fault = number("the seat diameter", seat_diameter, above=0, unit="m")
    if fault:
        return fault
    millimetres = seat_diameter * 1000
    if millimetres > max(FCI_VI) + 6.5:  # 16 in is 406.4 mm
        return Outside(f"class VI is tabulated to {max(FCI_VI)} mm, the seat is {millimetres:.4g} mm")
    row = max((d for d in FCI_VI if d <= millimetres + 2), default=min(FCI_VI))
    return Result(
        FCI_VI[row] * _MILLILITRE_A_MINUTE,
        "m³/s",
        "table",
        (Input("seat diameter", seat_diameter, "m"), Input("row of the table", row / 1000, "m")),
        FCI_70_2,
        ("air or nitrogen, 3.5 bar or the working pressure difference if lower, 10 to 52 °C",),
    )
