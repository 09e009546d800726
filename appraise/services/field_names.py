"""Fields and values of a case in the words a person knows them by, for histories and comparisons."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from appraise.model.case import STATION_LABELS, Case
from appraise.model.declaration import parts
from appraise.model.quantities import with_unit
from appraise.services.fields import NOTHING, labels_of
from appraise.services.particulars import CLAIM, CLAIM_RECORDS, RECORDS, SECTIONS
from appraise.store.plain_case import encode
from appraise.store.trail import ABSENT

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.services.fields import Field
    from appraise.tables.rows import Tables

_LISTS: Mapping[str, str] = {
    ".".join(path): one.form.one.capitalize() for path, one in parts(Case).items() if one.many and one.form is not None
}
_ABOUT = frozenset({"place", "check", "component", "clue", "components", "file"})
"""Keys that identify a record: its name says them."""

_PLAIN = frozenset({"text", "value", "grade"})
"""Keys that need no label: the text of a record."""

_ALL = (*RECORDS, *CLAIM_RECORDS)

_WHOLE = tuple(field for fields in (*(fields for _, fields in SECTIONS), CLAIM) for field in fields)
"""Fields that a case has once."""

_FIELDS: Mapping[tuple[str, ...], Field] = {
    **{tuple(map(str, field.path)): field for field in _WHOLE},
    **{
        (*records.path, *map(str, field.path)): field
        for records in (*RECORDS, *CLAIM_RECORDS)
        for field in records.fields
    },
}

_LABELS: Mapping[tuple[str, ...], str] = {
    names: field.label.strip() if field in _WHOLE else field.label.strip().lower() for names, field in _FIELDS.items()
}


def field_name(path: tuple[str | int, ...], of: str, tables: Tables) -> str:
    """Return what a path leads to, as "Maker" or "Grade · Plate finish" or "Remark · Soundboard: text".

    Args:
        path: The field, or a record of a list.
        of: What the record is about, in its keys.
        tables: For the labels of checks and components.
    """
    names = tuple(step for step in path if isinstance(step, str))
    listed = next((name for name in (".".join(names[:2]), names[0] if names else "") if name in _LISTS), None)
    if listed is None:
        label = _LABELS.get(names)
        return label if label else " ".join(names).replace("_", " ").capitalize()
    below = names[len(listed.split(".")) :]
    text = f"{_LISTS[listed]} · {_of(of, tables)}" if of else _LISTS[listed]
    if not below or below == ("grade",) or (listed == "readings" and below == ("value",)):
        return text
    return f"{text}: {_LABELS.get(names, ' '.join(below).replace('_', ' '))}"


def value_at(
    path: tuple[str | int, ...],
    of: str,
    value: Any,  # noqa: ANN401 - a value of the model or of the trail
    case: Case,
    tables: Tables,
) -> str:
    """Return what stands at a path as a person reads it there: a figure with its unit, a choice by its label.

    Args:
        path: The field, or a record of a list.
        of: What the record is about, in its keys.
        value: What stands, or stood, there.
        case: Whose choices are meant; money has no unit, for the currency may have been another then.
        tables: For labels and units.
    """
    names = tuple(step for step in path if isinstance(step, str))
    value = value if value is ABSENT else encode(value)
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if number and names == ("readings", "value"):
        check = tables.checks.get(of.partition(" ")[0])
        return with_unit(float(value), "" if check is None else check.unit)
    field = _FIELDS.get(names)
    if field is not None and number and field.unit:
        return f"{value_words(value)} {field.unit}"
    if field is not None and isinstance(value, str | list) and value:
        labels = labels_of(field, case, tables)
        keys = value if isinstance(value, list) else [value]
        if all(isinstance(key, str) and key in labels for key in keys):
            return ", ".join(labels[key] for key in keys)
    return value_words(value)


def value_words(value: Any) -> str:  # noqa: ANN401 - a value of the model or of the trail
    """Return a value as one line a person reads."""
    if value is ABSENT:
        return "not there"
    plain = encode(value)
    if plain is None or plain == "" or plain in ([], {}):
        return NOTHING
    if isinstance(plain, bool):
        return "yes" if plain else "no"
    if isinstance(plain, float):
        return f"{plain:g}"
    if isinstance(plain, list):
        return ", ".join(value_words(item) for item in plain)
    if isinstance(plain, dict):
        if plain.keys() == {"earliest", "latest"}:
            return _span(str(plain["earliest"]), str(plain["latest"]))
        told = {name: value_words(item) for name, item in plain.items() if name not in _ABOUT}
        if isinstance(plain.get("value"), float | int) and not isinstance(plain["value"], bool):
            # A reading is said with its unit, as everywhere.
            told["value"] = with_unit(float(plain["value"]), str(plain.get("unit", "")))
            told.pop("unit", None)
        return (
            ", ".join(words if name in _PLAIN else f"{name.replace('_', ' ')} {words}" for name, words in told.items())
            or NOTHING
        )
    return " ".join(str(plain).split()) or NOTHING


def _span(earliest: str, latest: str) -> str:
    if earliest == latest:
        return earliest
    if earliest.endswith("-01-01") and latest.endswith("-12-31"):
        first, last = earliest[:4], latest[:4]
        return first if first == last else f"{first}/{last}"
    return f"{earliest}/{latest}"


def _of(of: str, tables: Tables) -> str:
    key, _, rest = of.partition(" ")
    for table in (tables.checks, tables.components):
        row = table.get(key)
        if row is not None:
            return f"{row.label} {rest}".rstrip()
    if of in STATION_LABELS:
        return STATION_LABELS[of]
    parts = [tables.components[part].label if part in tables.components else part for part in of.split(", ")]
    return ", ".join(parts)
