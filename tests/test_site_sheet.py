"""What a site profile does to a sheet: second units, labels, signal words, name and mark, paper and template."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import pytest
from lxml import etree
from sheet_samples import SOUR, sample
from site_mark import mark
from template_samples import house_template
from typer.testing import CliRunner

from procforge.cli import app
from procforge.model.procedure import Hazard
from procforge.quantities import Problem, Unit, unit
from procforge.render.word import docx_bytes
from procforge.resolve.load import Library
from procforge.sheet.build import build_sheet
from procforge.sheet.inline import Blank, Run
from procforge.sheet.labels import TEXTS, Labels
from procforge.sheet.outline import Sheet
from procforge.sheet.profile import Profile, labels_of
from procforge.sheet.rows import Signal
from procforge.sheet.walk import entries, words_in
from procforge.site.read import read_site
from procforge.stages import check_file

ROOT = Path(__file__).parents[1]
BOOSTER = ROOT / "procedures" / "booster" / "valve-service.proc"
SHIPPED = sorted((ROOT / "procedures").glob("*/*.proc"))
W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
RUN = CliRunner()
#: Kinds that a sheet prints, with a second unit for each, and how the first ones look in print.
SECOND = 'torque = "lbf.ft"\npressure = "psi"\nlength = "in"\ntemperature = "°F"\nmass = "lb"\n'
FIRST = re.compile(r"\d[\u00a0 ](?:N·m|bar\(g\)|mbar\(g\)|mm|kg|°C)(?![\w(/])")


def sheet(path: Path, toml: str = "", logo: bytes = b"") -> Sheet:
    case = check_file(Library(), path).case
    assert case is not None
    site = read_site("site.toml", toml.encode(), lambda: TEXTS, lambda _: logo)
    assert site.findings == ()
    return build_sheet(
        case.procedure, case.variants[0], source_hash="0" * 16, proof=case.proof,
        labels=labels_of(site.value), profile=Profile.of(site.value),
    )  # fmt: skip


def words(made: Sheet) -> str:
    return "\n".join(words_in((made.name_plate, made.blocks)))


# ---- second units --------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_without_second_units_none_is_printed(path: Path) -> None:
    assert not re.search(r"\bpsi\b|lbf|\blb\b|°F", words(sheet(path)))


def test_every_limit_has_its_second_unit() -> None:
    for path in SHIPPED:
        made = sheet(path, f"[second-units]\n{SECOND}")
        for entry in entries(made):
            blank = entry.blank
            found = unit(blank.unit) if blank.unit else None
            if (blank.low or blank.high) and isinstance(found, Unit) and found.symbol in ("bar(g)", "mm", "°C", "N·m"):
                assert blank.second, blank
                low, high = _span(blank.second)
                other = unit(
                    blank.second.replace("\u00a0", " ").removesuffix(" or less").removesuffix(" or more").split()[-1]
                )
                assert not isinstance(other, Problem)
                for text, ours, sign in ((blank.low, low, 1), (blank.high, high, -1)):
                    if text and ours is not None:
                        exact = (float(text) * found.factor + found.offset) / 1
                        told = ours * float(other.factor) + float(other.offset)
                        assert (told - float(exact)) * sign >= -1e-9, (blank.id, "wider than the first unit allows")


def _span(said: str) -> tuple[float | None, float | None]:
    said = said.replace("\u00a0", " ")
    numbers = [float(n.replace("\u2212", "-")) for n in re.findall(r"[\u2212-]?\d+(?:\.\d+)?", said)]
    if "or less" in said:
        return None, numbers[0]
    return (numbers[0], None) if "or more" in said else (numbers[0], numbers[1])


def test_instructions_masses_ranges_passes_and_energies_have_theirs() -> None:
    text = words(sheet(BOOSTER, f"[second-units]\n{SECOND}")).replace("\u00a0", " ").replace("\n", "")
    for said in (
        "60 N·m (44.3 lbf·ft)",  # the instruction and the last pass
        "18 N·m (13.3 lbf·ft)",  # 30 %
        "57 N·m to 63 N·m (42.1 to 46.4 lbf·ft)"
        if "57 N·m to 63 N·m" in text
        else "54 N·m to 66 N·m (39.9 to 48.6 lbf·ft)",
        "6.5 kg (14.3 lb)",
        "0 bar(g) to 1 bar(g) (0 to 14.5 psi(g))",
        "up to 4.5 bar(g) (65.3 psi(g))",
    ):
        assert said in text, said


def _proses(thing: object) -> Iterator[str]:
    """Each piece of words of an outline as a reader meets it, runs put together."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, Run):
        yield thing.text
    elif isinstance(thing, tuple):
        if any(isinstance(part, Run) for part in thing) and all(isinstance(part, str | Run) for part in thing):
            yield "".join(part if isinstance(part, str) else part.text for part in thing)
        else:
            for part in thing:
                yield from _proses(part)
    elif is_dataclass(thing) and not isinstance(thing, Blank):
        for one in fields(thing):
            yield from _proses(getattr(thing, one.name))


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_what_has_no_second_unit_was_written_so_by_the_author(path: Path) -> None:
    """Everything the sheet itself prints has one; the words of an author stay as they are."""
    source = " ".join(
        " ".join(line.strip() for line in file.source.lines) for file in Library().bundle(path).value
    ).lower()
    source = re.sub(r"[(),]", "", source)
    bare = 0
    for text in _proses(sheet(path, f"[second-units]\n{SECOND}").blocks):
        if not re.search(r" ?\([^()]*(?:\([gad]\)[^()]*)*(?:psi|lbf|lb|in|°F)", text):
            for found in FIRST.finditer(text):
                start = text.rfind(" ", 0, max(text.rfind(" ", 0, found.start()), 0)) + 1
                said = text[start : found.end()].replace("\u00a0", " ").lower()
                assert re.sub(r"[(),]", "", said) in source, text
                bare += 1
    assert bare or path.stem in ("return-to-service", "make-safe"), "the check has something to look at"


