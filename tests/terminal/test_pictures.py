"""Photos drawn by the terminal: what a pseudo-terminal receives, held to the Kitty graphics protocol as published."""

from __future__ import annotations

import io
import os
from base64 import b64decode

import pytest
from PIL import Image

from appraise.store.write import write_case
from tests.helpers import worksheet_cases
from tests.helpers.terminal_cells import Cells, commands, queries
from tests.helpers.typist import Typist

PLACEHOLDER = "\U0010eeee"
# "U+0305 is 0, U+030D is 1, U+030E is 2, U+0310 is 3, U+0312 is 4": the first of the protocol's list of diacritics.
FIRST = "\u0305\u030d\u030e\u0310\u0312"
HALF = "▀"


@pytest.fixture
def case(tmp_path, tables, monkeypatch):
    """An upright with two photos beside it: one wide, one high."""
    path = tmp_path / "upright.toml"
    write_case(path, worksheet_cases.upright(), tables)
    Image.new("RGB", (1600, 1200), (200, 10, 10)).save(tmp_path / "wide.jpg")
    Image.new("RGB", (900, 1600), (10, 10, 200)).save(tmp_path / "high.png")
    os.utime(tmp_path / "high.png", (1_795_000_000, 1_795_000_000))  # the newest comes first
    monkeypatch.setenv("COLORTERM", "truecolor")
    monkeypatch.delenv("TMUX", raising=False)
    return path


@pytest.fixture
def asking_for(tmp_path, monkeypatch):
    """Write the setting into a file of one's own."""

    def write(pictures):
        settings = tmp_path / "settings.toml"
        settings.write_text(f'[screen]\npictures = "{pictures}"\n')
        monkeypatch.setenv("APPRAISE_SETTINGS", str(settings))

    return write


class Seen(Typist):
    """A person who sees what stands in the cells."""

    def __init__(self, case):
        super().__init__(case, size=(24, 80))
        self._cells, self._fed = Cells(), 0
        self.wait(b"tructure")

    @property
    def sent(self):
        """All that the terminal was sent, as text."""
        return self.shown.decode(errors="replace")

    def until(self, true):
        """Read until something is true, looked at whenever nothing more comes."""
        for _ in range(600):
            before = len(self.shown)
            self.read(0.2)
            if before == len(self.shown) != self._fed:
                self._cells.feed(self.shown[self._fed :].decode(errors="replace"))
                self._fed = before
                if true():
                    return
        raise AssertionError(self.text())

    def stands(self, letter):
        """Say whether a letter stands anywhere."""
        return any(text[0] == letter for text, _ in self._cells.grid.values())

    def drawn(self):
        """Return the cells that name a picture: by its number, line and column of each and what stands there."""
        found: dict[int, dict[tuple[int, int], str]] = {}
        for place, (text, number) in self._cells.grid.items():
            if text[0] == PLACEHOLDER:
                found.setdefault(number, {})[place] = text
        return found

    def open_photos(self):
        """Enter both photos for the first check and open the first of them on its screen."""
        self.type(["ctrl+f", "enter", "space", "down", "space", "enter", "home", "enter"])
        self.wait(b"photo 1 of 2")

    def leave(self):
        """Save and quit."""
        self.type(["ctrl+s", "ctrl+q"])
        assert self.end() == 0


def pictures(sent):
    """Return the pictures handed over in turn: number, columns, lines, the image; and the numbers taken back."""
    given, taken = {}, []
    letters: dict[int, str] = {}
    latest = 0
    for keys, payload in commands(sent):
        assert keys["q"] == "2", "an answer would come among the keys"
        assert len(payload) <= 4096
        if keys.get("a") == "d":
            assert (keys["d"], payload) == ("I", "")
            taken.append(int(keys["i"]))
            continue
        if keys.get("a") == "T":
            assert (keys["U"], keys["f"]) == ("1", "100")
            latest = int(keys["i"])
            assert latest not in given
            given[latest] = (int(keys["c"]), int(keys["r"]))
            letters[latest] = ""
        else:
            assert set(keys) == {"m", "q"}
        letters[latest] += payload
        if keys["m"] == "0":
            content = b64decode(letters[latest], validate=True)
            with Image.open(io.BytesIO(content), formats=["PNG"]) as image:
                image.load()
                given[latest] += (image,)
    return given, taken


