"""The work as rows: every statement of one variant in written order, with its heads, branches, rounds and stops."""

from __future__ import annotations

from procforge.model.procedure import AnyWork, Ask, Call, Check, Group, Hold, Hole, Mark, Measure, Repeat, Step, When
from procforge.model.tree import walk
from procforge.sheet import standing
from procforge.sheet.english import ended, joined, nb, upper_first
from procforge.sheet.fields import entry, in_round, initials, otherwise, signing, tick
from procforge.sheet.inline import BlankKind, Run
from procforge.sheet.job import Done, Job
from procforge.sheet.marks import marked
from procforge.sheet.numbering import numbers
from procforge.sheet.pictures import missing
from procforge.sheet.records import Place, check_row, measure_row, step_result, step_rows
from procforge.sheet.rows import (
    Arm,
    DecisionHead,
    GroupHead,
    GroupKind,
    HoldBar,
    HoldKind,
    RoundHead,
    Row,
    StepRow,
    WhereWeAre,
)
from procforge.sheet.sentences import check_name
from procforge.sheet.short import short

#: Rounds of a repeat that are printed; further ones go on a further copy.
MOST_ROUNDS = 5
_KINDS = {"hold": HoldKind.HOLD, "witness": HoldKind.WITNESS, "review": HoldKind.REVIEW}


