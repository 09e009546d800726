"""The book of sales: one SQLite file, written in whole transactions or not at all, by one process at a time."""

from __future__ import annotations

import sqlite3
from contextlib import closing, contextmanager
from typing import TYPE_CHECKING

from appraise.evidence.sale import COLUMNS, INSERT, SELECT, Sale, of_plain, plain, schema
from appraise.model.problem import Problem, Unreadable
from appraise.tables.content import NoFile, open_file

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from pathlib import Path

LAYOUT = 1
"""Version of the file's layout, its `user_version`."""
APPLICATION = 0x41505253
"""Tells the file from other databases: its `application_id`."""
WAIT = 5.0
"""How long a writer waits for another [s]."""

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
        problem = None
        if application == APPLICATION:
            problem = Problem(str(path), None, "", f"layout {layout}", f"layout {LAYOUT}", "a newer release wrote it")
        elif self._base.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
            problem = Problem(str(path), None, "", "a database of something else", "a book of sales")
        if problem is not None:
            raise Unreadable(problem)
        with self.writing():
            self._base.execute(schema())
            self._base.execute(
                "CREATE TABLE IF NOT EXISTS level (name TEXT PRIMARY KEY, ratio REAL NOT NULL) WITHOUT ROWID"
            )
            self._base.execute(f"PRAGMA application_id = {APPLICATION}")
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

    def sales(self, *, kind: str = "", newest: int | None = None) -> Iterator[Sale]:
        """Yield the sales by day, then as they were entered.

        Args:
            kind: Of this kind alone; empty: every kind.
            newest: Only so many, the newest.
        """
        where = " WHERE kind = ?" if kind else ""
        given: list[str | int] = [kind] if kind else []
        order, limit = "date, number", ""
        if newest is not None:
            limit, given = " ORDER BY date DESC, number DESC LIMIT ?", [*given, newest]
        inner = f"SELECT number, {', '.join(COLUMNS)} FROM sale{where}{limit}"  # noqa: S608 - names are ours
        for row in self._base.execute(f"SELECT {', '.join(COLUMNS)} FROM ({inner}) ORDER BY {order}", given):  # noqa: S608
            yield of_plain(row)

    def count(self) -> int:
        """Return how many sales there are."""
        return int(self._base.execute("SELECT count(*) FROM sale").fetchone()[0])

    def sale_of(self, case_sha256: str) -> Sale | None:
        """Return the sale that was written down of a case as it is, none where there is none."""
        row = self._base.execute(f"{SELECT} WHERE case_sha256 = ? LIMIT 1", (case_sha256,)).fetchone()
        return None if row is None else of_plain(row)

    def of_cases(self) -> Iterator[Sale]:
        """Yield the sales that were written down of cases."""
        for row in self._base.execute(f"{SELECT} WHERE case_sha256 <> '' OR case_file <> ''"):
            yield of_plain(row)

    def put_in_place(self, old: Sale, new: Sale) -> None:
        """Put a sale in the place of another, in one transaction; the new one is from the same file and line."""
        names = ", ".join(f"{name} = ?" for name in COLUMNS)
        with self.writing():
            self._base.execute(
                f"UPDATE sale SET {names} WHERE file_sha256 = ? AND line = ?",  # noqa: S608 - names are ours
                (*plain(new), old.file_sha256, old.line),
            )

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
