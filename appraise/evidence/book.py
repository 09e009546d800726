"""The book of sales: one SQLite file, written in whole transactions or not at all, by one process at a time."""

from __future__ import annotations

import sqlite3
from contextlib import closing, contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.evidence.sale import COLUMNS, INSERT, SELECT, Sale, additions, of_plain, plain, schema
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import InputError, Problem, Unreadable
from appraise.tables.content import NoFile, open_file

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from pathlib import Path

LAYOUT = 2
"""Version of the file's layout, its `user_version`."""
APPLICATION = 0x41505253
"""Tells the file from other databases: its `application_id`."""
WAIT = 5.0
"""How long a writer waits for another [s]."""

_EARLIER = f"CREATE TABLE IF NOT EXISTS earlier ({', '.join(COLUMNS)})"
"""What sales said before they were corrected; nothing hangs on it, and nobody's words are lost."""
_HEAD = b"SQLite format 3\x00"


@contextmanager
def book(path: Path, *, create: bool = False) -> Iterator[Book]:
    """Open a book.

    Args:
        path: The file.
        create: Whether a book is begun where there is none.

    Raises:
        Unreadable: It is no book, damaged, of a newer layout, in use by another writer, or cannot be written; carries
            the one line that says so. Whatever was being written is then as it was before.
    """
    _look(path, create=create)
    mode = "rwc" if create else "rw"
    with (
        _told(path),
        closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode={mode}", timeout=WAIT, uri=True)) as base,
    ):
        base.isolation_level = None
        # A rollback journal, for it keeps the book one file; its end is synchronised with the folder as well.
        base.execute("PRAGMA synchronous = EXTRA")
        base.execute("PRAGMA trusted_schema = OFF")
        found = Book(base)
        found.begin(path)
        yield found


def _look(path: Path, *, create: bool) -> None:
    try:
        with open_file(path) as stream:
            head = stream.read(len(_HEAD))
    except FileNotFoundError:
        if create:
            return
        mend = "`appraise sales add` or `sales import` begins one"
        raise Unreadable(Problem(str(path), None, "", "nothing", "a book of sales", mend)) from None
    except (OSError, ValueError) as error:
        found = error.strerror if isinstance(error, NoFile) else str(getattr(error, "strerror", "") or error)
        raise Unreadable(Problem(str(path), None, "", found or "an error", "a book of sales")) from None
    if head not in (_HEAD, b""):
        raise Unreadable(Problem(str(path), None, "", "a file that is no SQLite database", "a book of sales"))


@contextmanager
def _told(path: Path) -> Iterator[None]:
    try:
        yield
    except sqlite3.Error as error:
        name = getattr(error, "sqlite_errorname", "") or ""
        text = str(error)
        if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
            found, expected, mend = (
                "another process writing to it",
                "to be the only writer",
                "try again when it is done",
            )
        elif name.startswith(("SQLITE_FULL", "SQLITE_IOERR", "SQLITE_READONLY", "SQLITE_CANTOPEN")):
            found, expected, mend = f"“{text}”", "to be able to write", "nothing was changed"
        else:
            found, expected, mend = f"“{text}”", "a sound book of sales", "put back a copy of the file"
        raise Unreadable(Problem(str(path), None, "", found, expected, mend)) from None


@dataclass(frozen=True, slots=True)
class Merged:
    """What a shared book brought."""

    added: int
    corrected: int
    """Sales of which it had a later revision."""
    gave_way: tuple[tuple[Sale, Sale], ...]
    """Own corrections that gave way to another's of the same sale: what was here, what stands now."""


def _identity(sale: Sale) -> tuple[str, int | None]:
    return sale.file_sha256, sale.line


