"""A foreign file of sales read line by line: columns matched by their headings, each line taken or refused alone."""

from __future__ import annotations

import codecs
import csv
import hashlib
import io
from dataclasses import field
from decimal import Decimal
from typing import TYPE_CHECKING

from appraise.evidence import cells
from appraise.evidence.cells import Refused, folded, quoted
from appraise.evidence.sale import COLUMNS, MONEY, Sale
from appraise.model.case import Kind
from appraise.model.currency import DIGITS, minor_digits
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import Problem, Unreadable
from appraise.model.unsafe import CONTROL, REPLACEMENT
from appraise.tables.content import open_file

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from datetime import date
    from pathlib import Path

    from appraise.evidence.rates import Rates
    from appraise.tables.rows import Tables

HEADINGS: dict[str, tuple[str, ...]] = {
    "date": ("day", "sold on", "date of sale", "sale date", "sold", "datum", "verkauft am", "date de vente"),
    "kind": ("type", "instrument", "category", "art", "genre"),
    "price": ("sold for", "price sold", "sale price", "selling price", "amount", "preis", "verkaufspreis", "prix"),
    "currency": ("cur", "ccy", "währung", "devise"),
    "sale": ("channel", "kind of sale", "sold as", "type of sale", "verkaufsart"),
    "made": ("year", "year made", "built", "year built", "age year", "baujahr", "année"),
    "maker": ("make", "brand", "manufacturer", "hersteller", "marque", "facteur"),
    "maker_class": ("class", "tier", "maker class", "standing", "klasse"),
    "size_cm": ("size", "length", "height", "cm", "size in cm", "größe", "länge", "höhe", "taille"),
    "grade": ("condition", "general condition", "note 1 to 5", "zustand", "état"),
    "price_new": ("new", "new price", "price when new", "list price", "replacement cost", "neupreis", "prix neuf"),
    "asked": ("asking", "asking price", "price asked", "list", "angebotspreis"),
    "bought": ("bought for", "purchase price", "cost price", "einkaufspreis"),
    "costs": ("work", "costs of work", "expenses", "kosten"),
    "days": ("days to sell", "days on market", "standtage"),
    "low": ("valued low",),
    "middle": ("valued", "valuation", "estimate", "schätzwert"),
    "high": ("valued high",),
    "tables_version": (),
    "case_file": ("case",),
    "case_sha256": (),
    "note": ("notes", "remarks", "comment", "bemerkung", "remarque"),
}
"""Column → other headings that mean it; a heading counts without case, accents and punctuation."""

REQUIRED = ("date", "kind", "price")
_KINDS = {
    **dict.fromkeys(("grand", "grandpiano", "babygrand", "concertgrand", "flugel", "pianoaqueue"), "grand"),
    **dict.fromkeys(("upright", "uprightpiano", "vertical", "klavier", "pianino", "pianodroit"), "upright"),
}
_OURS = ("file", "file_sha256", "line")
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
_LONGEST = 2000
"""Characters of a text that are kept."""
_COLUMNS = 200
_LINE = 1_000_000
"""Bytes of a line, at most: no memory is filled by a file that is none of sales."""


@dataclass(frozen=True, slots=True)
class Said:
    """What a person said of a file that it does not say itself."""

    currency: str = ""
    """Of amounts that name none."""
    sale: str = "retail"
    """Kind of sale of rows that name none."""
    dates: str = ""
    decimal: str = ""
    encoding: str = ""
    columns: Mapping[str, str] = field(default_factory=dict)
    """Heading → column; an empty column passes a heading over."""
    rates: Rates | None = None
    today: date | None = None
    """No sale is of a later day; none: any day."""


@dataclass(frozen=True, slots=True)
class Headed:
    """A file whose headings are known."""

    path: Path
    sha256: str
    encoding: str
    mark: str
    headings: tuple[str, ...]
    columns: tuple[str, ...]
    """The column of each heading; empty: passed over."""


def headed(path: Path, said: Said) -> Headed:
    """Look at a whole file once: that it is text, what parts its columns, what its headings mean.

    Args:
        path: The file; comma, semicolon or tab between the columns, headings in its first line.
        said: What was said of it.

    Raises:
        Unreadable: It is no such file; carries the line that says so.
    """
    encoding, sha256 = _checked(path, said.encoding)
    with _text(path, encoding) as stream:
        first = next((line for line in stream if line.strip()), "")
    if not first:
        raise Unreadable(Problem(str(path), None, "", "an empty file", "headings, and sales below them"))
    mark = max(";\t,", key=lambda each: (first.count(each), each == ";"))
    (names,) = csv.reader([first], delimiter=mark)
    names = [name.strip() for name in names]
    if len(names) > _COLUMNS:
        raise Unreadable(Problem(str(path), 1, "", f"{len(names):,} columns", f"{_COLUMNS} at most"))
    known = {folded(each): key for key, more in HEADINGS.items() for each in (key, *more)}
    told = {folded(heading): column for heading, column in said.columns.items()}
    columns = tuple(told[folded(name)] if folded(name) in told else known.get(folded(name), "") for name in names)
    problems = [
        Problem(str(path), 1, heading, "no such heading in the file", "one of its headings", ", ".join(names)[:200])
        for heading in said.columns
        if folded(heading) not in map(folded, names)
    ]
    problems += [
        Problem(str(path), 1, key, f"{columns.count(key)} columns for it", "one", f"--map HEADING={key} names it")
        for key in HEADINGS
        if columns.count(key) > 1 or (key in REQUIRED and key not in columns)
    ]
    if problems:
        raise Unreadable(*problems)
    return Headed(path, sha256, encoding, mark, tuple(names), columns)


