"""A report computed again from what it holds: the same to the cent, or where it differs."""

from __future__ import annotations

import hashlib
import json
import re
from dataclasses import fields, replace
from datetime import date
from decimal import Decimal, InvalidOperation
from math import isclose
from typing import TYPE_CHECKING, Any

from appraise import __version__
from appraise.model.loss import Terms
from appraise.model.problem import InputError, Problem, Unreadable
from appraise.model.unsafe import sanitize_line
from appraise.report.json_text import dumps
from appraise.report.kinds import OF_A_LOSS, ReportKind
from appraise.report.outputs.catalogue import OUTPUTS
from appraise.report.provenance import Standing
from appraise.services.valuation_overrides import on_basis, on_day
from appraise.store.findings import describe
from appraise.store.read import LARGEST, parse_case
from appraise.tables.digests import row_digests

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from appraise.model.case import Case
    from appraise.report.loss.compared import StateFile
    from appraise.report.outputs.fields import Json
    from appraise.tables.rows import Tables


DRAWS = (100, 65_536)
"""Numbers of draws that a report can have been made with."""

SEEDS = (0, 2**63 - 1)

NAMED = 20
"""Rows and figures that differ and are named; more are counted."""

SHORT = 50
"""Longer texts are shown from where they part [characters]."""

_SKIP = re.compile(r"recompute\.(program|rows)|tables_version|(?:document\.sections|photos)\[.*\.problem")
"""Keys that say nothing of the figures, or are told apart: the release, the rows of the tables, places of pictures."""


def recompute(report: Mapping[str, Any], tables: Tables, file: str) -> list[Problem]:
    """Compute a report again and compare every figure and every word of it.

    Args:
        report: What `store.report_file.read_report` gave.
        tables: The rows to compute it with.
        file: How problems name it.

    Returns:
        A problem for tables that are others, with the rows that differ, and one for every figure that does; none
        where it is the same to the cent. A hint where another release wrote it.

    Raises:
        Unreadable: It is no report, or what it takes to compute it is not in it.
    """
    asked = _Asked(report, file)
    kind = asked.kind()
    again = _loss(asked, kind, tables) if kind in OF_A_LOSS else _appraisal(asked, kind, tables)
    again = json.loads(dumps(again))  # as a reader of the file gets it
    problems = [*_program(asked), *_tables(asked, tables)]
    return [*problems, *_differing(report, again, file)]


class _Asked:
    """The basis of a report's figures, each value checked as it is taken."""

    def __init__(self, report: Mapping[str, Any], file: str) -> None:
        self.report, self.file = report, file
        inner = report.get("recompute")
        if not isinstance(inner, dict):
            expected = "a report with the case it was made from"
            raise self.no("recompute", inner, expected, "write the report again; older releases left the case out")
        self.inner: Mapping[str, Any] = inner

    def no(self, key: str, found: object, expected: str, mend: str = "") -> Unreadable:
        return Unreadable(Problem(self.file, None, key, describe(found), expected, mend))

    def kind(self) -> ReportKind:
        found, schema = self.report.get("kind"), self.report.get("schema")
        known = OUTPUTS["dossier" if found in list(OF_A_LOSS) else "report"].version
        if schema != known or isinstance(schema, bool):
            raise self.no("schema", schema, f"{known}, the layout of reports that this release knows")
        if not isinstance(found, str) or found not in list(ReportKind):
            raise self.no("kind", found, f"one of {', '.join(ReportKind)}")
        return ReportKind(found)

    def whole(self, key: str, ends: tuple[int, int]) -> int:
        result = self.report.get(key)
        if not isinstance(result, int) or isinstance(result, bool) or not ends[0] <= result <= ends[1]:
            raise self.no(key, result, f"a whole number from {ends[0]} to {ends[1]}")
        return result

    def text(self, key: str) -> str:
        result = self.inner.get(key)
        if not isinstance(result, str) or not 0 < len(result.strip()) <= LARGEST:
            raise self.no(f"recompute.{key}", result, "the text of a case file")
        return result

    def case(self, key: str, tables: Tables) -> tuple[str, Case]:
        text = self.text(key)
        case, problems = parse_case(text, tables, file=f"{self.file}: recompute.{key}")
        if case is None:
            raise Unreadable(*(problem for problem in problems if problem.grave))
        return text, case

    def name(self, key: str, inner: str = "") -> str:
        found = self.report.get(key)
        found = found.get(inner) if inner and isinstance(found, dict) else found
        return sanitize_line(found) if isinstance(found, str) else ""

    def day(self, key: str) -> date | None:
        found = self.inner.get(key)
        if found is None:
            return None
        try:
            return date.fromisoformat(str(found))
        except ValueError:
            raise self.no(f"recompute.{key}", found, "a day such as 2026-11-20") from None

    def size(self, key: str) -> float | None:
        found = self.inner.get(key)
        if found is None:
            return None
        if not isinstance(found, int | float) or isinstance(found, bool) or not 0 < found < 1e6:
            raise self.no(f"recompute.{key}", found, "a size above 0")
        return float(found)


