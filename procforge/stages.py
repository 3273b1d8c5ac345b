"""The only place that runs the stages in order: text, nodes, models, proof, rules; and what is made from them."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from procforge.analysis.proof import prove, variants_of
from procforge.findings import Finding, Mark, Outcome, Severity, in_order
from procforge.model.procedure import Call, Procedure
from procforge.resolve.load import Library
from procforge.resolve.picture import pictures_of
from procforge.resolve.procedure import is_procedure, resolve, resolve_equipment
from procforge.rules.base import Case
from procforge.rules.registry import BY_NAME
from procforge.rules.run import run
from procforge.site.find import NAME, find_site
from procforge.site.model import NO_SITE, Site

SUFFIXES = (".proc", ".equip", ".units")
BUDGET = 1_000_000


@dataclass(frozen=True)
class Checked:
    """One file as checked: its case (None for a file that holds no procedure) and all findings of it.

    The findings of the profile of its site (`site`) are among them.
    """

    path: Path
    case: Case | None
    findings: tuple[Finding, ...]
    holes: int = 0
    faulty: bool = False
    """An error of a file it shares with another stands, told there already."""

    @property
    def site(self) -> Site:
        """The profile that its sheets follow."""
        return self.case.site if self.case is not None else NO_SITE

    @property
    def errors(self) -> bool:
        """Whether an error stands."""
        return self.faulty or any(f.severity >= Severity.ERROR for f in self.findings)

    @property
    def sound(self) -> bool:
        """Whether the procedure is proved: read whole, on some variant, all decided, no fault, its calls proved too."""
        if self.case is None or self.holes or self.errors or not self.case.variants:
            return False
        return not self.case.proof.not_proved and not self.case.proof.unsearched


def check_file(library: Library, path: Path, models: Iterable[str] = (), services: Iterable[str] = ()) -> Checked:
    """Read, resolve, prove and judge one file; raises OSError where it can't be read."""
    if path.name == NAME:
        return Checked(path, None, tuple(in_order(list(site_of(library, path).findings))))
    file = library.file(path).value
    if not is_procedure(file):
        outcome = resolve_equipment(library, path)
        return Checked(path, None, tuple(in_order(list(outcome.findings))), len(file.holes))
    resolved = resolve(library, path)
    site = site_of(library, path)
    case = case_of(resolved.value, models, services, site=site.value)
    found = [*site.findings, *resolved.findings, *run(case), *called(case)]
    return Checked(path, case, tuple(in_order(found)), resolved.value.holes)


def called(case: Case, judged: dict[int, Finding | None] | None = None) -> list[Finding]:
    """A call rests on the proof of what it calls: a finding at each call of a procedure that has errors.

    A called procedure is judged once, on all its variants, whatever the caller was narrowed to; `judged` holds the
    first error of each, so that many ways to one procedure cost no more than one.
    """
    judged = {} if judged is None else judged
    rule = BY_NAME["called-procedure-faulty"]
    found = []
    for name, procedure in case.procedure.callees.items():
        if id(procedure) not in judged:
            inner = case_of(procedure, site=case.site)
            faults = (f for f in (*run(inner), *called(inner, judged)) if f.severity >= Severity.ERROR)
            judged[id(procedure)] = next(faults, None)
        fault = judged[id(procedure)]
        if fault is not None:
            mend = f"mend it first: procforge check {name}"
            found += [
                rule.finding(
                    work.where, f"`{name}` has errors of its own", mend, marks=(Mark(fault.span, fault.message),)
                )
                for work in case.works
                if isinstance(work, Call) and work.file == name
            ]
    return found


def case_of(
    procedure: Procedure,
    models: Iterable[str] = (),
    services: Iterable[str] = (),
    budget: int = BUDGET,
    site: Site = NO_SITE,
) -> Case:
    """Prove a procedure on its variants, or on those of some models and services, by the limits of its site."""
    wanted_models, wanted_services = set(models), set(services)
    chosen = [
        v for v in variants_of(procedure)
        if (not wanted_models or v.model in wanted_models) and (not wanted_services or v.service in wanted_services)
    ]  # fmt: skip
    return Case(procedure, tuple(chosen), prove(procedure, tuple(chosen), budget), site)


def _labels() -> Mapping[str, str]:
    """The labels a profile may set; a class of hundreds of fields is made only where one sets some."""
    from procforge.sheet.labels import TEXTS

    return TEXTS


def site_of(library: Library, path: Path) -> Outcome[Site]:
    """The profile of the site of the file at `path`, looked for once a folder; its mistakes as findings."""
    folder = str(path.parent)
    if folder not in library.sites:
        library.sites[folder] = find_site(path, _labels, library.raw)
    return library.sites[folder]


def files_under(paths: Iterable[Path]) -> list[Path]:
    """The files of the language under some paths, in order; a file named outright is taken whatever its name."""
    found: dict[Path, None] = {}
    for path in paths:
        if path.is_dir():
            inside = (
                p
                for p in path.rglob("*")
                if p.suffix in SUFFIXES and p.is_file() and not any(q.startswith(".") for q in p.parts)
            )
            found.update(dict.fromkeys(sorted(inside)))
        else:
            found[path] = None
    return list(found)


def check_all(paths: Iterable[Path], models: Iterable[str] = (), services: Iterable[str] = ()) -> list[Checked]:
    """Check every file under the paths; a finding of a shared file is given once. Raises OSError for a missing path."""
    library = Library()
    models, services = tuple(models), tuple(services)
    checked = [check_file(library, p, models, services) for p in files_under(paths)]
    seen: set[tuple[object, ...]] = set()
    result = []
    for entry in checked:
        fresh = []
        for finding in entry.findings:
            key = (
                finding.rule,
                finding.span.source.path,
                finding.span.line,
                finding.span.column,
                finding.message,
                finding.variants,
            )
            if key not in seen:
                seen.add(key)
                fresh.append(finding)
        result.append(Checked(entry.path, entry.case, tuple(fresh), entry.holes, entry.errors))
    return result


def check_paths(paths: Iterable[Path]) -> list[Finding]:
    """All findings of all files under the paths, in the order they are printed."""
    return in_order([f for entry in check_all(paths) for f in entry.findings])


def source_hash(library: Library, path: Path) -> str:
    """The SHA-256 of a file and all it uses, as 16 hex digits in fours: what the sheet prints to tell its source.

    The pictures that the files name go in too, and what the profile of the site changes in the print (`Site.digest`); a
    profile that changes none of it gives the digits of a file without a profile.
    """
    digest = hashlib.sha256()
    for file in library.bundle(path).value:
        digest.update("\n".join(file.source.lines).encode())
        digest.update(b"\0")
        for picture in pictures_of(file):
            digest.update(picture)
    digest.update(site_of(library, path).value.digest())
    text = digest.hexdigest()[:16].upper()
    return " ".join(text[i : i + 4] for i in range(0, 16, 4))