_MARKS = {codecs.BOM_UTF32_LE: "utf-32", codecs.BOM_UTF32_BE: "utf-32"}
_MARKS |= {codecs.BOM_UTF16_LE: "utf-16", codecs.BOM_UTF16_BE: "utf-16"}
"""Byte-order marks, the longer first: that of UTF-32 begins as that of UTF-16 does."""
_START = 400
"""Bytes by which a file is told from text."""


def _encoding(start: bytes, path: Path) -> str:
    """Return the encoding that a file begins like.

    Raises:
        Unreadable: It begins like no text that can be read so.
    """
    if start.startswith(b"PK\x03\x04"):
        mend = "save it as CSV in the spreadsheet first"
        raise Unreadable(Problem(str(path), None, "", "a ZIP archive, as spreadsheets save", "a CSV file", mend))
    for mark, encoding in _MARKS.items():
        if start.startswith(mark):
            return encoding
    places = [at % 2 for at, byte in enumerate(start) if not byte]
    if len(places) > len(start) // 4:
        mend = f"--encoding utf-16-{'le' if sum(places) > len(places) / 2 else 'be'} reads it"
        raise Unreadable(Problem(str(path), 1, "", "zero bytes as of UTF-16 without its mark", "text in UTF-8", mend))
    return "utf-8-sig"


def _checked(path: Path, stated: str) -> tuple[str, str]:
    """Return the encoding of a file and its digest, every byte of it looked at, in bounded memory."""
    digest, line, length = hashlib.sha256(), 1, 0
    block = b""
    try:
        with open_file(path) as stream:
            encoding = stated or _encoding(stream.read(_START), path)
            decoder = codecs.getincrementaldecoder(encoding)()
            stream.seek(0)
            while block := stream.read(65_536):
                digest.update(block)
                decoder.decode(block)
                line += block.count(b"\n")
                end = max(block.rfind(b"\n"), block.rfind(b"\r"))
                length = len(block) - end if end >= 0 else length + len(block)
                if length > _LINE:
                    found = f"a line of more than {_LINE:,} bytes"
                    raise Unreadable(Problem(str(path), line, "", found, "a line for each sale"))
            decoder.decode(b"", True)
    except UnicodeDecodeError as error:
        bad = f"byte 0x{error.object[error.start]:02x}"
        line += error.object.count(b"\n", 0, error.start)
        mend = "--encoding cp1252 reads it as most spreadsheets of the West save it"
        raise Unreadable(
            Problem(str(path), line, "", bad, f"text in {encoding.removesuffix('-sig').upper()}", mend)
        ) from None
    except (OSError, ValueError) as error:
        raise Unreadable(
            Problem(str(path), None, "", f"“{getattr(error, 'strerror', '') or error}”", "a file of sales")
        ) from None
    return encoding, digest.hexdigest()


def _text(path: Path, encoding: str) -> io.TextIOWrapper:
    return io.TextIOWrapper(open_file(path), encoding=encoding, newline="")


def sales(file: Headed, said: Said, tables: Tables, refuse: Callable[[Problem], None]) -> Iterator[Sale]:
    """Yield the sales of a file, a line at a time; each line that cannot be taken is refused and the next is read.

    Args:
        file: As from `headed`.
        said: What was said of it.
        tables: Classes of makers and kinds of sale.
        refuse: Takes the problem of each line that is left out.

    Raises:
        Unreadable: The file cannot be read on.
    """
    words = _words(tables)
    line = 1
    try:
        with _text(file.path, file.encoding) as stream:
            reader = csv.reader(stream, delimiter=file.mark, strict=True)
            head = False
            for row in reader:
                begin, line = line, reader.line_num + 1
                if not any(cell.strip() for cell in row):
                    continue
                if not head:
                    head = True
                    continue
                try:
                    yield _sale(file, row, begin, said, words)
                except _Cell as wrong:
                    refuse(Problem(str(file.path), begin, *wrong.args))
    except (csv.Error, UnicodeError, OSError) as error:
        mend = "nothing of the file was taken; is a quotation mark left open?"
        raise Unreadable(Problem(str(file.path), line, "", f"“{error}”", "separated values", mend)) from None


