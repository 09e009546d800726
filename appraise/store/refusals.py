"""What is said of a value that the layout of the case file refuses."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pydantic import ValidationError

from appraise.store.findings import Diagnostics, Path, Words, listed
from appraise.store.schema import LISTS, SECTIONS, Section

if TYPE_CHECKING:
    from pydantic_core import ErrorDetails

_EXPECTED = {
    "float_type": "a number",
    "int_type": "a whole number",
    "string_type": "a text in quotes",
    "bool_type": "true or false",
    "tuple_type": "a list in square brackets",
    "finite_number": "a finite number",
}
_BOUNDS = {
    "greater_than_equal": ("a number of at least {}", "ge"),
    "greater_than": ("a number above {}", "gt"),
    "less_than_equal": ("a number of at most {}", "le"),
    "string_too_long": ("a text of at most {} characters", "max_length"),
    "string_too_short": ("a text that says something", "min_length"),
    "too_long": ("a list of at most {}", "max_length"),
    "too_short": ("a list of at least {}", "min_length"),
}
_PATTERNS = {
    "currency": "three capital letters of ISO 4217, such as EUR",
    "taken": "a date and time such as 2026-11-20T10:23:45+01:00",
    "sha256": "64 hexadecimal digits in lower case",
}


def explain(findings: Diagnostics, path: Path, section: type[Section], error: ErrorDetails) -> None:
    """Turn one error of pydantic into a problem.

    Args:
        findings: Where it goes.
        path: The table that was validated.
        section: Its model.
        error: As `ValidationError.errors()` gives it.
    """
    where = path + error["loc"]
    name = str(error["loc"][0]) if error["loc"] else ""
    kind, context = error["type"], error.get("ctx", {})
    found: object = error["input"]
    expected, mend = _EXPECTED.get(kind, ""), ""
    if kind == "extra_forbidden":
        found, expected, mend = _unknown(findings, path, section, name)
    elif kind == "missing":
        found = None
        expected = section.model_fields[name].description or "a value"
    elif kind == "refused":
        expected, mend = context["expected"], context["mend"]
    elif kind == "enum":
        expected = context["expected"].replace("'", '"')
    elif kind == "string_pattern_mismatch":
        expected = _PATTERNS.get(name, "a text that says something")
    elif kind in _BOUNDS:
        words, bound = _BOUNDS[kind]
        limit = context[bound]
        expected = words.format(f"{limit:g}" if isinstance(limit, float) else limit)
    elif kind == "float_type" and isinstance(found, str):
        mend = _unquoted(found)
    elif kind == "int_type" and isinstance(found, float) and found.is_integer():
        mend = f"write {found:.0f}"
    findings.add(where, found, expected or error["msg"], mend)


def refusal(path: Path, value: object) -> str:
    """Say what a file would expect in place of a value, so that nothing is taken that could not be written.

    Args:
        path: Its place in a case, list items as numbers.
        value: As a file has it.

    Returns:
        What was expected; empty where the file takes the value.
    """
    names = tuple(part for part in path if isinstance(part, str))
    model = SECTIONS.get(names[:-1]) or LISTS.get(names[:-1])
    if model is None or names[-1] not in model.model_fields:
        return ""
    try:
        model.model_validate({names[-1]: value})
    except ValidationError as error:
        details = [detail for detail in error.errors(include_url=False) if detail["loc"][0] == names[-1]]
    else:
        return ""
    findings = Diagnostics("")
    for detail in details[:1]:
        explain(findings, (), model, detail)
    return findings.problems[0].expected if findings.problems else ""


def home(name: str) -> str:
    """Say which table a key belongs to, or nothing where none has such a key."""
    place = next((path for path, model in SECTIONS.items() if name in model.model_fields), None)
    return f"it belongs to [{place[0]}]" if place is not None else ""


def _unquoted(text: str) -> str:
    try:
        number = float(text.replace(",", "."))
    except ValueError:
        return ""
    return f"write {number:g} without quotes"


def _unknown(findings: Diagnostics, path: Path, section: type[Section], name: str) -> tuple[Words, str, str]:
    """Say where an unknown key may belong."""
    names = list(section.model_fields)
    if path == ("market",):
        names += [place[1] for place in LISTS if place[0] == "market" and len(place) > 1]
    elsewhere = home(name) if path[:1] in SECTIONS or path[:1] in LISTS else ""  # of a case file
    mend = elsewhere or findings.nearest(name, names)
    expected = f"a key of [{'.'.join(str(part) for part in path if isinstance(part, str))}]"
    return Words("an unknown key"), expected if mend else f"{expected}: {listed(names)}", mend
