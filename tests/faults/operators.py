"""The slips, each an operator: a job in, its edited texts out. What they are is common practice, no source.

An operator says nothing of whether its texts are faulty: many are not (two notes changed round, a check doubled).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from tests.faults.job import Job, Spot

Texts = Iterator[str]
OPERATORS: dict[str, Callable[[Job], Texts]] = {}
OPPOSITE = {"isolate": "return", "return": "isolate", "open": "shut", "shut": "open", "lock": "unlock", "unlock": "lock",
            "fit": "remove", "remove": "fit", "connect": "disconnect", "disconnect": "connect", "ease": "tighten",
            "tighten": "ease", "relieve": "tension", "tension": "relieve", "pressurise": "let-down", "let-down": "pressurise"}  # fmt: skip
NAMES = re.compile(r"^(\s*step \S+ )([\w-]+(?: of [\w-]+)?(?: new)?(?:, [\w-]+(?: of [\w-]+)?(?: new)?)*)(.*)$")


def operator(name: str) -> Callable[[Callable[[Job], Texts]], Callable[[Job], Texts]]:
    """Enters an operator under its name in the table."""

    def enter(function: Callable[[Job], Texts]) -> Callable[[Job], Texts]:
        OPERATORS[name] = function
        return function

    return enter


def objects(job: Job, spot: Spot) -> tuple[str, list[str], str]:
    """A step's line before its objects, the objects, and the rest; no objects if it has none."""
    found = NAMES.match(job.head(spot)) if '"' not in job.head(spot) else None
    return (found[1], found[2].split(", "), found[3]) if found else ("", [], "")


def again(job: Job, spot: Spot, names: list[str]) -> str:
    """The step's line with other objects."""
    front, _, rest = objects(job, spot)
    return front + ", ".join(names) + rest


# ---- whole statements --------------------------------------------------------------------------------
@operator("step left out")
def _drop(job: Job) -> Texts:
    for s in job.steps():
        yield job.without(s.first, s.last)


@operator("check left out")
def _drop_check(job: Job) -> Texts:
    for s in job.of("check", "measure", "readings"):
        yield job.without(s.first, s.last)


@operator("check left out with what reads it")
def _drop_judgement(job: Job) -> Texts:
    for s in job.of("check"):
        name = job.head(s).split()[1]
        yield job.without_all([s, *(b for b in s.beside if re.match(rf"\s*when {re.escape(name)} ", job.head(b)))])


@operator("hold left out")
def _drop_hold(job: Job) -> Texts:
    for s in job.of("hold"):
        yield job.without(s.first, s.last)


@operator("block left out")
def _drop_block(job: Job) -> Texts:
    for s in job.of("when", "repeat", "ask", "for_each"):
        yield job.without(s.first, s.last)


@operator("neighbours changed round")
def _swap(job: Job) -> Texts:
    for s in job.spots:
        if s.place + 1 < len(s.beside):
            yield job.moved(s, s.beside[s.place + 1].last + 1)


@operator("step moved up three places")
def _earlier(job: Job) -> Texts:
    for s in job.steps():
        if s.place >= 3:
            yield job.moved(s, s.beside[s.place - 3].first)


@operator("step moved down three places")
def _later(job: Job) -> Texts:
    for s in job.steps():
        if s.place + 3 < len(s.beside):
            yield job.moved(s, s.beside[s.place + 3].last + 1)


@operator("step moved into the block after it")
def _into(job: Job) -> Texts:
    for s, block in _before_blocks(job):
        yield job.moved(s, block.arms[0][0])


@operator("step moved out of its block")
def _out(job: Job) -> Texts:
    for s in job.steps():
        if s.within is not None and s.within.item.form in ("when", "ask", "repeat", "only_for"):
            yield job.moved(s, s.within.last + 1)


@operator("step done twice")
def _twice(job: Job) -> Texts:
    for s in job.steps():
        yield job.doubled(s, s.last + 1)


@operator("step done again later")
def _again_later(job: Job) -> Texts:
    for s in job.steps():
        if s.place + 4 < len(s.beside):
            yield job.doubled(s, s.beside[s.place + 4].first)


