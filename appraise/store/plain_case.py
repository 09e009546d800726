"""A case or a part of one as plain JSON values and back, exactly: also one that is not finished enough to be a file.

The case file's own reader refuses what is half filled in, such as a remark without words yet. What a person
has typed must come back all the same, so the trail keeps it in this form.
"""

from __future__ import annotations

import sys
import types
from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from typing import Any, Union, get_args, get_origin

from appraise.model.case import Case
from appraise.model.declaration import hints, parts
from appraise.model.unsafe import clean


class DecodeError(Exception):
    """A plain value that cannot be read as what it should be."""


def encode(value: Any) -> Any:  # noqa: ANN401 - any field of the model
    """Return a value of the model as JSON has it; fields at their default are left out, control characters replaced."""
    if isinstance(value, StrEnum):
        return value.value
    if isinstance(value, str):
        return clean(value)
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return [encode(item) for item in value]
    if is_dataclass(value):
        return {
            item.name: encode(kept) for item in fields(value) if (kept := getattr(value, item.name)) != default_of(item)
        }
    return value


def default_of(item: Field[Any]) -> object:
    """Return what a field of the model holds when nobody says otherwise; `MISSING` where it must be said."""
    return item.default_factory() if item.default_factory is not MISSING else item.default


def decode_case(plain: Any) -> Case:  # noqa: ANN401 - whatever JSON holds
    """Return the case that was encoded.

    Raises:
        DecodeError: It is none.
    """
    case = decode(Case, plain)
    if not isinstance(case, Case):
        raise DecodeError("not a case")
    return case


def decode(kind: Any, plain: Any) -> Any:  # noqa: ANN401 - a type and whatever JSON holds
    """Return the value that was encoded.

    Args:
        kind: Its type, as an annotation of the model has it.
        plain: What `encode` gave.

    Raises:
        DecodeError: The two do not belong together.
    """
    origin, options = get_origin(kind), get_args(kind)
    if origin in (Union, types.UnionType):
        return _one_of(options, plain)
    if origin is tuple:
        if not isinstance(plain, list):
            raise DecodeError(f"found {type(plain).__name__}, expected a list")
        return tuple(decode(options[0], item) for item in plain)
    if is_dataclass(kind):
        return _record(kind, plain)
    return _leaf(kind, plain)


def field_type(path: tuple[str | int, ...]) -> Any:  # noqa: ANN401 - an annotation of the model
    """Return the type of the field a path leads to.

    Raises:
        DecodeError: A case has no such field.
    """
    kind: Any = Case
    for step in path:
        if isinstance(step, int):
            if get_origin(kind) is not tuple:
                raise DecodeError(f"no list at {path}")
            kind = get_args(kind)[0]
        elif isinstance(kind, type) and is_dataclass(kind) and step in hints(kind):
            kind = hints(kind)[step]
        else:
            raise DecodeError(f"no field {path}")
    return kind


def _record(kind: Any, plain: Any) -> Any:  # noqa: ANN401
    types = hints(kind)
    if not isinstance(plain, dict) or not plain.keys() <= types.keys():
        raise DecodeError(f"not a {kind.__name__}")
    for item in fields(kind):
        if item.name not in plain and default_of(item) is MISSING:
            raise DecodeError(f"a {kind.__name__} without {item.name}")
    try:
        return kind(**{name: decode(types[name], value) for name, value in plain.items()})
    except ValueError as error:
        raise DecodeError(str(error)) from None


def _one_of(options: tuple[Any, ...], plain: Any) -> Any:  # noqa: ANN401
    for option in options:
        try:
            return decode(option, plain)
        except DecodeError:
            continue
    raise DecodeError(f"{type(plain).__name__} fits none of several")


def _leaf(kind: Any, plain: Any) -> Any:  # noqa: ANN401
    if kind is type(None) and plain is None:
        return None
    number = isinstance(plain, int | float) and not isinstance(plain, bool)
    if kind in (int, float) and number and (kind is float or isinstance(plain, int)):
        # A float that the case held as a whole number stays one: the two are equal.
        if kind is float and not -sys.float_info.max <= plain <= sys.float_info.max:
            raise DecodeError("not a number of ordinary size")
        return float(plain) if kind is float else plain
    if kind in (bool, str) and type(plain) is kind:
        return plain
    if isinstance(plain, str):
        try:
            if kind is Decimal:
                return Decimal(plain)
            if kind is date:
                return date.fromisoformat(plain)
            if isinstance(kind, type) and issubclass(kind, StrEnum):
                return kind(plain)
        except (ValueError, InvalidOperation):
            pass
    raise DecodeError(f"found {type(plain).__name__}, expected {getattr(kind, '__name__', kind)}")


def record_lists() -> tuple[tuple[str, ...], ...]:
    """Return the paths of every list of records in a case."""
    return tuple(path for path, one in parts(Case).items() if one.many)
