"""A procedure after resolving: its head, its hazards, and its work as a tree."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from procforge.model.base import EVERYWHERE, Amount, Model, Scope, Where
from procforge.model.equipment import Equipment, State, Torque
from procforge.text import NOWHERE


class Ref(Model):
    """A thing a step acts on; `new` where a new one is taken; `name` is unique in the machine."""

    name: str
    new: bool = False
    where: Where = NOWHERE


class Limit(Model):
    """Limits of a reading; either end may be open."""

    low: Amount | None = None
    high: Amount | None = None
    where: Where = NOWHERE


class Waiver(Model):
    """A rule waived at one step by a role, with the reason."""

    rule: str
    role: str
    reason: str
    where: Where = NOWHERE


class Figure(Model):
    """A picture beside a step."""

    file: str
    caption: str = ""
    where: Where = NOWHERE


class Work(Model):
    """What every statement of work has: a stable id, its place, whom it is for, its prose."""

    id: str = ""
    where: Where = NOWHERE
    only_for: Scope = EVERYWHERE
    only_where: Where = NOWHERE
    prose: tuple[str, ...] = ()
    prose_where: tuple[Where, ...] = ()


class Doing(Work):
    """Work a person does and signs: step, check, measurement."""

    role: str = ""
    role_where: Where = NOWHERE
    tools: tuple[Ref, ...] = ()
    as_name: str = ""
    result: str = ""
    title: str = ""
    takes: Amount | None = None
    meets: tuple[Ref, ...] = ()
    limit: Limit | None = None
    figures: tuple[Figure, ...] = ()
    waivers: tuple[Waiver, ...] = ()
    needs: tuple[Ref, ...] = ()
    makes: tuple[Ref, ...] = ()
    undoes: tuple[Ref, ...] = ()
    expect: str = ""
    look_up: tuple[str, str] | None = None
    no_value: str = ""


class Step(Doing):
    """A trade verb on named things, or a free instruction in `text`."""

    kind: Literal["step"] = "step"
    verb: str
    verb_where: Where = NOWHERE
    objects: tuple[Ref, ...] = ()
    text: str = ""
    at: Ref | None = None
    at_amount: Amount | None = None
    to: str = ""
    to_where: Where = NOWHERE
    to_amount: Amount | None = None
    turns: str = ""
    torque: Torque | None = None
    torque_where: Where = NOWHERE
    pattern: str = ""
    pattern_where: Where = NOWHERE
    passes: tuple[Amount, ...] = ()
    passes_where: Where = NOWHERE
    way_up: str = ""
    way_up_where: Where = NOWHERE
    part_kind: str = ""
    part_kind_where: Where = NOWHERE


class Check(Doing):
    """A judgement on parts: accepted or rejected."""

    kind: Literal["check"] = "check"
    name: str
    objects: tuple[Ref, ...] = ()
    accept: tuple[str, ...] = ()
    reject: tuple[str, ...] = ()


class Measure(Doing):
    """A reading, or a small table of readings at named places; with limits it is judged."""

    kind: Literal["measure"] = "measure"
    name: str
    label: str = ""
    objects: tuple[Ref, ...] = ()
    places: tuple[str, ...] = ()
    as_found: bool = False
    keep_as: str = ""


class Hold(Work):
    """A hold, witness or review point."""

    kind: Literal["hold"] = "hold"
    point: str
    name: str
    text: str = ""
    role: str = ""
    role_where: Where = NOWHERE
    sees: tuple[Ref, ...] = ()
    before: tuple[tuple[str, tuple[Ref, ...], Where], ...] = ()
    criterion: str = ""
    takes: Amount | None = None
    meets: tuple[Ref, ...] = ()
    waivers: tuple[Waiver, ...] = ()


class Ask(Work):
    """A question with two answers, both possible each time; `answered` tells which arms are written."""

    kind: Literal["ask"] = "ask"
    text: str
    role: str = ""
    yes: tuple[AnyWork, ...] = ()
    no: tuple[AnyWork, ...] = ()
    answered: tuple[str, ...] = ()
    meets: tuple[Ref, ...] = ()


class When(Work):
    """A branch on the last result of a check."""

    kind: Literal["when"] = "when"
    check: str
    accepted: bool
    check_where: Where = NOWHERE
    body: tuple[AnyWork, ...] = ()
    otherwise: tuple[AnyWork, ...] = ()


class Repeat(Work):
    """Rounds until a check is accepted, at most `times`; `otherwise` after the last rejection."""

    kind: Literal["repeat"] = "repeat"
    check: str
    check_where: Where = NOWHERE
    times: int = 0
    body: tuple[AnyWork, ...] = ()
    otherwise: tuple[AnyWork, ...] | None = None


class Group(Work):
    """A block: `section`, `only`, `any-order`, `together` (lanes), `either` (ways), `bench`, `lend-back`, `called`."""

    kind: Literal["group"] = "group"
    form: str
    title: str = ""
    name: str = ""
    role: str = ""
    places: tuple[str, ...] = ()
    lanes: tuple[tuple[AnyWork, ...], ...] = ()
    file: str = ""


class Call(Work):
    """A call of another file by contract: what it starts from and what it leaves."""

    kind: Literal["call"] = "call"
    file: str
    title: str = ""
    number: str = ""


class Mark(Work):
    """A point without work on things: `stop`, `may-stop`, `handover`, `wait`, `note`."""

    kind: Literal["mark"] = "mark"
    form: str
    text: str = ""
    role: str = ""
    duration: Amount | None = None
    longest: Amount | None = None
    after: str = ""
    after_where: Where = NOWHERE


class Hole(Work):
    """A line that could not be read; its names may have meant anything."""

    kind: Literal["hole"] = "hole"
    words: tuple[str, ...] = ()


AnyWork = Annotated[
    Step | Check | Measure | Hold | Ask | When | Repeat | Group | Call | Mark | Hole, Field(discriminator="kind")
]


class Hazard(Model):
    """A hazard: severity and harm as data, the signal word follows from a profile."""

    name: str
    title: str = ""
    severity: str = ""
    harm: tuple[str, ...] = ()
    text: tuple[str, ...] = ()
    text_where: tuple[Where, ...] = ()
    avoid: tuple[str, ...] = ()
    avoid_where: tuple[Where, ...] = ()
    wear: tuple[Ref, ...] = ()
    place: str = ""
    where: Where = NOWHERE


class Crew(Model):
    """How many people of a role."""

    role: str
    count: int
    where: Where = NOWHERE


class Signature(Model):
    """Author, reviewer or approver."""

    part: str
    name: str
    date: str = ""
    where: Where = NOWHERE


class Fact(Model):
    """A fact of the user's own, with the events that undo it."""

    name: str
    title: str = ""
    undone_by: tuple[tuple[str, str], ...] = ()
    where: Where = NOWHERE


