"""A case file that was not there before: written, and its trail begun with it."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any

from appraise.model.case import SCHEMA, Assignment, Circumstances
from appraise.model.market import Costs
from appraise.model.problem import InputError, Problem, Unreadable, quoted
from appraise.model.unsafe import sanitize_line
from appraise.services.journal import Journal
from appraise.store.document import written
from appraise.store.files import digest_of
from appraise.store.findings import Diagnostics, did_you_mean
from appraise.store.lock import me
from appraise.store.own_settings import SETTINGS
from appraise.store.read import check_document, parse_case, read_case
from appraise.store.trail import trail_path
from appraise.store.write import write_case, write_file

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date
    from pathlib import Path

    from appraise.model.case import Case, Kind
    from appraise.store.settings_sections import NewCaseSettings
    from appraise.tables.rows import Tables


CURRENCY = str(next(each.default for each in fields(Assignment) if each.name == "currency"))
"""Currency of a case that names none."""
_SECTIONS = {"assignment": Assignment, "circumstances": Circumstances, "costs": Costs}
SECTION: dict[str, str] = {each.name: section for section, cls in _SECTIONS.items() for each in fields(cls)}
"""In which section a case has what the settings may say of a new one."""


def begun_with(own: NewCaseSettings, tables: Tables, currency: str = "") -> dict[str, dict[str, Any]]:
    """Return what a new case takes from the settings, by section as a file has it.

    Args:
        own: The settings.
        tables: What a basis and a climate are looked up in.
        currency: That the new case is in; empty: the settings' own. In another currency their amounts are left out.

    Raises:
        InputError: The tables in force have no such basis or climate.
    """
    rows = {"basis": tables.bases, "climate": tables.climates}
    same = currency in ("", own.currency or CURRENCY)
    result: dict[str, dict[str, Any]] = {section: {} for section in _SECTIONS}
    for each in SETTINGS:
        if each.section != "new_case" or not (value := getattr(own, each.key)):
            continue
        if value not in rows.get(each.key, (value,)):
            expected, mend = (
                f"a row of the table {'bases' if each.key == 'basis' else 'climates'}",
                did_you_mean(value, rows[each.key]),
            )
            raise InputError(quoted(value), expected, mend, subject=f"new_case.{each.key} of the settings")
        if SECTION[each.key] == "costs" and not (same or each.key.endswith("_pct")):
            continue
        result[SECTION[each.key]][each.key] = each.written(value)
    return result


def case_begun(kind: Kind, inspected: date, own: NewCaseSettings, tables: Tables, currency: str = "") -> Case:
    """Return a new case, with what the settings say of every one.

    Args:
        kind: Of instrument.
        inspected: Day of the inspection.
        own: The settings.
        tables: What the case is checked against.
        currency: As for `begun_with`.

    Raises:
        InputError: The settings name a row that the tables in force do not have.
    """
    document: dict[str, Any] = {"schema": SCHEMA, "identity": {"kind": kind.value}, **begun_with(own, tables, currency)}
    document["assignment"]["inspected"] = inspected
    findings = Diagnostics("")
    case = check_document(document, tables, findings)
    if case is None:
        wrong = findings.problems[0]
        raise InputError(wrong.found, wrong.expected, wrong.mend, subject=wrong.key)
    return case


def from_settings(begun: dict[str, dict[str, Any]], case: Case) -> list[str]:
    """Return what a case has from the settings, as people read it: "labour rate 62.00".

    Args:
        begun: What they say of a new case, by section.
        case: As it was made.
    """
    said = []
    for each in SETTINGS:
        value = begun.get(SECTION.get(each.key, ""), {}).get(each.key) if each.section == "new_case" else None
        if value is not None and written(getattr(getattr(case, SECTION[each.key]), each.key)) == value:
            text = sanitize_line(f"{value:g}%" if isinstance(value, float) else str(value))
            said.append(f"{each.about.label[:1].lower()}{each.about.label[1:]} {text}")
    return said


LIKE: dict[str, tuple[str, ...]] = {
    "assignment": (
        "purpose", "basis", "currency", "place", "assessor", "client", "intended_users", "equipment", "law", "locale",
        "units",
    ),
    "circumstances": ("climate",),
    "costs": tuple(each.name for each in fields(Costs)),
}  # fmt: skip
"""Values a new case takes from another of the same shop, by section: never findings, nor the instrument's identity."""


