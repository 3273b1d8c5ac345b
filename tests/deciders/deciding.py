"""The same question to three public programs: which needs can fail, and (networkx, clingo) after how few steps."""

from __future__ import annotations

from typing import Any

from deciders.product import Key, Link, Product

Lengths = dict[Key, int]


# ---- networkx: shortest paths on the product graph ---------------------------------------------------
def by_networkx(p: Product) -> Lengths:
    """Every state reached is a node; a failed need is one too. Dijkstra gives the lengths."""
    import networkx as nx

    graph: Any = nx.DiGraph()
    by_source: dict[int, list[Link]] = {}
    for link in p.links:
        by_source.setdefault(link.source, []).append(link)
    first = (0, p.start)
    graph.add_node(first)
    todo = [first]
    while todo:
        here = todo.pop()
        for link in by_source.get(here[0], ()):
            state = here[1]
            if not any(state & t == t and not state & f for t, f in link.guard):
                continue
            for need in link.needs:
                if not any(state & t == t and not state & f for t, f in need.ways):
                    graph.add_edge(here, ("fails", need.number), weight=link.cost)
                    state = state & ~need.zeros | need.ones
            there = (link.target, state & ~link.zeros | link.ones)
            if there not in graph:
                todo.append(there)
            # Two ways between the same states: the shorter one counts.
            old = graph.get_edge_data(here, there, {"weight": link.cost})["weight"]
            graph.add_edge(here, there, weight=min(old, link.cost))
    lengths = nx.single_source_dijkstra_path_length(graph, first)
    found: Lengths = {}
    for number, key in enumerate(p.targets):
        if ("fails", number) in lengths:
            found[key] = min(found.get(key, 1 << 30), lengths["fails", number])
    return found


# ---- clingo: a positive program, evaluated to its least fixedpoint -----------------------------------
WITHOUT_LENGTHS = """
at(0,start).
on(L,0,S) :- at(P,S), link(L,P,_,_,_,_), guard(L,T,F), S & T == T, S & F == 0.
on(L,I+1,S) :- on(L,I,S), way(L,I,T,F), S & T == T, S & F == 0.
bad(N) :- on(L,I,S), target(L,I,N), fail(L,I,T,F), S & T == T, S & F == 0.
on(L,I+1,(S & ~Z) ? O) :- on(L,I,S), mend(L,I,O,Z), fail(L,I,T,F), S & T == T, S & F == 0.
at(Q,(S & ~Z) ? O) :- on(L,I,S), link(L,_,Q,I,O,Z).
#show bad/1.
"""
WITH_LENGTHS = """
at(0,start,0).
on(L,0,S,D) :- at(P,S,D), link(L,P,_,_,_,_), guard(L,T,F), S & T == T, S & F == 0.
on(L,I+1,S,D) :- on(L,I,S,D), way(L,I,T,F), S & T == T, S & F == 0.
bad(N,D+C) :- on(L,I,S,D), cost(L,C), target(L,I,N), fail(L,I,T,F), S & T == T, S & F == 0, D+C <= most.
on(L,I+1,(S & ~Z) ? O,D) :- on(L,I,S,D), mend(L,I,O,Z), fail(L,I,T,F), S & T == T, S & F == 0.
at(Q,(S & ~Z) ? O,D+C) :- on(L,I,S,D), cost(L,C), link(L,_,Q,I,O,Z), D+C <= most.
#show bad/2.
"""


def by_clingo(p: Product, most: int = 0) -> Lengths:
    """The needs that can fail; with `most`, those that fail within so many steps, and the fewest. Else lengths are 0."""
    import clingo

    facts = [f"#const start={p.start}. #const most={most}."]
    for n, link in enumerate(p.links):
        facts.append(
            f"link({n},{link.source},{link.target},{len(link.needs)},{link.ones},{link.zeros}). cost({n},{link.cost})."
        )
        facts += [f"guard({n},{t},{f})." for t, f in link.guard]
        for i, need in enumerate(link.needs):
            facts.append(f"target({n},{i},{need.number}). mend({n},{i},{need.ones},{need.zeros}).")
            facts += [f"way({n},{i},{t},{f})." for t, f in need.ways]
            facts += [f"fail({n},{i},{t},{f})." for t, f in need.fails]
    control = clingo.Control(["--warn=none"])
    control.add("base", [], "\n".join(facts) + (WITH_LENGTHS if most else WITHOUT_LENGTHS))
    control.ground([("base", [])])
    found: Lengths = {}
    with control.solve(yield_=True) as handle:
        for model in handle:
            for atom in model.symbols(shown=True):
                key, length = p.targets[atom.arguments[0].number], atom.arguments[1].number if most else 0
                found[key] = min(found.get(key, 1 << 30), length)
    return found


# ---- z3: its fixedpoint engine over finite domains ----------------------------------------------------
def by_z3(p: Product) -> set[Key]:
    """The needs that can fail: a relation of place and state bits, one rule a link, one query a need."""
    import z3

    width = max(1, p.width)
    places = z3.BitVecSort(max(1, p.nowhere.bit_length()))
    bits = z3.BitVecSort(width)
    engine: Any = z3.Fixedpoint()
    engine.set(engine="datalog")
    at = z3.Function("at", places, bits, z3.BoolSort())
    s = z3.BitVec("s", width)
    engine.register_relation(at)
    engine.declare_var(s)

    def place(number: int) -> Any:
        return z3.BitVecVal(number, places)

    def value(number: int) -> Any:
        return z3.BitVecVal(number, width)

    def meets(state: Any, masks: tuple[int, int]) -> list[Any]:
        """One equation for each bit: the engine indexes them."""
        found = []
        for n in range(width):
            if (masks[0] | masks[1]) >> n & 1:
                found.append(z3.Extract(n, n, state) == z3.BitVecVal(masks[0] >> n & 1, 1))
        return found

    engine.fact(at(place(0), value(p.start)))
    bad = [z3.Function(f"bad{n}", z3.BoolSort()) for n in range(len(p.targets))]
    for one in bad:
        engine.register_relation(one)
    for number, link in enumerate(p.links):
        stages = [at(place(link.source), s)]
        for n in range(len(link.needs) + 1):
            on = z3.Function(f"on{number}_{n}", bits, z3.BoolSort())
            engine.register_relation(on)
            stages.append(on(s))
        for guard in link.guard:
            engine.rule(stages[1], [stages[0], *meets(s, guard)])
        for n, need in enumerate(link.needs):
            here, decl = stages[n + 1], stages[n + 2].decl()
            for way in need.ways:
                engine.rule(decl(s), [here, *meets(s, way)])
            for fail in need.fails:
                engine.rule(bad[need.number](), [here, *meets(s, fail)])
                engine.rule(decl(s & value(~need.zeros & (1 << width) - 1) | value(need.ones)), [here, *meets(s, fail)])
        after = s & value(~link.zeros & (1 << width) - 1) | value(link.ones)
        engine.rule(at(place(link.target), after), [stages[-1]])
    return {p.targets[n] for n, one in enumerate(bad) if engine.query(one()) == z3.sat}
