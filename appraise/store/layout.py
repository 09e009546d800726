"""The case file's layout: its tables as the model declares them, each read strictly, every wrong key told."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

from appraise.model.case import Case
from appraise.model.declaration import Chars, Declared, Digest, declared, parts
from appraise.model.lazy_dataclass import dataclass
from appraise.store.findings import Diagnostics, Path, Words, listed
from appraise.store.values import read

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class OnePhoto:
    """A remark's only photo, as earlier layouts have it: read, and never written."""

    photo: Annotated[str, Chars(500), "one photo, as earlier releases wrote it"] = ""
    sha256: Annotated[Digest, "of that one photo"] = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table of a file, or an item of an array of tables."""

    record: type
    """What is made of it."""
    keys: Mapping[str, Declared]
    needed: tuple[str, ...]
    """Those that a file must state."""

    def read(self, findings: Diagnostics, path: Path, raw: Mapping[str, Any]) -> dict[str, Any] | None:
        """Return the values of a table's keys as the model has them, those left out that are wrong.

        Args:
            findings: Where problems go.
            path: Of the table.
            raw: As TOML has it.

        Returns:
            The good ones, for one slip must not hide the next; none where one is not there that has to be.
        """
        wrong: list[Path] = []

        def tell(where: Path, found: object, expected: str, mend: str) -> None:
            wrong.append(where)
            findings.add(path + where, found, expected, mend)

        values = {name: read(one, raw[name], tell) for name, one in self.keys.items() if name in raw}
        for name in self.needed:
            if name not in raw:
                tell((name,), None, self.keys[name].expected or "a value", "")
        for name in raw if len(values) < len(raw) else ():
            if name not in self.keys:
                tell((name,), *self._unknown(findings, path, name))
        if not wrong:
            return values
        for where in wrong:
            findings.blame(path + where, path)
        left_out = {where[0] for where in wrong}
        if left_out.intersection(self.needed):
            return None
        return {name: value for name, value in values.items() if name not in left_out}

    def value(self, name: str, raw: object) -> Any:  # noqa: ANN401 - of any key
        """Return one key alone; none where it is wrong, of which nothing is told."""
        wrong: list[object] = []
        value = read(self.keys[name], raw, lambda *told: wrong.append(told))
        return None if wrong else value

    def refusal(self, name: str, raw: object) -> str:
        """Say what is expected in place of a value; nothing where it is good, or there is no such key."""
        wrong: list[str] = []
        if name in self.keys:
            read(self.keys[name], raw, lambda _where, _found, expected, _mend: wrong.append(expected))
        return wrong[0] if wrong else ""

    def _unknown(self, findings: Diagnostics, path: Path, name: str) -> tuple[Words, str, str]:
        """Say where an unknown key may belong."""
        names = list(self.keys)
        if path == ("market",):
            names += [place[1] for place in LISTS if place[0] == "market" and len(place) > 1]
        elsewhere = home(name) if path[:1] in SECTIONS or path[:1] in LISTS else ""  # of a case file
        mend = elsewhere or findings.nearest(name, names)
        expected = f"a key of [{'.'.join(str(part) for part in path if isinstance(part, str))}]"
        return Words("an unknown key"), expected if mend else f"{expected}: {listed(names)}", mend


def table(record: type, *more: type) -> Table:
    """Return the table of a record: a key a field, lists of records apart; and the keys of more."""
    keys = {name: one for part in (record, *more) for name, one in declared(part).items() if not one.record}
    return Table(record, keys, tuple(name for name, one in keys.items() if one.missing))


_ALL = parts(Case)

SECTIONS = {path: table(one.type) for path, one in _ALL.items() if not one.many}
"""Tables of the file."""

LISTS = {
    path: table(one.type, *((OnePhoto,) if path == ("remarks",) else ())) for path, one in _ALL.items() if one.many
}
"""Arrays of tables."""

TOP_LEVEL = ("schema", "invented", *dict.fromkeys(path[0] for path in (*SECTIONS, *LISTS)))
"""Every key that may stand at the head of a file."""


def refusal(path: Path, value: object) -> str:
    """Say what a file would expect in place of a value, so that nothing is taken that could not be written.

    Args:
        path: Its place in a case, list items as numbers.
        value: As a file has it.

    Returns:
        What was expected; empty where the file takes the value.
    """
    names = tuple(part for part in path if isinstance(part, str))
    found = SECTIONS.get(names[:-1]) or LISTS.get(names[:-1])
    return "" if found is None else found.refusal(names[-1], value)


def home(name: str) -> str:
    """Say which table a key belongs to, or nothing where none has such a key."""
    place = next((path for path, found in SECTIONS.items() if name in found.keys), None)
    return f"it belongs to [{place[0]}]" if place is not None else ""
