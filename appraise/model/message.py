"""Messages of the catalogue: marked where they stand, with named places that are filled when they are said.

What a user wrote is never a message: only a `Message`, or a text given together with its values, has places.
"""

from __future__ import annotations

import re
from functools import lru_cache

_PLACE = re.compile(r"\{(\w+)\}")


class Message(str):
    """A text of the program itself, in the catalogue; where users' words may stand as well, the type tells which."""

    __slots__ = ()


def message(text: str) -> Message:
    """Mark a text for the catalogue where it stands, to be said elsewhere."""
    return Message(text)


def messages(one: str, many: str) -> tuple[Message, Message]:
    """Mark the forms of a message for one and for many for the catalogue where they stand."""
    return Message(one), Message(many)


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

    Args:
        text: The message.
        values: What to put in each place; with none, the text has no places and its braces are braces.

    Raises:
        KeyError: A place has no value, though others have.
    """
    if not values or "{" not in text:
        return text
    return "".join([f"{words}{values[name]}" if name else words for words, name in places(text)])
