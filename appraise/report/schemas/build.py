"""Pieces that the schemas are put together from.

Objects name every key they have today. Other keys may be added to them in time without a new version: a reader passes
over what it does not know.
"""

from __future__ import annotations

from typing import Any

Schema = dict[str, Any]

DRAFT = "https://json-schema.org/draft/2020-12/schema"

TEXT: Schema = {"type": "string"}
WHOLE: Schema = {"type": "integer"}
NUMBER: Schema = {"type": "number"}
YES_NO: Schema = {"type": "boolean"}
DAY: Schema = {"type": "string", "format": "date"}
SHA256: Schema = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
MONEY: Schema = {
    "type": "string",
    "pattern": r"^-?[0-9]+\.[0-9]{2}$",
    "description": "money, in the currency beside it",
}
PCT: Schema = {"type": "number", "description": "per cent"}
GRADE: Schema = {"type": "number", "minimum": 1, "maximum": 5, "description": "1 as new to 5 worn out"}
VERSION: Schema = {"type": "string", "pattern": "^[0-9a-f]{12}$"}
VALUE: Schema = {"type": ["number", "boolean", "string", "null"]}


def obj(**keys: Schema) -> Schema:
    """Return the schema of an object that has these keys, all of them."""
    return {"type": "object", "properties": keys, "required": list(keys)}


def listed(of: Schema) -> Schema:
    """Return the schema of a list."""
    return {"type": "array", "items": of}


def keyed(of: Schema) -> Schema:
    """Return the schema of an object with keys that hang on its content."""
    return {"type": "object", "additionalProperties": of}


def maybe(of: Schema) -> Schema:
    """Return the schema of what is null where it cannot be known."""
    return {"anyOf": [of, {"type": "null"}]}


def one_of(*words: str) -> Schema:
    """Return the schema of one of a few words."""
    return {"enum": list(words)}


def span(of: Schema) -> Schema:
    """Return the schema of a range: the 10th, 50th and 90th percentile."""
    return obj(low=of, mid=of, high=of)


def version(number: int) -> Schema:
    """Return the schema of the key that says which version of the layout an object has."""
    return {"const": number}


def published(name: str, number: int, title: str, schema: Schema) -> Schema:
    """Return a schema as it is given out: with its draft, its name and its version."""
    return {"$schema": DRAFT, "$id": f"urn:appraise:schema:{name}:{number}", "title": title, **schema}
