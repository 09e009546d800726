"""Broken files out of good ones: first what the grammar knows, values, keys and sections; then bytes."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, Any

import tomli_w

from tests.fuzz.hostile import misspelt, text, value

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from random import Random

    Document = dict[str, Any]


def document(random: Random, good: Document, others: list[object]) -> bytes:
    """Return a document with a few mutations of its values and keys, then perhaps some of its bytes.

    Args:
        random: Where chance comes from.
        good: A document that can be read.
        others: Values of other places of good documents, to be put where they do not belong.
    """
    spoilt = copy.deepcopy(good)
    for _ in range(random.choice((0, 1, 1, 1, 2, 3, 8))):
        _one(random, spoilt, others)
    try:
        content = tomli_w.dumps(spoilt).encode("utf-8", "surrogatepass")
    except (ValueError, TypeError, RecursionError):  # what TOML cannot say
        content = tomli_w.dumps(good).encode()
    return some_bytes(random, content)


def some_bytes(random: Random, content: bytes) -> bytes:
    """Return content with none, one or some mutations of its bytes and lines."""
    for _ in range(random.choice((0, 0, 1, 1, 2, 5))):
        content = random.choice(_BYTES)(random, content)
    return content


def _places(node: object) -> Iterator[tuple[Any, Any]]:
    """Yield (holder, key) of every value in a document."""
    items = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, inner in list(items):
        yield node, key
        yield from _places(inner)


def _one(random: Random, spoilt: Document, others: list[object]) -> None:
    places = list(_places(spoilt))
    if not places:
        spoilt[text(random)] = value(random)
        return
    holder, key = random.choice(places)
    choice = random.randrange(10)
    if choice < 3:
        holder[key] = value(random)
    elif choice == 3:
        holder[key] = copy.deepcopy(random.choice(others))
    elif choice == 4:
        holder[key] = _near(random, holder[key])
    elif choice == 5 and isinstance(holder, dict):
        holder[misspelt(random, str(key))] = holder.pop(key)
    elif choice == 6:
        del holder[key]
    elif choice == 7 and isinstance(holder, dict):
        holder[text(random)] = value(random)
    elif choice == 8 and isinstance(holder, list):
        holder.extend(copy.deepcopy(holder[key]) for _ in range(random.choice((1, 1, 30))))
    else:
        other_holder, other_key = random.choice(places)
        holder[key] = copy.deepcopy(other_holder[other_key])


def _near(random: Random, found: object) -> object:
    """Return a value close to a good one: on the other side of a bound, of the neighbouring type."""
    if isinstance(found, bool):
        return random.choice((not found, int(found), str(found).lower()))
    if isinstance(found, int):
        apart = min(1e15, max(-1e15, found)) + 0.5
        return random.choice((found + 1, found - 1, -found, found * 1000, apart - 0.5, f"{found % 10**9}", apart))
    if isinstance(found, float):
        return random.choice(
            (-found, found * 10, found / 10, str(found), found + 0.25, int(min(1e15, max(-1e15, found))))
        )
    if isinstance(found, str):
        return random.choice((misspelt(random, found), found + text(random), found * 50, [found], f" {found} "))
    if isinstance(found, list):
        return random.choice((found * 2, found[:1], [found], found[0] if found else None, {}))
    return [found] if isinstance(found, dict) else str(found)


def _cut(random: Random, content: bytes) -> bytes:
    return content[: random.randrange(len(content) + 1)]


def _flip(random: Random, content: bytes) -> bytes:
    if not content:
        return b"\0"
    place = random.randrange(len(content))
    return content[:place] + bytes((random.randrange(256),)) + content[place + 1 :]


def _insert(random: Random, content: bytes) -> bytes:
    place = random.randrange(len(content) + 1)
    piece = random.choice(_PIECES)
    return content[:place] + piece * random.choice((1, 1, 1, 2, 70)) + content[place:]


def _drop(random: Random, content: bytes) -> bytes:
    place = random.randrange(len(content) + 1)
    return content[:place] + content[place + random.randrange(1, 20) :]


def _line_twice(random: Random, content: bytes) -> bytes:
    lines = content.split(b"\n")
    place = random.randrange(len(lines))
    lines[place:place] = lines[place : place + random.choice((1, 1, 2, 6))]
    return b"\n".join(lines)


def _lines_moved(random: Random, content: bytes) -> bytes:
    lines = content.split(b"\n")
    first, second = random.randrange(len(lines)), random.randrange(len(lines))
    lines[first], lines[second] = lines[second], lines[first]
    return b"\n".join(lines)


def _section_twice(random: Random, content: bytes) -> bytes:
    lines = content.split(b"\n")
    heads = [n for n, line in enumerate(lines) if line.startswith(b"[")]
    if not heads:
        return content + content
    start = random.choice(heads)
    end = next((n for n in heads if n > start), len(lines))
    return b"\n".join((*lines, *lines[start:end]))


def _encoded(random: Random, content: bytes) -> bytes:
    decoded = content.decode("utf-8", "replace")
    code = random.choice(("utf-16", "utf-16-le", "utf-32", "latin-1", "cp1252", "utf-7", "cp037"))
    return decoded.encode(code, "replace")


def _mixed(random: Random, content: bytes) -> bytes:
    place = random.randrange(len(content) + 1)
    return content[:place] + _encoded(random, content[place:])


def _ends(random: Random, content: bytes) -> bytes:
    return content.replace(b"\n", random.choice((b"\r\n", b"\r", b"\n\r", b"\x0b", b"\xe2\x80\xa8", b"")))


def _mark(random: Random, content: bytes) -> bytes:
    return random.choice((b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff", b"\xef\xbb\xbf\xef\xbb\xbf")) + content


def _binary(random: Random, content: bytes) -> bytes:
    del content
    return random.randbytes(random.randrange(200))


def _separators(random: Random, content: bytes) -> bytes:
    old, new = random.sample((b",", b";", b"\t", b".", b"|", b"=", b'"', b" "), 2)
    return content.replace(old, new)


_PIECES = (
    b"\0", b'"', b"'", b'"""', b"'''", b"\\", b"[", b"]", b"[[", b"{", b"}", b",", b";", b"\t", b"\n", b"\r", b"#",
    b"=", b".", b"\x1b[2J", b"\x9b", b"\xff", b"\xc3", b"\xed\xa0\x80", b"\xf4\x90\x80\x80", "\u202e".encode(),
    b"[x]\n", b"[[x.y]]\n", b"a.b.c = 1\n", b"x = [", b"x = {a = ", b"\\u001b", b"\\uD800", b"\\U00110000",
    b"9" * 5000, b"1e400", b"inf", b"nan", b"0x", b"1979-13-40", b"\xc2\xa0", b"sep=;\n", b'=cmd|" /C calc"!A0',
)  # fmt: skip

_BYTES: tuple[Callable[[Random, bytes], bytes], ...] = (
    _cut,
    _cut,
    _flip,
    _flip,
    _insert,
    _insert,
    _insert,
    _drop,
    _line_twice,
    _lines_moved,
    _section_twice,
    _encoded,
    _mixed,
    _ends,
    _mark,
    _binary,
    _separators,
)
