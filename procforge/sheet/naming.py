"""How the things of a machine are called in a sentence: by title, place and tag."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import PurePath

from procforge.analysis.machine import Machine
from procforge.model.equipment import Fastener, Thing, Unit
from procforge.model.procedure import Ref
from procforge.sheet.english import is_plural, lower_first, upper_first

#: Kinds whose qualifier says what they are made of or how large, which the lists of things to bring tell.
_SHORTENED = frozenset({"tool", "consumable", "supply", "gauge", "part", "seal", "fastener", "guard"})
#: `cup 1`, `riser A`: a thing with a number or a letter of its own takes no article.
_NUMBERED = re.compile(r"(?!.*\b(?:of|for|at|to|from)\b).*[a-z] (?:\d+|[A-Z])\Z")
#: Words of two that keep their hyphen when a name is read as words.
_COMPOUND = re.compile(r"\b(shut|cut|blow|non|by) (off|return|pass)\b")
_TAG = re.compile(r"(?=.*\d)(?=.*[A-Z])[\w.-]+\Z")


def _parted(title: str) -> tuple[str, str]:
    """A title's head and its qualifier: `Valve puller, M6` -> (`Valve puller`, `M6`)."""
    head, comma, rest = title.partition(", ")
    if comma:
        return head, rest
    head, _, rest = title.partition(" with ")
    return head, f"with {rest}" if rest else ""


class Names:
    """Words for items, places and free names of one variant; tags where a unit gives them."""

    def __init__(self, machine: Machine, unit: Unit | None = None) -> None:
        self.machine = machine
        self.unit = unit
        self._places = machine.equipment.titles
        self._heads: dict[str, set[str]] = {}
        for name, item in machine.items.items():
            self._heads.setdefault(_parted(item.title)[0].lower(), set()).add(item.base or name)
        self._written = {n: self.tag(n) for n in machine.items if _TAG.match(n) and self.tag(n) not in ("", n)}
        names = "|".join(sorted(map(re.escape, self._written), key=len, reverse=True))
        self._pattern = re.compile(rf"(?<![\w-])(?:{names})(?![\w-])") if names else None

    def said(self, text: str) -> str:
        """The user's own words with the tags of this unit where they name its items: `PI-1` is `PI-111` here."""
        return self._pattern.sub(lambda found: self._written[found[0]], text) if self._pattern else text

    # ---- items -------------------------------------------------------------------------------
    def item(self, name: str) -> Thing | None:
        """The item of a name, None where the variant has none."""
        return self.machine.items.get(name)

    def tag(self, name: str) -> str:
        """The tag of an item on this unit; its name where that reads like a tag (`PI-3`); else empty."""
        item = self.item(name)
        base = item.base if item and item.base else name
        tags = self.unit.tags if self.unit else {}
        if name in tags:
            return tags[name]
        if base in tags and len(self.machine.equipment.groups.get(base, ())) < 2:
            return tags[base]
        return base if item is not None and _TAG.match(base) else ""

    def place(self, name: str) -> str:
        """A place as it stands in a sentence: `outlet pocket`."""
        return lower_first(self._places.get(name) or name.replace("-", " "))

    def plain(self, name: str, *, place: bool = True, whole: bool = False) -> str:
        """The title inside a sentence, without article and tag; the place where the name alone would not tell.

        What follows a comma or `with` in a title is left out where the rest tells the item, unless `whole`.
        """
        item = self.item(name)
        if item is None:
            return self._free(name)
        title = item.title or (item.base or name).replace("-", " ")
        head, rest = _parted(title)
        if rest and (whole or item.kind not in _SHORTENED or len(self._heads.get(head.lower(), ())) > 1):
            head = title if rest.startswith("with ") else f"{head} ({rest})"
        title = lower_first(head)
        return title + (self._where(item.at) if place and self._ambiguous(name) else "")

    def _where(self, place: str) -> str:
        """` at the inlet pocket`; ` of the inlet valve` where the place is a part itself."""
        if place in self.machine.items:
            return f" of {self.the(place, tag=False)}"
        return f" at the {self.place(place)}"

    def the(self, name: str, *, tag: bool = True) -> str:
        """With article and tag: `the inlet block valve (V-11)`."""
        text = self.plain(name)
        known = self.tag(name) if tag else ""
        proper = self.item(name) is None and re.search(r"[A-Z\d]", name) and not self._is_machine(name)
        article = "" if proper or _NUMBERED.match(self.plain(name, place=False)) else "the "
        return f"{article}{text}" + (f" ({known})" if known and known not in text else "")

    def each(self, refs: Sequence[Ref]) -> list[str]:
        """Each with article and tag, or as new; a place that several in a row share is said once, with the last."""
        placed = [self._ambiguous(ref.name) for ref in refs]
        out = []
        for at, ref in enumerate(refs):
            again = at + 1 < len(refs) and placed[at] != "" and placed[at + 1] == placed[at]
            text = self.new(ref.name) if ref.new else self.the(ref.name)
            out.append(text.replace(self._where(placed[at]), "", 1) if again else text)
        return out

    def _ambiguous(self, name: str) -> str:
        item = self.item(name)
        return item.at if item and item.at and len(self.machine.equipment.groups.get(item.base, ())) > 1 else ""

    def new(self, name: str) -> str:
        """`a new valve gasket`, `new cover nuts`."""
        return f"{'' if self.many(name) else 'a '}new {self.plain(name, whole=True)}"

    def title(self, name: str, *, tag: bool = False) -> str:
        """As a cell of a table starts: `Inlet block valve`."""
        known = self.tag(name) if tag else ""
        return upper_first(self.plain(name, whole=True)) + (f" ({known})" if known else "")

    def many(self, name: str) -> bool:
        """Whether the thing takes `them` and `are`."""
        item = self.item(name)
        if isinstance(item, Fastener) and item.count:
            return item.count > 1
        return is_plural(self.plain(name, place=False))

    def bolts(self, name: str) -> str:
        """`4 × M12, class 8.8`, as far as the machine says it."""
        item = self.item(name)
        if not isinstance(item, Fastener) or not item.thread:
            return ""
        size = f"{item.count}\u00a0×\u00a0{item.thread}" if item.count > 1 else item.thread
        return size + (f", class\u00a0{item.strength}" if item.strength else "")

    # ---- others ------------------------------------------------------------------------------
    def role(self, name: str) -> str:
        """A role in words."""
        return name.replace("-", " ")

    def machine_words(self) -> str:
        """The machine in a sentence: what its title names, with the tag of the unit."""
        return self._tagged(lower_first(_parted(_parted(self.machine.equipment.title)[0])[0]) or "machine")

    def _tagged(self, text: str) -> str:
        return f"the {text}" + (f" ({self.unit.tag})" if self.unit else "")

    def _is_machine(self, name: str) -> bool:
        equipment = self.machine.equipment
        return bool(name) and name in (equipment.name, PurePath(equipment.file).stem)

    def _free(self, name: str) -> str:
        if self._is_machine(name):  # as the step calls it; a code is no word for it
            words = (
                self.machine_words() if name == self.machine.equipment.name else self._tagged(name.replace("-", " "))
            )
            return words.removeprefix("the ")
        return _COMPOUND.sub(r"\1-\2", name.replace("-", " ")) if not _TAG.match(name) else name

    def variant(self) -> tuple[str, str]:
        """The printed names of model and service."""
        one = self.machine.variant
        return self._places.get(one.model) or one.model, self._places.get(one.service) or one.service
