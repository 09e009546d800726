"""Keys of somebody's own in place of ours: how they are written, which there are, and which clash."""

from __future__ import annotations

import re
from string import ascii_lowercase
from typing import TYPE_CHECKING

from appraise.commands import COMMANDS, EVERYWHERE, SCOPES, key_name, key_names
from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_TAKEN = frozenset("chijmv")
"""Letters that with Ctrl are another key to a terminal (Backspace, Tab, line feed, Enter), or copy and paste."""

_NAMED = {key for command in COMMANDS for key in command.keys.split(",") if not re.fullmatch(r"f\d+|ctrl\+\w", key)}
_ALL = (*(f"f{n}" for n in range(1, 25)), *(f"ctrl+{x}" for x in ascii_lowercase if x not in _TAKEN), *sorted(_NAMED))
KEYS: Mapping[str, str] = {name.casefold(): key for key in _ALL for name in (key, key_name(key))}
"""Every key that a command can have, by what people call it in small letters; letters and digits are answers."""

EXPECTED = "keys such as F7 or Ctrl+S, with a space between two"


@dataclass(frozen=True, slots=True)
class Clash:
    """A key that two commands of one screen have."""

    id: str
    """Of the command whose key was told."""
    key: str
    other: str
    """Label of the other command."""
    place: str
    """Where both work, as the help page heads it."""


def keys_told(text: str) -> list[str]:
    """Return what a text names as keys, by the names that bindings have; a name that is no key stays as it is."""
    return [KEYS.get(word.casefold(), word) for word in text.replace(",", " ").split()]


def names_of(keys: list[str]) -> str:
    """Return keys as people know them, each once."""
    return key_names(",".join(dict.fromkeys(keys)))


def own_keys(told: Mapping[str, str]) -> dict[str, str]:
    """Return the keys that differ from ours, comma separated, by command.

    Args:
        told: Keys as people write them, by command.
    """
    found = {id: ",".join(keys_told(keys)) for id, keys in told.items()}
    return {each.id: found[each.id] for each in COMMANDS if found.get(each.id, each.keys) != each.keys}


def clashes(told: Mapping[str, str]) -> Iterator[Clash]:
    """Yield each key that two commands of one screen would have, once, at the command that was given another key.

    Args:
        told: Keys as people write them, by command.
    """
    own = own_keys(told)
    keys = {each.id: own.get(each.id, each.keys).split(",") for each in COMMANDS}
    for one in COMMANDS:
        for other in COMMANDS:
            shared = {*one.scopes} & {*other.scopes}
            always = EVERYWHERE in one.scopes or EVERYWHERE in other.scopes
            told_here = one.id in own and (other.id not in own or one.id < other.id)
            if one.id == other.id or not told_here or not (shared or always):
                continue
            place = next((words for scope, words in SCOPES.items() if scope in shared), SCOPES[EVERYWHERE])
            both = [key for key in keys[one.id] if key in keys[other.id]]
            yield from (Clash(one.id, key_name(key), other.label, place) for key in both)
