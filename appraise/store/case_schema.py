"""The case file as a JSON Schema, from the declaration of the case, for editors and for programs that write cases."""

from __future__ import annotations

from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from appraise.model.case import SCHEMA, Case
from appraise.model.declaration import (
    LONGEST_LIST,
    LONGEST_TEXT,
    Chars,
    HalfStep,
    Measured,
    Money,
    NoteNumber,
    Number,
    Quantity,
    declared,
)
from appraise.model.plausible import EARLIEST_YEAR, LATEST_YEAR, MONEY_DIGITS
from appraise.model.span import Span
from appraise.store.document import written
from appraise.store.sections import LISTS, SECTIONS
from appraise.store.values import GREATEST

if TYPE_CHECKING:
    from appraise.model.declaration import Declared
    from appraise.store.sections import Table

_DIGITS = rf"0{{0,19}}[0-9]{{1,{MONEY_DIGITS}}}(\.[0-9]{{1,4}})?$"
_MONEY = {
    Money(): (f"^-?{_DIGITS}", "money"),
    Money(0): (rf"^(-(?=0*(\.0*)?$))?{_DIGITS}", "money, 0 or more"),
    Money(0, above=True): (rf"^(?!0*(\.0*)?$){_DIGITS}", "money, above 0"),
    Money(1): (rf"^(?!0+(\.|$)){_DIGITS}", "money, 1 or more"),
}
_YEAR = r"(1[6-9][0-9]{2}|2[01][0-9]{2}|2200)"
"""Years from `EARLIEST_YEAR` to `LATEST_YEAR`."""
_SOME_DAY = rf"{_YEAR}(-[0-9]{{2}}(-[0-9]{{2}})?)?"
_WHEN = {
    "anyOf": [
        {"type": "integer", "minimum": EARLIEST_YEAR, "maximum": LATEST_YEAR},
        {"type": "string", "pattern": rf"^\s*{_SOME_DAY}\s*(/\s*{_SOME_DAY}\s*)?$", "maxLength": 40},
    ],
    "description": "a year, a month, a day, or two of them with a slash between",
}
_DAY = {"type": "string", "format": "date", "pattern": f"^{_YEAR}-"}
_MEASURED = {
    "anyOf": [
        {"type": "number", "minimum": -GREATEST, "maximum": GREATEST},
        {"type": "boolean"},
        {"type": "string", "maxLength": LONGEST_TEXT},
    ]
}
_GRADE = {"type": "number", "minimum": 1, "maximum": 5, "multipleOf": 0.5}
_NOTE = {
    "anyOf": [
        {"type": "integer", "minimum": -999, "maximum": 999},
        {"type": "string", "pattern": "^\\s*([0-9]{1,2}|[A-Ga-g][#♯b♭]?[0-8])\\s*$", "maxLength": 10},
    ]
}
_QUANTITY = {"type": "string", "maxLength": 40, "pattern": r"^\s*[-+−]?[0-9]{1,6}([.,][0-9]{1,9})?\s*[^0-9\s]"}
"""A number with another unit behind it: how much that is, the text does not tell."""


def case() -> dict[str, Any]:
    """Return the schema of a case file whose TOML has been turned into JSON, days into texts.

    It says what each key alone may hold. Names are checked against the tables, and sections against each other, by
    `appraise check`.
    """
    definitions: dict[str, Any] = {}
    properties: dict[str, Any] = {
        "schema": {"const": SCHEMA, "description": "version of the layout"},
        "invented": {"type": "string", "maxLength": LONGEST_TEXT, "description": "says that all of it is invented"},
    }
    for path, table in SECTIONS.items():
        properties[path[0]] = _table(table, f"`[{path[0]}]`.", definitions)
    for path, table in LISTS.items():
        holder = properties if len(path) == 1 else properties[path[0]]["properties"]
        items = _table(table, f"One of `[[{'.'.join(path)}]]`.", definitions)
        holder[path[-1]] = {"type": "array", "items": items}
    return {
        "type": "object",
        "properties": properties,
        "required": ["schema", *(name for name, one in declared(Case).items() if one.missing)],
        "additionalProperties": False,
        "$defs": definitions,
    }


def _table(table: Table, description: str, definitions: dict[str, Any]) -> dict[str, Any]:
    required = [name for name, one in table.keys.items() if one.missing]
    return {
        "additionalProperties": False,
        "description": description,
        "properties": {name: _field(one, definitions) for name, one in table.keys.items()},
        **({"required": required} if required else {}),
        "type": "object",
    }


def _field(one: Declared, definitions: dict[str, Any]) -> dict[str, Any]:
    made = _value(one, definitions)
    if one.many:
        made = {"items": made, "maxItems": LONGEST_LIST, "type": "array", **({"minItems": 1} if one.some else {})}
    if one.form is not None:
        made = {**made, "title": one.form.label.strip(), **({"description": one.form.help} if one.form.help else {})}
    if one.expected:
        made = {**made, "description": one.expected}
    if not one.missing and one.default not in (None, "", ()):
        made = {**made, "default": written(one.default)}
    return made


def _value(one: Declared, definitions: dict[str, Any]) -> dict[str, Any]:
    rule, kind = one.rule, one.type
    match rule:
        case Chars():
            bounds = (("maxLength", rule.most), ("minLength", rule.least), ("pattern", rule.pattern))
            return {"type": "string", **{key: bound for key, bound in bounds if bound}}
        case Money():
            pattern, description = _MONEY[rule]
            return {"type": "string", "pattern": pattern, "description": description}
        case Quantity():
            number = {"type": "number", "minimum": rule.low, "maximum": rule.high, "description": rule.unit}
            return {"anyOf": [number, _QUANTITY]}
        case Measured():
            return _MEASURED
        case HalfStep():
            return _GRADE
        case NoteNumber():
            return _NOTE
        case Number():
            low, high = ("exclusiveMinimum", "exclusiveMaximum")
            low, high = low if rule.low_open else "minimum", high if rule.high_open else "maximum"
            return {"type": "integer" if kind is int else "number", low: rule.low, high: rule.high}
    if issubclass(kind, StrEnum):
        words = [word.value for word in kind]
        definitions[kind.__name__] = {
            "description": kind.__doc__,
            "enum": words,
            "title": kind.__name__,
            "type": "string",
        }
        return {"$ref": f"#/$defs/{kind.__name__}"}
    plain: dict[Any, dict[str, Any]] = {date: _DAY, Span: _WHEN, bool: {"type": "boolean"}, int: {"type": "integer"}}
    return plain[kind]
