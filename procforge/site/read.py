"""A profile's text to the profile: each mistake is a finding at its line, and what it meant to set stays as it is."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from difflib import get_close_matches
from pathlib import Path

from procforge.findings import Finding, Outcome, Severity
from procforge.quantities import KINDS, Problem, Unit, kind_words, read, unit
from procforge.site.model import MANNER_LABELS, MANNERS, PAPERS, SEVERITIES, SIGNALS, SignalWords, Site
from procforge.site.places import Key, broken, places
from procforge.site.values import fault_in_label, fault_in_line, fault_in_png
from procforge.text import Source, Span

UNREADABLE, UNKNOWN, VALUE = "site-profile-unreadable", "site-profile-unknown", "site-profile-value"
MOST_BYTES = 64_000
KEYS = ("organisation", "logo", "paper", "template", "hand-lift-limit", "signal-words", "second-units", "labels")
HAND_LIMITS = (1.0, 50.0)  # kg, what is believed of one person
#: A family of kinds that one unit is named for, and the marks that make the unit one of each kind.
FAMILIES: Mapping[str, Mapping[str, str]] = {
    "pressure": {"pressure": "", "pressure-gauge": "(g)", "pressure-absolute": "(a)", "pressure-difference": "(d)"},
    "temperature": {"temperature": "", "temperature-difference": "(d)"},
}
Bytes = Callable[[Path], bytes]
Texts = Callable[[], Mapping[str, str]]


def read_site(path: str, raw: bytes, labels: Texts, file: Bytes) -> Outcome[Site]:
    """The profile in the bytes of the file at `path`.

    `labels` gives the labels there are with the text of each, and is asked only for a profile that sets some; `file`
    reads a file named by the profile and raises OSError. Nothing else is raised.
    """
    import tomllib

    if len(raw) > MOST_BYTES:
        return _unreadable(path, f"the site profile has {len(raw)} bytes", f"{MOST_BYTES} bytes are read at most")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        span = Span(Source.of(path, raw.decode("utf-8", "replace")), line)
        return Outcome(
            Site(path), (_finding(UNREADABLE, span, "the site profile is not UTF-8 text", "save it as UTF-8"),)
        )
    source = Source.of(path, text)
    try:
        given = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        span, reason = broken(source, str(error))
        reason = "a key stands twice" if reason == "Cannot overwrite a value" else f"{reason[:1].lower()}{reason[1:]}"
        message = f"the site profile is not TOML: {reason}"
        return Outcome(Site(path), (_finding(UNREADABLE, span, message, 'write `key = "text"`, one a line'),))
    except RecursionError:
        return _unreadable(path, "the site profile is nested too deep", "tables of one level are all it needs")
    desk = _Desk(path, source, given, labels, file)
    return Outcome(desk.site(), tuple(desk.findings))


def _finding(rule: str, span: Span, message: str, mend: str, label: str = "") -> Finding:
    return Finding(rule, Severity.ERROR, message, span, label, mend=mend, basis="the README, The site profile")


def unreadable(path: str, message: str, mend: str) -> Finding:
    """A finding about a profile as a whole."""
    return _finding(UNREADABLE, Span(Source(path, ()), 0), message, mend)


def _unreadable(path: str, message: str, mend: str) -> Outcome[Site]:
    return Outcome(Site(path), (unreadable(path, message, mend),))


class _Desk:
    """One profile at work: what was given, where it stands, and what was found."""

    def __init__(self, path: str, source: Source, given: dict[str, object], labels: Texts, file: Bytes) -> None:
        self.path, self.source, self.given, self.texts, self.file = path, source, given, labels, file
        self.places = places(source)
        self.findings: list[Finding] = []

    def site(self) -> Site:
        self._keys((), self.given, KEYS, "key")
        signals, manner = self._signals()
        labels = self._labels() if "labels" in self.given else {}
        return Site(
            self.path,
            self._line("organisation"),
            self._logo(),
            self._word(("paper",), PAPERS, "paper", self.given["paper"]) if "paper" in self.given else "",
            self._template(),
            self._hand_limit(),
            signals,
            self._units(),
            {**MANNER_LABELS.get(manner, {}), **labels},
        )

    # ---- findings ------------------------------------------------------------------------------
    def at(self, key: Key) -> Span:
        """The place of a key, or of the nearest table round it that is written."""
        while key and key not in self.places:
            key = key[:-1]
        return self.places.get(key, Span(self.source, 1))

    def wrong(self, key: Key, message: str, mend: str) -> None:
        self.findings.append(_finding(VALUE, self.at(key), message, mend))

    def unknown(self, key: Key, what: str, name: str, known: Collection[str]) -> None:
        close = get_close_matches(name.casefold(), known, 2, 0.6)
        some = ", ".join(sorted(known)) if len(known) < 12 else ""
        mend = f"did you mean {' or '.join(close)}?" if close else f"there is {some}" if some else "take it out"
        if not close and not some:
            mend = "`procforge labels` lists them" if what == "label" else "the README, The site profile, says more"
        self.findings.append(_finding(UNKNOWN, self.at(key), f"the site profile knows no {what} `{name}`", mend))

    def _keys(self, table: Key, given: Mapping[str, object], known: Collection[str], what: str) -> None:
        for name in given:
            if name not in known:
                self.unknown((*table, name), what, name, known)

    # ---- values --------------------------------------------------------------------------------
    def text(self, key: Key, value: object) -> str:
        """A text, or "" and a finding."""
        if isinstance(value, str):
            return value
        self.wrong(key, f"`{'.'.join(key)}` is {_kind(value)}, and a text is wanted", 'put it in quotes, as "…"')
        return ""

    def table(self, name: str) -> Mapping[str, object]:
        """A table; empty with a finding where it is something else."""
        value = self.given.get(name, {})
        if isinstance(value, dict):
            return value
        self.wrong(
            (name,), f"`{name}` is {_kind(value)}, and a table is wanted", f"write [{name}] and its keys under it"
        )
        return {}

    def _line(self, name: str) -> str:
        value = self.text((name,), self.given.get(name, ""))
        if fault := fault_in_line(value):
            self.wrong((name,), f"`{name}` {fault[0]}", fault[1])
            return ""
        return value.strip()

    def _word(self, key: Key, words: Collection[str], what: str, value: object) -> str:
        """One of some words, whatever its case; "" with a finding for any other."""
        text = self.text(key, value)
        for word in words:
            if word.casefold() == text.strip().casefold():
                return word
        if isinstance(value, str):
            close = get_close_matches(text.casefold(), [w.casefold() for w in words], 1, 0.6)
            meant = [w for w in words if w.casefold() in close]
            mend = f"did you mean {meant[0]}?" if meant else f"there is {', '.join(words)}"
            self.wrong(key, f"`{text}` is no {what}", mend)
        return ""

    def _path(self, name: str) -> Path | None:
        value = self.text((name,), self.given.get(name, ""))
        if "\0" in value or len(value) > 1000:
            self.wrong((name,), f"`{name}` is no name of a file", "write its path, from the folder of the profile")
            return None
        return Path(self.path).parent / value if value else None

    def _logo(self) -> bytes:
        path = self._path("logo")
        content = self._read("logo", path) if path else b""
        if content and (fault := fault_in_png(content)):
            self.wrong(("logo",), f"the logo {path} {fault[0]}", fault[1])
            return b""
        return content

    def _template(self) -> Path | None:
        path = self._path("template")
        return path if path is not None and self._read("template", path) else None

    def _read(self, name: str, path: Path | None) -> bytes:
        if path is None:
            return b""
        try:
            content = self.file(path)
        except (OSError, ValueError) as error:
            reason = "does not exist" if isinstance(error, FileNotFoundError) else "can't be read"
            self.wrong(
                (name,), f"the {name} {path.as_posix()} {reason}", "its path is read from the folder of the profile"
            )
            return b""
        if not content:
            self.wrong((name,), f"the {name} {path.as_posix()} is empty", "name another file")
        return content

    def _hand_limit(self) -> float:
        key, none = ("hand-lift-limit",), Site().hand_limit
        if key[0] not in self.given:
            return none
        value = self.given[key[0]]
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            self.wrong(key, f"`hand-lift-limit` is the number {value} without a unit", f'write "{value} kg"')
            return none
        text = self.text(key, value)
        mass = read(text) if text else None
        if isinstance(mass, Problem):
            self.wrong(key, f"`hand-lift-limit`: {mass.message}", mass.hint)
        elif mass is not None and mass.kind != "mass":
            self.wrong(key, f"{mass} is a {kind_words(mass.kind)}, and a mass is wanted", 'write a mass, as "23 kg"')
        elif mass is not None and not HAND_LIMITS[0] <= mass.si <= HAND_LIMITS[1]:
            self.wrong(
                key,
                f"{mass} is not what one person lifts",
                f"write a mass of {HAND_LIMITS[0]:g} kg to {HAND_LIMITS[1]:g} kg",
            )
        elif mass is not None:
            return float(mass.si)
        elif isinstance(value, str):
            self.wrong(key, "`hand-lift-limit` is empty", 'write a mass, as "23 kg"')
        return none

    # ---- tables --------------------------------------------------------------------------------
    def _signals(self) -> tuple[SignalWords, str]:
        table = self.table("signal-words")
        self._keys(("signal-words",), table, ("manner", "no-person", *SEVERITIES), "key of signal-words")
        manner = "ansi"
        if "manner" in table:
            manner = (
                self._word(("signal-words", "manner"), tuple(MANNERS), "manner of signal words", table["manner"])
                or manner
            )
        words = dict(MANNERS[manner].by_severity)
        no_person = MANNERS[manner].no_person
        for name, value in table.items():
            if name in SEVERITIES or name == "no-person":
                word = self._word(("signal-words", name), SIGNALS, "signal word", value)
                if word and name == "no-person":
                    no_person = word
                elif word:
                    words[name] = word
        return SignalWords(words, no_person), manner

    def _units(self) -> dict[str, Unit]:
        found: dict[str, Unit] = {}
        table = self.table("second-units")
        self._keys(("second-units",), table, tuple(k for k in KINDS if k != "count"), "kind of quantity")
        for name in sorted(table, key=lambda n: n not in FAMILIES):  # a kind of its own goes before its family
            key = ("second-units", name)
            text = self.text(key, table[name]) if name in KINDS and name != "count" else ""
            meant = unit(text) if text else None
            if isinstance(meant, Problem):
                self.wrong(key, meant.message, meant.hint)
            elif meant is not None and meant.kind != name:
                mend = f"write a unit of {kind_words(name).removesuffix(' without a stated reference')}"
                self.wrong(key, f"{meant.symbol} is a unit of {kind_words(meant.kind)}", mend)
            elif meant is not None:
                for kind, mark in FAMILIES.get(name, {name: ""}).items():
                    other = unit(f"{meant.symbol}{mark}")
                    if isinstance(other, Unit) and other.kind == kind:
                        found[kind] = other
        return found

    def _labels(self) -> dict[str, str]:
        found: dict[str, str] = {}
        known = self.texts()
        fields = {field.rstrip("_").replace("_", "-"): field for field in known}
        for name, value in self.table("labels").items():
            key = ("labels", name)
            if name not in fields:
                self.unknown(key, "label", name, tuple(fields))
                continue
            field = fields[name]
            own = known[field]
            text = self.text(key, value)
            if fault := fault_in_label(text, own) if text or isinstance(value, str) else None:
                self.wrong(key, f"the label `{name}` {fault[0]}", fault[1])
            elif text:
                found[field] = text
        return found


def _kind(value: object) -> str:
    """What a TOML value is, in words."""
    match value:
        case bool():
            return "true or false"
        case int() | float():
            return "a number"
        case str():
            return "a text"
        case list():
            return "a list"
        case dict():
            return "a table"
    return "a date or time"
