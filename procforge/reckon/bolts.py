"""Bolts: torque and preload both ways, proof load, the flange table, patterns, wrenches."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from procforge.engineering.base import Input, Outside, Result
from procforge.engineering.bolting import (
    UTILISATION,
    assembly_preload,
    preload_long,
    preload_short,
    preload_vdi,
    torque_long,
    torque_short,
    torque_vdi,
)
from procforge.engineering.figures import Fault
from procforge.engineering.flange_torque import flange_torque as flange_table
from procforge.engineering.friction import Friction, NutFactor, friction_of, nut_factor
from procforge.engineering.joint import judge_joint
from procforge.engineering.patterns import cross, rounds
from procforge.engineering.strength import Strength, proof_load, read_strength, share_of_proof
from procforge.engineering.threads import stress_area
from procforge.engineering.wrench import (
    Wrench,
    accuracy_ratio,
    adapter_setting,
    graduation,
    judge_wrench,
    settings,
    usable_low,
    wrench_error,
)
from procforge.quantities import Problem, read_number
from procforge.reckon.base import Answer, Calculation, Figure, Param, Words, Wrong, answer, figure, refused
from procforge.reckon.given import Given

GROUP = "bolts"
_FORMS = ("short", "vdi", "long")

_THREAD = Param("thread", "thread", "Thread, as M12, M16x1.5, 3/4-16, 1-8.")
_CLASS = Param("class", "text", "Class or grade: 8.8, 10.9, grade 5, B7.", optional=True)
_FRICTION = (
    Param("friction", "number", "Friction of thread and face, as 0.12.", optional=True),
    Param("face", "number", "Friction under the turning face, where it differs.", optional=True),
    Param("bearing", "length", "Mean diameter of the turning face; left out, that of a hexagon head.", optional=True),
    Param("lubricant", "text", "Lubricant, as oiled, dry, molybdenum disulphide: gives a range.", optional=True),
    Param("nut-factor", "text", "K of the short form: a number, or plain-black, zinc-plated, lubricated, cadmium-plated.", optional=True),
    Param("form", "text", "short (T = K·D·F), vdi (VDI 2230) or long (inch practice).", optional=True),
)  # fmt: skip


def _form(given: Given) -> str | Wrong:
    """Which form is meant, and that it has what it needs."""
    form = given.text("form") or ("short" if given.has("nut-factor") else "vdi")
    if form not in _FORMS:
        return Wrong("form", f"no form is called {form}", f"write {', '.join(_FORMS)}")
    if form == "short" and not given.has("nut-factor"):
        return Wrong("nut-factor", "the short form needs the nut factor", "give --nut-factor 0.18")
    if form != "short" and not (given.has("friction") or given.has("lubricant")):
        return Wrong(
            "friction", "the friction is not known", "give --friction 0.12, --lubricant oiled or --nut-factor 0.18"
        )
    return form


def _factor(given: Given) -> NutFactor | Outside:
    text = given.text("nut-factor")
    number = read_number(text)
    if isinstance(number, Problem):
        return nut_factor(text)
    return NutFactor("as given", float(number), "as given")


def _range(given: Given) -> Friction | Outside:
    if given.has("friction"):
        mu = given.num("friction")
        return Friction("as given", mu, mu, "as given")
    return friction_of(given.text("lubricant"))


def _one(given: Given, form: str, value: float, mu: float, torque: bool) -> Result | Outside:
    """Torque from preload (`torque`) or preload from torque at one friction."""
    face = given.num("face") if given.has("face") else None
    bearing = given.num("bearing") if given.has("bearing") else None
    if form == "vdi":
        return (torque_vdi if torque else preload_vdi)(value, given.thread(), mu, face, bearing)
    return (torque_long if torque else preload_long)(value, given.thread(), mu, face, bearing)


def _both_ways(given: Given, value: float, torque: bool) -> list[Figure] | Wrong:
    form = _form(given)
    if isinstance(form, Wrong):
        return form
    what, unit = ("torque", "N·m") if torque else ("preload", "kN")
    if form == "short":
        k = _factor(given)
        if isinstance(k, Outside):
            return refused(k, "nut-factor")
        one = (torque_short if torque else preload_short)(value, given.thread().diameter, k.factor)
        if isinstance(one, Outside):
            return refused(one)
        return [Figure(what, replace(one, source=f"{one.source}; K: {k.source}"), unit, 4)]
    friction = _range(given)
    if isinstance(friction, Outside):
        return refused(friction, "lubricant")
    steps = [(friction.low, "least"), (friction.middle, "middle"), (friction.high, "most")]
    if friction.low == friction.high:
        steps = [(friction.low, "")]
    found = []
    for mu, word in steps:
        one = _one(given, form, value, mu, torque)
        if isinstance(one, Outside):
            return refused(one)
        name = f"{what} at the {word} friction {mu:g}" if word else what
        found.append(Figure(name, replace(one, source=f"{one.source}; friction: {friction.source}"), unit, 4))
    return found


def _strength(given: Given) -> Strength | Wrong | None:
    if not given.has("class"):
        return None
    found = read_strength(given.text("class"), given.thread())
    return refused(found, "class") if isinstance(found, Outside) else found


def preload(given: Given) -> Answer | Wrong:
    """Preload from torque, its share of the proof load, and whether the bolt may pass it."""
    figures = _both_ways(given, given.num("torque"), torque=False)
    strength = _strength(given)
    if isinstance(figures, Wrong) or isinstance(strength, Wrong):
        return figures if isinstance(figures, Wrong) else strength  # type: ignore[return-value]
    if strength is None:
        return Answer(tuple(figures))
    shares: list[Figure] = []
    for one in figures:
        share = share_of_proof(one.result.value, given.thread(), strength)
        if isinstance(share, Outside):
            return refused(share)
        shares.append(Figure(one.name.replace("preload", "share of proof load"), share, "%"))
    tolerance = given.num("tolerance") if given.has("tolerance") else 0.0
    if tolerance < 0:
        return Wrong("tolerance", "a tolerance is not below 0", "write 5 %")
    friction = _range(given) if not given.has("nut-factor") else None
    faults: tuple[Fault, ...] = ()
    if isinstance(friction, Friction):
        bearing = given.num("bearing") if given.has("bearing") else None
        joint = judge_joint(given.num("torque"), given.thread(), strength, friction, tolerance, bearing)
        if isinstance(joint, Outside):
            return refused(joint)
        faults = joint.faults
    return Answer((*figures, *shares), faults)


def torque(given: Given) -> Answer | Wrong:
    """Torque from a preload, or from a share of the proof load."""
    strength = _strength(given)
    if isinstance(strength, Wrong):
        return strength
    if given.has("preload") == given.has("share"):
        return Wrong("preload", "one of preload and share must be given", "give --preload '25 kN' or --share '70 %'")
    if given.has("preload"):
        value = given.num("preload")
        first: tuple[Figure, ...] = ()
    else:
        if strength is None:
            return Wrong("class", "a share of the proof load needs the class", "give --class 8.8")
        full = proof_load(given.thread(), strength)
        share = given.num("share")
        if not 0 < share <= 1:
            return Wrong("share", f"{share:g} of the proof load", "give above 0 and at most 100 %")
        value = share * full.value
        wanted = Result(value, "N", "F = share · F_p", (Input("share", share), Input("proof load F_p", full.value, "N")),
                        full.source, full.limits)  # fmt: skip
        first = (Figure("preload", wanted, "kN"),)
    figures = _both_ways(given, value, torque=True)
    return figures if isinstance(figures, Wrong) else Answer((*first, *figures))


def proof(given: Given) -> Answer | Wrong:
    """Stress area and proof load."""
    strength = _strength(given)
    if isinstance(strength, Wrong) or strength is None:
        return strength or Wrong("class", "it must be given", "give --class 8.8")
    return answer(
        Figure("stress area", stress_area(given.thread()), "mm²"),
        Figure(f"load at the {strength.reference}", proof_load(given.thread(), strength), "kN"),
    )


def assembly(given: Given) -> Answer | Wrong:
    """The preload and torque that use a share of the yield strength, torsion counted (VDI 2230)."""
    strength = _strength(given)
    if isinstance(strength, Wrong) or strength is None:
        return strength or Wrong("class", "it must be given", "give --class 8.8")
    load = assembly_preload(given.thread(), strength, given.num("friction"), given.num("share"))
    if isinstance(load, Outside):
        return refused(load)
    moment = _one(given, "vdi", load.value, given.num("friction"), torque=True)
    return answer(Figure("assembly preload", load, "kN"), figure("tightening torque", moment, "N·m"))


def flange(given: Given) -> Answer | Wrong:
    """Target torque of a flange stud from the published table."""
    found = flange_table(given.thread(), given.flag("coated"))
    return answer(figure("target torque", found, "lbf·ft", 5), figure("the same in metric", found, "N·m"))


def pattern(given: Given) -> Answer | Wrong:
    """The order of the bolts, and each round with the torque the wrench is set to."""
    count = given.count("bolts")
    percents = tuple(p * 100 if p <= 1 else p for p in given.numbers("passes"))
    order = cross(count)
    if isinstance(order, Outside):
        return refused(order, "bolts")
    made = rounds(count, percents)
    if isinstance(made, Outside):
        return refused(made, "passes")
    words = Words("cross pattern", " ".join(map(str, order.order)), order.source)
    values: tuple[Fraction, ...] = ()
    symbol = ""
    if given.has("target"):
        symbol = given.symbol("target")
        target = given.quantities["target"].value
        step = given.exact("step") if given.has("step") else None
        if step is None:
            mark = graduation(given.num("target"))
            if isinstance(mark, Outside):
                return refused(mark, "target")
            step = Fraction(str(mark.value))
        found = settings(target, percents, step)
        if isinstance(found, Outside):
            return refused(found, "passes")
        values = found
    rows = []
    for at, one in enumerate(made, 1):
        value = values[min(at, len(values)) - 1] if values else None
        rows.append(
            (
                f"pass {at}",
                f"{float(one.percent):g} %",
                f"{float(value):g} {symbol}" if value is not None else "",
                "round the circle until no nut turns" if one.circular else "in the cross pattern",
            )
        )
    return Answer((words, Words("passes", f"{len(rows)}", made[0].source, tuple(rows))))


def wrench(given: Given) -> Answer | Wrong:
    """Whether a wrench fits a torque."""
    error = given.num("error") if given.has("error") else None
    step = given.num("graduation") if given.has("graduation") else 0.0
    tool = Wrench(given.num("lowest"), given.num("highest"), step, error)
    tolerance = given.num("tolerance") if given.has("tolerance") else None
    faults = judge_wrench(tool, given.num("target"), tolerance)
    if isinstance(faults, Outside):
        return refused(faults)
    own = wrench_error(tool)
    parts: list[Figure | Outside] = [
        figure("use it from", usable_low(tool), "N·m"),
        figure("its error, ±", own, "%"),
    ]
    if tolerance is not None and isinstance(own, Result):
        parts.append(figure("tolerance over error", accuracy_ratio(tolerance, own.value)))
    return answer(*parts, faults=faults)


def adapter(given: Given) -> Answer | Wrong:
    """What to set with an adapter ahead of the square drive."""
    found = adapter_setting(given.num("torque"), given.num("length"), given.num("extension"), given.num("angle"))
    return answer(figure("set the wrench to", found, given.symbol("torque"), 4))


_TOLERANCE = Param("tolerance", "share", "Tolerance of the torque, as '10 %'.", optional=True)

BOLTS: tuple[Calculation, ...] = (
    Calculation(
        "preload", GROUP, "Preload of a bolt from its torque",
        (_THREAD, Param("torque", "torque", "The torque, as '60 N.m' or '45 ft-lb'."), _CLASS, *_FRICTION, _TOLERANCE),
        preload, "--thread M12 --torque '60 N.m' --class 8.8 --lubricant oiled",
    ),
    Calculation(
        "torque", GROUP, "Torque of a bolt for a preload",
        (
            _THREAD, Param("preload", "force", "The preload, as '25 kN' or '25 kip'.", optional=True),
            Param("share", "share", "Or a share of the proof load, as '70 %'.", optional=True), _CLASS, *_FRICTION,
        ),
        torque, "--thread 3/4-16 --preload '25 kip' --nut-factor 0.2",
    ),
    Calculation(
        "proof-load", GROUP, "Stress area and proof load of a bolt",
        (_THREAD, Param("class", "text", "Class or grade: 8.8, grade 5, B7.")), proof, "--thread M16 --class 10.9",
    ),
    Calculation(
        "assembly-preload", GROUP, "Preload and torque for a share of the yield strength (VDI 2230)",
        (
            _THREAD, Param("class", "text", "Class: 8.8, 10.9, 12.9."), Param("friction", "number", "Friction of thread and face."),
            Param("share", "share", "Share of the yield strength.", default=str(UTILISATION)),
        ),
        assembly, "--thread M10x1.25 --class 8.8 --friction 0.12",
    ),
    Calculation(
        "flange-torque", GROUP, "Target torque of a flange stud (ASME PCC-1 table)",
        (_THREAD, Param("coated", "flag", "The studs are coated.")), flange, "--thread 3/4-10",
    ),
    Calculation(
        "pattern", GROUP, "Order and passes of the bolts of a joint",
        (
            Param("bolts", "whole", "How many bolts, numbered round the circle."),
            Param("passes", "numbers", "The passes in %, rising to 100.", default="30 70 100"),
            Param("target", "torque", "The full torque, for what to set at each pass.", optional=True),
            Param("step", "number", "The smallest step of the wrench, in the unit of the target.", optional=True),
        ),
        pattern, "--bolts 12 --target '60 N.m'",
    ),
    Calculation(
        "wrench", GROUP, "Whether a torque wrench fits a torque",
        (
            Param("lowest", "torque", "Its lowest mark."), Param("highest", "torque", "Its highest mark."),
            Param("target", "torque", "The torque to be set."), _TOLERANCE,
            Param("graduation", "torque", "Its smallest step.", optional=True),
            Param("error", "share", "Its own error, as '3 %'; left out, that of ISO 6789.", optional=True),
        ),
        wrench, "--lowest '20 N.m' --highest '100 N.m' --target '60 N.m' --tolerance '10 %'",
    ),
    Calculation(
        "adapter", GROUP, "What to set with an adapter ahead of the drive",
        (
            Param("torque", "torque", "The torque that must reach the nut."),
            Param("length", "length", "From the square drive to the middle of the grip."),
            Param("extension", "length", "From the square drive to the nut."),
            Param("angle", "number", "Degrees between the two: 0 straight ahead, 90 across.", default="0"),
        ),
        adapter, "--torque '100 N.m' --length '400 mm' --extension '100 mm'",
    ),
)  # fmt: skip