# ---- objects -----------------------------------------------------------------------------------------
@operator("object left out of a list")
def _object_off(job: Job) -> Texts:
    for s in job.steps():
        _, names, _ = objects(job, s)
        for n in range(len(names) if len(names) > 1 else 0):
            yield job.with_line(s.first, again(job, s, names[:n] + names[n + 1 :]))


@operator("list the other way round")
def _reversed(job: Job) -> Texts:
    for s in job.steps():
        _, names, _ = objects(job, s)
        if len(names) > 1:
            yield job.with_line(s.first, again(job, s, names[::-1]))


@operator("one for another of the verb's objects")
def _mistaken(job: Job) -> Texts:
    """An object in place of which one stands that another step with the same verb handles."""
    for s in job.steps():
        verb, (_, names, _) = job.head(s).split()[1], objects(job, s)
        others = [o for t in job.steps(verb) if t is not s for o in objects(job, t)[1]]
        for n in range(len(names)):
            for other in list(dict.fromkeys(o for o in others if o not in names))[:2]:
                yield job.with_line(s.first, again(job, s, [*names[:n], other, *names[n + 1 :]]))


@operator("old for new")
def _old(job: Job) -> Texts:
    for s in job.steps():
        if re.search(r" new\b", job.head(s)):
            yield job.with_line(s.first, re.sub(r" new\b", "", job.head(s), count=1))


@operator("fitted instead of renewed")
def _refitted(job: Job) -> Texts:
    for s in job.steps("renew", "exchange"):
        yield job.with_line(s.first, re.sub(r"step (renew|exchange)", "step fit", job.head(s)))


@operator("opposite verb")
def _opposite(job: Job) -> Texts:
    for s in job.steps(*OPPOSITE):
        verb = job.head(s).split()[1]
        yield job.with_line(s.first, job.head(s).replace(f"step {verb}", f"step {OPPOSITE[verb]}", 1))


# ---- isolation and proof -----------------------------------------------------------------------------
@operator("device left out of the isolation")
def _isolation(job: Job) -> Texts:
    """One device neither isolated, locked, unlocked nor returned anywhere."""
    handled = ("isolate", "lock", "unlock", "return", "open", "shut", "switch-off", "switch-on")
    devices = {o for s in job.steps("lock") for o in objects(job, s)[1]}
    for device in sorted(devices):
        yield from _gone(job, device, handled)


@operator("lock left out")
def _lock(job: Job) -> Texts:
    """One device set, but neither locked nor unlocked."""
    for device in sorted({o for s in job.steps("lock") for o in objects(job, s)[1]}):
        yield from _gone(job, device, ("lock", "unlock"))


@operator("spade, pin or blind left out")
def _temporary(job: Job) -> Texts:
    """What is fitted first and removed later: left out both times."""
    first: dict[str, str] = {}
    for s in job.steps("fit", "remove", "connect", "disconnect"):
        for name in objects(job, s)[1]:
            first.setdefault(name.removesuffix(" new"), job.head(s).split()[1])
    for name in (n for n, verb in first.items() if verb in ("fit", "connect")):
        yield from _gone(job, name, ("fit", "remove", "connect", "disconnect"))


@operator("vent left out")
def _vent(job: Job) -> Texts:
    for s in job.steps("vent", "drain", "relieve", "purge"):
        _, names, _ = objects(job, s)
        for n in range(len(names)):
            rest = names[:n] + names[n + 1 :]
            yield job.with_line(s.first, again(job, s, rest)) if rest else job.without(s.first, s.last)


@operator("vent left open")
def _vent_open(job: Job) -> Texts:
    for s in job.steps("shut"):
        yield job.without(s.first, s.last)


@operator("proof before the relief")
def _proof_first(job: Job) -> Texts:
    for s in job.steps("prove", "try-start"):
        at = next(
            (
                t
                for t in s.beside
                if job.head(t).split()[:2] in (["step", "vent"], ["step", "drain"], ["step", "isolate"])
            ),
            None,
        )
        if at is not None and at.first < s.first:
            yield job.moved(s, at.first)