def alike(case: Case, currency: str = "") -> dict[str, dict[str, Any]]:
    """Return what a new case takes from another, as a file has it: what is stated there.

    Args:
        case: The other.
        currency: That the new case is in; empty: the other's. In another currency its amounts are left out.
    """
    result: dict[str, dict[str, Any]] = {}
    same = currency in ("", case.assignment.currency)
    for section, keys in LIKE.items():
        held = getattr(case, section)
        stated = {key: written(value) for key in keys if (value := getattr(held, key)) not in (None, "")}
        if section == "costs" and not same:
            stated = {key: value for key, value in stated.items() if key.endswith("_pct")}
        result[section] = stated
    return result


def with_terms(case: Case, other: Case) -> Case:
    """Return a new case with the basis, the purpose, the rates and the costs of another.

    Args:
        case: The new one; in another currency it takes no amounts.
        other: Of the same shop.
    """
    asked, costs = other.assignment, other.costs
    if case.assignment.currency != asked.currency:
        costs = Costs(
            overhead_pct=costs.overhead_pct, contingency_pct=costs.contingency_pct, margin_pct=costs.margin_pct
        )
    named = replace(case.assignment, basis=asked.basis, purpose=asked.purpose, intended_users=asked.intended_users)
    return replace(case, assignment=named, costs=costs)


_TRIED = 8
"""So many of the newest files are tried."""


def last_case(paths: Iterable[Path], tables: Tables) -> tuple[Path, Case] | None:
    """Return the case that was written last and can be read; none where there is none.

    Args:
        paths: Case files.
        tables: What they are checked against.
    """
    try:
        files = sorted(paths, key=lambda path: (-path.stat().st_mtime, path.name))
    except OSError:
        return None
    for path in files[:_TRIED]:
        case = read_case(path, tables)[0]
        if case is not None:
            return path, case
    return None


def from_tables(case: Case, tables: Tables) -> list[str]:
    """Return the shares that a case leaves to the tables, as people read them: "margin 30%"."""
    words = {"overhead_pct": "overhead", "contingency_pct": "contingency", "margin_pct": "margin"}
    return [f"{word} {tables.setting(key):g}%" for key, word in words.items() if getattr(case.costs, key) is None]


def refuse_other_trail(path: Path) -> None:
    """Refuse a name beside which the trail of another case lies: the two would be taken for one.

    Raises:
        Unreadable: There is one.
    """
    trail = trail_path(path)
    if trail.exists() or trail.is_symlink():
        found = f"the trail of another case, {sanitize_line(trail.name)}, beside it"
        raise Unreadable(Problem(sanitize_line(str(path)), None, "", found, "a name that is free"))


def write_new(path: Path, case: Case, tables: Tables) -> str:
    """Write a case to a file of its own and begin its trail.

    Args:
        path: A name that is free.
        case: What to write.
        tables: What the case was made with.

    Returns:
        Why the trail could not be begun; empty when it is.

    Raises:
        Unreadable: The file exists or cannot be written, or another case has left its trail there.
    """
    refuse_other_trail(path)
    return _begun(path, case, write_case(path, case, tables, known=()))


def write_version(path: Path, text: str, tables: Tables) -> str:
    """Write a version that a report froze to a file of its own, byte for byte, and begin its trail.

    Args:
        path: A name that is free.
        text: What the trail holds of it.
        tables: What the case is checked against.

    Returns:
        Why no trail could be begun; empty when it is, or where the text is no case to these tables.

    Raises:
        OSError: The file cannot be written.
        Unreadable: Another case has left its trail there.
    """
    refuse_other_trail(path)
    content = text.encode("utf-8")
    write_file(path, content)
    case, _ = parse_case(text, tables, file=sanitize_line(path.name))
    return "" if case is None else _begun(path, case, digest_of(content))


def _begun(path: Path, case: Case, digest: str) -> str:
    journal = Journal(path, me())
    journal.begin(case, digest, None)
    journal.flush()
    return journal.trouble