class Book:
    """An open book; made by `book`."""

    def __init__(self, base: sqlite3.Connection) -> None:
        self._base = base

    def begin(self, path: Path) -> None:
        """Make the tables of a new book, or see that it is one.

        Raises:
            Unreadable: It is another program's, or of another layout.
        """
        application, layout = (
            self._base.execute(f"PRAGMA {name}").fetchone()[0] for name in ("application_id", "user_version")
        )
        if application == APPLICATION and layout == LAYOUT:
            return
        if application == APPLICATION and layout < LAYOUT:
            self._bring_up()
            return
        problem = None
        if application == APPLICATION:
            problem = Problem(str(path), None, "", f"layout {layout}", f"layout {LAYOUT}", "a newer release wrote it")
        elif self._base.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
            problem = Problem(str(path), None, "", "a database of something else", "a book of sales")
        if problem is not None:
            raise Unreadable(problem)
        with self.writing():
            self._base.execute(schema())
            self._base.execute(_EARLIER)
            self._base.execute(
                "CREATE TABLE IF NOT EXISTS level (name TEXT PRIMARY KEY, ratio REAL NOT NULL) WITHOUT ROWID"
            )
            self._base.execute(f"PRAGMA application_id = {APPLICATION}")
            self._base.execute(f"PRAGMA user_version = {LAYOUT}")

    def _bring_up(self) -> None:
        """Bring a book of an earlier layout up to the present one, unless another process has meanwhile."""
        with self.writing():
            there = {name for _, name, *_ in self._base.execute("PRAGMA table_info(sale)")}
            for statement in (*additions(there), _EARLIER):
                self._base.execute(statement)
            self._base.execute(f"PRAGMA user_version = {LAYOUT}")

    @contextmanager
    def writing(self) -> Iterator[None]:
        """Hold the one writer's lock; at the end all that was written counts, and nothing where something failed."""
        self._base.execute("BEGIN IMMEDIATE")
        try:
            yield
            self._base.execute("COMMIT")
        except BaseException:
            if self._base.in_transaction:
                self._base.execute("ROLLBACK")
            raise

    def add(self, sales: Iterable[Sale]) -> int:
        """Write sales down in one transaction, however many; a line of a file that is there already is passed over.

        Returns:
            How many were new.
        """
        with self.writing():
            before = self._base.total_changes
            self._base.executemany(INSERT, map(plain, sales))
            return self._base.total_changes - before

    def sales(self, *, kind: str = "", newest: int | None = None, withdrawn: bool = False) -> Iterator[Sale]:
        """Yield the sales that count, see `numbered`."""
        return (sale for _, sale in self.numbered(kind=kind, newest=newest, withdrawn=withdrawn))

    def numbered(
        self, *, kind: str = "", newest: int | None = None, withdrawn: bool = False
    ) -> Iterator[tuple[int, Sale]]:
        """Yield the sales with their numbers in this book, by day, then as they were entered.

        Args:
            kind: Of this kind alone; empty: every kind.
            newest: Only so many, the newest.
            withdrawn: Those struck out as well.
        """
        asked = {"kind = ?": bool(kind), "withdrawn = ''": not withdrawn}
        where = " AND ".join(each for each, wanted in asked.items() if wanted)
        where = where and f" WHERE {where}"
        given: list[str | int] = [kind] if kind else []
        order, limit = "date, number", ""
        if newest is not None:
            limit, given = " ORDER BY date DESC, number DESC LIMIT ?", [*given, newest]
        inner = f"SELECT number, {', '.join(COLUMNS)} FROM sale{where}{limit}"  # noqa: S608 - names are ours
        outer = f"SELECT number, {', '.join(COLUMNS)} FROM ({inner}) ORDER BY {order}"  # noqa: S608
        for number, *row in self._base.execute(outer, given):
            yield number, of_plain(row)

    def count(self) -> int:
        """Return how many sales count, those struck out left aside."""
        return int(self._base.execute("SELECT count(*) FROM sale WHERE withdrawn = ''").fetchone()[0])

    def at(self, number: int) -> Sale | None:
        """Return the sale of a number, struck out or not; none where there is none."""
        row = self._base.execute(f"{SELECT} WHERE number = ?", (number,)).fetchone()
        return None if row is None else of_plain(row)

    def earlier(self, *, kind: str = "", newest: int | None = None) -> Iterator[tuple[int, Sale]]:
        """Yield what sales said before they were corrected, with their numbers, in the order of the corrections.

        Args:
            kind: Of this kind alone; empty: every kind.
            newest: Only so many, the last corrections.
        """
        names = ", ".join(f"earlier.{name}" for name in COLUMNS)
        inner = f"SELECT earlier.rowid AS place, number, {names} FROM earlier JOIN sale USING (file_sha256, line)"  # noqa: S608
        inner += " WHERE earlier.kind = ?" if kind else ""
        given: list[str | int] = [kind] if kind else []
        if newest is not None:
            inner, given = f"{inner} ORDER BY place DESC LIMIT ?", [*given, newest]
        for _, number, *row in self._base.execute(f"SELECT * FROM ({inner}) ORDER BY place", given):  # noqa: S608
            yield number, of_plain(row)

    def sale_of(self, case_sha256: str) -> Sale | None:
        """Return the sale that was written down of a case as it is, none where there is none."""
        row = self._base.execute(f"{SELECT} WHERE case_sha256 = ? LIMIT 1", (case_sha256,)).fetchone()
        return None if row is None else of_plain(row)

    def of_cases(self) -> Iterator[Sale]:
        """Yield the sales that were written down of cases."""
        for row in self._base.execute(f"{SELECT} WHERE case_sha256 <> '' OR case_file <> ''"):
            yield of_plain(row)

    def put_in_place(self, old: Sale, new: Sale) -> None:
        """Put a sale in the place of another, in one transaction; the new one is from the same file and line.

        It is the next revision, and what it replaces is kept among the earlier ones.

        Raises:
            InputError: The old one is not what stands there: another process corrected it meanwhile.
        """
        new = replace(new, revision=old.revision + 1)
        with self.writing():
            row = self._base.execute(f"{SELECT} WHERE file_sha256 = ? AND line = ?", _identity(old)).fetchone()
            if row is None or of_plain(row) != old:
                raise InputError("found the sale corrected meanwhile, expected it as it was shown: look again")
            self._put(old, new)

    def _put(self, old: Sale, new: Sale) -> None:
        here = " WHERE file_sha256 = ? AND line = ?"
        self._base.execute(f"INSERT INTO earlier {SELECT}{here}", _identity(old))
        names = ", ".join(f"{name} = ?" for name in COLUMNS)
        self._base.execute(f"UPDATE sale SET {names}{here}", (*plain(new), *_identity(old)))  # noqa: S608

    def merge(self, sales: Iterable[Sale]) -> Merged:
        """Take over the copies of a shared book, in one transaction.

        Of two revisions of a sale the later stands. Where both were corrected equally often and say different things,
        the shared copy stands, so that every book comes to the same; what gives way is kept among the earlier ones.

        Args:
            sales: All of them, those struck out included.
        """
        columns = ", ".join(COLUMNS)
        self._base.execute("DROP TABLE IF EXISTS temp.shared")
        self._base.execute(f"CREATE TEMP TABLE shared ({columns})")
        ours, theirs = (", ".join(f"{table}.{name}" for name in COLUMNS) for table in ("sale", "shared"))
        differ = f"SELECT {ours}, {theirs} FROM sale JOIN shared USING (file_sha256, line) WHERE "  # noqa: S608
        with self.writing():
            places = ", ".join("?" * len(COLUMNS))
            self._base.executemany(f"INSERT INTO shared VALUES ({places})", map(plain, sales))  # noqa: S608
            added = self._base.execute(
                f"INSERT INTO sale ({columns}) SELECT {columns} FROM shared WHERE TRUE ON CONFLICT DO NOTHING"  # noqa: S608
            ).rowcount
            later = f"{differ}shared.revision > sale.revision"
            alike = f"{differ}shared.revision = sale.revision AND ({ours}) IS NOT ({theirs})"
            corrected, gave_way = (
                [(of_plain(row[: len(COLUMNS)]), of_plain(row[len(COLUMNS) :])) for row in self._base.execute(query)]
                for query in (later, alike)
            )
            gave_way = [(old, new) for old, new in gave_way if old != new]  # 1E+3 is written otherwise than 1000
            for old, new in (*corrected, *gave_way):
                self._put(old, new)
        self._base.execute("DROP TABLE temp.shared")
        return Merged(added, len(corrected), tuple(gave_way))

    def faults(self) -> list[str]:
        """Return what SQLite finds wrong with the file, and every row that does not hold what its columns promise."""
        found = [str(line) for (line,) in self._base.execute("PRAGMA integrity_check(20)") if line != "ok"]
        if found:
            return found
        for number, *row in self._base.execute(SELECT.replace("SELECT", "SELECT number,", 1)):
            try:
                of_plain(row)
            except ValueError as error:
                found.append(f"sale {number}: {error}")
        return found

    def levels(self, model: str) -> dict[str, float]:
        """Return what was worked out before of sales' market levels, by the name of what each hangs on.

        Args:
            model: Of which model, see `evidence.levels.model_name`.
        """
        return dict(self._base.execute("SELECT name, ratio FROM level WHERE name GLOB ?", (f"{model}/*",)))

    def keep_levels(self, model: str, levels: dict[str, float]) -> None:
        """Keep worked-out levels in place of those of other models; nothing hangs on them but time."""
        with self.writing():
            self._base.execute("DELETE FROM level WHERE name NOT GLOB ?", (f"{model}/*",))
            self._base.executemany("INSERT OR REPLACE INTO level VALUES (?, ?)", levels.items())
