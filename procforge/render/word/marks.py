"""Names and numbers that must be unique in a document: bookmarks, control ids and titles, drawing ids."""

from __future__ import annotations

import re
from hashlib import blake2b

from procforge.render.word.markup import esc

_LINK = re.compile(r'<w:hyperlink w:anchor="([^"]*)"[^>]*>(.*?)</w:hyperlink>', re.DOTALL)


def name_of(prefix: str, key: str) -> str:
    """A hidden bookmark name of 34 characters, made of the key alone, so that a reader can make it again."""
    return f"_{prefix}{blake2b(key.encode('utf-8', 'replace'), digest_size=16).hexdigest()}"


class Marks:
    """Gives out names once each; asks for a name already given are the outline's fault and refused."""

    def __init__(self) -> None:
        """Nothing given yet."""
        self._bookmarks = 0
        self._drawings = 0
        self._tags: set[str] = set()
        self._numbers: set[int] = set()
        self._titles: dict[str, int] = {}
        self._anchors: set[str] = set()

    def drawing(self) -> int:
        """A number for the next picture."""
        self._drawings += 1
        return self._drawings

    def bookmark(self, name: str, content: str) -> str:
        """`content` inside a bookmark."""
        self._bookmarks += 1
        number = self._bookmarks
        start = f'<w:bookmarkStart w:id="{number}" w:name="{name}"/>'
        return f'{start}{content}<w:bookmarkEnd w:id="{number}"/>'

    def anchor(self, key: str, content: str) -> str:
        """`content` as a place that links can lead to; no key, no place."""
        if not key:
            return content
        name = name_of("a", key)
        if name in self._anchors:
            raise ValueError(f"anchor {key!r} stands twice in the sheet")
        self._anchors.add(name)
        return self.bookmark(name, content)

    def link(self, key: str, content: str) -> str:
        """`content` leading to an anchor; `settle` takes back those whose anchor never came."""
        return f'<w:hyperlink w:anchor="{name_of("a", key)}" w:history="1">{content}</w:hyperlink>'

    def settle(self, body: str) -> str:
        """The body with each link to nowhere as plain words."""
        if "<w:hyperlink " not in body:
            return body
        return _LINK.sub(lambda found: found[0] if found[1] in self._anchors else found[2], body)

    def control(self, key: str, title: str) -> str:
        """Title, tag and id of the control of blank `key`, as properties; the title is made unique by a number."""
        if key in self._tags:
            raise ValueError(f"blank {key!r} stands twice in the sheet")
        self._tags.add(key)
        number = int.from_bytes(blake2b(key.encode("utf-8", "replace"), digest_size=4).digest(), "big") & 0x7FFFFFFF
        while not number or number in self._numbers:
            number = (number + 1) & 0x7FFFFFFF
        self._numbers.add(number)
        short = title[:56].strip()
        count = self._titles[short] = self._titles.get(short, 0) + 1
        shown = short if count == 1 else f"{short} ({count})"
        while count > 1 and shown in self._titles:
            count += 1
            shown = f"{short} ({count})"
        self._titles.setdefault(shown, 1)
        return f'<w:alias w:val="{esc(shown)}"/><w:tag w:val="{esc(key)}"/><w:id w:val="{number}"/>'
