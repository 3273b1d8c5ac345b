"""What all models share: frozen, built without a second validation, places kept beside values.

The resolver makes models with `Model.make`, without validation: its own code is type-checked, and building
pydantic's validators costs more than a whole `check` (its own `model_construct` is a hundred times slower
than this on wide models). A test validates what the resolver made against the schema.
"""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Self

from pydantic import BaseModel, ConfigDict, PlainSerializer, PlainValidator, WithJsonSchema

from procforge.quantities import Quantity, read
from procforge.text import NOWHERE, Source, Span


def _span(value: object) -> Span:
    """A place, or one read back from `file:line:column`; the text itself is not at hand then."""
    if isinstance(value, Span):
        return value
    file, line, column = str(value).rsplit(":", 2)
    return Span(Source(file, ()), int(line), int(column))


def _quantity(value: object) -> Quantity:
    if isinstance(value, Quantity):
        return value
    made = read(str(value))
    if isinstance(made, Quantity):
        return made
    raise ValueError(made.message)


#: A place in the user's text, written as file:line:column.
Where = Annotated[
    Span,
    PlainValidator(_span),
    PlainSerializer(lambda s: s.place, return_type=str),
    WithJsonSchema({"type": "string", "description": "file:line:column"}),
]
#: A number with its unit, written as `60 N·m`.
Amount = Annotated[
    Quantity,
    PlainValidator(_quantity),
    PlainSerializer(str, return_type=str),
    WithJsonSchema({"type": "string", "description": "number and unit"}),
]
#: What may differ by variant: a quantity or text, names, a vent or a torque, feeds with their schemes.
Various = Annotated[
    Any,
    PlainSerializer(lambda v: str(v) if isinstance(v, Quantity) else v),
    WithJsonSchema({"anyOf": [{"type": t} for t in ("string", "array", "object")]}),
]


_set = object.__setattr__


class Model(BaseModel):
    """Base of every model: immutable, no unknown fields."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", defer_build=True, arbitrary_types_allowed=True, protected_namespaces=()
    )
    _defaults: ClassVar[dict[type, dict[str, Any]]] = {}

    @classmethod
    def make(cls, **values: Any) -> Self:
        """An instance of already typed values, without validation; what is not given has its default."""
        defaults = Model._defaults.get(cls)
        if defaults is None:
            defaults = {n: f.default for n, f in cls.model_fields.items() if not f.is_required()}
            Model._defaults[cls] = defaults
        made = cls.__new__(cls)
        _set(made, "__dict__", {**defaults, **values})
        _set(made, "__pydantic_fields_set__", set(values))
        _set(made, "__pydantic_extra__", None)
        _set(made, "__pydantic_private__", None)
        return made

    def but(self, **values: Any) -> Self:
        """A copy with some values changed."""
        return self.make(**{**self.__dict__, **values})


class Variant(Model):
    """One model of the machine with one service; either may be empty where the machine declares none."""

    model: str = ""
    service: str = ""

    @property
    def name(self) -> str:
        """`frame-L, wet-gas`, as findings print it."""
        return ", ".join(w for w in (self.model, self.service) if w) or "all"


class Scope(Model):
    """Where a value or a step applies: any of `models` and any of `services`; empty means all."""

    models: tuple[str, ...] = ()
    services: tuple[str, ...] = ()

    def holds(self, variant: Variant) -> bool:
        """Whether the variant is in scope."""
        return (not self.models or variant.model in self.models) and (
            not self.services or variant.service in self.services
        )

    @property
    def weight(self) -> int:
        """How specific the scope is: the most specific value wins."""
        return bool(self.models) + bool(self.services)

    @property
    def words(self) -> str:
        """The names as written."""
        return ", ".join(self.models + self.services)


EVERYWHERE = Scope.make()


class Valued(Model):
    """A value with the variants it is for."""

    value: Various
    scope: Scope = EVERYWHERE
    where: Where = NOWHERE


def pick(values: tuple[Valued, ...], variant: Variant) -> Any:
    """The most specific value for the variant, or None."""
    best: Valued | None = None
    for entry in values:
        if entry.scope.holds(variant) and (best is None or entry.scope.weight > best.scope.weight):
            best = entry
    return None if best is None else best.value