@operator("opening before the proof")
def _opening_first(job: Job) -> Texts:
    for proof in job.steps("prove", "try-start"):
        for s in job.steps("ease", "remove"):
            if s.first > proof.last:
                yield job.moved(s, proof.first)
                break


@operator("lock off before the joints are tight")
def _unlock_first(job: Job) -> Texts:
    for s in job.steps("unlock", "return"):
        at = next(job.steps("tighten", "fit"), None)
        if at is not None and at.first < s.first:
            yield job.moved(s, at.first)


# ---- holds -------------------------------------------------------------------------------------------
@operator("hold moved on")
def _hold_later(job: Job) -> Texts:
    for s in job.of("hold"):
        for after in s.beside[s.place + 1 : s.place + 6]:
            yield job.moved(s, after.last + 1)


@operator("hold moved up")
def _hold_earlier(job: Job) -> Texts:
    for s in job.of("hold"):
        for before in s.beside[max(0, s.place - 5) : s.place]:
            yield job.moved(s, before.first)


@operator("hold sees less")
def _hold_blind(job: Job) -> Texts:
    for s in job.of("hold"):
        for n in range(s.first + 1, s.last + 1):
            if job.lines[n].strip().startswith("sees ") and ", " in job.lines[n]:
                front, _, rest = job.lines[n].partition("sees ")
                yield job.with_line(n, f"{front}sees {rest.split(', ', 1)[1]}")


@operator("hold released by another role")
def _role(job: Job) -> Texts:
    roles = list(dict.fromkeys(re.findall(r"^crew .*", job.text, re.M)))
    names = re.findall(r"\d+ ([\w-]+)", roles[0]) if roles else []
    for s in job.of("hold"):
        own = re.search(r" by ([\w-]+)", job.head(s))
        for other in names:
            if own and other != own[1]:
                yield job.with_line(s.first, job.head(s).replace(f" by {own[1]}", f" by {other}"))


# ---- branches and rounds -----------------------------------------------------------------------------
@operator("branch emptied")
def _empty(job: Job) -> Texts:
    for s in job.of("when", "ask", "repeat"):
        for first, last in s.arms:
            if last >= first:
                yield job.without(first, last)


@operator("branch on the other outcome")
def _turned(job: Job) -> Texts:
    for s in job.of("when"):
        line = job.head(s)
        for old, new in (
            ("rejected", "accepted"),
            ("accepted", "rejected"),
            ("failed", "passed"),
            ("passed", "failed"),
        ):
            if f" {old}" in line:
                yield job.with_line(s.first, line.replace(f" {old}", f" {new}"))
                break


@operator("bound of the rounds left out")
def _bound(job: Job) -> Texts:
    for s in job.of("repeat"):
        if ", at most" in job.head(s):
            yield job.with_line(s.first, re.sub(r", at most \d+ times", "", job.head(s)))


@operator("way out of the rounds left out")
def _way_out(job: Job) -> Texts:
    for s in job.of("repeat"):
        if len(s.arms) > 1:
            yield job.without(s.arms[1][0] - 1, s.arms[1][1])


@operator("rounds done once")
def _once(job: Job) -> Texts:
    """The repeat's first and last line taken out, its way out with them."""
    for s in job.of("repeat"):
        edits = {s.first: "", s.last: ""}
        if len(s.arms) > 1:
            edits |= dict.fromkeys(range(s.arms[1][0] - 1, s.arms[1][1] + 1), "")
        yield job.changed(edits)


@operator("done on one way only")
def _asked(job: Job) -> Texts:
    for s in job.steps():
        block = ['ask "Is it needed?"', "yes", *job.lines[s.first : s.last + 1], "no", "end"]
        yield "\n".join([*job.lines[1 : s.first], *block, *job.lines[s.last + 1 :]])


@operator("order given up")
def _any_order(job: Job) -> Texts:
    for a, b in _pairs(job):
        yield "\n".join(
            [*job.lines[1 : a.first], "any order", *job.lines[a.first : b.last + 1], "end", *job.lines[b.last + 1 :]]
        )


