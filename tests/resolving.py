"""Resolves texts that stand in a test, without a disk."""

from __future__ import annotations

import os
from pathlib import Path, PurePosixPath

from procforge.findings import Finding
from procforge.model.equipment import Equipment
from procforge.model.procedure import Procedure, Step
from procforge.model.tree import walk
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve, resolve_equipment

HEAD = 'procedure P-1 "Job"\nuse "m.equip"\ncrew 1 fitter, 1 operator\n'
MACHINE = """\
equipment M "Machine"
models small, large
services wet, dry
places inlet "Inlet pocket", outlet "Outlet pocket"
pressure-space space "Space"
  holds gas, flammable
  pressure 8 bar(g)
  isolated by block
isolator block "Block valve"
  in service open, isolates when shut
gauge PI-1 "Gauge"
  0 bar(g) to 10 bar(g), class 1.6
part cover "Cover"
  at each of inlet, outlet
  closes space
  held by nuts
  sealed by ring
  over cage
part cage "Cage"
  at each of inlet, outlet
part valve-a "Valve A"
  at inlet
  made of plate, spring
part valve-b "Valve B"
  at outlet
  made of plate, spring
fastener nuts "Nuts"
  4 x M12
  torque 60 N.m for small
  torque 75 N.m for large
seal ring "Ring"
tool wrench "Wrench"
  20 N.m to 100 N.m
"""


def library(**files: str) -> Library:
    texts = {PurePosixPath(name.replace("__", "/").replace("_", ".")).as_posix(): text for name, text in files.items()}

    def read(path: Path) -> bytes:
        try:
            return texts[PurePosixPath(os.path.normpath(path)).as_posix()].encode()
        except KeyError:
            raise FileNotFoundError(path) from None

    return Library(read)


def machine(text: str) -> tuple[Equipment, list[Finding]]:
    outcome = resolve_equipment(library(m_equip=text), Path("m.equip"))
    return outcome.value, list(outcome.findings)


def job(body: str, text: str = MACHINE, **more: str) -> tuple[Procedure, list[Finding]]:
    outcome = resolve(library(p_proc=HEAD + body, m_equip=text, **more), Path("p.proc"))
    return outcome.value, list(outcome.findings)


def sound(body: str) -> Procedure:
    procedure, findings = job(body)
    assert [f.message for f in findings] == []
    return procedure


def told(findings: list[Finding]) -> list[tuple[str, str, int]]:
    return [(f.rule, PurePosixPath(f.span.source.path).name, f.span.line) for f in findings]


def only(body: str) -> Finding:
    (finding,) = job(body)[1]
    return finding


def doings(procedure: Procedure) -> list[tuple[str, list[str]]]:
    return [(w.verb, [r.name for r in w.objects]) for w in walk(procedure.body) if isinstance(w, Step)]