def test_a_photo_is_handed_over_once_drawn_where_it_belongs_and_taken_back(case, asking_for):
    asking_for("kitty")
    typist = Seen(case)
    typist.open_photos()
    typist.until(typist.drawn)
    (wide, (columns, rows, image)) = list(pictures(typist.sent)[0].items())[-1]
    assert 1 <= wide < 1 << 24
    # 4 : 3, on cells of 1 : 2; the picture itself to the pixel.
    assert columns / (2 * rows) == pytest.approx(image.width / image.height, rel=0.03) == pytest.approx(4 / 3, rel=0.03)
    assert image.width >= 8 * columns
    assert all(abs(one - two) < 8 for one, two in zip(image.getpixel((9, 9)), (200, 10, 10), strict=True))
    ((number, shown),) = typist.drawn().items()
    assert number == wide
    top, left = min(shown)
    assert len(shown) == columns * rows
    assert {(line - top, column - left) for line, column in shown} == {
        (line, column) for line in range(rows) for column in range(columns)
    }
    for line, row in enumerate(FIRST):
        for column, mark in enumerate(FIRST):
            assert shown[top + line, left + column] == PLACEHOLDER + row + mark
    assert len(set(shown.values())) == len(shown)
    given = len(pictures(typist.sent)[0])

    typist.type(["enter"])  # a caption is asked for, and what lies below is tinted
    typist.until(lambda: not typist.drawn() and typist.stands(HALF))
    typist.type(["escape"])
    typist.until(lambda: set(typist.drawn()) == {wide} and not typist.stands(HALF))
    assert len(pictures(typist.sent)[0]) == given

    typist.type(["right"])
    typist.until(lambda: typist.drawn() and wide not in typist.drawn())
    (high,) = typist.drawn()
    given, taken = pictures(typist.sent)
    columns, rows, image = given[high]
    assert columns / (2 * rows) == pytest.approx(9 / 16, rel=0.05)
    assert wide in taken
    assert high not in taken

    typist.type(["escape"])
    typist.leave()
    given, taken = pictures(typist.sent)
    assert sorted(given) == sorted(taken)
    assert queries(typist.sent) <= {"?2026$p", "?2048$p"}  # Textual's own, at the start


@pytest.mark.parametrize(("asked", "colours"), [("", "truecolor"), ("cells", "truecolor"), ("kitty", "")])
def test_half_cells_where_it_is_not_asked_for_or_colours_do_not_arrive(case, asking_for, monkeypatch, asked, colours):
    if asked:
        asking_for(asked)
    monkeypatch.setenv("COLORTERM", colours)
    typist = Seen(case)
    typist.open_photos()
    typist.until(lambda: typist.stands(HALF))
    typist.leave()
    assert "\x1b_" not in typist.sent
    assert PLACEHOLDER not in typist.sent


def test_within_tmux_commands_are_wrapped_and_leaving_takes_back_what_is_in_sight(case, asking_for, monkeypatch):
    monkeypatch.setenv("TMUX", "somewhere,1,0")
    asking_for("kitty")
    typist = Seen(case)
    typist.open_photos()
    typist.until(typist.drawn)
    typist.leave()
    sent = typist.sent
    # `ESC P tmux ;`, every ESC inside doubled, `ESC \\`: as the manual page of tmux has it.
    start, end = "\x1bPtmux;", "\x1b\\"
    wrapped = [part.split("\x1b\x1b\\" + end)[0] for part in sent.split(start)[1:]]
    assert all(part.startswith("\x1b\x1b_G") for part in wrapped)
    assert "\x1b_G" not in sent.replace("\x1b\x1b_G", "")
    given, taken = pictures("".join(part.replace("\x1b\x1b", "\x1b") + end for part in wrapped))
    assert given
    assert sorted(given) == sorted(taken)
    assert sent.rindex("_Ga=d") < sent.rindex("\x1b[?1049l")
