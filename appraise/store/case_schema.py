"""The case file as a JSON Schema, from the models that read it, for editors and for programs that write cases."""

from __future__ import annotations

from dataclasses import MISSING, Field, fields
from typing import Any

from appraise.model.case import SCHEMA, Case
from appraise.store.fields import LONGEST_TEXT
from appraise.store.plain_case import default_of
from appraise.store.schema import LISTS, SECTIONS


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
    for path, model in SECTIONS.items():
        properties[path[0]] = _plain(model.model_json_schema(ref_template="#/$defs/{model}"), definitions)
    for path, model in LISTS.items():
        items = _plain(model.model_json_schema(ref_template="#/$defs/{model}"), definitions)
        holder = properties if len(path) == 1 else properties[path[0]]["properties"]
        holder[path[-1]] = {"type": "array", "items": items}
    required = ["schema", *(field.name for field in fields(Case) if _needed(field))]
    return {
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": False,
        "$defs": definitions,
    }


def _needed(field: Field[Any]) -> bool:
    return default_of(field) is MISSING


def _plain(schema: dict[str, Any], definitions: dict[str, Any]) -> dict[str, Any]:
    """Return a section's schema without null, which TOML does not have, its definitions put with the others."""
    definitions.update(schema.pop("$defs", {}))
    schema.pop("title", None)
    for name, value in schema["properties"].items():
        schema["properties"][name] = _without_null(value)
    return schema


def _without_null(value: dict[str, Any]) -> dict[str, Any]:
    kept = [option for option in value.get("anyOf", ()) if option != {"type": "null"}]
    plain = {key: item for key, item in value.items() if key not in {"title", "default", "anyOf"}}
    if value.get("default") not in (None, "", [], ()):
        plain["default"] = value["default"]
    if len(kept) == 1:
        return {**kept[0], **plain}
    return {**plain, "anyOf": kept} if kept else plain