class _Cell(Exception):
    """A cell that was refused: heading, found, expected, mend."""


def _words(tables: Tables) -> dict[str, tuple[dict[str, str], str]]:
    tiers = {row.key: row.label for row in tables.market_factors.values() if row.factor == "tier"}
    bases = {key: row.label for key, row in tables.bases.items() if row.method in ("market", "residual")}
    found = {"kind": (_KINDS, " or ".join(Kind))}
    for column, labels in (("maker_class", tiers), ("sale", bases)):
        spelt = {folded(each): key for key, label in labels.items() for each in (key, label)}
        found[column] = (spelt, f"one of {', '.join(labels)}")
    return found


def _sale(file: Headed, row: list[str], line: int, said: Said, words: Mapping[str, tuple[dict[str, str], str]]) -> Sale:
    if len(row) != len(file.headings):
        mend = "with a decimal comma, part the columns by semicolons" if file.mark == "," else ""
        raise _Cell("", f"{len(row)} cells", f"{len(file.headings)}, one a column", mend)
    given = {column: cell.strip() for column, cell in zip(file.columns, row, strict=True) if column and cell.strip()}
    heading = dict(zip(file.columns, file.headings, strict=True))
    column = ""
    try:
        for column in REQUIRED:
            if column not in given:
                raise Refused("nothing", "something there")
        column = "date"
        found: dict[str, object] = {"date": (sold := cells.day(given["date"], said.dates))}
        if said.today is not None and sold > said.today:
            raise Refused(str(sold), "a day that has been")
        for column, cell in given.items():
            if column not in MONEY and column not in ("date", "currency"):
                found[column] = _value(column, cell, sold, said, words)
        amounts, codes = {}, {}
        for column in MONEY:
            if column in given:
                amounts[column], codes[column] = cells.money(given[column], said.decimal)
        column = "currency"
        stated = given.get("currency", "").upper()
        named = {code for code in (*codes.values(), stated) if code not in ("", cells.DOLLAR)} or {said.currency}
        if cells.DOLLAR in codes.values() and not named <= cells.DOLLARS:
            mend = "a column of currencies, or --currency USD, says which"
            raise Refused(f"a dollar sign and {named.pop() or 'no currency'}", "the code of that dollar", mend)
        if len(named) > 1:
            raise Refused(" and ".join(sorted(named)), "one currency a line")
        code = named.pop()
        if code not in DIGITS:
            raise Refused(
                quoted(code) if code else "nothing", "a currency of ISO 4217", "" if code else "--currency EUR says it"
            )
        if said.rates is not None and code != said.rates.into:
            amounts, found["note"] = _brought(amounts, code, sold, said.rates, str(found.get("note", "")))
            code = said.rates.into
        column = "low"
        range_ = [amounts[key] for key in ("low", "middle", "high") if key in amounts]
        if len(range_) in (1, 2) or range_ != sorted(range_):
            raise Refused("/".join(map(str, range_)), "low, middle and high, none below the one before")
    except Refused as wrong:
        raise _Cell(heading.get(column, column), wrong.found, wrong.expected, wrong.mend) from None
    found.setdefault("sale", said.sale)
    return Sale(**found, **amounts, currency=code, file=file.path.name, file_sha256=file.sha256, line=line)  # type: ignore[arg-type]


def _value(column: str, cell: str, sold: date, said: Said, words: Mapping[str, tuple[dict[str, str], str]]) -> object:
    if column in words:
        return cells.word(cell, *words[column])
    if column == "made":
        return cells.made(cell, sold)
    if column == "size_cm":
        return cells.between(cell, 80, 320, "cm", said.decimal)
    if column == "grade":
        return cells.between(cell, 1, 5, "", said.decimal)
    if column == "days":
        return int(cells.between(cell, 0, 36_500, "days"))
    text = cell[1:] if cell.startswith("'") and cell[1:].startswith(_FORMULA) else cell
    return CONTROL.sub(REPLACEMENT, text[:_LONGEST])


def _brought(
    amounts: Mapping[str, Decimal], code: str, sold: date, rates: Rates, note: str
) -> tuple[dict[str, Decimal], str]:
    rate, day = rates.at(code, sold)
    unit = Decimal(1).scaleb(-minor_digits(rates.into))
    brought = {key: (amount * rate).quantize(unit) for key, amount in amounts.items()}
    said = f"paid {amounts['price']} {code}, at {rate} of {day}"
    return brought, f"{note}; {said}" if note else said


def guarded(value: object) -> str:
    """Return a cell for CSV: text that a spreadsheet would take for a formula begins with an apostrophe."""
    if value is None:
        return ""
    return f"'{value}" if isinstance(value, str) and value.startswith(_FORMULA) else str(value)


def mappable() -> tuple[str, ...]:
    """Return the columns that a heading can be said to mean."""
    return tuple(column for column in COLUMNS if column not in _OURS)
