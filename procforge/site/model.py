"""What a site may set, with what holds where it sets nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from types import MappingProxyType

from procforge.engineering.lifting import HAND_LIMIT
from procforge.quantities import Unit

PAPERS = ("A4", "Letter")
SEVERITIES = ("death", "serious", "minor", "none")
SIGNALS = ("danger", "warning", "caution", "notice")


@dataclass(frozen=True, slots=True)
class SignalWords:
    """From what a hazard does to the word on its panel.

    `by_severity` holds a word for each of `SEVERITIES`; `no_person` is the word of a hazard that harms things and no
    person, whatever its severity.
    """

    by_severity: Mapping[str, str]
    no_person: str


#: Manner: words. ANSI Z535.6 grades by what happens to people if the hazard is not avoided, and gives damage to things
#: NOTICE. The standard keeps DANGER for what will kill or maim, WARNING for what could; the language states how bad
#: the harm is and not how likely, so death takes the graver word, which is the choice of this project. The military
#: manner (MIL-STD-38784, from memory) has WARNING for all harm to people, CAUTION for damage to things, and NOTE.
MANNERS: Mapping[str, SignalWords] = MappingProxyType(
    {
        "ansi": SignalWords(
            MappingProxyType({"death": "danger", "serious": "warning", "minor": "caution", "none": "notice"}), "notice"
        ),
        "military": SignalWords(
            MappingProxyType({"death": "warning", "serious": "warning", "minor": "warning", "none": "notice"}),
            "caution",
        ),
    }
)
#: Label texts that belong to a manner; a site's own go before them.
MANNER_LABELS: Mapping[str, Mapping[str, str]] = MappingProxyType({"military": MappingProxyType({"notice": "Note"})})

_NOTHING: Mapping[str, str] = MappingProxyType({})
_NO_UNITS: Mapping[str, Unit] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Site:
    """One site profile.

    `file` is the path as printed ("" where there is none). `logo` is a whole PNG file. `hand_limit` is the mass in kg
    that one person may lift. `second_units` gives, by kind of quantity, the unit printed after the first; `labels`
    texts by field of the sheet's labels.
    """

    file: str = ""
    organisation: str = ""
    logo: bytes = field(default=b"", repr=False)
    paper: str = ""
    template: Path | None = None
    hand_limit: float = HAND_LIMIT
    signals: SignalWords = MANNERS["ansi"]
    second_units: Mapping[str, Unit] = field(default_factory=lambda: _NO_UNITS)
    labels: Mapping[str, str] = field(default_factory=lambda: _NOTHING)

    def digest(self) -> bytes:
        """What of the profile changes the words or pictures of a sheet, or a rule; empty where nothing differs.

        Paper and template are left out: they change how the same sheet lies on the page, not what it says. Comments,
        order and spelling of the file are left out with it, since this is made from what was read.
        """
        told = [
            ("organisation", self.organisation),
            ("logo", sha256(self.logo).hexdigest() if self.logo else ""),
            ("hand-lift-limit", "" if self.hand_limit == HAND_LIMIT else repr(self.hand_limit)),
            *((f"signal {k}", v) for k, v in self.signals.by_severity.items() if MANNERS["ansi"].by_severity[k] != v),
            ("signal no-person", "" if self.signals.no_person == MANNERS["ansi"].no_person else self.signals.no_person),
            *((f"unit {kind}", unit.symbol) for kind, unit in self.second_units.items()),
            *((f"label {name}", text) for name, text in self.labels.items()),
        ]
        return "\n".join(f"{name}={value}" for name, value in sorted(told) if value).encode()


NO_SITE = Site()
"""What holds where no profile is found."""
