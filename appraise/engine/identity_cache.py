"""Results kept by the very arrays they were worked out from, so that what a change leaves alone is not done again."""

from __future__ import annotations

from collections import OrderedDict
from contextlib import contextmanager
from contextvars import ContextVar
from threading import Lock
from typing import TYPE_CHECKING, Any, Generic, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterator, Sequence
    from functools import _lru_cache_wrapper

T = TypeVar("T")

_EVERY: list[IdentityCache[Any]] = []


_ONCE: ContextVar[bool] = ContextVar("once", default=False)


@contextmanager
def valued_once() -> Iterator[None]:
    """Keep nothing that only a change of the same case would ask for again: it is not going to change."""
    before = _ONCE.set(True)
    try:
        yield
    finally:
        _ONCE.reset(before)


def is_valued_once() -> bool:
    """Tell whether the case at hand is valued once, see `valued_once`."""
    return _ONCE.get()


def unless_once(kept: _lru_cache_wrapper[T]) -> Callable[..., T]:
    """Return a function that keeps its answers, or what makes them where a case is valued once."""
    return kept.__wrapped__ if _ONCE.get() else kept


def forget() -> None:
    """Give up all that is kept, as between two cases of a long row: nothing of the one serves the other."""
    for kept in _EVERY:
        kept.clear()


class IdentityCache(Generic[T]):
    """Results by the identity of what went into them, the least recently used given up first.

    What goes in is held with the result, so that an identity cannot pass to another object; it must never change.
    """

    def __init__(self, most: int, *, for_changes: bool = False) -> None:
        """Keep so many results at most.

        Args:
            most: How many.
            for_changes: One valuation asks for each but once; only the next, of the case changed, asks again.
        """
        self._most, self._for_changes = most, for_changes
        self._lock = Lock()  # a screen values in threads of its own
        self._held: OrderedDict[Hashable, tuple[Sequence[object], T]] = OrderedDict()
        _EVERY.append(self)

    def clear(self) -> None:
        """Give up everything."""
        with self._lock:
            self._held.clear()

    def of(self, made_from: Sequence[object], how: Hashable, make: Callable[[], T]) -> T:
        """Return the result kept for these very objects, else the one made now.

        Args:
            made_from: What the result is worked out from, told apart by identity.
            how: What else it hangs on, told apart by value.
            make: Works the result out.
        """
        if self._for_changes and _ONCE.get():
            return make()
        key = (tuple(map(id, made_from)), how)
        with self._lock:
            held = self._held.get(key)
            if held is not None:
                self._held.move_to_end(key)
                return held[1]
        made = make()
        with self._lock:
            self._held[key] = (made_from, made)
            if len(self._held) > self._most:
                self._held.popitem(last=False)
        return made
