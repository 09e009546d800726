"""The Kitty graphics protocol as published, and the cells that a photo takes."""

from __future__ import annotations

import io
import unicodedata

import pytest
from PIL import Image
from rich.cells import cell_len

from appraise.services.cell_pictures import (
    DIACRITICS,
    LARGEST_NUMBER,
    Fitted,
    colour,
    fitted,
    half_cells,
    passed_through,
    placeholder,
    removal,
    sending,
)

# How the protocol says that its table was made: marks (Mn) of combining class 230 of Unicode 6.0 that have no
# decomposition, without those that some letter joins with to one character.
JOINING = {0x300, 0x301, 0x302, 0x303, 0x304, 0x306, 0x307, 0x308, 0x309, 0x30A, 0x30B, 0x30C, 0x30F, 0x311, 0x313}
JOINING |= {0x314, 0x342, 0x653, 0x654}


def marks_above(database):
    return [
        chr(code)
        for code in range(0x300, 0x1E000)
        if database.category(chr(code)) == "Mn"
        and database.combining(chr(code)) == 230
        and database.bidirectional(chr(code)) == "NSM"
        and not database.decomposition(chr(code))
        and code not in JOINING
    ]


def test_the_marks_are_those_of_the_protocol():
    assert len(DIACRITICS) == len(set(DIACRITICS)) == 297
    assert list(DIACRITICS) == sorted(DIACRITICS)
    assert set(DIACRITICS) <= set(marks_above(unicodedata))
    # Python keeps the Unicode Character Database of version 3.2 as well: of those known then, none is missing.
    old = unicodedata.ucd_3_2_0
    assert set(marks_above(old)) - {"\u1dc0"} == {mark for mark in DIACRITICS if old.category(mark) != "Cn"}
    # The protocol's own examples.
    assert DIACRITICS[:3] == ("\u0305", "\u030d", "\u030e")
    assert DIACRITICS[-1] == "\U0001d244"


def test_a_cell_of_a_picture_is_one_cell_wide():
    for at in range(len(DIACRITICS)):
        assert cell_len(placeholder(at, len(DIACRITICS) - 1 - at)) == 1
        assert unicodedata.normalize("NFC", placeholder(at, 0)) == placeholder(at, 0)


@pytest.fixture(scope="module")
def black(tmp_path_factory):
    """Return a function that gives a black picture of a size, written once."""
    folder = tmp_path_factory.mktemp("black")

    def picture(size):
        path = folder / f"{size[0]}x{size[1]}.png"
        if not path.exists():
            Image.new("RGB", size).save(path)
        return path

    return picture


@pytest.mark.parametrize("size", [(4000, 3000), (3000, 4000), (4000, 400), (300, 4000), (40, 30), (1, 900), (7, 5)])
@pytest.mark.parametrize("room", [(78, 12), (38, 30), (198, 50), (400, 2)])
def test_cells_keep_the_proportion(black, size, room):
    path = black(size)
    made = fitted(path, *room)
    assert isinstance(made, Fitted)
    assert 1 <= made.columns <= min(room[0], len(DIACRITICS))
    assert 1 <= made.rows <= room[1]
    # Half cells are squares: as many of them as half cells would take, to the rounding of one.
    cells = half_cells(path, min(room[0], len(DIACRITICS)), room[1])
    assert abs(made.rows - len(cells)) <= 1
    assert abs(made.columns - len(cells[0])) <= 1
    with Image.open(io.BytesIO(made.png), formats=["PNG"]) as image:
        assert image.width <= min(size[0], 1200)
        assert image.height <= min(size[1], 1200)


def test_what_cannot_be_read_is_said(tmp_path):
    (tmp_path / "no.jpg").write_bytes(b"\xff\xd8\xff no more")
    assert "cannot be read as a picture" in fitted(tmp_path / "no.jpg", 10, 10)
    assert "cannot be read as a picture" in fitted(tmp_path / "none.jpg", 10, 10)


@pytest.mark.parametrize("size", [1, 3071, 3072, 3073, 9000])
def test_commands_carry_all_of_it_in_pieces(size):
    sent = list(sending(7, Fitted(bytes(size), 3, 2)))
    first, *_, last = sent if len(sent) > 1 else sent * 2
    assert first.startswith("\x1b_Ga=T,U=1,f=100,i=7,c=3,r=2,q=2,m=")
    assert [",m=1;" in each for each in sent] == [True] * (len(sent) - 1) + [False]
    assert last.endswith("\x1b\\")
    assert len(sent) == -(-4 * -(-size // 3) // 4096)
    assert passed_through(removal(7)) == "\x1bPtmux;\x1b\x1b_Ga=d,d=I,i=7,q=2\x1b\x1b\\\x1b\\"


def test_a_colour_says_the_number():
    for number in (1, 255, 256, 65536, LARGEST_NUMBER):
        red, green, blue = colour(number)
        assert (red << 16 | green << 8 | blue) == number
