"""Two versions of a case made one: what only one side changed is taken, what both changed is asked."""

from __future__ import annotations

from dataclasses import fields, replace
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from appraise.model.lazy_dataclass import dataclass
from appraise.services.case_diff import unlike
from appraise.services.fields import get, replace_at
from appraise.store.plain_case import record_lists
from appraise.store.record_matching import matched, name_of
from appraise.store.trail import ABSENT

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from appraise.model.case import Case

Path = tuple[str | int, ...]


class Side(StrEnum):
    """Whose version."""

    MINE = "mine"
    """The value given here."""
    THEIRS = "theirs"
    """The value the file holds now."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One field, or one record as a whole, that the two versions do not share."""

    key: str
    """Names it among the differences."""
    path: Path
    of: str
    """The keys its record is about."""
    base: Any
    """The value both began with; `ABSENT` where there was nothing or it is not known."""
    mine: Any
    theirs: Any
    usual: Side
    """The side that changed it; mine where both did."""
    conflict: bool
    """True where both changed it, or nobody can tell who did: a person has to say."""


@dataclass(frozen=True, slots=True)
class _Group:
    """One record in up to three versions."""

    base: Any = ABSENT
    mine: Any = ABSENT
    theirs: Any = ABSENT


class Merging:
    """Two versions of a case, with the one both came from where it is known."""

    def __init__(self, base: Case | None, mine: Case, theirs: Case) -> None:
        self.base, self.mine, self.theirs = base, mine, theirs
        self._lists: dict[Path, list[_Group]] = {
            path: _groups(() if base is None else get(base, path), mine, theirs, known=base is not None)
            for path, mine, theirs in unlike((), mine, theirs)
            if path in record_lists()
        }
        self.differences: tuple[Difference, ...] = tuple(self._find())
        """Every difference, in the order of the file."""

    @property
    def conflicts(self) -> tuple[Difference, ...]:
        """Those that a person has to decide."""
        return tuple(one for one in self.differences if one.conflict)

    def merged(self, choice: Mapping[str, Side]) -> Case:
        """Return the case that follows.

        Args:
            choice: Side by key, for every conflict; for others too where the usual side is not wanted.

        Raises:
            KeyError: A conflict is undecided.
        """
        taken = {
            one.key: (choice[one.key] if one.conflict else choice.get(one.key, one.usual)) for one in self.differences
        }
        case = self.mine
        for path in self._lists:
            case = replace_at(case, path, self._records(path, taken))
        for one in self.differences:
            if "#" not in one.key and taken[one.key] is Side.THEIRS:
                case = replace_at(case, one.path, one.theirs)
        return case

    def _records(self, path: Path, taken: Mapping[str, Side]) -> tuple[Any, ...]:
        kept = []
        for number, group in enumerate(self._lists[path]):
            key = f"{_dotted(path)}#{number}"
            if group.mine is ABSENT or group.theirs is ABSENT:
                record = group.theirs if taken.get(key) is Side.THEIRS else group.mine
                if record is not ABSENT:
                    kept.append(record)
                continue
            new = {
                item.name: getattr(group.theirs, item.name)
                for item in fields(group.mine)
                if taken.get(f"{key}.{item.name}") is Side.THEIRS
            }
            kept.append(replace(group.mine, **new))
        return tuple(kept)

    def _find(self) -> Iterator[Difference]:
        for path, mine, theirs in unlike((), self.mine, self.theirs):
            if path in self._lists:
                yield from self._find_records(path)
            elif mine != theirs:
                yield self._leaf(_dotted(path), path, "", self._base_at(path), mine, theirs)

    def _base_at(self, path: Path) -> Any:  # noqa: ANN401 - any field
        result: Any = self.base
        for step in path:
            result = getattr(result, str(step), ABSENT)
        return result

    def _find_records(self, path: Path) -> Iterator[Difference]:
        for number, group in enumerate(self._lists[path]):
            key, place = f"{_dotted(path)}#{number}", (*path, number)
            of = name_of(group.theirs if group.mine is ABSENT else group.mine)
            if group.mine is ABSENT or group.theirs is ABSENT:
                yield self._leaf(key, place, of, group.base, group.mine, group.theirs)
                continue
            for below, mine, theirs in unlike(place, group.mine, group.theirs):
                base = getattr(group.base, str(below[-1]), ABSENT)
                if mine != theirs:
                    yield self._leaf(f"{key}.{below[-1]}", below, of, base, mine, theirs)

    def _leaf(
        self,
        key: str,
        path: Path,
        of: str,
        base: Any,  # noqa: ANN401
        mine: Any,  # noqa: ANN401
        theirs: Any,  # noqa: ANN401
    ) -> Difference:
        # A record that only one side has is an addition where there was none, and a deletion where there was one.
        only_theirs, only_mine = self.base is not None and mine == base, self.base is not None and theirs == base
        usual = Side.THEIRS if only_theirs else Side.MINE
        return Difference(key, path, of, base, mine, theirs, usual, conflict=not (only_theirs or only_mine))


def _groups(base: tuple[Any, ...], mine: tuple[Any, ...], theirs: tuple[Any, ...], *, known: bool) -> list[_Group]:
    """Return every record once, with its versions; in my order, then those that only they have."""
    of_mine = {at: first for first, at in matched(base, mine) if at is not None and first is not None}
    of_theirs = {first: at for first, at in matched(base, theirs) if at is not None and first is not None}
    new_mine = [at for at in range(len(mine)) if at not in of_mine]
    used = set(of_theirs.values())
    new_theirs = [at for at in range(len(theirs)) if at not in used]
    both = {
        new_mine[left]: new_theirs[right]
        for left, right in matched([mine[at] for at in new_mine], [theirs[at] for at in new_theirs])
        if left is not None and right is not None
    }
    groups: list[_Group] = []
    seen: set[int] = set()
    for at, record in enumerate(mine):
        first = of_mine.get(at)
        other = of_theirs.get(first) if first is not None else both.get(at)
        if other is not None:
            seen.add(other)
        kept = ABSENT if first is None or not known else base[first]
        groups.append(_Group(kept, record, ABSENT if other is None else theirs[other]))
    back = {at: first for first, at in of_theirs.items()}
    for at, record in enumerate(theirs):
        if at not in seen:
            groups.append(_Group(base[back[at]] if at in back else ABSENT, ABSENT, record))
    return groups


def _dotted(path: Path) -> str:
    return ".".join(map(str, path))
