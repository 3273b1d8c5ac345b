"""What each step does on two small rigs, typed by hand from grammar/semantics.md.

Only what the page says of these items stands here: a step is a list of micro-steps, each with needs (rule and
formula, alternatives of literals) and effects. A formula with one alternative is one formula for each of its literals.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

Literal = tuple[str, bool]
Formula = tuple[tuple[Literal, ...], ...]
Needs = list[tuple[str, Formula]]

#: A vessel with a cover, and beside it a plug over a seat with a ring; the line stands for what differs.
PLUG_RIG = """\
equipment RIG "Rig"
models small, large
isolator inlet "Inlet"
  in service open, isolates when shut
valve vent "Vent"
  in service shut
pressure-space vessel "Vessel"
  holds water
  isolated by inlet
  vented by vent
{more}
part plug "Plug"
  judged by look
part seat "Seat"
  under plug
  sealed by ring
seal ring "Ring"
part cover "Cover"
  closes vessel
"""
#: A vessel with a cover held by nuts; on the large model a second valve feeds it.
NUTS_RIG = """\
equipment RIG "Rig"
models small, large
isolator inlet "Inlet"
  in service open, isolates when shut
isolator bypass "Bypass"
  in service open, isolates when shut
  only for large
valve vent "Vent"
  in service shut
pressure-space vessel "Vessel"
  holds water
  isolated by inlet
  isolated by inlet, bypass for large
  vented by vent
{more}
part cover "Cover"
  closes vessel
  held by nuts
fastener nuts "Nuts"
"""


@dataclass(frozen=True)
class Op:
    """One micro-step: where it stands (line, words), what it needs, what it sets, what it adds to a path's length."""

    line: int
    words: str
    needs: tuple[tuple[str, Formula], ...] = ()
    sets: tuple[Literal, ...] = ()
    cost: int = 1


