"""Messages of the catalogue: marked where they stand, with named places that are filled when they are said."""

from __future__ import annotations

import re
from functools import lru_cache

_PLACE = re.compile(r"\{(\w+)\}")


def message(text: str) -> str:
    """Return a text unchanged: marks it for the catalogue where it stands, to be said elsewhere."""
    return text


def messages(one: str, many: str) -> tuple[str, str]:
    """Return the forms of a message for one and for many unchanged: marks them for the catalogue where they stand."""
    return one, many


@lru_cache(maxsize=4096)
def places(text: str) -> tuple[tuple[str, str], ...]:
    """Split a message at its places.

    Returns:
        Words with the name of the place behind each; behind the last there is none, and its name is empty.
    """
    pieces = [*_PLACE.split(text), ""]
    return tuple(zip(pieces[::2], pieces[1::2], strict=True))


def fill(text: str, values: dict[str, object]) -> str:
    """Return a message with its places filled, each once; braces in what is put there stay as they are.

    Raises:
        KeyError: A place has no value.
    """
    if "{" not in text:
        return text
    return "".join([f"{words}{values[name]}" if name else words for words, name in places(text)])
