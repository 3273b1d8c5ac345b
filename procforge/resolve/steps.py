"""Steps, checks and measurements with the lines under them."""

from __future__ import annotations

from typing import Any

from procforge.model.procedure import Check, Figure, Limit, Measure, Ref, Step, Waiver
from procforge.model.verbs import is_free, words
from procforge.quantities import kind_words
from procforge.resolve.desk import every, first, part
from procforge.resolve.machine import PRESSURES, torque_of
from procforge.resolve.refs import References, Scene
from procforge.syntax.nodes import AtLeast, AtMost, Between, Item, Line, Modifier, Object, Qty, Word
from procforge.syntax.nodes import Step as StepNode
from procforge.syntax.order import keyword
from procforge.text import Span

#: The endings that statements other than `step` take.
_ENDINGS = {
    "check": ("with", "by", "only"), "measure": ("with", "at", "by", "only"), "readings": ("with", "by", "only"),
    "ask": ("by", "only"), "hold": ("by", "only"),
}  # fmt: skip


class Doings:
    """Makes the models of what people do from their statements."""

    def __init__(self, refs: References) -> None:
        self.refs = refs
        self.desk = refs.desk
        self._occurrences: dict[str, int] = {}

    # ---- identity ----------------------------------------------------------------------------
    def identity(self, scene: Scene, base: str) -> str:
        """A stable id: what is done to what, with the path of calls and loops, and which time it is."""
        base = scene.prefix + base.replace(" of ", "@").replace(" ", "-") + scene.suffix.replace(" of ", "@")
        count = self._occurrences.get(base, 0) + 1
        self._occurrences[base] = count
        return base if count == 1 else f"{base}~{count}"

    # ---- modifiers ---------------------------------------------------------------------------
    def modifiers(self, scene: Scene, item: Item, modifiers: tuple[Modifier, ...]) -> dict[str, Any]:
        """`with`, `by`, `only for` and `as` of a statement; the rest is left to the step."""
        fields: dict[str, Any] = {}
        seen: set[str] = set()
        for mod in modifiers:
            if mod.kind not in _ENDINGS.get(item.form, (mod.kind,)):
                form = keyword(item.form)
                fits = " and ".join(f"`{e}`" for e in _ENDINGS[item.form])
                message, mend = f"`{mod.kind}` says nothing in a `{form}`", f"take it off; `{form}` takes {fits}"
                self.desk.fault("out-of-place", self._span(scene, item, mod), message, mend)
                continue
            if mod.kind in seen and mod.kind != "with":
                self.desk.fault(
                    "said-twice",
                    self._span(scene, item, mod),
                    f"`{mod.kind}` stands twice in this statement",
                    "keep one of them",
                )
            seen.add(mod.kind)
            if mod.kind == "with" or (mod.kind == "at" and item.form == "measure"):
                fields["tools"] = fields.get("tools", ()) + self.refs.tools(scene, item, mod.words)
            elif mod.kind == "by":
                fields |= {
                    "role": self.refs.role(scene, item, mod.words[0]),
                    "role_where": item.span(scene.source, mod.words[0]),
                }
            elif mod.kind == "only":
                fields |= {
                    "only_for": self.desk.scope(scene.source, item, mod.words),
                    "only_where": self._span(scene, item, mod),
                }
            elif mod.kind == "as":
                fields |= {"as_name": str(mod.words[0]), "result": str(mod.words[0]) + scene.suffix}
        return fields

    @staticmethod
    def _span(scene: Scene, item: Item, mod: Modifier) -> Span:
        if mod.words:
            start = item.span(scene.source, mod.words[0])
            last = mod.words[-1]
            if mod.kind == "only" and last.row == mod.words[0].row:
                line = scene.source.line(start.line)
                begin = line.rfind("only", 0, start.column) + 1
                return start._replace(
                    column=begin or start.column, width=last.column + last.width - (begin or start.column)
                )
            return start
        return item.span(scene.source, mod.qty.number) if mod.qty else item.span(scene.source)

    # ---- the lines under a statement ---------------------------------------------------------
    def lines(self, scene: Scene, item: Item) -> dict[str, Any]:
        """What stands under any doing: time, hazards, limits, figures, waivers, facts, prose."""
        fields = self.prose(scene, item)
        source = scene.source
        for line in item.props:
            form, value = line.form, part(line, 0)
            if form == "takes" and isinstance(value, Qty):
                fields["takes"] = self.desk.amount(source, line, value, "time")
            elif form == "meets" and isinstance(value, tuple):
                fields["meets"] = fields.get("meets", ()) + self.refs.hazards(scene, line, value)
            elif form == "limit":
                fields["limit"] = self.limit(scene, line)
            elif form == "figure":
                figure = Figure.make(file=str(value), caption=str(part(line, 1) or ""), where=line.span(source, value))  # type: ignore[arg-type]
                fields["figures"] = (*fields.get("figures", ()), figure)
            elif form == "waive":
                fields["waivers"] = (*fields.get("waivers", ()), self.waiver(scene, line))
            elif form in ("needs", "makes", "undoes") and isinstance(value, tuple):
                fields[form] = fields.get(form, ()) + self.refs.facts(scene, line, value)
            elif form in ("title", "expect", "no_value"):
                fields[form] = str(value)
            elif form == "look_up":
                fields["look_up"] = (str(value), str(part(line, 1)))
        return fields

    def waiver(self, scene: Scene, line: Item) -> Waiver:
        """`waive RULE by ROLE "reason"`."""
        rule, role = part(line, 0), part(line, 1)
        assert isinstance(rule, Word) and isinstance(role, Word)
        return Waiver.make(
            rule=str(rule),
            role=self.refs.role(scene, line, role),
            reason=str(part(line, 2)),
            where=line.span(scene.source, rule),
        )

    @staticmethod
    def prose(scene: Scene, item: Item) -> dict[str, Any]:
        """The paragraphs under a statement with their places."""
        spans = tuple(Span(scene.source, line + w.row, w.column, w.width) for line, w in item.prose)
        return {"prose": tuple(str(w) for _, w in item.prose), "prose_where": spans}

    def limit(self, scene: Scene, line: Item) -> Limit:
        """`limit a to b unit`, `limit up to b`, `limit at least a`."""
        node, source = part(line, 0), scene.source
        low = high = None
        if isinstance(node, Between):
            low_node = Qty(node.low, node.high.unit) if isinstance(node.low, Word) else node.low
            high = self.desk.amount(source, line, node.high)
            low = self.desk.amount(source, line, low_node) if high is not None else None
            if low is not None and high is not None:
                if low.kind != high.kind:
                    self.desk.fault(
                        "wrong-quantity",
                        line.span(source),
                        f"{low} and {high} are of different kinds",
                        "give both limits in one unit",
                    )
                    low = None
                elif low > high:
                    self.desk.fault(
                        "limits-crossed",
                        line.span(source),
                        f"the lower limit {low} is above the upper one {high}",
                        "swap them",
                    )
                    low, high = high, low
        elif isinstance(node, AtMost):
            high = self.desk.amount(source, line, node.high)
        elif isinstance(node, AtLeast):
            low = self.desk.amount(source, line, node.low)
        return Limit.make(low=low, high=high, where=line.span(source))

    def _is_pressure(self, limit: Limit | None) -> None:
        """A proof of a pressure space is read at its gauge."""
        end = (limit.high or limit.low) if limit is not None else None
        if limit is not None and end is not None and end.kind not in PRESSURES:
            message = f"{end} is {kind_words(end.kind)}; a pressure space is proved by its pressure"
            self.desk.fault("wrong-quantity", limit.where, message, "give the limit as a gauge pressure")

    def _is_share(self, limit: Limit | None) -> None:
        """A gas test reads a share of gas."""
        end = (limit.high or limit.low) if limit is not None else None
        if limit is not None and end is not None and end.kind.startswith("pressure"):
            message = f"{end} is {kind_words(end.kind)}; a gas test reads a share of gas"
            self.desk.fault("wrong-quantity", limit.where, message, "give the limit in % or ppm")

    # ---- the statements ----------------------------------------------------------------------
    def step(self, scene: Scene, item: Item) -> Step:
        """`step VERB objects …`."""
        node, source = item.node, scene.source
        assert isinstance(node, StepNode)
        at = next((m for m in node.modifiers if m.kind in ("at", "from") and m.words), None)
        place = at.words[0] if at and str(at.words[0]) in self.refs.symbols.places else None
        if is_free(node.verb) or (node.verb not in words() and not self._known(scene, node.objects)):
            objects: tuple[Ref, ...] = tuple(self._free(scene, item, o) for o in node.objects)
        else:
            objects = self.refs.objects(scene, item, node.objects, place)
        fields = self.modifiers(scene, item, node.modifiers) | self.lines(scene, item)
        of_spaces = node.verb in ("prove", "charge") and any(
            self.refs.symbols.kind(o.name) == "pressure-space" for o in objects
        )
        if node.verb == "prove" and of_spaces:
            self._is_pressure(fields.get("limit"))
        if node.verb == "gas-test":
            self._is_share(fields.get("limit"))
        kinds = PRESSURES if node.verb == "pressurise" or (node.verb == "charge" and of_spaces) else ()
        for mod in node.modifiers:
            if mod.kind in ("at", "from") and mod.words:
                fields["at"] = self._at(scene, item, mod.words[0])
            elif mod.kind == "at":
                fields["at_amount"] = self.desk.amount(source, item, mod.qty, *kinds)
            elif mod.kind == "to" and mod.words:
                fields |= {"to": str(mod.words[0]), "to_where": item.span(source, mod.words[0])}
            elif mod.kind == "to":
                fields["to_amount"] = self.desk.amount(source, item, mod.qty, *kinds)
            elif mod.kind == "turn":
                fields["turns"] = {"half": "half a turn", "quarter": "a quarter turn"}.get(
                    mod.words[0], f"{mod.words[0]} turns"
                )
        fields |= self._restated(scene, item)
        text = str(node.text) if node.text else ""
        base = fields.get("as_name") or ".".join(
            [
                str(node.verb),
                *(
                    ["+".join(str(o.name) + ("@" + str(o.of) if o.of else "") for o in node.objects)]
                    if node.objects
                    else []
                ),
            ]
        )
        return Step.make(
            **fields, id=self.identity(scene, base), where=item.span(source), verb=str(node.verb),
            verb_where=item.span(source, node.verb), objects=objects, text=text,
        )  # fmt: skip

    def _known(self, scene: Scene, objects: tuple[Object, ...]) -> bool:
        """Whether all are items: under a verb that nobody knows they may be free names."""
        return all(o.name in scene.bound or o.name in self.refs.symbols.definitions for o in objects)

    def _free(self, scene: Scene, item: Item, entry: Object) -> Ref:
        self.refs.used.add(str(entry.name))
        return Ref.make(name=str(entry.name), where=item.span(scene.source, entry.name))

    def _at(self, scene: Scene, item: Item, word: Word) -> Ref | None:
        span = item.span(scene.source, word)
        name = scene.bound.get(str(word), (str(word), None))[0]
        if name in self.refs.symbols.places:
            return Ref.make(name=name, where=span)
        if name in self.refs.symbols.definitions:
            self.refs.used.add(name)
            return Ref.make(name=self.refs.symbols.instances(name)[0], where=span)
        known = [*self.refs.symbols.places, *self.refs.symbols.definitions]
        self.desk.unknown(span, "gauge or place", word, known)
        return None

    def _restated(self, scene: Scene, item: Item) -> dict[str, Any]:
        """Values of the machine that the step says again."""
        source, desk = scene.source, self.desk
        fields: dict[str, Any] = {}
        torque, pattern, passes = first(item, "torque"), first(item, "pattern"), first(item, "passes")
        if torque is not None:
            fields |= {"torque": torque_of(desk, source, torque), "torque_where": torque.span(source)}
        listed = part(passes, 0) if passes else part(pattern, 1) if pattern else None
        if pattern is not None:
            fields |= {"pattern": str(part(pattern, 0)), "pattern_where": pattern.span(source)}
        if isinstance(listed, tuple):
            home = passes or pattern
            assert home is not None
            found = [desk.amount(source, home, q, "ratio") for q in listed]
            fields |= {"passes": tuple(q for q in found if q is not None), "passes_where": home.span(source)}
        for form, key in (("way_up", "way_up"), ("kind", "part_kind")):
            line = first(item, form)
            if line is not None:
                value = part(line, 0)
                text = str(value[0]) if isinstance(value, tuple) else str(value)
                fields |= {key: text, f"{key}_where": line.span(source)}
        return fields

    def check(self, scene: Scene, item: Item) -> Check:
        """`check NAME on objects …`."""
        name, listed = part(item, 0), part(item, 1)
        assert isinstance(item.node, Line) and isinstance(name, Word) and isinstance(listed, tuple)
        mods = tuple(m for m in item.node.parts[2:] if isinstance(m, Modifier))
        objects = self.refs.objects(scene, item, listed)
        fields = self.modifiers(scene, item, mods) | self.lines(scene, item)
        fields["result"] = str(name) + scene.suffix
        return Check.make(
            **fields, id=self.identity(scene, f"check.{name}"), where=item.span(scene.source), name=str(name), objects=objects,
            accept=tuple(str(part(p, 0)) for p in every(item, "accept")), reject=tuple(str(part(p, 0)) for p in every(item, "reject")),
        )  # fmt: skip

    def measure(self, scene: Scene, item: Item) -> Measure:
        """`measure NAME "…" on objects …` and `readings NAME "…" at places`."""
        node = item.node
        assert isinstance(node, Line)
        name = node.parts[0]
        assert isinstance(name, Word)
        label = next((str(p) for p in node.parts[1:2] if isinstance(p, Word)), str(name).replace("-", " "))
        mods = tuple(m for m in node.parts if isinstance(m, Modifier))
        fields = self.modifiers(scene, item, mods) | self.lines(scene, item)
        listed = next((p for p in node.parts[1:] if isinstance(p, tuple)), ())
        if item.form == "readings":
            fields["places"] = tuple(str(w) for w in listed)
        else:
            fields["objects"] = self.refs.objects(scene, item, listed)
        keep = first(item, "keep_as")
        fields |= {"result": str(name) + scene.suffix, "as_found": first(item, "as_found") is not None}
        return Measure.make(
            **fields, id=self.identity(scene, f"measure.{name}"), where=item.span(scene.source), name=str(name), label=label,
            keep_as=str(part(keep, 0)) if keep else "",
        )  # fmt: skip