# ---- words ---------------------------------------------------------------------------------------------------------
def test_every_label_reaches_a_sheet(tmp_path: Path) -> None:
    """Each label set to a word of its own is printed somewhere; those left are named here with the reason."""
    toml = "[labels]\n" + "".join(
        f"{name.rstrip('_').replace('_', '-')} = '{' '.join(['Zz' + name, *('{' + g + '}' for g in _gaps(text))])}'\n"
        for name, text in TEXTS.items()
    )
    site = read_site("s", toml.encode(), lambda: TEXTS, lambda _: b"").value
    whole = sample(tmp_path)
    every = [build_sheet(whole, SOUR, source_hash="0", labels=labels_of(site), profile=Profile.of(site))]
    seen = ""
    for made in (*(sheet(path, toml) for path in SHIPPED), *every):
        data = docx_bytes(replace(made, control=replace(made.control, organisation="Plant")))
        with ZipFile(BytesIO(data)) as packed:
            for name in packed.namelist():
                if name.startswith("word/") and name.endswith(".xml"):
                    seen += "".join(etree.fromstring(packed.read(name)).itertext())
        seen += words(made)
        seen += "".join(label for e in entries(made) for label in (e.blank.label, *e.blank.choices))
    seen = seen.lower()
    drawn = ("bolt_", "stack_")  # wrapped inside pictures, whose own tests hold them
    missing = {f.name for f in fields(Labels) if f"zz{f.name}".lower() not in seen and not f.name.startswith(drawn)}
    assert missing <= UNSEEN, sorted(missing - UNSEEN)


def _gaps(text: str) -> list[str]:
    return sorted(set(re.findall(r"{(\w+)}", text)))


#: Labels that no sheet made here prints, since none of them lacks or has what they tell of.
UNSEEN = frozenset(
    {
        "any_of_crew", "choose_one", "connected", "do_not_disturb", "go_to_closing", "next_shift", "no_conditions",
        "no_charts", "no_energies", "no_hazards", "no_kit", "none_named", "not_issued", "only_for", "perhaps", "said_here",
        "see_figure", "status_not_stated",
    }
)  # fmt: skip


