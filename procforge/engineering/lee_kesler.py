"""The compressibility factor by Lee and Kesler's two reference fluids, AIChE Journal 21 (1975) 510, table 1."""

from __future__ import annotations

from math import exp

_SIMPLE = (
    *(0.1181193, 0.265728, 0.154790, 0.030323),
    *(0.0236744, 0.0186984, 0.0, 0.042724),
    *(0.155488e-4, 0.623689e-4, 0.65392, 0.060167),
)
_REFERENCE = (
    *(0.2026579, 0.331511, 0.027655, 0.203488),
    *(0.0313385, 0.0503618, 0.016901, 0.041577),
    *(0.48736e-4, 0.0740336e-4, 1.226, 0.03754),
)
_REFERENCE_ACENTRIC = 0.3978


def compressibility_factor(reduced_temperature: float, reduced_pressure: float, acentric: float) -> float:
    """Z of the gas at T/T_c and p/p_c; the caller has made sure that it is a gas."""
    simple = _fluid(reduced_temperature, reduced_pressure, _SIMPLE)
    reference = _fluid(reduced_temperature, reduced_pressure, _REFERENCE)
    return simple + acentric / _REFERENCE_ACENTRIC * (reference - simple)


def _fluid(t: float, p: float, constants: tuple[float, ...]) -> float:
    """Z of one reference fluid: the root of lowest density, found upward from none in small steps, then halved."""
    b1, b2, b3, b4, c1, c2, c3, c4, d1, d2, beta, gamma = constants
    b = b1 - b2 / t - b3 / t**2 - b4 / t**3
    c = c1 - c2 / t + c3 / t**3
    d = d1 + d2 / t
    e = c4 / t**3

    def pressure(density: float) -> float:
        square = density * density
        tail = e * square * (beta + gamma * square) * exp(-gamma * square)
        return t * density * (1 + b * density + c * square + d * density**5 + tail)

    low, step = 0.0, p / t / 40
    high = step
    while pressure(high) < p:
        low, high = high, high + step
    for _ in range(48):
        middle = (low + high) / 2
        low, high = (middle, high) if pressure(middle) < p else (low, middle)
    return 2 * p / t / (low + high)