class Work:
    """Makes rows; `pages` are the where-we-are pages of the stopping places met, for the end of the sheet."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.rows: list[Row] = []
        self.pages: list[WhereWeAre] = []
        self.numbers = numbers(job.procedure, None if job.review else job.variant)
        self._standing = standing.standings(job) if _stops(job) else {}
        self._rounds: tuple[int, ...] = ()
        self._because: tuple[str, ...] = ()

    # ---- keys and numbers --------------------------------------------------------------------
    def key(self, ident: str) -> str:
        """The key of a statement in the round at hand."""
        return in_round(ident, self._rounds)

    def number(self, work: AnyWork) -> str:
        """The printed number; `/2` in the second round."""
        known = self.numbers.get(work.id, "")
        return known + "".join(f"/{n}" for n in self._rounds if n > 1) if known else ""

    def unnamed(self, form: str, group: Group) -> str:
        """A key for a block that has no identity of its own: that of the first statement in it."""
        first = next((w.id for lane in group.lanes for w in walk(lane) if w.id), form)
        return self.key(f"{form}.{first}")

    # ---- sequences ---------------------------------------------------------------------------
    def body(self, works: tuple[AnyWork, ...], level: int) -> None:
        """Statements one after the other."""
        for work in works:
            if self.job.applies(work):
                self.one(work, level)

    def one(self, work: AnyWork, level: int) -> None:
        """One statement."""
        if work.id:
            self.job.done.append(Done(work, self.number(work), self.key(work.id), "; ".join(self._because)))
        match work:
            case Step() | Check() | Measure():
                self._doing(work, level)
            case Hold():
                self._hold(work, level)
            case Ask():
                self._ask(work, level)
            case When():
                self._when(work, level)
            case Repeat():
                self._repeat(work, level)
            case Group():
                self._group(work, level)
            case Call():
                self._call(work, level)
            case Mark():
                made = marked(
                    self.job, work, Place(self.number(work), self.key(work.id), level), self._standing.get(id(work))
                )
                self.rows.append(made.row)
                self.pages += [made.page] if made.page else []
            case Hole():
                self.rows.append(StepRow("", (f"A line that could not be read: {work.where.text}",), level=level))

    def _doing(self, work: Step | Check | Measure, level: int) -> None:
        place = Place(self.number(work), self.key(work.id), level)
        if isinstance(work, Check):
            made = [check_row(self.job, work, place)]
        elif isinstance(work, Measure):
            made = [measure_row(self.job, work, place)]
        else:
            made = step_rows(self.job, work, place)
            for row in made:
                step_result(self.job, work, row)
            self.job.unlocked = (self.job.unlocked or work.verb == "unlock") and work.verb != "lock"
            self.job.shut_down |= work.verb in ("shut-down", "isolate")
        self.rows += made
        self.rows += [StepRow("", (text,), level=level) for text in missing(work.figures)]

    # ---- holds -------------------------------------------------------------------------------
    def _hold(self, hold: Hold, level: int) -> None:
        job, key, number = self.job, self.key(hold.id), self.number(hold)
        self.rows += job.panels(hold.meets, number)
        criterion: list[str | Run] = [ended(job.names.said(hold.criterion))]
        seen = joined([job.names.the(ref.name) for ref in hold.sees])
        words = f"{ended(hold.text)} {job.labels.to_be_seen.format(things=seen)}" if seen else ended(hold.text)
        words += "".join(f" {line}" for line in hold.prose)
        words = job.names.said(words)
        others = job.last_initials
        role = job.names.role(hold.role) or job.labels.second_person
        kind = _KINDS.get(hold.point, HoldKind.HOLD)
        who = role if kind is HoldKind.REVIEW else job.labels.not_doer.format(role=role)
        self.rows.append(
            HoldBar(
                number,
                words,
                who,
                tuple(criterion) if hold.criterion else "",
                kind,
                signing(key, role=hold.role, other_than=others, labels=job.labels),
                key,
                level,
                key,
            )
        )

    # ---- decisions ---------------------------------------------------------------------------
    def _ask(self, ask: Ask, level: int) -> None:
        key, number = self.key(ask.id), self.number(ask)
        self.rows += self.job.panels(ask.meets, number)
        by = f" {self.job.labels.by}: {self.job.names.role(ask.role)}." if ask.role else ""
        self.rows.append(
            DecisionHead(key, self.job.names.said(" ".join((ask.text, *ask.prose))) + by, number, level, key)
        )
        order = ("no", "yes") if ask.answered[:1] == ("no",) else ("yes", "no")
        bodies = {"yes": ask.yes, "no": ask.no}
        for answer in sorted(order, key=lambda one: self._holds(bodies[one])):
            self.rows.append(
                Arm(
                    key,
                    getattr(self.job.labels, answer).upper(),
                    self._way(nb(self.job.labels.at_step.format(number=number)) if number else "", bodies[answer]),
                    tick=tick(key, answer, label=getattr(self.job.labels, answer).capitalize()),
                    key=f"{key}/{answer}",
                    level=level,
                )
            )
            self._under(bodies[answer], level, f"{number}: {answer}")

    def _way(self, where: str, works: tuple[AnyWork, ...]) -> str:
        """Which result a way belongs to, and that its work stands below it where it has any."""
        return " ".join(
            filter(None, (f"{where}:" if where else "", self.job.labels.below if self._holds(works) else ""))
        )

    def _holds(self, works: tuple[AnyWork, ...]) -> bool:
        """Whether a way has rows. One that has none is printed first: who may pass on need not leaf over the other."""
        return any(self.job.applies(work) for work in works)

    def _when(self, when: When, level: int) -> None:
        ways = ((when.accepted, when.body, ""), (not when.accepted, when.otherwise, ""))
        self._verdicts(when.check, self.key(when.id), level, ways)

    def _verdicts(
        self, check: str, key: str, level: int, ways: tuple[tuple[bool, tuple[AnyWork, ...], str], ...]
    ) -> None:
        """A decision on a result that stands written; a way has the outcome, its work, or words on where it goes."""
        result = self.job.results.get(check)
        labels = self.job.labels
        judged = result is None or result.judged
        keys = ("accepted", "rejected") if judged else ("passed", "failed")
        words = (labels.accepted, labels.rejected) if judged else (labels.passed, labels.failed)
        where = f" {nb(labels.at_step.format(number=result.number))}" if result else ""
        what = f", {result.words}" if result and result.words else ""
        made = next((w for w in walk(self.job.procedure.body) if isinstance(w, Check) and w.result == check), None)
        named = labels.result_of.format(check=f"the {check_name(made)}") if made else labels.result
        self.rows.append(DecisionHead(key, f"{named}{where}{what}", "", level, key))
        for good, works, goes in sorted(ways, key=lambda way: self._holds(way[1])):
            word, ident = (words[0], keys[0]) if good else (words[1], keys[1])
            opens = ((result.verdict.id, word),) if result else ()
            box = tick(key, ident, label=word.capitalize())
            self.rows.append(
                Arm(key, word.upper(), self._way(where.strip(), works), goes, box, opens, f"{key}/{ident}", level)
            )
            self._under(works, level, f"{word} at {result.number.partition('/')[0] if result else check}")

    def _under(self, works: tuple[AnyWork, ...], level: int, because: str) -> None:
        before = self._because
        self._because = (*before, because)
        # What one answer tells does not hold on the other way.
        unlocked, shut_down = self.job.unlocked, self.job.shut_down
        self.body(works, level + 1)
        self.job.unlocked, self.job.shut_down = unlocked, shut_down
        self._because = before

    def _repeat(self, repeat: Repeat, level: int) -> None:
        key = self.key(repeat.id)
        most = max(repeat.times, 1)
        printed = min(most, MOST_ROUNDS)
        outer = self._rounds
        labels = self.job.labels
        texts = (labels.round_first, labels.round_again)
        for turn in range(1, printed + 1):
            self.rows.append(RoundHead(key, turn, most, texts[turn > 1], level))
            self._rounds = (*outer, turn)
            self.body(repeat.body, level + 1)
            end = self.key(f"{repeat.id}.end")
            works: tuple[AnyWork, ...] = ()
            again = (labels.next_round if turn < printed else labels.further_copy).format(number=turn + 1)
            if turn == most:
                works = repeat.otherwise or ()
                again = "" if works else labels.tell
                self._rounds = outer  # what follows the last rejection is done once, whatever the bound
            self._verdicts(repeat.check, end, level + 1, ((True, (), ""), (False, works, again)))
        self._rounds = outer
        if printed < most and repeat.otherwise:
            last = f"{key}.last"  # an arm, so that no other way leads into it
            box = tick(last, "rejected", label=labels.rejected.capitalize())
            self.rows.append(
                Arm(
                    last,
                    labels.rejected.upper(),
                    labels.in_round.format(number=most),
                    tick=box,
                    key=f"{last}/rejected",
                    level=level,
                )
            )
            self._under(repeat.otherwise, level, f"round {most} rejected")

    # ---- groups ------------------------------------------------------------------------------
    def _group(self, group: Group, level: int) -> None:
        text, labels = " ".join(group.prose), self.job.labels
        lanes = [lane for lane in group.lanes if any(self.job.applies(w) for w in lane)]
        match group.form:
            case "any-order":
                self._heads(
                    GroupKind.ANY_ORDER,
                    f"{labels.any_order_says.format(number=len(lanes))} {text}".strip(),
                    lanes,
                    level,
                )
            case "together":
                self.rows.append(
                    GroupHead(
                        GroupKind.TOGETHER,
                        f"{labels.together_says.format(number=len(lanes))} {text}".strip(),
                        level,
                    )
                )
                for at, lane in enumerate(lanes):
                    self.rows.append(
                        GroupHead(
                            GroupKind.LANE,
                            f"{labels.lane.format(letter=chr(ord('A') + at))}{self._people(lane)}",
                            level + 1,
                        )
                    )
                    self.body(lane, level + 2)
            case "either":
                self._either(group, level, text)
            case "called":
                self._heads(
                    GroupKind.PLAIN,
                    f"{group.title or upper_first(group.name.replace('-', ' '))}. {text}".strip(),
                    lanes,
                    level,
                )
            case "each":
                self._heads(
                    GroupKind.PLAIN,
                    f"{labels.for_each.format(item=self.job.names.the(group.title, tag=False))} {text}".strip(),
                    lanes,
                    level,
                )
            case "bench":
                units = joined([self.job.names.the(n, tag=False) for n in group.places])
                self._heads(
                    GroupKind.PLAIN, f"{labels.bench}{f', {units}' if units else ''}. {text}".strip(), lanes, level
                )
            case "lend-back":
                title = f" {ended(group.title)}" if group.title else ""
                self._heads(GroupKind.PLAIN, f"{labels.lend_back}{title} {text}".strip(), lanes, level)
            case _:  # only for: the sheet is for one variant
                for lane in lanes:
                    self.body(lane, level)

    def _heads(self, kind: GroupKind, text: str, lanes: list[tuple[AnyWork, ...]], level: int) -> None:
        if lanes:
            self.rows.append(GroupHead(kind, text, level))
            for lane in lanes:
                self.body(lane, level + 1)

    def _people(self, lane: tuple[AnyWork, ...]) -> str:
        roles = dict.fromkeys(getattr(w, "role", "") for w in walk(lane) if self.job.applies(w))
        words = [self.job.names.role(r) for r in roles if r]
        return f": {joined(words)}" if words else ""

    def _either(self, group: Group, level: int, text: str) -> None:
        key = self.unnamed("either", group)
        labels = self.job.labels
        chooser = labels.who_chooses.format(role=self.job.names.role(group.role)) if group.role else labels.choose_one
        words = f"{labels.one_way_of.format(number=len(group.lanes))} {chooser} {text}".strip()
        self.rows.append(DecisionHead(key, words, "", level, key))
        for at, lane in enumerate(group.lanes):
            name = chr(ord("A") + at)
            first = next((short(w, self.job.names) for w in walk(lane) if w.id and self.job.applies(w)), "")
            self.rows.append(
                Arm(
                    key,
                    labels.way.format(letter=name).upper(),
                    first,
                    tick=tick(key, name, label=labels.way.format(letter=name)),
                    key=f"{key}/{name}",
                    level=level,
                )
            )
            self._under(lane, level, f"way {name}")

    def _call(self, call: Call, level: int) -> None:
        callee = self.job.procedure.callees.get(call.file)
        key, number = self.key(call.id), self.number(call)
        named = f"{callee.number}, “{callee.title}”" if callee and callee.number else call.file
        revision = f" {self.job.labels.revision} {callee.revision}." if callee and callee.revision else ""
        labels = self.job.labels
        self.rows.append(
            StepRow(
                number, (labels.do_procedure.format(name=named), labels.come_back_here), key, short(call, self.job.names), (*([revision.strip()] if revision else ()), *call.prose),
                tick=tick(key), initials=initials(key), otherwise=otherwise(key, labels), level=level, anchor=key,
                blanks=(entry(key, "record", BlankKind.NUMBER, labels.record_number), entry(key, "revision", BlankKind.TEXT, labels.revision_used)),
            )
        )  # fmt: skip


def _stops(job: Job) -> bool:
    return any(isinstance(w, Mark) and w.form in ("stop", "may-stop", "handover") for w in walk(job.procedure.body))
