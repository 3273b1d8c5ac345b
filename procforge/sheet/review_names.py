"""How the review print names some of the variants: by models, by services, or one by one."""

from __future__ import annotations

from collections.abc import Sequence

from procforge.model.base import Variant
from procforge.model.equipment import Equipment
from procforge.sheet.english import lower_first

#: A longer title makes too narrow a column of its name: the declared name stands for it.
LONGEST = 20


class VariantNames:
    """Short printed names of the variants a review print is for."""

    def __init__(self, equipment: Equipment, variants: Sequence[Variant]) -> None:
        self._equipment = equipment
        self.variants = tuple(variants)
        self._models = self._short(dict.fromkeys(v.model for v in variants if v.model))
        self._services = self._short(dict.fromkeys(v.service for v in variants if v.service))

    def _short(self, names: dict[str, None]) -> dict[str, str]:
        """The titles up to their comma, where they are short and tell them apart; else the names as declared."""
        heads = {n: (self._equipment.titles.get(n) or n).partition(", ")[0] for n in names}
        apart = len(set(heads.values())) == len(heads) and all(len(head) <= LONGEST for head in heads.values())
        return heads if apart else {n: n for n in names}

    def whole(self, at: int) -> str:
        """What the machine file calls the variant, in full."""
        variant = self.variants[at]
        return "; ".join(self._equipment.titles.get(n) or n for n in (variant.model, variant.service) if n)

    def one(self, at: int) -> str:
        """One variant: `Frame S, wet gas`."""
        variant = self.variants[at]
        model = self._models.get(variant.model, "")
        service = self._services.get(variant.service, "")
        return f"{model}, {lower_first(service)}" if model and service else model or service or "all"

    def some(self, members: Sequence[int]) -> str:
        """Several: empty for all, `Frame S` for all of a model, `Wet gas` for all of a service, else one by one."""
        chosen = set(members)
        if len(chosen) == len(self.variants):
            return ""
        for attribute, names in (("model", self._models), ("service", self._services)):
            if len(names) < 2:
                continue
            wanted = [n for n in names if any(getattr(self.variants[m], attribute) == n for m in chosen)]
            covered = {at for at, v in enumerate(self.variants) if getattr(v, attribute) in wanted}
            if covered == chosen:
                return ", ".join(names[n] for n in wanted)
        return "; ".join(self.one(m) for m in sorted(chosen))