def test_the_military_manner_calls_by_whom_it_harms() -> None:
    """MIL-STD-38784 (from memory): WARNING for people, CAUTION for things, NOTE for the rest; ANSI Z535.6 grades harm
    to people and has NOTICE for things."""
    found = {}
    for manner in ("ansi", "military"):
        site = read_site("s", f'[signal-words]\nmanner = "{manner}"\n'.encode(), lambda: TEXTS, lambda _: b"").value
        profile = Profile.of(site)
        found[manner] = [
            profile.signal(Hazard.make(name="h", severity=s, harm=h))
            for s, h in (("death", ("person",)), ("serious", ()), ("minor", ("person",)), ("death", ("equipment",)))
        ]
        assert labels_of(site).notice == {"ansi": "Notice", "military": "Note"}[manner]
    assert found["ansi"] == [Signal.DANGER, Signal.WARNING, Signal.CAUTION, Signal.NOTICE]
    assert found["military"] == [Signal.WARNING, Signal.WARNING, Signal.WARNING, Signal.CAUTION]


# ---- name, mark, head ----------------------------------------------------------------------------------------------
def test_name_and_mark_stand_on_every_page() -> None:
    made = sheet(BOOSTER, 'organisation = "Biogas plant North Field"\nlogo = "m.png"\n', mark())
    data = docx_bytes(made)
    assert docx_bytes(made) == data
    with ZipFile(BytesIO(data)) as packed:
        pictures = [n for n in packed.namelist() if n.startswith("word/media/") and packed.read(n) == mark()]
        assert len(pictures) == 1, "one copy, whatever the number of pages"
        for turn in ("portrait", "landscape"):
            head = etree.fromstring(packed.read(f"word/head-{turn}.xml"))
            drawn = head.find(".//{*}blip")
            assert drawn is not None
            relation = drawn.get("{http://schemas.openxmlformats.org/officeDocument/2006/relationships}embed")
            links = etree.fromstring(packed.read(f"word/_rels/head-{turn}.xml.rels"))
            target = next(link.get("Target") for link in links if link.get("Id") == relation)
            assert target is not None and pictures[0].endswith(target.rpartition("/")[2])
            assert head.find(".//{*}docPr").get("descr") == "Biogas plant North Field"  # type: ignore[union-attr]
            foot = "".join(etree.fromstring(packed.read(f"word/foot-{turn}.xml")).itertext())
            assert "Biogas plant North Field" in foot
        body = "".join(etree.fromstring(packed.read("word/document.xml")).itertext())
        assert body.index("Biogas plant North Field") < body.index(made.control.title)


# ---- commands ------------------------------------------------------------------------------------------------------
@pytest.fixture
def job(tmp_path: Path) -> Path:
    folder = shutil.copytree(BOOSTER.parent, tmp_path / "booster")
    (folder.parent / "site.equip").write_bytes((ROOT / "procedures" / "site.equip").read_bytes())
    return folder / BOOSTER.name


def page_of(path: Path) -> tuple[str | None, str | None]:
    with ZipFile(path) as packed:
        size = etree.fromstring(packed.read("word/document.xml")).find(f".//{W}pgSz")
    assert size is not None
    return size.get(f"{W}w"), size.get(f"{W}h")


def test_the_sites_paper_counts_and_the_command_goes_before_it(job: Path, tmp_path: Path) -> None:
    out = tmp_path / "x.docx"
    assert RUN.invoke(app, ["sheet", str(job), "-o", str(out)]).exit_code == 0
    assert page_of(out) == ("11906", "16838"), "A4 where nobody says"
    (job.parent / "site.toml").write_text('paper = "Letter"\n')
    assert RUN.invoke(app, ["sheet", str(job), "-o", str(out)]).exit_code == 0
    assert page_of(out) == ("12240", "15840")
    assert RUN.invoke(app, ["sheet", str(job), "-o", str(out), "--paper", "A4"]).exit_code == 0
    assert page_of(out) == ("11906", "16838")
    assert RUN.invoke(app, ["sheet", str(job), "-o", str(out), "--paper", "A5"]).exit_code == 2


