"""A document with every kind of block, filled with text that means something to a browser or a typesetter."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from appraise.model.chart import Bar, Bars, Ranges, Span
from appraise.report.document import (
    Bullets,
    Column,
    Document,
    Drawing,
    Facts,
    FillInLines,
    Outline,
    Paragraph,
    Photo,
    PhotoGrid,
    Section,
    Table,
    Ticks,
)

if TYPE_CHECKING:
    from pathlib import Path

HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</style></title><b>out</b>",
    "&lt;b&gt; &amp; &#60; R&D",
    '#import "x.typ": *',
    '#read("/etc/passwd")',
    "$x^2$ and `raw` and <label> @ref",
    "*bold* _light_ = heading",
    "[link](javascript:alert(1))",
    "back\\slash \\ #\\u{41} // comment /* c */",
    "- item + item 1. item / term: word",
    "turned \u202eround \u2066and\u2069",
    "nul\x00bell\x07escape\x1b[2J",
    "two\nlines\r\nand\ta tab",
    "½ ♯ − – ☐ € ² “quoted” …",
    "שלום עולם",
    "e\u0301 und A\u030a",
)
LONG = "þ" * 10_000
"""No place to break it."""

OUTSIDE = "宽 😀 x\u20d7 \ue000"
"""Beyond the fonts of the PDF: an ideograph, a picture, a mark on a letter, a character of private use."""


def every_block(text: str, *, contents: bool = False) -> Document:
    """Return a document with one text in every place of every kind of block.

    Args:
        text: What stands everywhere.
        contents: Whether the document gets a page of contents.
    """
    chart = Ranges(text, text, (Span(text, 1.0, 2.0, 3.0, (text, text, text), (("P5", 0.5),), True),))
    bars = Bars(text, text, (Bar(text, 5.0, text), Bar(text, 2.0, text, 4.0)), (text, text))
    first = (
        Paragraph(text),
        Bullets((text, text)),
        Facts(((text, text), ("name", text))),
        Ticks((text,)),
        FillInLines((text,)),
    )
    second = (
        Table((Column(text), Column(text, numeric=True)), ((text, text), (text, text))),
        Table(tuple(Column(text, numeric=place > 3) for place in range(7)), ((text,) * 7,) * 2),
        Outline(((0, text), (1, text), (4, text), (2, text), (0, text), (40, text))),
    )
    third = (
        Drawing(chart, text, text),
        Drawing(bars, text, text),
        PhotoGrid(((Photo(text, text, text, None, text), Photo(text, "", text, None, "no such file")),)),
    )
    return Document(
        text,
        text,
        (Section(text, first), Section(text, second), Section(text, third, level=2), Section(text, ())),
        footer=text,
        author=text,
        dated=date(2026, 11, 20),
        contents=contents,
    )


def photographed(folder: Path) -> Document:
    """Return a document with a large photo that carries particulars, one with clear parts, and one that is broken.

    Args:
        folder: Where the photos are put.
    """
    from PIL import Image

    large = Image.linear_gradient("L").resize((2400, 1800)).convert("RGB")
    exif = Image.Exif()
    exif[0x010F] = "Secretcam"
    exif[0x0112] = 6  # lies on its side
    large.save(folder / "large.jpg", exif=exif)
    Image.new("RGBA", (40, 30), (255, 0, 0, 90)).save(folder / "clear.png")
    (folder / "broken.jpg").write_bytes((folder / "large.jpg").read_bytes()[:3000])
    (folder / "words.jpg").write_text("no picture", encoding="utf-8")
    names = ("large.jpg", "clear.png", "broken.jpg", "words.jpg", "gone.jpg")
    photos = [Photo(name, "ab" * 32, f"caption of {name}", folder / name) for name in names]
    missing = Photo("none.jpg", "", "caption of none.jpg", None, "found no such file, expected the photo")
    plates = PhotoGrid(((photos[0], photos[1]), (photos[2], photos[3]), (photos[4], missing)))
    return Document("Photos", "of nothing", (Section("Plates", (plates,)),), dated=date(2026, 11, 20))
