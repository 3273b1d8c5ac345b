"""Jobs that are hard on the proof, made from the joints of `material`: faulty, read again later, of many models."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from procforge.model.procedure import Procedure
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve
from tests.bench.material import HEAD, _lines, machine_text, model_name, procedure_rows, rounds_for

LEADING, ENDING = 7, 12  # rows of `procedure_rows` before the first joint and after the last
A_JOINT = 10  # rows


def made(folder: Path, rows: list[dict[str, Any]] | str, joints: int, variants: int = 1, more: str = "") -> Procedure:
    """The procedure of some rows on a machine of some joints, read without a mistake."""
    folder.mkdir(exist_ok=True)
    text = rows if isinstance(rows, str) else HEAD + "\n".join(_lines(rows)) + "\n"
    (folder / "bench.equip").write_text(machine_text(joints, variants) + more, encoding="utf-8")
    (folder / "bench.proc").write_text(text, encoding="utf-8")
    outcome = resolve(Library(), folder / "bench.proc")
    assert not [f for f in outcome.findings if f.severity.name == "ERROR"], outcome.findings[:3]
    return outcome.value


def faulty_rows(steps: int, joints: int, every: int) -> list[dict[str, Any]]:
    """The long job with one step forgotten in each so many joints: a bolt not tightened, a ring not renewed."""
    rows = procedure_rows(steps, joints)
    for number in range(rounds_for(steps) - 1, -1, -1):
        if number % every == every - 1:
            # fitting the ring, fitting the cover, tightening its nuts
            del rows[LEADING + number * A_JOINT + 7 + number // every % 3]
    return rows


def reread_rows(checks: int, lasting: bool = True, joints: int = 0) -> list[dict[str, Any]]:
    """Valves judged one after the other; those rejected come out, and much later go in again by the same result.

    Not lasting: each goes in again before the next is judged.
    """
    rows = procedure_rows(20 + 11 * joints, joints or 1)
    first = [_judge(i) for i in range(joints, joints + checks)]
    again = [_again(i) for i in range(joints, joints + checks)]
    opened = [row for i in range(joints, joints + checks) for row in _open(i)]
    shut = [row for i in range(joints, joints + checks) for row in _shut(i)]
    if lasting:
        work = [*(r for rs in first for r in rs), *(r for rs in again for r in rs)]
    else:
        work = [r for one, two in zip(first, again, strict=True) for r in (*one, *two)]
    return [*rows[:-ENDING], *opened, *work, *shut, *rows[-ENDING:]]


def _open(i: int) -> list[dict[str, Any]]:
    return [{"step": "remove", "objects": [f"nuts-{i}"]}, {"step": "remove", "objects": [f"cover-{i}"]}]


def _judge(i: int) -> list[dict[str, Any]]:
    out = {"step": "remove", "objects": [f"valve-{i}"]}
    return [
        {"check": f"leak-{i}", "objects": [f"valve-{i}"], "accept": "No drop in one minute."},
        {"when": f"leak-{i}", "rejected": [out], "otherwise": [{"step": "clean", "objects": [f"valve-{i}"]}]},
    ]


def _again(i: int) -> list[dict[str, Any]]:
    back = [{"step": "renew", "objects": [f"valve-{i}"]}, {"step": "fit", "objects": [f"valve-{i}"]}]
    return [{"when": f"leak-{i}", "rejected": back, "otherwise": [{"step": "observe", "objects": [f"valve-{i}"]}]}]


def _shut(i: int) -> list[dict[str, Any]]:
    return [
        {"step": "look-into", "objects": ["drum"]},
        {"step": "fit", "objects": [f"ring-{i} new"]},
        {"step": "fit", "objects": [f"cover-{i}"]},
        {"step": "tighten", "objects": [f"nuts-{i}"], "with": "torque-wrench"},
    ]


def model_rows(models: int, steps: int, joints: int) -> list[dict[str, Any]]:
    """The long job with one more step for each model alone, spread over its joints: no two models alike."""
    rows = procedure_rows(steps, joints)
    rounds = rounds_for(steps)
    for model in range(models - 1, -1, -1):
        at = LEADING + (model * rounds // models) * A_JOINT
        rows.insert(at, {"step": "observe", "objects": ["drum"], "only": model_name(model)})
    return rows