@operator("done by two at once")
def _at_once(job: Job) -> Texts:
    for a, b in _pairs(job):
        inner = ["together", *job.lines[a.first : a.last + 1], "also", *job.lines[b.first : b.last + 1], "end"]
        yield "\n".join([*job.lines[1 : a.first], *inner, *job.lines[b.last + 1 :]])


@operator("handover put in")
def _handover(job: Job) -> Texts:
    for s in job.steps():
        yield job.put(s.first, "handover")


@operator("stop put in")
def _stop(job: Job) -> Texts:
    for s in job.steps():
        block = ['ask "Can the work go on?"', "yes", "no", "stop here", "end"]
        yield job.put(s.first, *block)


# ---- variants, places, values ------------------------------------------------------------------------
@operator("limited to some variants")
def _scoped(job: Job) -> Texts:
    """A step given the scope that another step has."""
    scopes = list(dict.fromkeys(re.findall(r" only for ([\w-]+)", job.text)))
    for s in job.steps():
        for scope in scopes[:1] if " only for " not in job.head(s) and '"' not in job.head(s) else ():
            yield job.with_line(s.first, f"{job.head(s)} only for {scope}")


@operator("scope left out")
def _unscoped(job: Job) -> Texts:
    for s in job.spots:
        if " only for " in job.head(s) and s.item.form in ("step", "check", "measure", "hold"):
            yield job.with_line(s.first, re.sub(r" only for [\w-]+(, [\w-]+)*", "", job.head(s)))


@operator("wrong model or service")
def _wrong_scope(job: Job) -> Texts:
    scopes = list(dict.fromkeys(re.findall(r" only for ([\w-]+)", job.text)))
    for s in job.spots:
        own = re.search(r" only for ([\w-]+)", job.head(s))
        for other in [o for o in scopes if own and o != own[1]]:
            yield job.with_line(
                s.first, job.head(s).replace(f" only for {own[1]}", f" only for {other}") if own else ""
            )


@operator("wrong place")
def _place(job: Job) -> Texts:
    places = list(dict.fromkeys(re.findall(r" of ([\w-]+)", "\n".join(job.head(s) for s in job.steps()))))
    for s in job.steps():
        own = re.search(r" of ([\w-]+)", job.head(s)) if '"' not in job.head(s) else None
        for other in [p for p in places if own and p != own[1]]:
            yield job.with_line(s.first, job.head(s).replace(f" of {own[1]}", f" of {other}", 1) if own else "")


@operator("wrong gauge")
def _gauge(job: Job) -> Texts:
    gauges = list(dict.fromkeys(re.findall(r" at ([\w-]+)", "\n".join(job.head(s) for s in job.steps("prove")))))
    for s in job.steps("prove"):
        own = re.search(r" at ([\w-]+)", job.head(s))
        for other in [g for g in gauges if own and g != own[1]]:
            yield job.with_line(s.first, job.head(s).replace(f" at {own[1]}", f" at {other}") if own else "")


# ---- helpers -----------------------------------------------------------------------------------------
def _gone(job: Job, name: str, verbs: tuple[str, ...]) -> Texts:
    """Every step with one of the verbs without the name."""
    edits: dict[int, str] = {}
    for s in job.steps(*verbs):
        _, names, _ = objects(job, s)
        rest = [n for n in names if n.removesuffix(" new") != name]
        if rest and len(rest) < len(names):
            edits[s.first] = again(job, s, rest)
        elif names and not rest:
            edits |= dict.fromkeys(range(s.first, s.last + 1), "")
    if edits:
        yield job.changed(edits)


def _pairs(job: Job) -> Iterator[tuple[Spot, Spot]]:
    """Steps with the step right after them in the same body."""
    for s in job.steps():
        if s.place + 1 < len(s.beside) and s.beside[s.place + 1].item.form == "step":
            yield s, s.beside[s.place + 1]


def _before_blocks(job: Job) -> Iterator[tuple[Spot, Spot]]:
    for s in job.steps():
        for after in s.beside[s.place + 1 : s.place + 2]:
            if after.item.form in ("when", "ask") and after.arms and after.arms[0][1] >= after.arms[0][0]:
                yield s, after
