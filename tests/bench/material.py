"""The material of the benchmarks: a generated machine and procedure, the same content as YAML, and its JSON schema."""

from __future__ import annotations

from pathlib import Path
from typing import Any


def model_name(number: int) -> str:
    """Of the models of the machine, by number from 0."""
    return f"model-{chr(97 + number)}" if number < 26 else f"model-{number}"


def machine_text(joints: int, variants: int = 2) -> str:
    """A machine of many joints on one space, each a cover with nuts, a ring and a valve under it."""
    models = ", ".join(model_name(i) for i in range(variants))
    lines = [
        'equipment BENCH "Vessel of many joints"',
        f"models {models}",
        'pressure-space drum "Drum"',
        "  holds biogas, flammable",
        "  pressure 10 bar(g)",
        "  isolated by inlet, outlet",
        "  vented by vent to flare, bore 6 mm",
        "  proved at PI-1",
        'isolator inlet "Inlet block valve"',
        "  in service open, isolates when shut",
        'isolator outlet "Outlet block valve"',
        "  in service open, isolates when shut",
        'valve vent "Vent"',
        "  in service shut",
        'gauge PI-1 "Proving gauge"',
        "  range 0 bar(g) to 1 bar(g), class 1.0",
        'supply test-gas "Test supply"',
        "  feeds drum",
        "  up to 10 bar(g)",
    ]
    for i in range(joints):
        lines += [
            f'part cover-{i} "Cover {i}"',
            "  closes drum",
            f"  held by nuts-{i}",
            f"  sealed by ring-{i}",
            f"  over valve-{i}",
            f'part valve-{i} "Valve {i}"',
            f"  judged by leak-{i}",
            f'fastener nuts-{i} "Nuts {i}"',
            "  4 x M12, class 8.8, oiled",
            "  torque 60 N.m +/- 5 %",
            "  pattern cross, passes 30 %, 70 %, 100 %",
            f'seal ring-{i} "Ring {i}"',
            "  single-use",
        ]
    return "\n".join(lines) + "\n"


