"""What stands in the cells of a terminal that was sent something: letters, the marks on them, their colour."""

from __future__ import annotations

import re
import unicodedata

COMMAND = re.compile("\x1b_G(?P<keys>[^;\x1b]*)(?:;(?P<payload>[^\x1b]*))?\x1b\\\\")
"""One command of the Kitty graphics protocol: `ESC _ G`, keys, a payload, `ESC \\`."""

_SEQUENCE = re.compile(
    "\x1b[P_\\]^][^\x07\x1b]*(?:\x07|\x1b\\\\)|"
    "\x1b\\[(?P<asked>[0-9;:?<>=$ ]*)(?P<kind>[@-~])|\x1b[^\\[]|(?P<text>[^\x1b]+)"
)
_FOREGROUND = re.compile(r"(?:^|;)38;2;(\d+);(\d+);(\d+)")


def commands(sent: str) -> list[tuple[dict[str, str], str]]:
    """Return the commands about pictures, each with its keys and what it carries."""
    found = []
    for command in COMMAND.finditer(sent):
        keys = dict(key.split("=") for key in command["keys"].split(","))
        found.append((keys, command["payload"] or ""))
    return found


class Cells:
    """What stands where, after all that was fed so far.

    Of a terminal's language it knows what Textual draws with: moves to a place, colours, line feeds.
    """

    def __init__(self):
        self.grid: dict[tuple[int, int], tuple[str, int | None]] = {}
        """By line and column a letter with its marks, and its colour of 24 bits."""
        self._line = self._column = 0
        self._colour: int | None = None

    def feed(self, sent: str) -> None:
        """Draw what was sent, in whole sequences."""
        for found in _SEQUENCE.finditer(COMMAND.sub("", sent)):
            kind = found["kind"]
            if kind == "H":
                line, column = f"{found['asked'] or '1'};1".split(";")[:2]
                self._line, self._column = int(line or 1) - 1, int(column or 1) - 1
            elif kind == "m":
                named = _FOREGROUND.search(found["asked"])
                if named:
                    red, green, blue = map(int, named.groups())
                    self._colour = red << 16 | green << 8 | blue
                elif found["asked"] in ("", "0"):
                    self._colour = None
            else:
                for letter in found["text"] or "":
                    self._put(letter)

    def _put(self, letter: str) -> None:
        before = self._line, self._column - 1
        if letter == "\n":
            self._line += 1
        elif letter >= " " and unicodedata.combining(letter) and before in self.grid:
            self.grid[before] = (self.grid[before][0] + letter, self.grid[before][1])
        elif letter >= " ":
            self.grid[self._line, self._column] = (letter, self._colour)
            self._column += 1 + (unicodedata.east_asian_width(letter) in "WF")


def queries(sent: str) -> set[str]:
    """Return the kinds of question that a terminal would answer: attributes, places, modes, sizes, colours."""
    asked = {f"{each['asked']}{each['kind']}" for each in _SEQUENCE.finditer(sent) if each["kind"]}
    told = {each for each in asked if each[-1] in "cn" or each.endswith("$p") or (each[-1] == "t" and each != "t")}
    return told | set(re.findall("\x1b\\][0-9;]*\\?", sent)) | set(re.findall("\x1bP[+$]q", sent))