def test_the_sites_template_counts_for_sheet_and_release(job: Path, tmp_path: Path) -> None:
    house_template(job.parent / "house.docx")
    (job.parent / "site.toml").write_text('template = "house.docx"\n')
    assert RUN.invoke(app, ["sheet", str(job), "-o", str(tmp_path / "x.docx")]).exit_code == 0
    done = RUN.invoke(app, ["release", str(job), "--out", str(tmp_path / "out"), "-m", "frame-S", "-s", "wet-gas"])
    assert done.exit_code == 0, done.output
    for path in (tmp_path / "x.docx", *(tmp_path / "out").glob("*.docx")):
        with ZipFile(path) as packed:
            assert b"DejaVu Serif" in packed.read("word/styles.xml")


def test_a_bad_template_is_told_and_nothing_is_written(job: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.docx"
    bad.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600)
    for command in (
        ["sheet", str(job), "-o", str(tmp_path / "x.docx")],
        ["release", str(job), "--out", str(tmp_path / "o")],
    ):
        done = RUN.invoke(app, [*command, "--template", str(bad)])
        assert done.exit_code == 2 and "password" in done.output and "Traceback" not in done.output
    assert not (tmp_path / "x.docx").exists() and not (tmp_path / "o").exists()


def test_a_mistake_in_the_profile_is_told_by_check_sheet_and_release(job: Path, tmp_path: Path) -> None:
    (job.parent / "site.toml").write_text('\npaper = "A44"\n')
    for command in (
        ["check", str(job)],
        ["sheet", str(job), "-o", str(tmp_path / "x.docx")],
        ["release", str(job), "--out", str(tmp_path / "o")],
    ):
        done = RUN.invoke(app, command)
        assert done.exit_code == 1 and done.exception.__class__ is SystemExit
        assert "`A44` is no paper" in done.output and "site.toml, line 2" in done.output, command
    assert not (tmp_path / "o").exists()
    with ZipFile(tmp_path / "x.docx") as packed:
        assert "Not for use" in "".join(etree.fromstring(packed.read("word/head-portrait.xml")).itertext())


def test_the_labels_listed_can_be_put_into_a_profile() -> None:
    done = RUN.invoke(app, ["labels"])
    assert done.exit_code == 0
    site = read_site("site.toml", done.output.encode(), lambda: TEXTS, lambda _: b"")
    assert site.findings == () and labels_of(site.value) == Labels()


def test_the_profile_in_the_readme_is_one() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = text.partition("```toml\n")[2].partition("```")[0]
    site = read_site("site.toml", shown.encode(), lambda: TEXTS, lambda _: mark())
    assert site.findings == () and site.value.labels == {"lock": "Padlock no."} and site.value.paper == "A4"
    assert set(site.value.second_units) >= {"torque", "pressure-gauge", "length", "temperature", "mass"}


def test_the_planners_page_follows_the_profile(job: Path, tmp_path: Path) -> None:
    (job.parent / "site.toml").write_text('paper = "Letter"\norganisation = "Biogas plant North Field"\n')
    out = tmp_path / "plan.docx"
    assert RUN.invoke(app, ["plan", str(job), "-o", str(out)]).exit_code == 0
    assert page_of(out) == ("12240", "15840")
    with ZipFile(out) as packed:
        assert b"Biogas plant North Field" in packed.read("word/document.xml")
    done = RUN.invoke(app, ["plan", str(job), "-o", str(out), "--paper", "A5"])
    assert done.exit_code == 2 and "no paper is called A5" in done.output


def test_only_what_harms_people_carries_the_alert_symbol() -> None:
    """ANSI Z535.6 (from memory): the safety alert symbol tells of injury; a site may call damage CAUTION all the same."""
    from procforge.sheet.outline import Control
    from procforge.sheet.rows import HazardPanel

    control = Control("T", "N", "A", "2026-01-01", "Released", "0")
    found = []
    for person in (True, False):
        panel = HazardPanel(Signal.CAUTION, "Sharp edge", person=person)
        with ZipFile(BytesIO(docx_bytes(Sheet(control, (panel,))))) as packed:
            found.append(b"Safety alert symbol" in packed.read("word/document.xml"))
    assert found == [True, False]