def _appraisal(asked: _Asked, kind: ReportKind, tables: Tables) -> Json:
    from appraise.report.appraisal import Asked, appraisal
    from appraise.report.outputs.value import REPORT

    text, case = asked.case("case_text", tables)
    day, basis = asked.inner.get("date"), asked.inner.get("basis")
    when: date | None = None
    try:
        if basis is not None:
            case = on_basis(case, str(basis)[:60], tables)
        if day is not None:
            when = date.fromisoformat(str(day))
            case = on_day(case, when)
    except InputError as refused:
        key = "basis" if when is None else "date"
        raise Unreadable(Problem(asked.file, None, f"recompute.{key}", *_found_and_expected(refused))) from None
    except ValueError:
        raise asked.no("recompute.date", day, "a day such as 2026-11-20") from None
    draws, seed = asked.whole("draws", DRAWS), asked.whole("seed", SEEDS)
    item = appraisal(case, tables, file=asked.name("case"), sha256=_digest(text), draws=draws, seed=seed)
    # What it amends and how far the trail went are no results: `report_trail` holds them to the trail itself.
    item = replace(item, asked=Asked(text, when, str(basis or "")), standing=_standing(asked.report))
    report: Json = REPORT.dump((item, kind))
    return report


def _standing(report: Mapping[str, Any]) -> Standing:
    amends, trail = (found if isinstance(found := report.get(name), dict) else {} for name in ("amends", "trail"))
    line = trail.get("line")
    try:
        day = date.fromisoformat(str(amends.get("day")))
    except ValueError:
        day = None
    line = line if isinstance(line, int) and not isinstance(line, bool) else 0
    return Standing(day, str(amends.get("sha256", "")), line, str(trail.get("hash", "")))


def _loss(asked: _Asked, kind: ReportKind, tables: Tables) -> Json:
    from appraise.report.outputs.loss import DOSSIER
    from appraise.services.loss import Consignment, compared

    before, after = (_state(asked, name, tables) for name in ("before", "after"))
    terms = _terms(asked)
    consignment = Consignment(asked.size("weight_kg"), asked.size("volume_m3"), asked.day("delivered"))
    draws, seed = asked.whole("draws", DRAWS), asked.whole("seed", SEEDS)
    try:
        item = compared(before, after, tables, terms=terms, consignment=consignment, draws=draws, seed=seed)
    except InputError as refused:
        raise Unreadable(Problem(asked.file, None, "recompute", *_found_and_expected(refused))) from None
    report: Json = DOSSIER.dump((replace(item, standing=_standing(asked.report)), kind))
    return report


def _state(asked: _Asked, name: str, tables: Tables) -> StateFile:
    from appraise.report.loss.compared import StateFile

    text, case = asked.case(f"{name}_text", tables)
    return StateFile(asked.name(name, "file"), _digest(text), case, text)


def _terms(asked: _Asked) -> Terms:
    """Return the terms of the policy, each a yes or no, or an amount as a decimal string."""
    found = asked.inner.get("terms")
    if not isinstance(found, dict):
        raise asked.no("recompute.terms", found, "the terms of the policy")
    given: dict[str, Any] = {}
    for field in fields(Terms):
        value, key = found.get(field.name), f"recompute.terms.{field.name}"
        if isinstance(field.default, bool):
            if not isinstance(value, bool):
                raise asked.no(key, value, "true or false")
            given[field.name] = value
        elif value is not None:
            given[field.name] = _money(asked, key, value)
    return Terms(**given)


def _money(asked: _Asked, key: str, value: object) -> Decimal:
    from appraise.services.loss import MOST

    try:
        amount = Decimal(value) if isinstance(value, str) and len(value) < 40 else Decimal("NaN")
    except InvalidOperation:
        amount = Decimal("NaN")
    if not amount.is_finite() or not 0 <= amount <= MOST:
        raise asked.no(key, value, "an amount of money as text")
    return amount


