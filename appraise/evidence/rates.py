"""A dated table of exchange rates of one's own, for sales in several currencies."""

from __future__ import annotations

import csv
import io
from bisect import bisect_right
from typing import TYPE_CHECKING

from appraise.evidence.cells import Refused, day, number, quoted
from appraise.model.currency import DIGITS
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import Problem, Unreadable
from appraise.tables.content import content_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date
    from decimal import Decimal
    from pathlib import Path

LARGEST = 16_000_000
OLDEST = 31
"""Days after which a rate no longer stands for a sale; our assumption."""


@dataclass(frozen=True, slots=True)
class Rates:
    """Worth of a unit of other currencies, by day."""

    into: str
    by_code: Mapping[str, tuple[tuple[date, Decimal], ...]]
    """Currency → (day, units of `into` for one of it), by day."""

    def at(self, code: str, when: date) -> tuple[Decimal, date]:
        """Return the last rate before a day or on it, and its day.

        Raises:
            Refused: There is none, or it is more than `OLDEST` days old.
        """
        known = self.by_code.get(code, ())
        place = bisect_right(known, when, key=lambda each: each[0])
        if place and (when - known[place - 1][0]).days <= OLDEST:
            return known[place - 1][1], known[place - 1][0]
        raise Refused(
            f"{code} on {when}", f"a rate into {self.into} of the {OLDEST} days before", "add it to the rates"
        )


def read_rates(path: Path, into: str) -> Rates:
    """Read a file of rates: date, currency, rate, with a heading line.

    Args:
        path: The file, UTF-8, comma, semicolon or tab between the columns.
        into: The currency that the rates are in.

    Raises:
        Unreadable: It cannot be used; carries every problem.
    """
    try:
        text = content_of(path, LARGEST).decode("utf-8-sig")
    except (OSError, ValueError) as error:
        found = f"“{getattr(error, 'strerror', '') or error}”"
        raise Unreadable(Problem(str(path), None, "", found, "a table of rates in UTF-8")) from None
    mark = max(";\t,", key=text.partition("\n")[0].count)
    problems: list[Problem] = []
    found_rates: dict[str, dict[date, Decimal]] = {}
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    try:
        next(reader, None)
        for row in reader:
            if any(cell.strip() for cell in row):
                _one(row, found_rates)
    except Refused as wrong:
        problems.append(Problem(str(path), reader.line_num, "", wrong.found, wrong.expected, wrong.mend))
    except csv.Error as error:
        problems.append(Problem(str(path), reader.line_num, "", f"“{error}”", "separated values"))
    if not found_rates and not problems:
        problems.append(Problem(str(path), None, "", "no rates", "lines of date, currency, rate below a heading"))
    if problems:
        raise Unreadable(*problems)
    return Rates(into, {code: tuple(sorted(days.items())) for code, days in found_rates.items()})


def _one(row: list[str], found: dict[str, dict[date, Decimal]]) -> None:
    if len(row) != 3:
        raise Refused(f"{len(row)} cells", "date, currency, rate")
    code, rate = row[1].strip().upper(), number(row[2], "," if "," in row[2] else ".")
    if code not in DIGITS:
        raise Refused(quoted(row[1]), "a currency of ISO 4217")
    if not 0 < rate < 10**6:
        raise Refused(quoted(row[2]), "a rate above 0")
    found.setdefault(code, {})[day(row[0])] = rate
