"""Everything that reads what somebody else wrote, found by looking at the program, so that nothing new is forgotten.

A reader of files is a public function below the screens whose first argument is a `path`; a reader of entries is one
whose first argument is a `text` and that says which errors it raises. What a function needs beside it is filled in by
the type of the argument. A function that cannot be called this way fails `test_targets` until it is named here.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import appraise
from appraise.evidence.imports import Said
from appraise.model.quantities import UNITS, Units
from appraise.services.quantity_limits import Quantity, quantity_of
from appraise.services.seals import Trusted
from appraise.services.trade_in import Terms
from appraise.store.own_settings import SETTINGS
from appraise.tables.layout import FILES
from appraise.tables.load import load_tables
from tests.helpers.sales import sale

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

_ABOVE = ("appraise.screens", "appraise.widgets", "appraise.app", "appraise.commands", "appraise.themes")
"""What needs Textual, and reads nothing itself."""

WRITERS = frozenset(
    {
        "appraise.store.write.write_case",
        "appraise.store.write.write_file",
        "appraise.store.write.writing",
        "appraise.services.candidates.write_candidates",
        "appraise.store.baseline.freeze",
        "appraise.services.arrival.set_before",
        "appraise.services.new_file.write_new",
        "appraise.services.new_file.write_version",
        "appraise.services.sales.write_outcome",  # writes to the book
        "appraise.services.opening.open_sheet",  # puts its lock beside the case
    }
)
"""Take a path to write to."""

WITHIN = frozenset(
    {
        "appraise.services.instruments.csv_reader.wrong",  # makes a message, opens nothing
        "appraise.services.instruments.csv_reader.rows_of",  # called by readers with what they have read
        "appraise.services.instruments.log_file.read_each",  # called by read_log with what it has read
        "appraise.tables.content.open_file",  # by every reader
        "appraise.tables.content.content_of",
        "appraise.tables.content.resolved",
        "appraise.services.trade_in.looked_up",  # by the command rank
        "appraise.model.message.fill",  # takes a message of ours
        "appraise.services.loss.state_of",  # takes what was read
        "appraise.services.report_audit.record_report",  # writes to the trail
        "appraise.services.report_audit.with_standing",
        "appraise.services.report_audit.record_document",  # writes a report and its mark
        "appraise.store.baseline.earlier_case",  # by the command loss
        "appraise.services.new_file.refuse_other_trail",  # looks for a name, opens nothing
        "appraise.store.files.opened",
        "appraise.store.read.content",  # by whatever reads a case or the settings
        "appraise.store.files.read_all",  # by what is about to be replaced
        "appraise.store.files.put",
        "appraise.store.trail.problems_of",  # by the command check
        "appraise.services.trade_in.one",  # by the command rank
        "appraise.cli.valued.valued",  # by the commands
        "appraise.services.fields.get",  # a path in a record
        "appraise.services.case_diff.unlike",
        "appraise.services.fields.replace_at",
        "appraise.store.sections.refusal",
        "appraise.store.findings.dotted",  # a path in a document
        "appraise.store.convert.convert_reading",
    }
)
"""Take a path and are reached by way of others."""


@dataclass(frozen=True, slots=True)
class Target:
    """A function to be called with something broken."""

    name: str
    function: Callable[..., object]
    raises: tuple[str, ...]
    """Errors that its docstring promises."""

    def call(self, first: object, random: Random) -> object:
        """Call it, everything beside the first argument good."""
        _, *others = inspect.signature(self.function).parameters.values()
        return self.function(first, **{item.name: _fill(item, random) for item in others if _needed(item, random)})

    def allows(self, error: BaseException) -> bool:
        """Tell whether an error is one of those that are promised."""
        names = {kind.__name__ for kind in type(error).__mro__}
        return bool(names.intersection(self.raises))


@cache
def modules() -> tuple[Any, ...]:
    """Return every module below the screens."""
    found = pkgutil.walk_packages(appraise.__path__, "appraise.")
    names = [item.name for item in found if not item.name.startswith(_ABOVE) and not item.name.endswith("__main__")]
    return tuple(importlib.import_module(name) for name in names)


@cache
def file_readers() -> tuple[Target, ...]:
    """Return every function that reads a file."""
    return tuple(
        target
        for target in _functions("path", {"Path", "FilePath"})
        if target.name not in WRITERS | WITHIN and not target.name.startswith("appraise.cli.")
    )


@cache
def entry_readers() -> tuple[Target, ...]:
    """Return every function that reads what somebody typed."""
    return tuple(item for item in _functions("text", {"str"}) if item.raises and item.name not in WITHIN)


def _functions(first: str, types: set[str]) -> list[Target]:
    found = []
    for module in modules():
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ != module.__name__ or name.startswith("_"):
                continue
            parameters = list(inspect.signature(function).parameters.values())
            if parameters and parameters[0].name == first and parameters[0].annotation in types:
                found.append(Target(f"{module.__name__}.{name}", function, _promised(function)))
    return found


def _promised(function: Callable[..., object]) -> tuple[str, ...]:
    _, _, raises = (inspect.getdoc(function) or "").partition("Raises:\n")
    return tuple(name.rpartition(".")[2] for name in re.findall(r"^    ([\w.]+):", raises, re.MULTILINE))


def _needed(item: inspect.Parameter, random: Random) -> bool:
    if item.default is inspect.Parameter.empty:
        return True
    return item.annotation in _FILLED and random.random() < 0.5


def _fill(item: inspect.Parameter, random: Random) -> object:
    made = _BY_NAME.get(item.name) or _FILLED.get(str(item.annotation))
    if made is None:
        raise LookupError(f"nothing to fill {item.name}: {item.annotation} with; teach tests/fuzz/targets.py")
    return made(random)


def _check(random: Random) -> object:
    return random.choice(list(load_tables().checks.values()))


def _quantity(random: Random) -> Quantity:
    measured = [row for row in load_tables().checks.values() if row.kind.value in {"measured", "count"}]
    return quantity_of(random.choice(measured), random.choice(("value", "downweight", "")))


def _case(random: Random) -> object:
    from appraise.model.case import Case
    from tests.fuzz.known import good_cases

    case = random.choice(good_cases())
    assert isinstance(case, Case)
    return case


_BY_NAME: dict[str, Callable[[Random], object]] = {
    "locale": lambda random: random.choice(("", "de_CH", "en_GB", "en_US", "fr_FR")),
    "currency": lambda random: random.choice(("", "EUR", "GBP", "USD", "CHF", "JPY")),
    "unit": lambda random: random.choice(["", *sorted({row.base for row in UNITS.values()})]),
    "key": lambda random: random.choice(list(load_tables().reading_ranges)),
    "low": lambda _: 0.0,
    "high": lambda _: 100.0,
    "problems": lambda _: [],
    "folder": lambda _: Path("nowhere"),
    "compass": lambda random: random.choice((12, 88, 120)),
    "first": lambda random: random.choice((1, 40, 88)),
    "chosen": lambda random: random.choice(((1,), (40, 41))),
    "most": lambda _: 88,
    "box": lambda random: (random.choice((1, 40, 1600)), random.choice((1, 30, 1600))),
    "across": lambda random: random.choice((1, 40, 200)),
    "down": lambda random: random.choice((1, 24, 60)),
    "header": lambda random: random.random() < 0.5,
}
_FILLED: dict[str, Callable[[Random], object]] = {
    "Tables": lambda _: load_tables(),
    "Units": lambda random: random.choice(list(Units)),
    "Mapping[str, Any]": lambda _: {"case": "case.toml", "trail": {"line": 1, "hash": "0"}, "amends": {"day": "x"}},
    "Said": lambda random: random.choice((Said(currency="EUR"), Said(encoding="cp1252", dates="dmy"))),
    "Check": _check,
    "Sale": lambda _: sale(),
    "Case": _case,
    "Layout": lambda random: random.choice(list(FILES.values())),
    "str": lambda _: "a file",
    "bool": lambda random: random.random() < 0.5,
    "bool | str": lambda random: random.random() < 0.5,
    "Setting": lambda random: random.choice([one for one in SETTINGS if isinstance(one.default, bool)]),
    "Sequence[Quantity]": lambda random: [_quantity(random)],
    "Mapping[str, Sequence[str]]": lambda _: {"date": ("day",), "note": ("key",), "cents": ()},
    "Sequence[str]": lambda random: random.choice(((), ("note", "cents"))),
    "Quantity": _quantity,
    "Terms": lambda _: Terms(load_tables(), draws=64),
    "Rates | None": lambda _: None,
    "Trusted": lambda _: Trusted(),
}
