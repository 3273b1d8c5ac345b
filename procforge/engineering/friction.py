"""Friction of threads and nut faces: lubricant words to a range of friction, and nut factors, each with its source."""

from __future__ import annotations

from dataclasses import dataclass

from procforge.engineering.base import Outside

_VDI = "VDI 2230 table of friction classes (at second hand), class"


@dataclass(frozen=True, slots=True)
class Friction:
    """The least and the most friction (μ of thread and face alike) to expect, and the word it was found by."""

    word: str
    low: float
    high: float
    source: str

    @property
    def middle(self) -> float:
        """The middle of the range, for a single figure."""
        return (self.low + self.high) / 2


@dataclass(frozen=True, slots=True)
class NutFactor:
    """The nut factor K of the short form for one condition of the bolt."""

    condition: str
    factor: float
    source: str


# Steel bolts and nuts. The classes are those of VDI 2230; which word falls in which class is ours where it says so.
_ROWS: tuple[tuple[str, float, float, str], ...] = (
    ("molybdenum-disulphide graphite ptfe solid-lubricant", 0.04, 0.10, f"{_VDI} A: solid lubricants and pastes"),
    ("wax", 0.04, 0.16, f"{_VDI}es A and B: wax is named in both"),
    ("oil oiled grease greased", 0.08, 0.16, f"{_VDI} B: greases and oils"),
    ("anti-seize copper-paste nickel-paste", 0.08, 0.16, f"{_VDI} B, our reading for a metal-filled paste"),
    ("as-delivered", 0.14, 0.24, f"{_VDI} C: as delivered, slightly oiled"),
    ("thread-locker adhesive", 0.14, 0.24, f"{_VDI} C: adhesive"),
    ("zinc-dry zinc-plated-dry", 0.20, 0.35, f"{_VDI} D: zinc coated, no lubricant"),
    ("dry none", 0.14, 0.35, f"{_VDI}es C and D, our reading: a trace of oil may be left"),
)  # fmt: skip
_ALSO = {
    "moly": "molybdenum-disulphide", "mos2": "molybdenum-disulphide", "moly-paste": "molybdenum-disulphide",
    "molybdenum-disulfide": "molybdenum-disulphide", "thread-oil": "oil", "lightly-oiled": "oil", "antiseize": "anti-seize",
    "waxed": "wax",
}  # fmt: skip

FRICTION: dict[str, Friction] = {
    word: Friction(word, low, high, source) for words, low, high, source in _ROWS for word in words.split()
}

_SHIGLEY = "Shigley, Mechanical Engineering Design, table 8-15 (at second hand)"
NUT_FACTORS: tuple[NutFactor, ...] = (
    NutFactor("plain-black", 0.30, _SHIGLEY),
    NutFactor("zinc-plated", 0.20, _SHIGLEY),
    NutFactor("lubricated", 0.18, _SHIGLEY),
    NutFactor("cadmium-plated", 0.16, _SHIGLEY),
)


def _plain(word: str) -> str:
    return "-".join(word.lower().replace("-", " ").replace("_", " ").split())


def friction_of(word: str) -> Friction | Outside:
    """The friction range of a lubricant word, such as `oiled`, `dry`, `anti-seize`, `molybdenum disulphide`."""
    plain = _plain(word)
    found = FRICTION.get(_ALSO.get(plain, plain))
    if found is None:
        return Outside(
            f"no friction is known for the lubricant '{word[:40]}'",
            f"state the friction from its data sheet, or write one of: {', '.join(FRICTION)}",
        )
    return found


def nut_factor(condition: str) -> NutFactor | Outside:
    """K for a condition of the bolt: one of `plain-black`, `zinc-plated`, `lubricated`, `cadmium-plated`."""
    plain = _plain(condition)
    found = next((row for row in NUT_FACTORS if row.condition == plain), None)
    if found is None:
        known = ", ".join(row.condition for row in NUT_FACTORS)
        return Outside(f"no nut factor is known for '{condition[:40]}'", f"give K itself, or write one of: {known}")
    return found
