"""`appraise new FILE`: a new case, from options or by asking."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from appraise.cli import inputs
from appraise.cli.diagnostics import ExitCode, WrongUse, complain, complain_of
from appraise.cli.open import interactive
from appraise.cli.options import add_date, add_tables
from appraise.cli.output import say
from appraise.model.case import SCHEMA, Kind
from appraise.model.lazy_dataclass import dataclass
from appraise.model.locale_format import PLAIN
from appraise.model.problem import InputError, Unreadable
from appraise.model.quantities import in_unit, money, number, to_base
from appraise.model.unsafe import sanitize_line

if TYPE_CHECKING:
    import argparse

    from appraise.model.case import Case
    from appraise.model.problem import Problem
    from appraise.tables.rows import Tables


@dataclass(frozen=True, slots=True)
class _Entry:
    """One thing a new case may be given."""

    option: str
    section: str
    key: str
    help: str
    question: str = ""
    """The question to a person; empty: only by option."""
    form: str = "text"
    """text | kind | number | size | money."""


_ENTRIES = (
    _Entry("kind", "identity", "kind", "grand or upright", "Grand or upright", "kind"),
    _Entry("maker", "identity", "maker", "name on the fallboard", "Maker"),
    _Entry("model", "identity", "model", "model as the maker calls it", "Model"),
    _Entry(
        "size",
        "identity",
        "size_cm",
        "length of a grand or height of an upright, in cm, or with its unit: 73in",
        "{size} in cm, or 73in",
        "size",
    ),
    _Entry("serial", "identity", "serial", "serial number", "Serial number"),
    _Entry("year", "identity", "made", "year made, or an interval: 1925/1931", "Year made, or 1925/1931"),
    _Entry("evidence", "identity", "made_evidence", "evidence for the year"),
    _Entry("tier", "identity", "tier", "standing of the maker: top, good, ordinary, stencil or unidentified"),
    _Entry("finish", "identity", "finish", "surface of the case: polyester, lacquer or shellac"),
    _Entry("key-covering", "identity", "key_covering", "covering of the naturals: plastic, celluloid or ivory"),
    _Entry("compass", "identity", "compass", "number of notes, 88 if not given", "", "number"),
    _Entry("overdamper", "identity", "overdamper", "yes or no: dampers above the hammers, in an upright", "", "truth"),
    _Entry("drop-action", "identity", "drop_action", "yes or no: action below the keys, in an upright", "", "truth"),
    _Entry("straight-strung", "identity", "straight_strung", "yes: straight-strung; no: overstrung", "", "truth"),
    _Entry("player", "identity", "player", "player or silent system: pneumatic, electronic or silent"),
    _Entry("last-tuned", "identity", "last_tuned", "when it was last tuned: 2024, 2024-05 or 2019/2022"),
    _Entry("stairs", "identity", "stairs", "flights of stairs it has to be carried up or down", "", "number"),
    _Entry("owners", "identity", "owners", "owners known, the present one among them", "", "number"),
    _Entry("purpose", "assignment", "purpose", "purpose of the valuation"),
    _Entry(
        "basis", "assignment", "basis", "kind of value: a row of `appraise sources bases`; private_sale if not given"
    ),
    _Entry("currency", "assignment", "currency", "ISO 4217 code, EUR if not given", "Currency, EUR if left open"),
    _Entry("place", "assignment", "place", "where it was inspected"),
    _Entry("assessor", "assignment", "assessor", "who inspects"),
    _Entry("client", "assignment", "client", "who asks"),
    _Entry("climate", "circumstances", "climate", "where it stood: steady, seasonal, dry_heated, tropical or coastal"),
    _Entry("use", "circumstances", "use", "how hard it worked: light, domestic, teaching or institutional"),
    _Entry("records", "circumstances", "records", "service records: complete, partial or none"),
    _Entry(
        "replacement-cost",
        "market",
        "replacement_cost_new",
        "price of a comparable instrument, new, today",
        "Replacement cost new: a comparable instrument, today",
        "money",
    ),
    _Entry("replacement-low", "market", "replacement_cost_low", "its lowest likely figure", "", "money"),
    _Entry("replacement-high", "market", "replacement_cost_high", "its highest likely figure", "", "money"),
    _Entry("replacement-source", "market", "replacement_source", "where the price is from"),
    _Entry("labour-rate", "costs", "labour_rate", "workshop's rate an hour", "Labour rate an hour", "money"),
    _Entry("parts-rate", "costs", "parts_rate", "rate an hour by which parts are priced", "", "money"),
    _Entry("overhead", "costs", "overhead_pct", "on labour and parts, in %%", "", "percent"),
    _Entry("contingency", "costs", "contingency_pct", "for what opening it shows, in %%", "", "percent"),
    _Entry("margin", "costs", "margin_pct", "of a dealer's resale, in %%", "", "percent"),
    _Entry("carriage", "costs", "carriage", "of a dealer's purchase", "", "money"),
    _Entry("preparation", "costs", "preparation", "before a resale", "", "money"),
    _Entry("guarantee", "costs", "guarantee", "what a dealer sets aside for it", "", "money"),
    _Entry("holding", "costs", "holding", "until a dealer sells it", "", "money"),
    _Entry("removal", "costs", "removal", "taking it away for good", "", "money"),
)

_METAVARS = {"kind": "KIND", "truth": "YES|NO", "number": "N", "size": "LENGTH", "money": "MONEY", "percent": "PCT"}


_Document = dict[str, Any]

DESCRIPTION = (
    "Begin a case file. What the options leave open is asked for in a terminal; an empty "
    "answer leaves it open. Assessor, currency and the like come from your settings (`appraise settings`) unless "
    "an option says otherwise. --like takes who and where, basis, currency, climate, rates and terms from another "
    "case, never what was found or what instrument it is. An existing file is never overwritten."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    parser.add_argument("file", type=Path, metavar="FILE", help="the case file to make, ending in .toml")
    for entry in _ENTRIES:
        parser.add_argument(f"--{entry.option}", metavar=_METAVARS.get(entry.form, "TEXT"), help=entry.help)
    text = "a case of the same shop: assessor, client, place, basis, currency, climate, rates and terms as there"
    parser.add_argument("--like", type=Path, metavar="CASE", help=text)
    add_date(parser, "day of the inspection; today if not given")
    add_tables(parser)


def run(args: argparse.Namespace) -> int:
    """Begin a case file.

    Raises:
        WrongUse: The file exists or is not named as a case, the kind is not said, or the person stopped.
        Unreadable: An option does not fit a case file, or the file cannot be written.
    """
    from appraise.services.letterhead import practice_begun
    from appraise.services.new_file import alike, begun_with, from_settings, from_tables, write_new
    from appraise.store.document import written
    from appraise.store.own_settings import own_settings

    own = own_settings()
    path: Path = args.file
    if path.suffix != ".toml":
        raise WrongUse(f"appraise new: found {path}, expected a name that ends in .toml")
    if path.exists() or path.is_symlink():
        raise WrongUse(f"appraise new: {path} exists and is not overwritten; choose another name")
    tables = inputs.tables_for(args.tables)
    document: _Document = {"schema": SCHEMA}
    for entry in _ENTRIES:
        given = getattr(args, entry.option.replace("-", "_"))
        if given is not None:
            _put(document, entry, given)
    today = inputs.today()
    if args.date is not None and args.date > today:
        raise WrongUse(f"appraise new: --date: found {args.date}, expected a day up to today, {today}")
    told = document.get("assignment", {})
    alike_to: dict[str, dict[str, Any]] = {}
    if args.like is not None:
        other = inputs.usable_case(args.like, tables)
        alike_to = alike(other, str(told.get("currency", "")))
    try:
        currency = str(told.get("currency", "") or alike_to.get("assignment", {}).get("currency", ""))
        begun = begun_with(own.new_case, tables, currency)
        for section, stated in begun.items():
            document[section] = {**alike_to.get(section, {}), **document.get(section, {})}
            begun[section] = {key: value for key, value in stated.items() if key not in document[section]}
            document[section] |= begun[section]
        document["assignment"]["inspected"] = args.date or today
        practice = written(practice_begun(own.practice, path))
    except InputError as refused:
        raise WrongUse(f"appraise new: {refused}") from None
    if practice:
        document["practice"] = practice
    if interactive():
        _ask(document, tables)
    elif args.kind is None:
        raise WrongUse("appraise new: found no --kind, expected --kind grand or --kind upright")
    case, problems = _checked(str(path), document, tables)
    if case is None:
        raise Unreadable(*problems)
    wrong = write_new(path, case, tables)
    complain_of(problems)
    if wrong:
        complain(f"appraise new: {sanitize_line(str(path))} is made, but its trail is not begun: {wrong}")
    say(f"{path} made; next: appraise open {path}")
    if taken := from_settings(begun, case):
        say(f"From your settings: {PLAIN.listed(taken)}.")
    if left := from_tables(case, tables):
        say(f"Not told, so from the tables: {PLAIN.listed(left)}.")
    return ExitCode.DONE


def _checked(file: str, document: _Document, tables: Tables) -> tuple[Case | None, list[Problem]]:
    from appraise.store.findings import Diagnostics
    from appraise.store.read import check_document

    findings = Diagnostics(file)
    return check_document(document, tables, findings), findings.problems


def _put(document: _Document, entry: _Entry, text: str) -> None:
    """Put an answer where it belongs, in the form the case file has it; a wrong one as it is, to be refused."""
    document.setdefault(entry.section, {})[entry.key] = _formed(entry, text.strip())


def _formed(entry: _Entry, text: str) -> object:
    if entry.form == "kind":
        return next((kind.value for kind in Kind if text and kind.value.startswith(text.casefold())), text)
    if entry.form == "number" and text.isascii() and text.isdigit() and len(text) < 10:
        return int(text)
    if entry.form == "percent":
        try:
            return number(text.removesuffix("%").rstrip())
        except InputError:
            return text
    if entry.form == "truth":
        return {"yes": True, "no": False}.get(text.casefold(), text)
    if entry.form == "size":
        try:
            return round(in_unit(text, "mm", meant="cm") / to_base(1.0, "cm")[0], 2)
        except InputError:
            return text
    if entry.form == "money":
        try:
            return f"{money(text):f}"
        except InputError:
            return text
    return text


def _ask(document: _Document, tables: Tables) -> None:
    """Ask for what is still open, each answer until it fits.

    Raises:
        WrongUse: The input ended.
    """
    open_still = [entry for entry in _ENTRIES if entry.question and entry.key not in document.get(entry.section, {})]
    if open_still:
        say("Enter alone leaves an answer open; the worksheet has all of them again. Ctrl+C makes no file.")
    for entry in open_still:
        size = "Length" if document.get("identity", {}).get("kind") == Kind.GRAND else "Height"
        while True:
            try:
                answer = input(f"{entry.question.format(size=size)}: ").strip()
            except EOFError:
                raise WrongUse("appraise new: stopped before the end; nothing was written") from None
            if not answer and entry.key != "kind":
                break
            _put(document, entry, answer)
            wrong = _wrong(document, entry, tables)
            if wrong is None:
                break
            del document[entry.section][entry.key]
            mend = f"; {wrong.mend}" if wrong.mend else ""
            say(f"  found {wrong.found}, expected {wrong.expected}{mend}")


def _wrong(document: _Document, entry: _Entry, tables: Tables) -> Problem | None:
    """Return what is wrong with one answer."""
    _, problems = _checked("", document, tables)
    return next((problem for problem in problems if problem.key == f"{entry.section}.{entry.key}"), None)
