"""The site profile: found upward, read with places, and what of it goes into the sheet, its hash and the rules."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from site_mark import ACROSS, DOWN, mark, pixels, png

from procforge.engineering.lifting import HAND_LIMIT
from procforge.resolve.load import Library
from procforge.sheet.labels import TEXTS, Labels
from procforge.sheet.profile import Profile, labels_of
from procforge.site.find import NAME, candidates, find_site
from procforge.site.model import NO_SITE, Site
from procforge.site.read import KEYS, read_site
from procforge.site.values import MOST_LABEL, fault_in_label, fault_in_png, gaps_of
from procforge.stages import check_all, check_file, site_of, source_hash

SHARED = Path(__file__).parent / "pages" / "shared"


def no_file(path: Path) -> bytes:
    raise FileNotFoundError(path)


def site(text: str, file: object = no_file) -> Site:
    outcome = read_site("site.toml", text.encode(), lambda: TEXTS, file)  # type: ignore[arg-type]
    assert outcome.findings == (), [f.message for f in outcome.findings]
    return outcome.value


def told(text: str | bytes) -> list[tuple[int, str, str]]:
    raw = text if isinstance(text, bytes) else text.encode()
    return [(f.span.line, f.message, f.mend) for f in read_site("site.toml", raw, lambda: TEXTS, no_file).findings]


# ---- found ---------------------------------------------------------------------------------------------------------
def test_the_nearest_upward_counts_whole(tmp_path: Path) -> None:
    deep = tmp_path / "a" / "b"
    deep.mkdir(parents=True)
    (tmp_path / NAME).write_text('organisation = "Far"\npaper = "Letter"\n')
    (tmp_path / "a" / NAME).write_text('organisation = "Near"\n')
    found = find_site(deep / "x.proc", lambda: TEXTS, Path.read_bytes).value
    assert (found.organisation, found.paper) == ("Near", ""), "nothing is taken from the one further up"
    assert Path(found.file) == tmp_path / "a" / NAME


def test_the_search_ends_at_the_root() -> None:
    assert list(candidates(Path("/one/two/x.proc"))) == [Path(f"{d}/{NAME}") for d in ("/one/two", "/one", "")]
    asked: list[Path] = []

    def none(path: Path) -> bytes:
        asked.append(path)
        raise FileNotFoundError

    assert find_site(Path("/one/two/x.proc"), lambda: TEXTS, none).value == NO_SITE
    assert asked[-1] == Path("/") / NAME and len(asked) == 3


def test_relative_paths_are_shown_as_given(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "here" / "jobs").mkdir(parents=True)
    monkeypatch.chdir(tmp_path / "here")
    shown = [p.as_posix() for p in candidates(Path("jobs/x.proc"))]
    assert shown[:2] == [f"jobs/{NAME}", NAME]
    assert Path(shown[2]) == tmp_path / NAME
    assert Path(next(iter(candidates(Path("../x.proc"))))) == tmp_path / NAME
    assert list(candidates(Path("x.proc")))[1] == tmp_path / NAME
    assert len(set(candidates(Path("jobs/x.proc")))) == len(list(candidates(Path("jobs/x.proc"))))


def test_a_profile_that_cannot_be_read_stops_the_search(tmp_path: Path) -> None:
    (tmp_path / "in" / NAME).mkdir(parents=True)
    (tmp_path / NAME).write_text('organisation = "Another site"\n')
    found = find_site(tmp_path / "in" / "x.proc", lambda: TEXTS, Path.read_bytes)
    assert found.value.organisation == ""
    assert [f.rule for f in found.findings] == ["site-profile-unreadable"]


# ---- read ----------------------------------------------------------------------------------------------------------
def test_everything_at_once() -> None:
    made = site(
        'organisation = "Biogas plant North Field"\nlogo = "m.png"\npaper = "letter"\nhand-lift-limit = "50 lb"\n'
        '[signal-words]\nmanner = "military"\nminor = "caution"\n[second-units]\npressure = "psi"\ntemperature = "°F"\n'
        '[labels]\nlock = "Padlock"\npass = "Round"\n',
        lambda _: mark(),
    )
    assert made.organisation == "Biogas plant North Field" and made.logo == mark() and made.paper == "Letter"
    assert made.hand_limit == pytest.approx(22.67962, abs=1e-5)  # 1 lb = 0.45359237 kg, the 1959 agreement
    assert made.signals.by_severity["death"] == "warning" and made.signals.by_severity["minor"] == "caution"
    assert {k: u.symbol for k, u in made.second_units.items()} == {
        "pressure": "psi", "pressure-gauge": "psi(g)", "pressure-absolute": "psi(a)", "pressure-difference": "psi(d)",
        "temperature": "°F", "temperature-difference": "°F(d)",
    }  # fmt: skip
    assert made.labels == {"notice": "Note", "lock": "Padlock", "pass_": "Round"}
    labels = labels_of(made)
    assert (labels.lock, labels.pass_, labels.notice, labels.step) == ("Padlock", "Round", "Note", Labels().step)


def test_a_kind_of_its_own_goes_before_its_family() -> None:
    made = site('[second-units]\npressure-gauge = "kPa(g)"\npressure = "psi"\n')
    assert {k: u.symbol for k, u in made.second_units.items()}["pressure-gauge"] == "kPa(g)"
    assert {k: u.symbol for k, u in made.second_units.items()}["pressure-absolute"] == "psi(a)"


@pytest.mark.parametrize(
    ("text", "line", "message", "mend"),
    [
        ('\norganization = "x"', 2, "no key `organization`", "did you mean organisation?"),
        ("zzz = 1", 1, "no key `zzz`", "there is hand-lift-limit, labels, logo"),
        ('[second-units]\ntorqe = "N.m"', 2, "no kind of quantity `torqe`", "did you mean torque"),
        ('[labels]\nlok = "x"', 2, "no label `lok`", "lock"),
        ('[labels]\nqqqqqq = "x"', 2, "no label `qqqqqq`", "procforge labels"),
        ('[signal-words]\ngrave = "danger"', 2, "no key of signal-words `grave`", "there is death"),
        ("organisation = true", 1, "is true or false, and a text is wanted", "quotes"),
        ("organisation = 1979-05-27", 1, "is a date or time", "quotes"),
        ('organisation = "a\\nb"', 1, "line end", "one line"),
        (f'organisation = "{"x" * 81}"', 1, "81 characters", "80 at most"),
        ('labels = "x"', 1, "a text, and a table is wanted", "[labels]"),
        ("second-units = [1]", 1, "a list, and a table is wanted", "[second-units]"),
        ('paper = "A5"', 1, "`A5` is no paper", "A4"),
        ('paper = ""', 1, "`` is no paper", "A4, Letter"),
        ("hand-lift-limit = 25", 1, "number 25 without a unit", '"25 kg"'),
        ('hand-lift-limit = "25"', 1, "has no unit", "write the unit"),
        ('hand-lift-limit = "25 m"', 1, "25 m is a length, and a mass is wanted", "23 kg"),
        ('hand-lift-limit = "250 kg"', 1, "is not what one person lifts", "1 kg to 50 kg"),
        ('hand-lift-limit = ""', 1, "is empty", "23 kg"),
        ('[second-units]\ntorque = "psi"', 2, "psi is a unit of pressure", "write a unit of torque"),
        ('[second-units]\npressure = "psi(g)"', 2, "a unit of gauge pressure", "write a unit of pressure"),
        ('[second-units]\nlength = "cubit"', 2, "'cubit' is not a unit", ""),
        ("[second-units]\nlength = 1", 2, "is a number, and a text is wanted", "quotes"),
        ('[signal-words]\nmanner = "ansy"', 2, "`ansy` is no manner", "did you mean ansi?"),
        ('[signal-words]\ndeath = "peril"', 2, "`peril` is no signal word", "there is danger"),
        ('logo = "none.png"', 1, "the logo none.png does not exist", "folder of the profile"),
        ('template = "none.docx"', 1, "the template none.docx does not exist", "folder of the profile"),
        ('logo = "a\\u0000b"', 1, "`logo` is no name of a file", "path"),
        ('[labels]\nsection-done = "done"', 2, "lacks {number}", "keep {number}"),
        ('[labels]\nlock = "no. {x}"', 2, "has the gap {x}", "no gaps"),
        ('[labels]\nlock = "{"', 2, "a brace that opens no gap", "twice"),
        ('[labels]\nlock = " "', 2, "is empty", "Lock no."),
        ('a = "', 1, "is not TOML", "key"),
        ('paper = "A4"\npaper = "A4"\n\n', 2, "a key stands twice", "key"),
        ('labels = { lock = "", tag = "T" }', 1, "is empty", ""),
        ("x = " + "[" * 5000, 0, "nested too deep", "one level"),
        ("#" * 64_001, 0, "64001 bytes", "64000"),
        (b"\n\xff\xfe", 2, "not UTF-8", "save it as UTF-8"),
    ],
)
def test_each_mistake_is_one_finding_with_place_reason_and_mend(text: str, line: int, message: str, mend: str) -> None:
    found = told(text)
    assert len(found) == 1, found
    assert found[0][0] == line
    assert message in found[0][1] and mend in found[0][2], found


def test_what_a_mistake_meant_to_set_stays_as_it_was_and_the_rest_counts() -> None:
    outcome = read_site(
        "site.toml", b'paper = "A5"\nhand-lift-limit = 9\norganisation = "Plant"\n', lambda: TEXTS, no_file
    )
    assert len(outcome.findings) == 2
    assert (outcome.value.paper, outcome.value.hand_limit, outcome.value.organisation) == ("", HAND_LIMIT, "Plant")


SOME = st.text(st.characters(codec="utf-8"), max_size=30)


@given(st.dictionaries(st.sampled_from([*KEYS, "x"]), SOME, max_size=4), SOME, st.binary(max_size=40))
def test_nothing_raises(pairs: dict[str, str], loose: str, raw: bytes) -> None:
    text = "\n".join(f"{key} = {value!r}" for key, value in pairs.items())
    for content in (text.encode(), f"{text}\n{loose}".encode(), raw):
        for found in read_site("site.toml", content, lambda: TEXTS, no_file).findings:
            assert found.message and found.mend and found.rule.startswith("site-profile-")


def test_a_png_is_looked_at() -> None:
    whole = mark()
    assert fault_in_png(whole) is None
    assert pixels()[0][:3] == b"\xff\xff\xff" and len(pixels()) == DOWN and len(pixels()[0]) == 3 * ACROSS
    assert fault_in_png(whole[:-20]) and fault_in_png(b"GIF89a") and fault_in_png(whole + b"\0" * 1_000_000)
    assert "thin" in (fault_in_png(png([b"\0" * 300] * 2, 100, 2)) or ("",))[0]
    huge = whole[:16] + struct.pack(">II", 9000, 9000) + whole[24:]
    assert "9000 by 9000" in (fault_in_png(huge) or ("",))[0]


def test_the_mark_of_the_shipped_profile_is_the_one_drawn() -> None:
    """Pixels, not bytes: zlib builds differ."""
    shipped = (Path(__file__).parents[1] / "procedures" / "site-mark.png").read_bytes()

    def rows(content: bytes) -> bytes:
        start = content.index(b"IDAT") + 4
        (size,) = struct.unpack(">I", content[start - 8 : start - 4])
        return zlib.decompress(content[start : start + size])

    assert rows(shipped) == rows(mark())


def test_our_own_labels_keep_the_rules_for_labels() -> None:
    for name, text in TEXTS.items():
        assert fault_in_label(text, text) is None, name
        assert len(text) <= MOST_LABEL
        assert gaps_of(text) == gaps_of(text.replace("{", "x {"))


# ---- what follows --------------------------------------------------------------------------------------------------
@pytest.fixture
def job(tmp_path: Path) -> Path:
    for name in ("a-filter.equip", "a-filter.proc"):
        (tmp_path / name).write_bytes((SHARED / name).read_bytes())
    return tmp_path / "a-filter.proc"


def hashed(job: Path, text: str | None) -> str:
    if text is not None:
        (job.parent / NAME).write_text(text, encoding="utf-8")
    return source_hash(Library(), job)


def test_the_hash_moves_with_what_is_printed_and_with_nothing_else(job: Path) -> None:
    bare = hashed(job, None)
    for same in (
        "# a remark\n",
        'paper = "Letter"\n',
        f'hand-lift-limit = "{HAND_LIMIT:g} kg"\n',
        '[signal-words]\nmanner = "ansi"\ndeath = "danger"\n',
        "[second-units]\n[labels]\n",
    ):
        assert hashed(job, same) == bare, same
    seen = {bare}
    for other in (
        'organisation = "Plant"\n',
        'hand-lift-limit = "20 kg"\n',
        '[signal-words]\nmanner = "military"\n',
        '[signal-words]\nminor = "warning"\n',
        '[second-units]\ntorque = "lbf.ft"\n',
        '[labels]\nlock = "Padlock"\n',
    ):
        seen.add(hashed(job, other))
    (job.parent / "m.png").write_bytes(mark())
    seen.add(hashed(job, 'logo = "m.png"\n'))
    assert len(seen) == 8
    assert hashed(job, '[labels]\nlock = "P"\n[second-units]\nmass = "lb"\n') == hashed(
        job, "[second-units]\nmass = 'lb' # the same\n\n[labels]\nlock = \"P\"\n"
    )


def test_a_mistake_in_the_profile_leaves_a_procedure_unproved(job: Path) -> None:
    assert check_file(Library(), job).sound
    (job.parent / NAME).write_text("papper = 'A4'\n")
    entry = check_file(Library(), job)
    assert [f.rule for f in entry.findings] == ["site-profile-unknown"] and not entry.sound
    assert entry.findings[0].span.source.path == (job.parent / NAME).as_posix()


def test_the_profile_named_outright_is_checked_alone(job: Path) -> None:
    (job.parent / NAME).write_text("papper = 'A4'\n")
    entry = check_file(Library(), job.parent / NAME)
    assert entry.case is None and [f.rule for f in entry.findings] == ["site-profile-unknown"]


def test_rules_and_sheet_have_one_limit(job: Path) -> None:
    (job.parent / NAME).write_text('hand-lift-limit = "17 kg"\n')
    library = Library()
    entry = check_file(library, job)
    assert entry.case is not None
    assert entry.case.site.hand_limit == entry.site.hand_limit == Profile.of(entry.site).hand_limit == 17.0
    assert site_of(library, job).value is entry.site


def test_a_mistake_told_once_leaves_every_procedure_unproved(job: Path) -> None:
    other = job.with_name("b-filter.proc")
    other.write_bytes(job.read_bytes())
    assert [e.sound for e in check_all([job.parent]) if e.case] == [True, True]
    (job.parent / NAME).write_text("papper = 'A4'\n")
    checked = [e for e in check_all([job.parent]) if e.case]
    assert sum(len(e.findings) for e in checked) == 1
    assert [e.sound for e in checked] == [False, False]
