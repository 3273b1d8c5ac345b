"""One forward pass over all facts at once, check results ignored: what comes out clean is proved.

Two ints a node: which bits may be 1, which may be 0. Ignoring how check results hang together misses
nothing; it can only raise suspicions, which the exact search settles.

The first pass has one bit a fact. Where a need fails its rule goes on as if it had been met and the others do
not, so the facts under suspicion get a bit for each rule in a second pass; a fact that no need finds wrong is
seen alike by all rules and needs none.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

from procforge.analysis.micro import Micro, Must
from procforge.analysis.program import Kind, Node, Program
from procforge.analysis.states import Literal

#: May be 1, may be 0; None where no path comes.
Pair = tuple[int, int]


@dataclass(slots=True)
class Compiled:
    """A micro-step as masks: bits that must be 1 and 0, bits it sets to 1 and 0, bits it leaves unknown."""

    need1: int = 0
    need0: int = 0
    set1: int = 0
    set0: int = 0
    unknown: int = 0
    either: int = 0
    keep1: int = -1
    keep0: int = -1
    plain: bool = True
    wide: tuple[tuple[Must, tuple[tuple[int, int], ...]], ...] = ()


@dataclass(slots=True)
class Bits:
    """Numbers the bits and compiles micro-steps to masks: one a fact if `shared`, else one for each rule and fact.

    `only` limits the bits to some facts.
    """

    shared: bool = False
    only: frozenset[str] | None = None
    index: dict[tuple[str, str], int] = field(default_factory=dict)
    of_fact: dict[str, int] = field(default_factory=dict)
    pairs: list[tuple[str, str]] = field(default_factory=list)
    memo: dict[int, Compiled] = field(default_factory=dict)
    _kept: list[Micro] = field(default_factory=list)
    _seen: set[int] = field(default_factory=set)

    def learn(self, program: Program) -> None:
        """Give every (rule, fact) that a need joins a bit; programs may follow one another."""
        known, seen = len(self.pairs), self._seen
        for node in program.nodes:
            micro = node.micro
            if micro is None or id(micro) in seen:
                continue
            seen.add(id(micro))
            self._kept.append(micro)
            for must in micro.needs:
                for way in must.formula:
                    for fact, _ in way:
                        if self.only is None or fact in self.only:
                            self._bit(must.rule, fact)
        if len(self.pairs) > known:  # what was compiled before knows nothing of the new bits
            self.memo.clear()

    def _bit(self, rule: str, fact: str) -> int:
        key = ("" if self.shared else rule, fact)
        number = self.index.get(key)
        if number is None:
            number = self.index[key] = len(self.pairs)
            self.pairs.append(key)
            self.of_fact[fact] = self.of_fact.get(fact, 0) | 1 << number
        return number

    def masks(self, literals: tuple[Literal, ...]) -> tuple[int, int]:
        """All rules' bits of the facts that become true, and of those that become false; the last word counts."""
        ones = zeros = 0
        of_fact = self.of_fact
        for fact, value in literals:
            bits = of_fact.get(fact, 0)
            if value:
                ones |= bits
                zeros &= ~bits
            else:
                zeros |= bits
                ones &= ~bits
        return ones, zeros

    def compiled(self, micro: Micro) -> Compiled:
        """The masks of a micro-step, made once."""
        made = self.memo.get(id(micro))
        if made is None:
            made = self.memo[id(micro)] = self._compile(micro)
            self._kept.append(micro)
        return made

    def _compile(self, micro: Micro) -> Compiled:
        made = Compiled()
        wide = []
        for must in micro.needs:
            if self.only is not None and any(f not in self.only for way in must.formula for f, _ in way):
                continue
            if len(must.formula) == 1 and len(must.formula[0]) == 1:
                fact, value = must.formula[0][0]
                bit = 1 << self._bit(must.rule, fact)
                if value:
                    made.need1 |= bit
                else:
                    made.need0 |= bit
            else:
                ways = []
                for way in must.formula:
                    ones = zeros = 0
                    for fact, value in way:
                        bit = 1 << self._bit(must.rule, fact)
                        ones, zeros = (ones | bit, zeros) if value else (ones, zeros | bit)
                    ways.append((ones, zeros))
                wide.append((must, tuple(ways)))
        made.wide = tuple(wide)
        made.set1, made.set0 = self.masks(micro.effects)
        for fact in micro.unknown:
            made.unknown |= self.of_fact.get(fact, 0)
        for fact in micro.either:
            made.either |= self.of_fact.get(fact, 0)
        made.keep1, made.keep0 = ~made.set0, ~made.set1
        made.plain = not (made.wide or made.unknown or made.either)
        return made

    def start(self, program: Program) -> Pair:
        """The bits at the start of the job."""
        ones = zeros = 0
        for fact, bits in self.of_fact.items():
            if program.start.get(fact, False):
                ones |= bits
            else:
                zeros |= bits
        return ones, zeros