@dataclass
class Rig:
    """One rig in one variant: `more` is the line that differs, `asked` the checks the job makes of plug and ring."""

    nuts: bool
    more: str
    large: bool
    asked: dict[str, list[str]] = field(default_factory=dict)
    hold: bool = False

    # ---- the page's words on these items ---------------------------------------------------------
    @property
    def refills(self) -> bool:
        return self.more == "reaccumulates"

    @property
    def tested_in_service(self) -> bool:
        return self.more == "tested in service"

    @property
    def blocks(self) -> list[str]:
        """The valves that isolate the vessel."""
        return ["inlet", "bypass"] if self.nuts and self.large else ["inlet"]

    def checks(self, item: str) -> list[str]:
        """The plug is judged by `look`; a seal that is not single-use has `any`; the job adds what names them."""
        return list(dict.fromkeys([{"plug": "look", "ring": "any"}[item], *self.asked.get(item, [])]))

    def fit(self, item: str) -> list[Literal]:
        return [(f"fit {item} / {c}", True) for c in self.checks(item)]

    @property
    def start(self) -> set[str]:
        """The facts that hold at the start; all others do not."""
        found = {"in cover", "tested vessel", "looked cover", "air-free vessel"}
        if self.nuts:
            return found | {"torqued nuts"}
        fit = {f for item in ("plug", "ring") for f, _ in self.fit(item)}
        return found | {"in plug", "in seat", "seated ring"} | fit

    # ---- needs that several steps share ----------------------------------------------------------
    def blocked(self, set_rule: str, lock_rule: str) -> Needs:
        """Every feed set and locked."""
        return [need(set_rule, f"set {b}") for b in self.blocks] + [need(lock_rule, f"locked {b}") for b in self.blocks]

    def opening(self) -> Needs:
        found = self.blocked("opened-before-isolated", "opened-before-locked")
        found += [need("opened-before-relieved", "relieved vessel"), need("opened-before-proved", "proved vessel")]
        if self.more == "opening witnessed":
            found.append(need("opened-before-witnessed", "witnessed vessel"))
        return found

    def closed(self, rule: str, torque_rule: str) -> Needs:
        return [need(rule, "in cover"), *([need(torque_rule, "torqued nuts")] if self.nuts else [])]

    def opened(self) -> list[Literal]:
        return [("air-free vessel", False), ("tested vessel", False), ("area-clear", False)]

    def stop(self, touched: set[str]) -> Needs:
        """What a stop asks, of what the job touches."""
        found: Needs = []
        if "in cover" in touched:
            found.append(("stopped-while-open", ((("in cover", True),), (("relieved vessel", True),))))
        for b in self.blocks:
            if f"set {b}" in touched:
                found.append(("stopped-unlocked", (((f"set {b}", False),), ((f"locked {b}", True),))))
        return found

    def end(self, touched: set[str]) -> Needs:
        """What the end asks, of what the job touches."""
        rules = {"in cover": "left-out", "in plug": "left-out", "in seat": "left-out", "set vent": "vent-left-open",
                 "seated ring": "seal-left-out", "torqued nuts": "left-loose", "tested vessel": "left-untested"}  # fmt: skip
        rules |= {f"set {b}": "isolation-left-set" for b in self.blocks}
        rules |= {f"locked {b}": "lock-left-on" for b in self.blocks}
        return [(r, (((f, f in self.start),),)) for f, r in rules.items() if f in touched]

    # ---- the steps -------------------------------------------------------------------------------
    def step(self, words: str, lent: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        """Needs, effects, and the effects of a pass, of a verb on one object."""
        verb, _, it = words.partition(" ")
        here = it in self.blocks or it not in ("inlet", "bypass")
        if not here:  # a step on what the variant has not: a finding of its own, nothing in the proof
            return [], [], []
        return getattr(self, "do_" + verb.replace("-", "_"))(it, lent)  # type: ignore[no-any-return]

    def do_isolate(self, it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        return [], [(f"set {it}", True), ("relieved vessel", False), ("proved vessel", False)], []

    def do_lock(self, it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        return [need("locked-before-set", f"set {it}")], [(f"locked {it}", True)], []

    def do_unlock(self, it: str, lent: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        needs = [need("not-in-that-state", f"locked {it}"), *self.closed("unlocked-while-open", "unlocked-untorqued")]
        if not lent and not self.tested_in_service:
            needs.append(need("unlocked-untested", "tested vessel"))
        needs += [need("test-pressure-left-on", "not pressured vessel"), need("unlocked-area-not-clear", "area-clear")]
        return needs, [(f"locked {it}", False), ("proved vessel", False), ("told", False)], []

    def do_return(self, it: str, lent: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        needs = [need("returned-while-locked", f"not locked {it}")]
        needs += self.closed("returned-while-open", "returned-untorqued")
        if not lent and not self.tested_in_service:
            needs.append(need("returned-untested", "tested vessel"))
        needs += [
            need("returned-with-vent-open", "not set vent"),
            need("test-pressure-left-on", "not pressured vessel"),
        ]
        gone = ("relieved vessel", "proved vessel", "gas-free vessel")
        return needs, [(f"set {it}", False), *((f, False) for f in gone)], []

    def do_vent(self, _it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        return (
            self.blocked("vented-while-fed", "relieved-before-locked"),
            [("set vent", True), ("relieved vessel", True)],
            [],
        )

    def do_shut(self, _it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        """The vent is shut in service: to shut it is to return it, and it feeds nothing."""
        stale = [("proved vessel", False)] if self.refills else []
        return [need("returned-while-locked", "not locked vent")], [("set vent", False), *stale], []

    def do_open(self, _it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        return [], [("set vent", True)], []

    def do_prove(self, _it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        needs = self.blocked("proved-while-fed", "proved-before-locked")
        needs += [need("proved-before-relieved", "relieved vessel"), need("proof-on-open-vent", "not set vent")]
        return needs, [("witnessed vessel", False)], [("proved vessel", True)]

    def do_leak_test(self, _it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        needs = self.closed("pressurised-while-open", "pressurised-untorqued")
        pressure: Formula = ((("pressured vessel", True),),)
        if self.tested_in_service:
            pressure += tuple((((f"set {b}"), False),) for b in self.blocks)
        needs += [need("pressurised-with-vent-open", "not set vent"), ("tested-without-pressure", pressure)]
        return needs, [], [("tested vessel", True)]

    def do_clear(self, _it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        return [], [("area-clear", True)], []

    def do_look_into(self, _it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        return [], [("looked cover", True)], []

    def do_mark(self, it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        return [], [(f"marked {it}", True)], []

    def do_ease(self, _it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        needs = [*self.opening(), need("not-in-that-state", "not off nuts")]
        return needs, [("torqued nuts", False), ("eased nuts", True), *self.opened()], []

    def do_tighten(self, _it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        sets = [("torqued nuts", True), ("eased nuts", False), ("off nuts", False)]
        stale = [("proved vessel", False)] if self.refills else []
        return [need("part-not-in-place", "in cover")], [*sets, *stale, ("area-clear", False)], []

    def do_remove(self, it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        if it == "nuts":
            sets = [("torqued nuts", False), ("eased nuts", False), ("off nuts", True)]
            return [*self.opening(), need("not-in-that-state", "not off nuts")], [*sets, *self.opened()], []
        if it == "cover":
            needs = [*self.opening(), need("not-in-that-state", "in cover")]
            if self.nuts:
                needs.append(need("fasteners-still-on", "off nuts"))
            if self.hold:
                needs.append(need("hold-avoided", "released H1"))
            return needs, [("in cover", False), ("looked cover", False), *self.opened()], []
        if it == "plug":
            sets = [("in plug", False), ("fit plug / look", False), ("area-clear", False)]
            return [need("not-in-that-state", "in plug")], sets, []
        sets = [("in seat", False), ("seated ring", False), ("fit ring / any", False), ("area-clear", False)]
        return [need("not-in-that-state", "in seat"), need("removed-under-another", "not in plug")], sets, []

    def do_fit(self, it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        if it == "ring":
            needs = [need("joint-still-closed", "not in seat"), need("new-seal-on-old", "not seated ring")]
            needs += [("seal-reused-unchecked", ((literal,),)) for literal in self.fit("ring")]
            return needs, [("seated ring", True)], []
        needs = [need("not-in-that-state", f"not in {it}")]
        sets = [(f"in {it}", True), ("area-clear", False)]
        if it == "plug":
            needs.append(need("fitted-before-underlying", "in seat"))
            needs += [("never-judged", ((literal,),)) for literal in self.fit("plug")]
        elif it == "seat":
            needs.append(need("seal-not-seated", "seated ring"))
        else:
            needs.append(need("no-last-look", "looked cover"))
            if self.nuts:
                needs.append(need("fasteners-still-on", "off nuts"))
            sets += [("proved vessel", False)] if self.refills else []
        return needs, sets, []

    def do_renew(self, it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        if it == "plug":
            return [need("not-out-yet", "not in plug")], self.fit("plug"), []
        needs = [need("joint-still-closed", "not in seat"), need("new-seal-on-old", "not seated ring")]
        return needs, [("seated ring", True), *self.fit("ring")], []

    def do_rebuild(self, _it: str, _: bool) -> tuple[Needs, list[Literal], list[Literal]]:
        return [need("not-out-yet", "not in plug")], [("fit plug / look", False)], []

    # ---- marks and judgements --------------------------------------------------------------------
    def stale(self, mark: str) -> list[Literal]:
        """What a handover, a stop that may be made, or a wait makes stale."""
        words: Sequence[str] = {"handover": ("proved", "witnessed")}.get(mark, ())
        if self.refills:
            words = {
                "handover": ("proved", "witnessed"),
                "may stop here": ("proved", "witnessed"),
                "wait": ("proved",),
            }[mark]
        return [(f"{w} vessel", False) for w in words]

    def judged(self, check: str, items: list[str]) -> list[str]:
        """The facts an outcome sets: of the check named, and of a seal's `any`."""
        return [f"fit {i} / {c}" for i in items for c in ([check, "any"] if i == "ring" else [check])]


def need(rule: str, literal: str) -> tuple[str, Formula]:
    """A need of one literal; `not F` of a fact that must be wrong."""
    plain = literal.removeprefix("not ")
    return rule, (((plain, plain == literal),),)
