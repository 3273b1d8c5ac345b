"""What a site's profile means on a sheet: signal words, second units, the limit of lifting by hand, name and mark."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from procforge.model.procedure import Hazard
from procforge.sheet.labels import Labels
from procforge.sheet.rows import Signal
from procforge.sheet.seconds import Seconds
from procforge.site.model import MANNERS, NO_SITE, SignalWords, Site

RANK = {signal: at for at, signal in enumerate(Signal)}


def _signals(words: SignalWords) -> Mapping[str, Signal]:
    return MappingProxyType({severity: Signal(word) for severity, word in words.by_severity.items()})


@dataclass(frozen=True, slots=True)
class Profile:
    """What a site may set for its sheets: severity to signal word; the mass one person may lift, in kg; second units;
    the organisation's name and its mark, a PNG."""

    signals: Mapping[str, Signal] = field(default_factory=lambda: _signals(MANNERS["ansi"]))
    without_person: Signal = Signal.NOTICE
    unknown: Signal = Signal.WARNING
    hand_limit: float = NO_SITE.hand_limit
    seconds: Seconds = field(default_factory=Seconds)
    organisation: str = ""
    logo: bytes = field(default=b"", repr=False)

    @classmethod
    def of(cls, site: Site) -> Profile:
        """The profile of a site."""
        return cls(
            _signals(site.signals),
            Signal(site.signals.no_person),
            hand_limit=site.hand_limit,
            seconds=Seconds(site.second_units),
            organisation=site.organisation,
            logo=site.logo,
        )

    def signal(self, hazard: Hazard) -> Signal:
        """The word for a hazard; one that harms no person has a word of its own whatever its severity."""
        if hazard.harm and "person" not in hazard.harm:
            return self.without_person
        return self.signals.get(hazard.severity, self.unknown)


def labels_of(site: Site) -> Labels:
    """The labels with a site's own texts in them."""
    return replace(Labels(), **site.labels)
