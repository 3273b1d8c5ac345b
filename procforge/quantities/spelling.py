"""From the many ways a unit is typed to the one unit meant."""

from __future__ import annotations

from functools import cache, lru_cache

from procforge.quantities.kinds import Problem, Unit
from procforge.quantities.table import rows

LONGEST = 40  # characters in a unit worth looking up

# Look-alikes of each sign in the plain form, as code points: several cannot be told apart on a screen.
LOOK_ALIKES = {
    "·": "\u22c5\u2219.*-",  # dot operator, bullet operator
    "μ": "\u00b5",  # micro sign for mu
    "°": "\u00ba\u02da",  # ordinal, ring
    "Ω": "\u2126",  # ohm sign for omega
    "Δ": "\u2206",  # increment for delta
    "1": "\u00b9",
    "2": "\u00b2\u2082",
    "3": "\u00b3",
}
_PLAIN = str.maketrans({like: sign for sign, likes in LOOK_ALIKES.items() for like in likes})

# Spellings that mean two things, or that this table does not hold for a reason.
_REFUSED = {
    "ton": ("'ton' is three different masses", "write t (1000 kg), kg or lb"),
    "tons": ("'tons' is three different masses", "write t (1000 kg), kg or lb"),
    "gal": ("'gal' is two different volumes", "write gal(US) or gal(UK)"),
    "gpm": ("'gpm' is two different flows", "write gal(US)/min or gal(UK)/min"),
    "nm": ("'nm' is not in the unit table", "for a torque write N·m"),
    "NM": ("'NM' is not in the unit table", "for a torque write N·m"),
    "C": ("'C' is not a temperature", "write °C"),
    "F": ("'F' is not a temperature", "write °F"),
    "rad": ("angles are in degrees or turns here", "write ° or turn"),
    "mpa": ("'mpa' could be mega or milli", "write MPa"),
    "M": ("'M' is not a unit", "write m for metres"),
    "scfm": ("'scfm' does not say its reference temperature", "write m3(n)/h (0 °C, 101.325 kPa) or a mass flow"),
    "Nm3": ("a gas amount is not in the unit table", "write a mass, or a flow in m3(n)/h"),
}


def plain(text: str) -> str:
    """The spelling with look-alikes folded and inner spaces closed (`N m` and `N*m` are `N·m`, `bar (g)` `bar(g)`)."""
    first, *others = text.split() or [""]
    text = first
    for part in others:
        words = text[-1].isalnum() and part[0].isalnum() and not text.endswith("deg")
        text += ("·" if words else "") + part
    if "-1" in text:
        text = text.replace("^-1", "⁻1").replace("-1", "⁻1")
    text = text.translate(_PLAIN)
    return text.replace("^2", "2").replace("^3", "3") if "^" in text else text


@cache
def spellings() -> dict[str, Unit]:
    """Plain spelling to unit, for all the table."""
    names: dict[str, Unit] = {}
    for unit_, more in rows():
        for name in (plain(unit_.symbol), *more.split()):
            names[name] = unit_
            if "·" in name:
                names[name.replace("·", "")] = unit_  # Nm, barg
    return names


@lru_cache(maxsize=1024)
def unit(text: str) -> Unit | Problem:
    """The unit a text names: look-alikes, inner spaces and the usual spellings are accepted, the wrong case is not."""
    if len(text) > LONGEST:
        return Problem("too long for a unit", "write one unit, such as mm or bar(g)")
    name = plain(text)
    known = spellings()
    if name in known and name:
        return known[name]
    shown = " ".join(text.split())
    if not name:
        return Problem("no unit is written", "write the unit, such as mm or bar(g)")
    if name in _REFUSED:
        return Problem(*_REFUSED[name])
    if "±" in text or "+/" in text:
        return Problem(f"'{shown}' is a unit with a tolerance behind it", "only a value and its unit can stand here")
    return Problem(f"'{shown}' is not a unit in the table", _suggestion(name, known))


def _suggestion(name: str, known: dict[str, Unit]) -> str:
    from difflib import get_close_matches

    folded: dict[str, list[str]] = {}
    for spelling, meant in known.items():
        if spelling and meant.symbol not in (symbols := folded.setdefault(spelling.casefold(), [])):
            symbols.append(meant.symbol)
    close = get_close_matches(name.casefold(), folded, n=2, cutoff=0.6)
    meant_symbols = list(dict.fromkeys(symbol for match in close for symbol in folded[match]))
    return f"did you mean {' or '.join(meant_symbols[:3])}?" if meant_symbols else "write one of the units in the table"


def units_of(kind: str) -> tuple[Unit, ...]:
    """The units of a kind in the order of the table; empty for a kind there is none of."""
    return tuple(unit_ for unit_, _ in rows() if unit_.kind == kind)
