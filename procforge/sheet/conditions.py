"""What must hold before a job and what it leaves, in sentences: the states a thing has, said of it together."""

from __future__ import annotations

from collections.abc import Iterable

from procforge.model.equipment import State
from procforge.sheet.english import joined, upper_first
from procforge.sheet.job import Job

#: What comes after `is`.
_IS = {
    "in": "in place", "locked": "locked", "set": "set for isolation", "proved": "proved", "relieved": "let down",
    "torqued": "tightened", "gas-free": "free of gas", "air-free": "free of air", "running": "running",
    "stopped": "shut down", "tested": "leak-tested", "eased": "eased", "off": "off", "fitted": "fitted",
}  # fmt: skip
#: What takes a sentence of its own: the state, and whether it is denied.
_SENTENCES = {
    ("told", False): "The people concerned have been told of the work on {it}.",
    ("told", True): "The people concerned have not been told of the work on {it}.",
    ("witnessed", False): "The zero of {it} has been witnessed.",
    ("witnessed", True): "The zero of {it} has not been witnessed.",
    ("untested", False): "{It} {has} not been leak-tested yet.",
    ("untested", True): "{It} {has} been leak-tested.",
    ("tested", True): "{It} {has} not been leak-tested yet.",
    ("gas-free", True): "{It} may hold gas.",
    ("air-free", True): "{It} may hold air.",
    ("locked", True): "The locks are off {it}.",
    ("isolated", True): "{It} {is} open to what feeds {them}.",
    ("set", True): "{It} {is} open to what feeds {them}.",
}


def conditions(job: Job, states: Iterable[State]) -> list[str]:
    """`The condensate pot is locked, let down and free of gas.`: one sentence for all that a thing is."""
    found: dict[str, list[str]] = {}
    alone: list[str] = []
    for state in states:
        it, many = job.names.the(state.name), job.names.many(state.name)
        pattern = _SENTENCES.get((state.state, state.negated))
        if pattern:
            words = {"it": it, "It": upper_first(it), "them": "them" if many else "it"}
            words |= {"is": "are", "has": "have"} if many else {"is": "is", "has": "has"}
            alone.append(pattern.format(**words))
        else:
            word = _IS.get(state.state, state.state.replace("-", " "))
            found.setdefault(state.name, []).append(f"not {word}" if state.negated else word)
    said = [
        f"{upper_first(job.names.the(n))} {'are' if job.names.many(n) else 'is'} {joined(found[n])}." for n in found
    ]
    return [*said, *alone]
