"""What a unit is and which kinds of quantity there are; two kinds never mix, whatever their dimensions."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Problem:
    """Why a text is not a number, a unit, a quantity or a tolerance, and what to write instead."""

    message: str
    hint: str = ""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: printed `symbol`, `kind`, and the way to the kind's base unit: base = value * factor + offset."""

    symbol: str
    kind: str
    factor: Fraction
    offset: Fraction = Fraction(0)


#: kind: (in words, symbol of its base unit). The base is the SI unit, but for angles the degree and for speed of
#: rotation the turn per second: a radian is no exact fraction of a turn.
KINDS: dict[str, tuple[str, str]] = {
    "count": ("count", ""),
    "length": ("length", "m"),
    "area": ("area", "m²"),
    "volume": ("volume", "m³"),
    "mass": ("mass", "kg"),
    "force": ("force", "N"),
    "torque": ("torque", "N·m"),
    "energy": ("energy", "J"),
    "power": ("power", "W"),
    "pressure": ("pressure without a stated reference", "Pa"),
    "pressure-gauge": ("gauge pressure", "Pa(g)"),
    "pressure-absolute": ("absolute pressure", "Pa(a)"),
    "pressure-difference": ("pressure difference", "Pa(d)"),
    "pressure-rate": ("rate of pressure change", "Pa/s"),
    "stress": ("stress", "N/m²"),
    "stiffness": ("stiffness", "N/m"),
    "temperature": ("temperature", "K"),
    "temperature-difference": ("temperature difference", "K(d)"),
    "temperature-rate": ("rate of temperature change", "K/s"),
    "time": ("time", "s"),
    "calendar": ("calendar interval", "month"),
    "angle": ("angle", "°"),
    "slope": ("slope", "1"),
    "velocity": ("velocity", "m/s"),
    "acceleration": ("acceleration", "m/s²"),
    "speed-of-rotation": ("speed of rotation", "r/s"),
    "frequency": ("frequency", "Hz"),
    "flow-volume": ("volume flow", "m³/s"),
    "flow-normal": ("volume flow at 0 °C and 101.325 kPa", "m³(n)/s"),
    "flow-mass": ("mass flow", "kg/s"),
    "leak-rate": ("leak rate", "Pa·m³/s"),
    "drop-rate": ("rate of drops", "drops/s"),
    "bubble-rate": ("rate of bubbles", "bubbles/s"),
    "density": ("density", "kg/m³"),
    "concentration": ("mass concentration", "g/m³"),
    "viscosity-kinematic": ("kinematic viscosity", "m²/s"),
    "viscosity-dynamic": ("dynamic viscosity", "Pa·s"),
    "voltage": ("voltage", "V"),
    "current": ("current", "A"),
    "resistance": ("resistance", "Ω"),
    "ratio": ("ratio", "1"),
    "parts": ("parts without a stated reference", "1"),
    "fraction-volume": ("volume fraction", "1"),
    "fraction-mass": ("mass fraction", "1"),
    "lel": ("share of the lower explosive limit", "1"),
    "humidity": ("relative humidity", "1"),
}

#: Kinds measured from a reference, and the kind their differences are of.
DIFFERENCES: dict[str, str] = {
    "pressure": "pressure-difference",
    "pressure-gauge": "pressure-difference",
    "pressure-absolute": "pressure-difference",
    "temperature": "temperature-difference",
}


def kind_words(kind: str) -> str:
    """`pressure-gauge` as a reader says it: `gauge pressure`."""
    return KINDS[kind][0]


def differs_in(kind: str) -> str:
    """The kind of a difference between two quantities of `kind`."""
    return DIFFERENCES.get(kind, kind)
