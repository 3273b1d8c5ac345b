"""The models as JSON: what the resolver makes fits the schema, reads back, and can't be changed."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from pydantic import ValidationError
from resolving import MACHINE, sound

from procforge.grammar_files import grammar_text
from procforge.model.equipment import Energy, Equipment
from procforge.model.procedure import Procedure
from procforge.model.tree import walk
from procforge.resolve.load import Library
from procforge.resolve.procedure import resolve

SHIPPED = sorted((Path(__file__).parents[1] / "procedures").rglob("*.proc"))


def examples() -> str:
    """All pieces of procedures of the language reference as one procedure, on a machine that lacks most of it."""
    pieces = [part.split("```")[0] for part in grammar_text("README.md").split("```proc\n")[1:]]
    return "\n".join(p for p in pieces if "drain.proc" not in p and "use " not in p)


def reference() -> Procedure:
    def read(path: Path) -> bytes:
        return (f'use "m.equip"\n{examples()}' if path.suffix == ".proc" else MACHINE).encode()

    return resolve(Library(read), Path("p.proc")).value


CASES = {p.name: lambda p=p: resolve(Library(), p).value for p in SHIPPED} | {
    "every statement": reference,
    "nothing": Procedure.make,
    "one step": lambda: sound("step remove cover"),
}


@pytest.mark.parametrize("name", CASES)
def test_what_the_resolver_makes_fits_the_schema_and_reads_back(name: str) -> None:
    procedure = CASES[name]()
    written = procedure.model_dump(mode="json")
    assert json.loads(json.dumps(written)) == written
    for mode in ("serialization", "validation"):
        schema = Procedure.model_json_schema(mode=mode)  # type: ignore[arg-type]
        jsonschema.Draft202012Validator.check_schema(schema)
        assert [e.message for e in jsonschema.Draft202012Validator(schema).iter_errors(written)] == []
    again = Procedure.model_validate(written)
    assert again.model_dump(mode="json") == written
    assert Procedure.model_validate(procedure.model_dump()).model_dump(mode="json") == written


def test_items_read_back_as_what_they_were() -> None:
    procedure = sound("step remove cover")
    again = Equipment.model_validate(procedure.equipment.model_dump(mode="json"))
    assert {n: type(i) for n, i in again.items.items()} == {n: type(i) for n, i in procedure.equipment.items.items()}


@pytest.mark.parametrize(
    ("change", "message"),
    [({"kind": "portal"}, "kind"), ({"colour": "red"}, "colour"), ({"where": "nowhere at all"}, "where"),
     ({"proof_good_for": "soon"}, "proof_good_for"), ({"witnessed": "perhaps"}, "witnessed")],
)  # fmt: skip
def test_what_does_not_fit_is_refused(change: dict[str, str], message: str) -> None:
    written = sound("step remove cover").equipment.model_dump(mode="json")
    written["items"]["space"] |= change
    with pytest.raises(ValidationError, match=message):
        Equipment.model_validate(written)


def test_models_are_frozen() -> None:
    space = sound("step remove cover").equipment.items["space"]
    assert isinstance(space, Energy)
    with pytest.raises(ValidationError, match="frozen"):
        space.title = "Other"  # type: ignore[misc]


def test_the_cases_hold_every_kind_of_statement_and_of_item() -> None:
    made = [make() for make in CASES.values()]
    work = {w.kind for procedure in made for w in walk(procedure.body)}
    items = {i.kind for procedure in made for i in procedure.equipment.items.values()}
    schema = Procedure.model_json_schema()["$defs"]
    kinds = {k for d in schema.values() if "kind" in d["properties"] for k in allowed(d["properties"]["kind"])}
    assert kinds - work - items <= {"call"}, "a call is tried in test_resolve_work"


def allowed(kind: dict[str, object]) -> list[object]:
    return [kind["const"]] if "const" in kind else list(kind["enum"])  # type: ignore[call-overload]
