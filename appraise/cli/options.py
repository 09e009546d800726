"""Options that several commands share, each declared once."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from appraise.model.plausible import YEARS, is_likely
from appraise.model.unsafe import shorten

if TYPE_CHECKING:
    from collections.abc import Callable

    from appraise.model.locale_format import Formatter
    from appraise.model.quantities import Units


class LateParser(argparse.ArgumentParser):
    """A parser whose options are added when they are first needed, where declaring them takes heavy imports."""

    later: Callable[[], None] | None = None
    """Adds them; none: they are there."""

    def complete(self) -> None:
        """Add the options that are still missing, here and below."""
        if self.later is not None:
            later, self.later = self.later, None
            later()
        for action in self._actions:
            if isinstance(action, argparse._SubParsersAction):
                for parser in action.choices.values():
                    parser.complete()

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:  # noqa: ANN401
        """Parse as ever, the options added before."""
        if self.later is not None:
            self.complete()
        return super().parse_known_args(args, namespace)


def add_json(parser: argparse.ArgumentParser) -> None:
    """Add `--json`."""
    parser.add_argument("--json", action="store_true", help="one JSON object instead of text")


def add_tables(parser: argparse.ArgumentParser) -> None:
    """Add `--tables`."""
    text = "a folder with tables of your own, laid over ours row by row"
    parser.add_argument("--tables", type=Path, metavar="FOLDER", help=text)


def add_date(parser: argparse.ArgumentParser, text: str) -> None:
    """Add `--date`, with what the day means to the command."""
    parser.add_argument("--date", type=day, metavar="DAY", help=text)


def add_draws(parser: argparse.ArgumentParser) -> None:
    """Add `--draws` and `--seed`."""
    parser.add_argument("--draws", type=whole(100, 65_536), metavar="N", help="draws behind the range")
    parser.add_argument("--seed", type=whole(0, 2**63 - 1), metavar="N", help="seed of the draws")


def add_manner(parser: argparse.ArgumentParser, *, asks: bool = False) -> None:
    """Add `--locale` and `--units`.

    Args:
        parser: Where to add them.
        asks: The command takes quantities, which are in these units as well where they say none.
    """
    text = "figures and dates as this locale of the CLDR writes them, such as de_CH; JSON and CSV stay as they are"
    parser.add_argument("--locale", type=locale, metavar="LOCALE", help=text)
    text = "metric, or inch: inches, inch-pounds, pounds, °F"
    text += "; a number given alone is in them too, a unit that is typed wins" if asks else ""
    parser.add_argument("--units", choices=("metric", "inch"), help=text)


def units_of(args: argparse.Namespace) -> Units:
    """Return the units that `--units` asks for: those of the answer, and of what is typed without a unit."""
    from appraise.model.quantities import Units

    return Units(args.units or Units.METRIC)


def manner_asked(args: argparse.Namespace) -> Formatter:
    """Return the manner that the options of `add_manner` ask for; the house's own where they say nothing."""
    from appraise.report.wording import manner_for

    return manner_for(args.locale or "", units_of(args))


def locale(text: str) -> str:
    """Read a locale of the command line.

    Raises:
        argparse.ArgumentTypeError: The CLDR has none such.
    """
    from appraise.store.locales import EXPECTED, known_locale, nearest_locale

    result = known_locale(text)
    if result:
        return result
    mend = nearest_locale(text)
    raise argparse.ArgumentTypeError(f'found "{shorten(text)}", expected {EXPECTED}{mend and f"; {mend}"}')


def day(text: str) -> date:
    """Read a day of the command line.

    Raises:
        argparse.ArgumentTypeError: It is not a day, or none that a case can be of.
    """
    try:
        result = date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f'found "{shorten(text)}", expected a day such as 2026-11-20') from None
    if not is_likely(result):
        raise argparse.ArgumentTypeError(f'found "{shorten(text)}", expected {YEARS}')
    return result


class whole:  # noqa: N801 - reads as the type of an option
    """The type of an option that is a whole number between two bounds, both included."""

    def __init__(self, low: int, high: int) -> None:
        self._low, self._high = low, high

    def __call__(self, text: str) -> int:
        """Read a whole number of the command line.

        Raises:
            argparse.ArgumentTypeError: It is not one, or not between the bounds.
        """
        plain = text.isascii() and text.isdigit() and len(text) <= 20
        if plain and self._low <= int(text) <= self._high:
            return int(text)
        expected = f"a whole number from {self._low} to {self._high}"
        raise argparse.ArgumentTypeError(f'found "{shorten(text)}", expected {expected}')


def share(text: str) -> float:
    """Read a share of the command line, as 0.8 or 80%.

    Returns:
        The share [–], 0–1.

    Raises:
        argparse.ArgumentTypeError: It is not one.
    """
    plain = text.strip()
    try:
        number = float(plain.removesuffix("%")) / (100.0 if plain.endswith("%") else 1.0)
    except ValueError:
        number = -1.0
    if 0.0 <= number <= 1.0:
        return number
    raise argparse.ArgumentTypeError(f'found "{shorten(text)}", expected a share from 0 to 1 such as 0.8, or 80%')


def amount(text: str) -> float:
    """Read a plain number of the command line.

    Raises:
        argparse.ArgumentTypeError: It is not one, or too large to mean anything.
    """
    try:
        number = float(text)
    except ValueError:
        number = float("nan")
    if abs(number) < 1e12:
        return number
    raise argparse.ArgumentTypeError(f'found "{shorten(text)}", expected a number such as 5000')


def price(text: str) -> float:
    """Read a price of the command line, above 0.

    Raises:
        argparse.ArgumentTypeError: It is none.
    """
    try:
        number = float(text)
    except ValueError:
        number = -1.0
    if 0.0 < number < 1e12:
        return number
    raise argparse.ArgumentTypeError(f'found "{shorten(text)}", expected a price above 0 such as 6500')