class HouseRule(Model):
    """A rule of the site, proved like the built-in rules. Events are a verb and a thing, or a name and nothing.

    `form` says how it reads: `before` and `only-after` (`first` before `then`), `never` (`then`), `never-while` (`then`
    while all `states` hold), `never-after` (`then` after `first`), `once` (`first`), `every` (`answer` after every
    `first`, in time for `then` or the end). `undone_by` makes `first` as if it had not happened.
    """

    text: str
    form: str = "before"
    first: tuple[str, str] = ("", "")
    then: tuple[str, str] = ("", "")
    answer: tuple[str, str] = ("", "")
    undone_by: tuple[tuple[str, str], ...] = ()
    states: tuple[State, ...] = ()
    because: str = ""
    basis: str = ""
    where: Where = NOWHERE

    @property
    def words(self) -> str:
        """The rule as it is written, without its title."""
        first, then, answer = (" ".join(w for w in p if w) for p in (self.first, self.then, self.answer))
        undone = ", undone by " + ", ".join(" ".join(e) for e in self.undone_by) if self.undone_by else ""
        if self.form == "only-after":
            return f"{then} only after {first}{undone}"
        if self.form == "never-while":
            states = " and ".join(f"{s.name} {'not ' if s.negated else ''}{s.state}" for s in self.states)
            return f"never {then} while {states}"
        if self.form in ("never", "never-after"):
            return f"never {then}" + (f" after {first}{undone}" if self.form == "never-after" else "")
        if self.form == "once":
            return f"at least once {first}"
        if self.form == "every":
            return f"{answer} after every {first}" + (f", before {then}" if then else "")
        return f"{first} before {then}{undone}"

    @property
    def events(self) -> tuple[tuple[str, str], ...]:
        """The events it names."""
        return tuple(p for p in (self.first, self.then, self.answer) if p[0])


class Procedure(Model):
    """A procedure on one machine. `partial`: statements of all its files with a line under them that can't be read.

    `doubtful`: the names in lines of the machine that can't be read.
    """

    number: str = ""
    title: str = ""
    file: str = ""
    where: Where = NOWHERE
    revision: str = ""
    revision_date: str = ""
    revision_text: str = ""
    status: str = ""
    purpose: str = ""
    applies: Scope = EVERYWHERE
    applies_where: Where = NOWHERE
    crew: tuple[Crew, ...] = ()
    signatures: tuple[Signature, ...] = ()
    references: tuple[tuple[str, str], ...] = ()
    qualified: tuple[tuple[str, str], ...] = ()
    due: tuple[Amount, ...] = ()
    starts: tuple[State, ...] = ()
    leaves: tuple[State, ...] = ()
    before_starting: bool = False
    nothing_before: bool = False
    conditions: tuple[str, ...] = ()
    permits: tuple[str, ...] = ()
    wear: tuple[Ref, ...] = ()
    wear_titles: dict[str, str] = {}
    hazards: tuple[Hazard, ...] = ()
    facts: tuple[Fact, ...] = ()
    house_rules: tuple[HouseRule, ...] = ()
    tasks: tuple[str, ...] = ()
    leave_alone: tuple[tuple[str, str], ...] = ()
    equipment: Equipment = Equipment.make()
    body: tuple[AnyWork, ...] = ()
    holes: int = 0
    partial: tuple[Where, ...] = ()
    doubtful: tuple[str, ...] = ()
    used: tuple[str, ...] = ()
    blocks: dict[str, bool] = {}
    callees: dict[str, Procedure] = {}
    machine_names: tuple[str, ...] = ()