@dataclass(slots=True)
class Suspicions:
    """What the pass could not clear: single bits, and wide formulas as (rule, facts)."""

    bits: int = 0
    wide: dict[tuple[str, frozenset[str]], None] = field(default_factory=dict)
    reached: bytearray = field(default_factory=bytearray)
    work: int = 0


class Pass:
    """The forward pass; `run` gives the suspicions."""

    def __init__(self, program: Program, bits: Bits) -> None:
        self.program = program
        self.bits = bits
        self.found = Suspicions(reached=bytearray(len(program.nodes)))
        self._outcomes: dict[int, tuple[tuple[int, int], tuple[int, int]]] = {}

    def run(self) -> Suspicions:
        """Pass over the whole program."""
        self._range(0, len(self.program.nodes), self.bits.start(self.program), (0, 0), True)
        return self.found

    def _range(self, first: int, beyond: int, entry: Pair, noise: Pair, report: bool) -> Pair | None:
        """Nodes first..beyond-1 entered with `entry`; the state of a lane's end, if these nodes are a lane.

        `noise` are bits that lanes beside this one may write between any two of its micro-steps. The state is
        carried along straight runs and kept only where paths join.
        """
        nodes = self.program.nodes
        compiled = self.bits.compiled
        memo = self.bits.memo
        found = self.found
        reached = found.reached
        kept: dict[int, Pair] = {}
        exit_: Pair | None = None
        shared = self.bits.shared
        noise1, noise0 = noise
        noisy = bool(noise1 | noise0)
        here = True
        m1, m0 = entry
        i = first
        while i < beyond:
            if i in kept:
                joined = kept[i]
                m1, m0 = (m1 | joined[0], m0 | joined[1]) if here else joined
                kept[i] = (m1, m0)
                here = True
            elif not here:
                i += 1
                continue
            node = nodes[i]
            if report:
                reached[i] = 1
            micro = node.micro
            if micro is not None:
                c = memo.get(id(micro)) or compiled(micro)
                bad = m0 & c.need1 | m1 & c.need0
                if bad:
                    if report:
                        found.bits |= bad
                    if not shared:
                        back1, back0 = m0 & c.need1, m1 & c.need0
                        m1, m0 = (m1 & ~c.need0) | back1, (m0 & ~c.need1) | back0
                if c.plain:
                    m1, m0 = m1 & c.keep1 | c.set1, m0 & c.keep0 | c.set0
                else:
                    if c.wide:
                        m1, m0 = self._wide(c, m1, m0, report)
                    m1, m0 = m1 & c.keep1 | c.set1, m0 & c.keep0 | c.set0
                    m1, m0 = m1 & ~c.unknown | c.either, m0 & ~c.unknown | c.either
                if noisy:
                    m1, m0 = m1 | noise1, m0 | noise0
            kind = node.kind
            if kind == 0:  # OP: the plain case, kept out of the enum for speed
                target = node.nexts[0]
                i += 1
                if target != i:
                    self._keep(kept, target, m1, m0)
                    here = False
                continue
            here = False
            if kind == Kind.LANE:
                exit_ = (m1, m0) if exit_ is None else (exit_[0] | m1, exit_[1] | m0)
                i += 1
                continue
            if kind == Kind.FORK:
                joined_ = self._fork(node, (m1, m0), noise, report)
                if joined_ is not None:
                    self._keep(kept, node.nexts[0], joined_[0], joined_[1])
                i = node.nexts[0]
                continue
            back = i + 1
            for position, target in enumerate(node.nexts):
                t1, t0 = m1, m0
                if kind == Kind.RESULT:
                    s1, s0 = self._outcome(i, node)[position]
                    t1, t0 = (t1 & ~s0) | s1 | noise1, (t0 & ~s1) | s0 | noise0
                if kind == Kind.ROUND and node.bound == 1 and position == 0:
                    continue
                if self._keep(kept, target, t1, t0) and target <= i:
                    back = min(back, target)
            i = back
        return exit_

    @staticmethod
    def _keep(kept: dict[int, Pair], target: int, m1: int, m0: int) -> bool:
        """Join a state into the one kept for a node; whether that made it larger."""
        known = kept.get(target)
        if known is None:
            kept[target] = (m1, m0)
            return True
        if m1 & ~known[0] or m0 & ~known[1]:
            kept[target] = (known[0] | m1, known[1] | m0)
            return True
        return False

    def _outcome(self, index: int, node: Node) -> tuple[Pair, Pair]:
        made = self._outcomes.get(index)
        if made is None:
            made = self._outcomes[index] = (self.bits.masks(node.accepted), self.bits.masks(node.rejected))
        return made

    def _wide(self, c: Compiled, m1: int, m0: int, report: bool) -> Pair:
        """Formulas of several literals: suspicious unless one way surely holds."""
        for must, ways in c.wide:
            if not any(not (m0 & o) and not (m1 & z) for o, z in ways):
                if report:
                    self.found.wide[must.rule, frozenset(f for way in must.formula for f, _ in way)] = None
                if ways and not self.bits.shared:
                    o, z = ways[0]
                    known = m1 | m0
                    m1 |= o & known
                    m0 |= z & known
        return m1, m0

    def _fork(self, node: Node, entry: Pair, noise: Pair, report: bool) -> Pair | None:
        """Lanes: before one of them a fact has its entry value or any that the others leave (together: ever write)."""
        bounds = [*node.lanes, node.nexts[0]]
        spans = list(pairwise(bounds))
        every = (1 << len(self.bits.pairs)) - 1
        writes = [self._written(start, stop) for start, stop in spans]
        leaves: list[Pair] = []
        for (start, stop), written in zip(spans, writes, strict=True):
            quiet = self._range(start, stop, (0, 0), (0, 0), False) or (0, 0)
            leaves.append((quiet[0] | written[2], quiet[1] | written[3]))
        pass1, pass0 = every, every
        out1 = out0 = 0
        ends = False
        for lane, (start, stop) in enumerate(spans):
            m1, m0 = entry
            n1, n0 = noise
            for other in range(len(spans)):
                if other != lane and node.together:
                    n1 |= writes[other][0]
                    n0 |= writes[other][1]
                elif other != lane:
                    m1 |= leaves[other][0]
                    m0 |= leaves[other][1]
            if self._range(start, stop, (m1 | n1, m0 | n0), (n1, n0), report) is None:
                ends = True  # the lane always stops; the others may have come first all the same
            kept1 = self._range(start, stop, (every, 0), (0, 0), False)
            kept0 = self._range(start, stop, (0, every), (0, 0), False)
            pass1 &= kept1[0] if kept1 else 0
            pass0 &= kept0[1] if kept0 else 0
            out1 |= leaves[lane][0]
            out0 |= leaves[lane][1]
        if ends:
            return None
        return out1 | (entry[0] & pass1) | noise[0], out0 | (entry[1] & pass0) | noise[1]

    def _written(self, start: int, stop: int) -> tuple[int, int, int, int]:
        """Bits a lane may ever write as 1 and as 0; and those its failed needs write, for they count as met."""
        ones = zeros = met1 = met0 = 0
        for i in range(start, stop):
            inner = self.program.nodes[i]
            if inner.micro is not None:
                c = self.bits.compiled(inner.micro)
                ones |= c.set1 | c.either
                zeros |= c.set0 | c.either
                if self.bits.shared:
                    continue
                met1 |= c.need1
                met0 |= c.need0
                for _, ways in c.wide:
                    met1 |= ways[0][0] if ways else 0
                    met0 |= ways[0][1] if ways else 0
            if inner.kind == Kind.RESULT:
                for s1, s0 in self._outcome(i, inner):
                    ones |= s1
                    zeros |= s0
        return ones | met1, zeros | met0, met1, met0
