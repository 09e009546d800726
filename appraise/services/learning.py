"""Learned rows laid into a folder of tables, whole or not at all, and tried before they are."""

from __future__ import annotations

import json
import tempfile
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.evidence.learn import learn
from appraise.evidence.levels import levels, model_name
from appraise.evidence.overlay import texts
from appraise.evidence.ranges import condition_sd
from appraise.evidence.score import score
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import Problem, Unreadable
from appraise.model.unsafe import error_text, sanitize_line
from appraise.store.files import digest_of, sync_folder
from appraise.store.write import write_file
from appraise.tables.content import content_of
from appraise.tables.load import TAKING, load_from, load_tables, taking_cut_off
from appraise.tables.rows import Standing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from appraise.evidence.book import Book
    from appraise.evidence.learn import Learned
    from appraise.evidence.levels import Unused
    from appraise.evidence.sale import Sale
    from appraise.evidence.score import Group
    from appraise.tables.rows import Row, Source, Tables


_LARGEST = 4_000_000


def refuse_learned(tables: Tables) -> None:
    """Refuse tables in which own evidence counts already: it would count twice.

    Raises:
        Unreadable: There is such a row.
    """
    for name in ("market_factors", "bases", "lives"):
        for row in getattr(tables, name).values():
            if row.standing is Standing.OWN_EVIDENCE:
                mend = "leave --tables out, or name a folder without learned rows"
                raise Unreadable(Problem("--tables", None, row.ref, row.where, "rows that no sales are in yet", mend))


def take(rows: Iterable[Row], source: Source, folder: Path) -> list[str]:
    """Write learned rows into a folder of tables, made where there is none; rows of the user's own stay and win.

    All files are new or none is: what fails half way is taken back, and what is cut off, as by a power cut, leaves a
    mark by which `tables.load` says which files are new, until the rows are taken again.

    Returns:
        Addresses of learned rows that were left out, for the user has one of that key already.

    Raises:
        Unreadable: What is in the folder cannot be used, or it cannot be written.
    """
    there: dict[str, bytes] = {}
    if folder.is_dir():
        there = {path.relative_to(folder).as_posix(): content_of(path, _LARGEST) for path in _files(folder)}
    known = {name: content.decode("utf-8", "replace") for name, content in there.items()}
    found, left = texts(rows, source, known)
    with tempfile.TemporaryDirectory(prefix="appraise-") as tried:
        for name, content in (there | {name: text.encode() for name, text in found.items()}).items():
            place = Path(tried) / name
            place.parent.mkdir(exist_ok=True)
            place.write_bytes(content)
        load_tables(Path(tried))
    _write_all(folder, {name: text.encode() for name, text in found.items()}, there)
    load_from.cache_clear()
    return left


def _write_all(folder: Path, new: Mapping[str, bytes], there: Mapping[str, bytes]) -> None:
    """Write files of a folder, all or none."""
    mark = folder / TAKING
    begun: list[str] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        write_file(mark, json.dumps({name: digest_of(content) for name, content in new.items()}).encode())
        for name, content in new.items():
            begun.append(name)
            write_file(folder / name, content)
    except OSError as error:
        told = f"“{error_text(error)}”"
        try:
            for name in begun:
                if name in there:
                    write_file(folder / name, there[name])
                else:
                    (folder / name).unlink(missing_ok=True)
            mark.unlink(missing_ok=True)
        except OSError:
            stands = taking_cut_off(folder)
            mend = "" if stands is None else f"found {stands.found}; {stands.mend}"
        else:
            mend = "nothing was changed"
        raise Unreadable(Problem(str(folder), None, "", told, "a folder to write to", mend)) from None
    with suppress(OSError):  # a mark that stays behind says that all is new
        mark.unlink()
        sync_folder(folder)


def _files(folder: Path) -> list[Path]:
    return [path for path in sorted(folder.rglob("*")) if path.suffix in (".toml", ".csv") and path.is_file()]


def learn_from(
    kept: Book, tables: Tables, advancing: Callable[[], None] | None = None
) -> tuple[Learned | None, list[Unused]]:
    """Learn from the sales of a book; levels that had to be worked out are kept in it for the next time.

    Args:
        kept: The book.
        tables: To learn beside; none of their rows may be learned already.
        advancing: Called at each sale.

    Returns:
        What was learned, none where no sale says anything; and which sales say nothing.

    Raises:
        Unreadable: The tables hold learned rows, or the book cannot be used.
    """
    refuse_learned(tables)
    model = model_name(tables)
    known = kept.levels(model)
    before = set(known)
    found, unused = levels(kept.sales(), tables, known, advancing or _nothing)
    if known.keys() - before:
        kept.keep_levels(model, {name: known[name] for name in known.keys() - before})
    return (learn(found, tables, lambda _: condition_sd(found, tables)) if found else None), unused


def _nothing() -> None:
    """Do nothing."""


NEWEST = 50
"""Sales shown."""
_LONGEST = 2_000
"""Characters of a reason that are kept."""


@dataclass(frozen=True, slots=True)
class BookView:
    """The book's present sales."""

    tables: Tables
    """It was read beside these."""
    count: int = 0
    newest: tuple[Sale, ...] = ()
    """The newest first, those struck out among them."""
    learned: Learned | None = None
    unused: tuple[Unused, ...] = ()
    groups: tuple[Group, ...] = ()
    """All valued sales first, then by kind, class and kind of sale; empty without any."""
    wrong: str = ""
    """Why the book cannot be used."""
    not_learned: str = ""
    """Why nothing can be learned beside these tables."""


def view(path: Path, tables: Tables) -> BookView:
    """Read a book, learn from it and score it; takes seconds the first time, so call it aside.

    Args:
        path: The book.
        tables: To learn beside.
    """
    from appraise.evidence.book import book

    try:
        with book(path) as kept:
            count = kept.count()
            newest = tuple(kept.sales(newest=NEWEST, withdrawn=True))[::-1]
            groups = score(kept.sales())
            try:
                learned, unused = learn_from(kept, tables)
            except Unreadable as error:
                return BookView(tables, count, newest, groups=groups, not_learned=str(error.problems[0]))
    except Unreadable as error:
        return BookView(tables, wrong=str(error.problems[0]))
    return BookView(tables, count, newest, learned, tuple(unused), groups)


def withdraw(path: Path, sale: Sale, why: str) -> None:
    """Strike a sale out for a reason, or let it count again where that is empty; what it said before is kept.

    Args:
        path: The book.
        sale: As it stands there.
        why: Said of it in a line.

    Raises:
        InputError: It does not stand there so any more: somebody corrected it meanwhile.
        Unreadable: The book cannot be used.
    """
    from appraise.evidence.book import book

    with book(path) as kept:
        kept.put_in_place(sale, replace(sale, withdrawn=sanitize_line(why)[:_LONGEST]))
