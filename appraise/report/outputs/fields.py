"""Fields of the JSON outputs: from one declaration follow what is printed and its JSON Schema (draft 2020-12).

Objects name every key they have today. Other keys may be added to them in time without a new version: a reader passes
over what it does not know. Schemas are put together when they are asked for.
"""

from __future__ import annotations

from operator import attrgetter, itemgetter
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from appraise.report.outputs.catalogue import OUTPUTS
from appraise.report.words import literal

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping
    from datetime import date
    from decimal import Decimal

    from appraise.model.result import Range

S = TypeVar("S")
T = TypeVar("T")
U = TypeVar("U")

Json = dict[str, Any]
Schema = dict[str, Any]


class Type(Generic[T]):
    """JSON form of one kind of value, with its schema."""

    __slots__ = ("dump", "schema")

    def __init__(self, schema: Callable[[Schema], Schema], dump: Callable[[T], Any] | None = None) -> None:
        """Declare a type.

        Args:
            schema: Makes the schema; is given the definitions that `$ref` points at, to add its own.
            dump: Makes the JSON of a value, rounded; none: the value stands as it is.
        """
        self.schema = schema
        self.dump: Callable[[T], Any] = _same if dump is None else dump

    def of(self, get: Callable[[S], T]) -> Field[S]:
        """Return a field of this type that is found in another place than the attribute of its name."""
        return Field(self, get)

    def doc(self, description: str) -> Type[T]:
        """Return the same type with what a reader of the schema is told of it."""
        return Type(lambda defs: {**self.schema(defs), "description": description}, self.dump)


class Field(Generic[S]):
    """One key of an object: its type, and where its value is found."""

    __slots__ = ("absent", "get", "kind", "required")

    def __init__(
        self, kind: Type[Any], get: Callable[[S], Any], *, required: bool = True, absent: bool = False
    ) -> None:
        """Declare a field.

        Args:
            kind: Of its value.
            get: Finds the value in what the object is made from.
            required: False where the schema takes an object without it.
            absent: True where the key is left out when there is no value.
        """
        self.kind, self.get, self.required, self.absent = kind, get, required, absent


class Object(Type[S]):
    """An object with keys known beforehand, made from one value; `class_` stands for the key `class`."""

    __slots__ = ("_plan", "fields")

    def __init__(self, **fields: Type[Any] | Field[S]) -> None:
        """Declare an object; a type alone is a field found in the attribute of its name."""
        named = {key.removesuffix("_"): field for key, field in fields.items()}
        self.fields: dict[str, Field[S]] = {
            key: field if isinstance(field, Field) else Field(field, attrgetter(key)) for key, field in named.items()
        }
        self._plan = [(key, field.get, field.kind.dump, field.absent) for key, field in self.fields.items()]
        super().__init__(self._schema, self._dump)

    def within(self, get: Callable[[U], S]) -> dict[str, Field[U]]:
        """Return the fields for an object made from a value that holds this one's."""
        return {
            key: Field(field.kind, _chained(get, field.get), required=field.required, absent=field.absent)
            for key, field in self.fields.items()
        }

    def _schema(self, defs: Schema) -> Schema:
        properties = {key: field.kind.schema(defs) for key, field in self.fields.items()}
        required = [key for key, field in self.fields.items() if field.required]
        return {"type": "object", "properties": properties, "required": required}

    def _dump(self, value: S) -> Json:
        return {
            key: result if dump is _same else dump(result)
            for key, get, dump, absent in self._plan
            if (result := get(value)) is not None or not absent
        }


class Output(Object[S]):
    """An object that a command prints, as `outputs.catalogue` names it."""

    def __init__(self, name: str, /, **fields: Type[Any] | Field[S]) -> None:
        """Declare an output; its first key is `schema`, the version of its layout."""
        version = OUTPUTS[name].version
        super().__init__(schema=Field(leaf({"const": version}), lambda _: version), **fields)


def published(name: str, version: int, title: str, kind: Type[Any]) -> Schema:
    """Return a schema as it is given out: with its draft, name, version, title and definitions."""
    draft, defs = "https://json-schema.org/draft/2020-12/schema", Schema()
    head = {"$schema": draft, "$id": f"urn:appraise:schema:{name}:{version}", "title": title, **kind.schema(defs)}
    return {**head, "$defs": defs} if defs else head


def _same(value: T) -> T:
    return value


def _chained(outer: Callable[[U], S], inner: Callable[[S], Any]) -> Callable[[U], Any]:
    return lambda value: inner(outer(value))


def leaf(schema: Schema, dump: Callable[[T], Any] | None = None) -> Type[T]:
    """Return the type of values that hold no other; arguments as for `Type`."""
    return Type(lambda _: schema, dump)


def list_of(kind: Type[T]) -> Type[Iterable[T]]:
    """Return the type of a list."""
    return Type(
        lambda defs: {"type": "array", "items": kind.schema(defs)}, lambda values: [kind.dump(item) for item in values]
    )


