"""What a rule is, and the case it looks at."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cached_property

from procforge.analysis.machine import Machine
from procforge.analysis.proof import Proof
from procforge.findings import Finding, Mark, Severity
from procforge.model.base import Variant
from procforge.model.equipment import Equipment
from procforge.model.procedure import AnyWork, Procedure
from procforge.model.tree import walk
from procforge.site.model import Site
from procforge.text import Span


@dataclass
class Case:
    """A procedure with its machine, the variants looked at, the proof, and the profile of its site."""

    procedure: Procedure
    variants: tuple[Variant, ...]
    proof: Proof
    site: Site = field(default_factory=Site)

    @property
    def equipment(self) -> Equipment:
        """The machine, all variants."""
        return self.procedure.equipment

    @cached_property
    def works(self) -> tuple[AnyWork, ...]:
        """Every statement of work, in written order."""
        return tuple(walk(self.procedure.body))

    @cached_property
    def machines(self) -> tuple[Machine, ...]:
        """The machine of each variant looked at."""
        return tuple(Machine(self.equipment, v) for v in self.variants)


Finder = Callable[[Case], Iterable[Finding]]


@dataclass(frozen=True)
class Rule:
    """A rule. `page` is what `why RULE` prints. A rule of the proof has `message`, `why` and `mend` for its
    counter-example; a rule of its own has `find`; a rule of reading is found where the text is read."""

    name: str
    family: str
    page: str
    basis: str
    severity: Severity = Severity.ERROR
    message: str = ""
    label: str = ""
    why: str = ""
    mend: str = ""
    find: Finder | None = None
    waivable: bool = True
    rank: int = 50

    @property
    def title(self) -> str:
        """The first line of the page."""
        return self.page.strip().split("\n")[0].rstrip(".")

    def finding(
        self,
        span: Span,
        message: str,
        mend: str = "",
        label: str = "",
        marks: tuple[Mark, ...] = (),
        variants: tuple[str, ...] = (),
        why: str = "",
    ) -> Finding:
        """A finding of this rule."""
        return Finding(
            self.name,
            self.severity,
            message,
            span,
            label or self.label,
            marks,
            (),
            variants,
            why or self.why,
            self.basis,
            mend or self.mend,
        )


ENERGY, ASSEMBLY, JUDGEMENT, TORQUE, PEOPLE, WORDS, READING = (
    "energy",
    "assembly",
    "judgement",
    "torque",
    "people",
    "words",
    "reading",
)


def proof_rule(
    page: str | None,
    name: str,
    family: str,
    basis: str,
    message: str,
    label: str,
    why: str,
    mend: str,
    *,
    waivable: bool = True,
    rank: int = 50,
) -> Rule:
    """A rule the proof decides: the verb table or the end names it."""
    return Rule(
        name,
        family,
        page or "",
        basis,
        Severity.ERROR,
        message,
        label,
        why,
        mend,
        None,
        waivable and family != ENERGY,
        rank,
    )


def static_rule(
    page: str | None,
    name: str,
    family: str,
    basis: str,
    find: Finder,
    severity: Severity = Severity.ERROR,
    *,
    why: str = "",
    mend: str = "",
    waivable: bool = True,
) -> Rule:
    """A rule with a finder of its own. One whose fault leaves the proof in the dark can't be waived, nor one of energy."""
    can = waivable and family != ENERGY
    return Rule(name, family, page or "", basis, severity, why=why, mend=mend, find=find, waivable=can)


def reading_rule(page: str | None, name: str, severity: Severity = Severity.ERROR) -> Rule:
    """A rule that is found while the text is read."""
    return Rule(name, READING, page or "", "the language reference, grammar/README.md", severity, waivable=False)
