"""One edited text: what the simulator says of it, and what the validator says."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from simulator.quick import first_fault
from simulator.reader import Reader

from procforge.analysis.proof import variants_of
from procforge.findings import Severity
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve
from procforge.rules.registry import BY_NAME
from procforge.stages import check_file
from tests.faults.duties import broken


@dataclass(frozen=True)
class Verdicts:
    """What both say of the paths: the simulator's first fault, the validator's faults; and all errors it prints.

    `duties` are those broken that are no matter of order; `plain_rules` the errors printed that are no rule of the proof.
    """

    fault: str
    duties: tuple[str, ...]
    proof_faults: tuple[str, ...]
    rules: tuple[str, ...]
    plain_rules: tuple[str, ...]


def verdicts(path: Path, text: str) -> Verdicts:
    """Both verdicts on a shipped procedure with another text."""
    target = path.resolve()

    def read(asked: Path) -> bytes:
        return text.encode() if asked.resolve() == target else asked.read_bytes()

    checked = check_file(Library(read), path)
    errors = {f.rule for f in checked.findings if f.severity >= Severity.ERROR}
    plain = {r for r in errors if not BY_NAME[r].message}
    assert checked.case is not None
    proof = checked.case.proof
    faults = {f.violation.rule for f in proof.faults} | {n.rule for n in proof.not_proved} | set(proof.unsearched)
    procedure = resolve(Library(read), path).value
    fault = ""
    variants = variants_of(procedure)
    for variant in variants:
        fault = fault or first_fault(Reader(procedure, variant))
    return Verdicts(
        fault,
        tuple(broken(procedure, variants, text)),
        tuple(sorted(faults)),
        tuple(sorted(errors)),
        tuple(sorted(plain)),
    )