def either(*kinds: Type[Any]) -> Type[Any]:
    """Return the type of what is one of several, for its schema alone."""
    return Type(lambda defs: {"anyOf": [kind.schema(defs) for kind in kinds]})


def map_of(kind: Type[T]) -> Type[Mapping[str, T]]:
    """Return the type of an object whose keys hang on its content."""
    return Type(
        lambda defs: {"type": "object", "additionalProperties": kind.schema(defs)},
        lambda values: {key: kind.dump(item) for key, item in values.items()},
    )


def nullable(kind: Type[T]) -> Type[T | None]:
    """Return the type of what is null where it cannot be known."""
    return Type(
        lambda defs: {"anyOf": [kind.schema(defs), {"type": "null"}]},
        lambda value: None if value is None else kind.dump(value),
    )


def stated(kind: Type[T]) -> Type[T | None]:
    """Return the type of a text that is null where it is empty."""
    return Type(nullable(kind).schema, lambda value: kind.dump(value) or None if value else None)


def recursive(name: str, kind: Callable[[], Type[T]]) -> Type[T]:
    """Return the type of an object that holds others of its own kind: a `$ref` to one definition."""

    def schema(defs: Schema) -> Schema:
        if name not in defs:
            defs[name] = {}
            defs[name] = kind().schema(defs)
        return {"$ref": f"#/$defs/{name}"}

    return Type(schema, lambda value: kind().dump(value))


def one_of(*words: str) -> Type[str]:
    """Return the type of one of a few words."""
    return leaf({"enum": [str(word) for word in words]}, str)


def number(places: int) -> Type[float]:
    """Return the type of a number rounded to so many decimals, never −0."""

    def rounded(value: float) -> float:
        result = round(value, places)
        return result or abs(result)

    return leaf({"type": "number"}, rounded)


def ends(kind: Type[Any]) -> Object[Range]:
    """Return the object of a range."""
    return Object(low=kind, mid=kind, high=kind)


def range_of(kind: Type[Any]) -> Type[Range]:
    """Return the type of a range."""
    return ends(kind).doc("10th, 50th and 90th percentile")


def in_order(**kinds: Type[Any]) -> dict[str, Field[Any]]:
    """Return the fields of an object made from a tuple, each from the item at its place."""
    return {key: Field(kind, itemgetter(place)) for place, (key, kind) in enumerate(kinds.items())}


def optional(kind: Type[Any], get: Callable[[S], Any]) -> Field[S]:
    """Return a field whose key is left out where there is no value."""
    return Field(kind, get, required=False, absent=True)


def added(kind: Type[Any], get: Callable[[S], Any]) -> Field[S]:
    """Return a field that came after its object was published: outputs of earlier releases do without."""
    return Field(kind, get, required=False)


def money(amount: float | Decimal) -> str:
    """Return an amount as a decimal string with two places."""
    result = float(amount)
    return f"{result:.2f}" if round(result, 2) else "0.00"


TEXT: Type[str] = leaf({"type": "string"})
LITERAL: Type[str] = leaf({"type": "string"}, literal)
"""Text that may have come from anywhere, made harmless."""
WHOLE: Type[int] = leaf({"type": "integer"})
NUMBER: Type[float] = leaf({"type": "number"})
YES_NO: Type[bool] = leaf({"type": "boolean"})
ANY: Type[float | bool | str | None] = leaf({"type": ["number", "boolean", "string", "null"]})
DAY: Type[date] = leaf({"type": "string", "format": "date"}, lambda day: day.isoformat())
SHA256: Type[str] = leaf({"type": "string", "pattern": "^[0-9a-f]{64}$"})
VERSION: Type[str] = leaf({"type": "string", "pattern": "^[0-9a-f]{12}$"})
_MONEY = {"type": "string", "pattern": r"^-?[0-9]+\.[0-9]{2}$", "description": "money, in the currency beside it"}
MONEY: Type[float | Decimal] = leaf(_MONEY, money)
EXACT_MONEY: Type[Decimal] = leaf(
    {
        **_MONEY,
        "pattern": r"^-?[0-9]+(\.[0-9]{1,4})?$",
        "description": "money, to the last digit, in the currency beside it",
    },
    "{:f}".format,
)
"""An amount that is rounded to the unit of its currency already."""
STATED_MONEY: Type[Decimal] = leaf(
    EXACT_MONEY.schema({}), lambda amount: f"{amount:.2f}" if amount == round(amount, 2) else f"{amount:f}"
)
"""An amount as it was stated, with two decimals or as many more as it has."""
PCT: Type[float] = leaf({"type": "number", "description": "per cent"}, number(2).dump)
SHARE: Type[float] = leaf(PCT.schema({}), lambda share: PCT.dump(100.0 * share))
"""A share of 1, written as a percentage."""
GRADE: Type[float] = leaf(
    {"type": "number", "minimum": 1, "maximum": 5, "description": "1 as new to 5 worn out"}, number(2).dump
)
TENTHS = number(1)
FACTOR = number(4)
