"""JSON as text, in one way for every output: what could control a terminal or reorder a line is escaped."""

from __future__ import annotations

import json

from appraise.model.unsafe import in_json


def dumps(value: object) -> str:
    """Return one JSON object as text: keys in the order given, indented, UTF-8, ending in a line feed.

    Raises:
        ValueError: A number in it is not finite.
    """
    return in_json(json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False)) + "\n"


def line(value: object) -> str:
    """Return a value as JSON on one line, without a line feed.

    Raises:
        ValueError: A number in it is not finite.
    """
    return in_json(json.dumps(value, ensure_ascii=False, allow_nan=False))
