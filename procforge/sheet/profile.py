"""Signal words from severity and harm, as data, so that a site can set its own manner.

Basis: ANSI Z535.6 grades by what happens if the hazard is not avoided: death or serious injury WARNING, DANGER for the
most extreme cases, minor injury CAUTION, no injury at all NOTICE (from memory). The language states severity, not how
likely the harm is; so the default takes the graver word for death, which is the choice of this project.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from procforge.model.procedure import Hazard
from procforge.sheet.rows import Signal

_SIGNALS = MappingProxyType({"death": Signal.DANGER, "serious": Signal.WARNING, "minor": Signal.CAUTION})
RANK = {signal: at for at, signal in enumerate(Signal)}


@dataclass(frozen=True, slots=True)
class Profile:
    """What a site may set: severity to signal word; the mass one person may lift, in kg, and its basis."""

    signals: Mapping[str, Signal] = field(default_factory=lambda: _SIGNALS)
    without_person: Signal = Signal.NOTICE
    unknown: Signal = Signal.WARNING
    hand_limit: float = 23.0  # kg, the load constant of the NIOSH lifting equation (from memory)

    def signal(self, hazard: Hazard) -> Signal:
        """The word for a hazard; one that harms no person is a notice whatever its severity."""
        if hazard.harm and "person" not in hazard.harm:
            return self.without_person
        return self.signals.get(hazard.severity, self.unknown)
