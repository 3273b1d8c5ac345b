"""Where the job stands: terms, and the moves a term allows.

A term is None (done), `("do", instruction, rest)`, `("round", repeat, n, rest)`, `("par", lanes, rest)` or
`("any", running, waiting, rest)`. Terms are numbered, so that states stay small and moves are found once.
"""

from __future__ import annotations

from typing import Any, NamedTuple
from weakref import WeakKeyDictionary

from simulator.program import Body, Choice, Demand, Halt, Instruction, Lanes, Micro, Outcome, Read, Repeat, flat

Term = Any
HALTED: Term = ("halted",)


class Move(NamedTuple):
    """One small step: what is done, what a last result must be for it, which result it gives, and what follows."""

    cost: int
    doing: Micro | Halt | Demand | None
    after: Term
    guard: tuple[str, bool] | None = None
    gives: tuple[str, bool] | None = None
    effects: tuple[tuple[str, bool], ...] = ()
    event: tuple[str, ...] = ()


def push(body: Body, rest: Term) -> Term:
    """The term that runs a body, then the rest."""
    for one in reversed(body):
        rest = ("do", one, rest)
    return rest


def settled(term: Term) -> Term:
    """The same place with blocks opened and those that are done left behind."""
    while term is not None:
        if term[0] == "par" and all(lane is None for lane in term[1]):
            term = settled(term[2])
        elif term[0] == "any" and term[1] is None and not term[2]:
            term = settled(term[3])
        elif term[0] == "do" and isinstance(term[1], Repeat):
            term = push(term[1].body, ("round", term[1], 1, term[2]))
        elif term[0] == "do" and isinstance(term[1], Lanes):
            lanes = tuple(t for t in (settled(push(lane, None)) for lane in term[1].lanes) if t is not None)
            term = ("par", lanes, term[2]) if term[1].together else ("any", None, lanes, term[2])
        else:
            return term
    return None


def moves(term: Term) -> list[Move]:
    """All moves from a settled term."""
    if term is None or term[0] == "halted":
        return []
    tag = term[0]
    if tag == "do":
        return _do(term[1], term[2])
    if tag == "round":
        _, repeat, n, rest = term
        again = not repeat.times or n < repeat.times
        turn = push(repeat.body, ("round", repeat, n + 1 if repeat.times else 1, rest))
        on = turn if again else push(repeat.otherwise, rest)
        return [
            Move(0, None, settled(rest), guard=(repeat.result, True)),
            Move(0, None, settled(on), guard=(repeat.result, False)),
        ]
    if tag == "par":
        _, lanes, rest = term
        found = []
        for n, lane in enumerate(lanes):
            for move in moves(lane):
                after = move.after
                if after is not HALTED:
                    after = settled(("par", (*lanes[:n], after, *lanes[n + 1 :]), rest))
                found.append(move._replace(after=after))
        return found
    _, running, waiting, rest = term
    found = []
    if running is not None:
        for move in moves(running):
            after = move.after if move.after is HALTED else settled(("any", move.after, waiting, rest))
            found.append(move._replace(after=after))
        return found
    for n, lane in enumerate(waiting):
        found += moves(settled(("any", lane, waiting[:n] + waiting[n + 1 :], rest)))
    return found


def _do(one: Instruction, rest: Term) -> list[Move]:
    match one:
        case Micro():
            return [Move(one.cost, one, settled(rest), event=("micro", *one.place))]
        case Demand():
            return [Move(0, one, settled(rest))]
        case Halt():
            return [Move(0, one, HALTED)]
        case Outcome():
            return [
                Move(
                    1,
                    None,
                    settled(rest),
                    gives=(one.result, ok),
                    effects=tuple(given),
                    event=("outcome", one.place[0], word),
                )
                for ok, given, word in ((True, one.accepted, "accepted"), (False, one.rejected, "rejected"))
            ]
        case Choice():
            return [
                Move(1, None, settled(push(body, rest)), event=("choice", one.place[0], one.place[1], label))
                for label, body in one.arms
            ]
        case Read():
            return [
                Move(0, None, settled(push(body, rest)), guard=(one.result, ok))
                for ok, body in ((True, one.accepted), (False, one.rejected))
            ]
    raise TypeError(one)


def reads(term: Term) -> frozenset[str]:
    """The results that may still be read from a term on."""
    found: set[str] = set()
    todo = [term]
    while todo:
        now = todo.pop()
        if now is None or now[0] == "halted":
            continue
        if now[0] == "do":
            found |= _read_in(now[1])
            todo.append(now[2])
        elif now[0] == "round":
            found |= _read_in(now[1])
            todo.append(now[3])
        elif now[0] == "par":
            todo += [*now[1], now[2]]
        else:
            todo += [now[1], *now[2], now[3]]
    return frozenset(found)


_known: WeakKeyDictionary[Instruction, frozenset[str]] = WeakKeyDictionary()


def _read_in(one: Instruction) -> frozenset[str]:
    """The results an instruction or one in it reads."""
    if one not in _known:
        _known[one] = frozenset(i.result for i in flat((one,)) if isinstance(i, (Read, Repeat)))
    return _known[one]
