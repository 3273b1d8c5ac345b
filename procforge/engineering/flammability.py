"""The lower explosive limit of a gas or mixture in air: both editions, the lower used."""

from __future__ import annotations

from procforge.engineering.base import Input, Outside, Result
from procforge.engineering.gas_data import LEL_EDITIONS, Gas


def lower_explosive_limit(gas: Gas) -> Result | Outside:
    """Volume fraction in air; the lower of the two editions, both among the inputs. Outside for a gas that is not
    listed as flammable."""
    if gas.lel is None:
        return Outside(f"{gas.name} has no lower explosive limit in the table", "not listed as flammable in air")
    limits: tuple[str, ...] = ()
    if gas.parts:
        formula = "LEL = 1 / Σ(x / LEL of each flammable part), the lower of two editions"
        limits = ("Le Chatelier's rule, with parts that do not burn as diluents; it is less sure with much diluent",)
    else:
        formula = "the lower of two editions"
    return Result(
        min(gas.lel),
        "",
        formula,
        tuple(
            Input(f"LEL of {gas.name}, {edition}", value) for edition, value in zip(LEL_EDITIONS, gas.lel, strict=True)
        ),
        " and ".join(LEL_EDITIONS),
        ("in air at ambient pressure and temperature; less under pressure, when hot, or in oxygen", *limits),
    )
