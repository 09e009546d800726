"""A language that nobody speaks: every message in brackets, some turned round, so that what is no message shows."""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass
from functools import cache
from gettext import NullTranslations

from babel import Locale

from appraise.model.message import places
from appraise.model.quantities import Units
from appraise.model.span import Span
from appraise.report.wording.localised import Localised
from tests.helpers.messages import messages

_WORD = re.compile(r"[^\W\d_]{2,}")
_SAID = re.compile(r"⟦[^⟦⟧]*⟧")
_ADDRESS = re.compile(r"\[[\w.]+\]|\b[a-z_]+/[\w.]+|\b[0-9a-f]{12,64}\b|`[^`]*`|“appraise [^”]*”")
"""Addresses of figures, rows of tables, digests, and commands as they are typed."""
_UNITS = {"mm", "cm", "m", "N·m", "g", "kg", "Hz", "°C", "s", "lb", "in", "RH", "SHA", "EUR", "km", "m³", "SDR", "USD"}


class Pseudo(NullTranslations):
    """Brackets around every message, and around nothing else."""

    def __init__(self):
        super().__init__()
        self.known = set()
        for entry in messages():
            if entry.id:
                self.known.update(entry.id if isinstance(entry.id, tuple) else (entry.id,))
        self.asked = set()

    def gettext(self, message):
        self.asked.add(message)
        return bracketed(message) if message in self.known else message

    def ngettext(self, one, many, number):
        return self.gettext(one if number == 1 else many)


def bracketed(message):
    """Return a message with its words in brackets and its places outside; one in three with its places turned round."""
    pieces = list(places(message))
    if len(message) % 3 == 0 and len(pieces) > 2:
        names = [name for _, name in pieces[:-1]][::-1]
        pieces = [*((words, name) for (words, _), name in zip(pieces[:-1], names, strict=True)), pieces[-1]]
    return "".join((f"⟦{words}⟧" if words else "") + (f"{{{name}}}" if name else "") for words, name in pieces)


@cache
def pseudo_manner():
    """Return the manner of that language; its figures and lists are Japanese, without a Latin letter."""
    return Localised("ja_JP", Units.METRIC, Locale.parse("ja_JP"), "ja", Pseudo())


def strings(thing):
    """Yield every text in frozen data, keys and paths left out."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, Span):
        yield str(thing)
    elif isinstance(thing, dict) or hasattr(thing, "items"):
        for value in thing.values():
            yield from strings(value)
    elif isinstance(thing, list | tuple | frozenset | set):
        for value in thing:
            yield from strings(value)
    elif is_dataclass(thing):
        for each in fields(thing):
            yield from strings(getattr(thing, each.name))


def shown_strings(thing):
    """Yield every text of a document that people read."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, list | tuple):
        for value in thing:
            yield from shown_strings(value)
    elif is_dataclass(thing):
        for each in fields(thing):
            if each.name not in ("figure", "key", "manner", "file", "sha256", "taken", "path", "along"):
                yield from shown_strings(getattr(thing, each.name))


class Explained:
    """Texts that a case or a table brings into a report."""

    def __init__(self, *sources):
        self._by_word = {}
        for text in {text for source in sources for text in strings(source)}:
            plain = " ".join(text.split())
            for form in {plain, plain.rstrip(" .;"), plain.removesuffix(", grand").removesuffix(", upright")}:
                for cased in {form, form[:1].lower() + form[1:], form[:1].upper() + form[1:], form.replace("_", " ")}:
                    first = _WORD.search(cased)
                    if first is not None:
                        self._by_word.setdefault(first.group(), set()).add(cased[first.start() :])
        self._by_word = {word: sorted(found, key=len, reverse=True) for word, found in self._by_word.items()}

    def left(self, text):
        """Return the words of a text that neither a message nor the data explains."""
        rest = _ADDRESS.sub(" ", _SAID.sub(" ⟧ ", text))
        found, at = [], 0
        while (word := _WORD.search(rest, at)) is not None:
            start = word.start()
            known = next((each for each in self._by_word.get(word.group(), ()) if rest.startswith(each, start)), None)
            if known is not None:
                at = start + len(known)
            else:
                if word.group() not in _UNITS:
                    found.append(word.group())
                at = word.end()
        return found