def _found_and_expected(refused: InputError) -> tuple[str, str, str]:
    return sanitize_line(refused.found), refused.expected or "a report whose parts fit", refused.mend


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def _program(asked: _Asked) -> list[Problem]:
    found = asked.inner.get("program")
    if found == __version__:
        return []
    mend = "figures and words are computed by this release; a difference may come from that"
    return [Problem(asked.file, None, "recompute.program", describe(found), __version__, mend, grave=False)]


def _tables(asked: _Asked, tables: Tables) -> list[Problem]:
    """Say which rows are others than those the report was made with."""
    stated = asked.report.get("tables_version")
    rows = asked.inner.get("rows")
    now = row_digests(tables)
    before = rows if isinstance(rows, dict) else {}
    other = [key for key in (*now, *(key for key in before if key not in now)) if before.get(key) != now.get(key)]
    if stated == tables.version:
        expected = "the rows of the tables that tables_version names"
        named = sanitize_line(", ".join(map(str, other[:NAMED])))[:200]
        return [Problem(asked.file, None, "recompute.rows", f"others at {named}", expected)] if other else []
    if not before:
        mend = "the report does not say which rows it was made with"
    elif not other:
        mend = "the rows it was made with are the same; whose they are may not be"
    else:
        mend = f"rows that differ: {', '.join(sanitize_line(str(key))[:60] for key in other[:NAMED])}"
        mend += f" and {len(other) - NAMED} more" if len(other) > NAMED else ""
    return [
        Problem(asked.file, None, "tables_version", describe(stated), f"{tables.version}, the tables used now", mend)
    ]


def _differing(report: Mapping[str, Any], again: Json, file: str) -> list[Problem]:
    found = list(differences(dict(report), again, _SKIP))
    problems = [
        Problem(file, None, sanitize_line(place)[:200], said, f"{expected} as computed again")
        for place, first, second in found[:NAMED]
        for said, expected in (_both(first, second),)
    ]
    if len(found) > NAMED:
        more = len(found) - NAMED
        problems.append(
            Problem(file, None, "", f"{more} more figures or words that differ", "the same as computed again")
        )
    return problems


def _both(first: object, second: object) -> tuple[str, str]:
    """Describe two values that differ; of two long texts, from a little before they part."""
    if isinstance(first, str) and isinstance(second, str) and max(len(first), len(second)) > SHORT:
        parting = next((n for n, (one, other) in enumerate(zip(first, second, strict=False)) if one != other), -1)
        begin = min(len(first), len(second)) if parting < 0 else parting
        begin = max(0, begin - SHORT // 2)
        first, second = (f"{'…' if begin else ''}{text[begin:]}" for text in (first, second))
    said, expected = ("nothing" if value is ABSENT else describe(value) for value in (first, second))
    return said, expected


NAMES = ("figure", "station", "component", "remedy", "check", "approach", "input", "law", "key")
"""Keys that name an item of a list, the first that it has."""

ABSENT = object()
"""Stands where one of the two has nothing."""

Difference = tuple[str, Any, Any]
"""Where, what the first has, what the second has."""


def differences(first: Any, second: Any, skip: re.Pattern[str], at: str = "") -> Iterator[Difference]:  # noqa: ANN401
    """Yield every place where two values of JSON differ, in the order of the second.

    Args:
        first: A value of JSON.
        second: Another.
        skip: Places that are not looked at, nor what is in them.
        at: Where the two stand.

    Yields:
        The place and both values; numbers that differ by less than 1 part in 10⁹ do not.
    """
    if isinstance(first, dict) and isinstance(second, dict):
        for key in (*second, *(key for key in first if key not in second)):
            inside = f"{at}.{key}".lstrip(".")
            if not skip.fullmatch(inside):
                yield from differences(first.get(key, ABSENT), second.get(key, ABSENT), skip, inside)
    elif isinstance(first, list) and isinstance(second, list):
        if len(first) != len(second):
            yield f"{at}: items", len(first), len(second)
        for place, (one, other) in enumerate(zip(first, second, strict=False), 1):
            yield from differences(one, other, skip, f"{at}[{_name(other, place)}]")
    elif not _same(first, second):
        yield at, first, second


def _name(item: Any, place: int) -> str:  # noqa: ANN401
    if isinstance(item, dict):
        for key in NAMES:
            if isinstance(item.get(key), str):
                return str(item[key])
    return str(place)


def _same(first: Any, second: Any) -> bool:  # noqa: ANN401
    numbers = (int, float)
    if isinstance(first, bool) or isinstance(second, bool):
        return first is second
    if isinstance(first, numbers) and isinstance(second, numbers):
        try:
            return isclose(first, second, rel_tol=1e-9, abs_tol=1e-9)
        except OverflowError:
            return False
    return type(first) is type(second) and bool(first == second)