def rounds_for(steps: int) -> int:
    """How many joints are overhauled in a procedure of about so many steps."""
    return max(1, (steps - 20) // 11)


def procedure_rows(steps: int, joints: int | None = None) -> list[dict[str, Any]]:
    """The procedure as plain data, what both the language and YAML say; `joints` limits the machine's size."""
    rounds = rounds_for(steps)
    joints = joints or rounds
    rows: list[dict[str, Any]] = [
        {"step": "shut-down", "objects": ["bench"], "by": "operator"},
        {"step": "isolate", "objects": ["inlet", "outlet"], "by": "operator", "takes": "5 min"},
        {"step": "lock", "objects": ["inlet", "outlet"], "by": "operator"},
        {"step": "vent", "objects": ["drum"], "by": "operator"},
        {"step": "purge", "objects": ["drum"], "with": "nitrogen"},
        {"step": "shut", "objects": ["vent"]},
        {"step": "prove", "objects": ["drum"], "at": "PI-1", "limit": "0 to 0.05 bar(g)"},
    ]
    for number in range(rounds):
        i = number % joints
        rows += [
            {"step": "remove", "objects": [f"nuts-{i}"], "text": f"Number the nuts of joint {i}, round {number}."},
            {"step": "remove", "objects": [f"cover-{i}"], "takes": "10 min"},
            {"step": "remove", "objects": [f"valve-{i}"]},
            {
                "check": f"leak-{i}",
                "objects": [f"valve-{i}"],
                "accept": "No drop in one minute.",
                "text": "Fill it with test liquid.",
            },
            {
                "when": f"leak-{i}",
                "rejected": [{"step": "renew", "objects": [f"valve-{i}"]}],
                "otherwise": [{"step": "clean", "objects": [f"valve-{i}"]}],
            },
            {"step": "look-into", "objects": ["drum"]},
            {"step": "fit", "objects": [f"valve-{i}"]},
            {"step": "fit", "objects": [f"ring-{i} new"]},
            {"step": "fit", "objects": [f"cover-{i}"]},
            {"step": "tighten", "objects": [f"nuts-{i}"], "with": "torque-wrench", "takes": "15 min"},
        ]
    rows += [
        {"step": "connect", "objects": ["test-gas"]},
        {"step": "leak-test", "objects": ["drum"], "with": "test-gas", "limit": "up to 1 %"},
        {"step": "let-down", "objects": ["drum"]},
        {"step": "disconnect", "objects": ["test-gas"]},
        {"step": "open", "objects": ["vent"]},
        {"step": "purge", "objects": ["drum"], "with": "nitrogen"},
        {"step": "shut", "objects": ["vent"]},
        {"step": "clear", "objects": ["area"]},
        {"step": "unlock", "objects": ["inlet", "outlet"], "by": "operator"},
        {"step": "return", "objects": ["inlet", "outlet"], "by": "operator"},
        {"step": "notify", "objects": ["control-room"]},
        {"step": "start", "objects": ["bench"], "by": "operator"},
    ]
    return rows


HEAD = """procedure BENCH-1 "Overhaul all joints"
revision A, 2026-01-01, "First issue"
use "bench.equip"
crew 2 fitter, 1 operator
author "Planner"
reviewer "Engineer"
approver "Manager", 2026-01-02
tool torque-wrench "Torque wrench"
  range 20 N.m to 100 N.m
consumable nitrogen "Nitrogen"
before starting none
section "Work"
"""


def _lines(rows: list[dict[str, Any]]) -> list[str]:
    found: list[str] = []
    for row in rows:
        if "when" in row:
            found += [
                f"when {row['when']} rejected",
                *_lines(row["rejected"]),
                "otherwise",
                *_lines(row["otherwise"]),
                "end",
            ]
            continue
        objects = ", ".join(row["objects"])
        line = f"check {row['check']} on {objects}" if "check" in row else f"step {row['step']} {objects}"
        line += "".join(f" {word} {row[word]}" for word in ("with", "at", "by") if word in row)
        line += f" only for {row['only']}" if "only" in row else ""
        found.append(line)
        found += [f"  {word} {row[word]}" for word in ("takes", "limit") if word in row]
        found += [f'  "{row["text"]}"'] if "text" in row else []
        found += [f'  accept "{row["accept"]}"'] if "accept" in row else []
    return found


def procedure_text(rows: list[dict[str, Any]]) -> str:
    """The rows in the language."""
    return HEAD + "\n".join(_lines(rows)) + "\n"


def yaml_text(rows: list[dict[str, Any]], joints: int = 0) -> str:
    """The rows as YAML, with the machine if it has joints."""
    import yaml

    data: dict[str, Any] = {"procedure": "BENCH-1", "title": "Overhaul all joints", "steps": rows}
    if joints:
        data["machine"] = machine_rows(joints)
    return str(yaml.dump(data, sort_keys=False))


_TEXT = {"type": "string"}
_ROWS = {"type": "array", "items": {"$ref": "#/$defs/row"}}
#: What the peer checks: shapes only, it knows nothing of order.
SCHEMA: dict[str, Any] = {
    "type": "object",
    "required": ["procedure", "title", "steps"],
    "properties": {"procedure": _TEXT, "title": _TEXT, "steps": _ROWS, "machine": {"type": "array", "items": {"$ref": "#/$defs/item"}}},
    "additionalProperties": False,
    "$defs": {
        "item": {
            "type": "object",
            "required": ["title"],
            "properties": {
                **dict.fromkeys(
                    ("pressure-space", "isolator", "valve", "gauge", "supply", "part", "fastener", "seal", "title", "pressure", "proved-at", "in-service"), _TEXT
                ),
                **dict.fromkeys(("isolates", "range", "class", "up-to", "held-by", "sealed-by", "over", "judged-by", "bolts", "torque"), _TEXT),
                **{name: {"type": "array", "items": _TEXT} for name in ("holds", "isolated-by", "feeds", "closes", "passes")},
                "single-use": {"type": "boolean"},
            },
            "additionalProperties": False,
        },
        "row": {
            "type": "object",
            "properties": {
                "step": _TEXT, "check": _TEXT, "when": _TEXT, "objects": {"type": "array", "items": _TEXT, "minItems": 1},
                "with": _TEXT, "at": _TEXT, "by": _TEXT, "takes": {"type": "string", "pattern": "^[0-9.]+ [a-z]+$"}, "limit": _TEXT, "text": _TEXT,
                "accept": _TEXT, "rejected": _ROWS, "otherwise": _ROWS,
            },
            "additionalProperties": False,
            "anyOf": [{"required": ["step", "objects"]}, {"required": ["check", "objects"]}, {"required": ["when", "rejected"]}],
        }
    },
}  # fmt: skip


def machine_rows(joints: int) -> list[dict[str, Any]]:
    """The machine as plain data for the peer."""
    rows: list[dict[str, Any]] = [
        {
            "pressure-space": "drum",
            "title": "Drum",
            "holds": ["biogas", "flammable"],
            "pressure": "10 bar(g)",
            "isolated-by": ["inlet", "outlet"],
            "proved-at": "PI-1",
        },
        {"isolator": "inlet", "title": "Inlet block valve", "in-service": "open", "isolates": "shut"},
        {"isolator": "outlet", "title": "Outlet block valve", "in-service": "open", "isolates": "shut"},
        {"valve": "vent", "title": "Vent", "in-service": "shut"},
        {"gauge": "PI-1", "title": "Proving gauge", "range": "0 bar(g) to 1 bar(g)", "class": "1.0"},
        {"supply": "test-gas", "title": "Test supply", "feeds": ["drum"], "up-to": "10 bar(g)"},
    ]
    for i in range(joints):
        rows += [
            {
                "part": f"cover-{i}",
                "title": f"Cover {i}",
                "closes": ["drum"],
                "held-by": f"nuts-{i}",
                "sealed-by": f"ring-{i}",
                "over": f"valve-{i}",
            },
            {"part": f"valve-{i}", "title": f"Valve {i}", "judged-by": f"leak-{i}"},
            {
                "fastener": f"nuts-{i}",
                "title": f"Nuts {i}",
                "bolts": "4 x M12, class 8.8, oiled",
                "torque": "60 N.m +/- 5 %",
                "passes": ["30 %", "70 %", "100 %"],
            },
            {"seal": f"ring-{i}", "title": f"Ring {i}", "single-use": True},
        ]
    return rows


def write(folder: Path, steps: int, joints: int | None = None, variants: int = 2) -> tuple[Path, Path]:
    """The procedure and, as YAML, the same procedure with its machine."""
    rows = procedure_rows(steps, joints)
    count = joints or rounds_for(steps)
    (folder / "bench.equip").write_text(machine_text(count, variants), encoding="utf-8")
    (folder / "bench.proc").write_text(procedure_text(rows), encoding="utf-8")
    (folder / "bench.yaml").write_text(yaml_text(rows, count), encoding="utf-8")
    return folder / "bench.proc", folder / "bench.yaml"
