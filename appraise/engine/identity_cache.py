"""Results kept by the very arrays they were worked out from, so that what a change leaves alone is not done again."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock
from typing import TYPE_CHECKING, Any, Generic, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Sequence

T = TypeVar("T")

_EVERY: list[IdentityCache[Any]] = []


def forget() -> None:
    """Give up all that is kept, as between two cases of a long row: nothing of the one serves the other."""
    for kept in _EVERY:
        kept.clear()


class IdentityCache(Generic[T]):
    """Results by the identity of what went into them, the least recently used given up first.

    What goes in is held with the result, so that an identity cannot pass to another object; it must never change.
    """

    def __init__(self, most: int) -> None:
        """Keep so many results at most."""
        self._most = most
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
