"""A document as a tagged PDF: its data and a fixed template go to Typst, and no text of it is ever source."""

from __future__ import annotations

import json
import re
import tempfile
from contextlib import nullcontext
from datetime import UTC, datetime
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.report import furniture
from appraise.report.document import Paragraph, Section
from appraise.report.formats import Written
from appraise.report.pdf.data import Setter
from appraise.report.pdf.glyphs import missing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from appraise.report.document import Document
    from appraise.report.formats import Sheet
    from appraise.report.pdf.data import Data

NAMED = 12
"""Characters left out that are named; more are counted."""

SCALES = (1.0, 0.95, 0.9, 0.86, 0.82)
"""Of the type of a document that belongs on one page, the largest that fits; the least is 8.6 pt."""

PLAIN = frozenset({"k", "title", "subtitle", "author", "lang", "region", "paper", "file", "alt", "svg"})
"""Keys of the data whose text must stay in one piece."""

_RUN = re.compile(r"[^\s/–-]{22,}|(?=[^\s/–-]*\d)[^\s/–-]{13,}")
"""What may have to be parted at the end of a line though no hyphen belongs there: digests, numbers, names of files."""

PIECE = 4
"""Letters of such a piece that stay together."""


def pdf(document: Document, sheet: Sheet) -> Written:
    """Set a document as a PDF.

    The same document gives the same bytes: the date in the file is the document's, never the clock's.

    Args:
        document: Sections of literal text.
        sheet: Paper, and the standards that the file is held to.

    Returns:
        The file, and a line for each photo and all the characters that could not be shown.
    """
    setter = Setter(sheet)
    head, sections = setter.head(document), setter.sections(document.sections)
    data: Data = {**head, "sections": sections}
    lost = missing(_strings(data))
    notes = list(setter.notes)
    if lost:
        said = furniture.characters_left_out([_codes(cluster) for cluster in lost[:NAMED]], len(lost[NAMED:]))
        notes.append(said)
        # The longest first: a letter with a mark on it before the bare letter.
        pattern = re.compile("|".join(re.escape(cluster) for cluster in sorted(lost, key=len, reverse=True)))
        about = setter.sections((Section(furniture.ABOUT, (Paragraph(said),)),))
        data = _mapped({**head, "sections": [*sections, *about]}, lambda text: pattern.sub(furniture.REPLACEMENT, text))
    return Written(_set(_mapped(data, _parted, PLAIN), setter, document, sheet), tuple(notes))


def _set(data: Data, setter: Setter, document: Document, sheet: Sheet) -> bytes:
    """Let the template read the data; pictures lie in a folder of their own while it does."""
    import typst

    template = (files("appraise.report.pdf") / "report.typ").read_bytes()
    moment = None if document.dated is None else datetime.combine(document.dated, datetime.min.time(), UTC)
    with tempfile.TemporaryDirectory(prefix="appraise-") if setter.pictures else nullcontext() as folder:
        for name, picture in setter.pictures.items():
            Path(str(folder), name).write_bytes(picture.content)
        root = None if folder is None else Path(folder)
        for scale in SCALES if document.close else SCALES[:1]:
            inputs = {"document": json.dumps(data, ensure_ascii=False), "scale": str(scale)}
            # A compiler that was asked once has forgotten a template given as bytes: each step gets its own.
            ask = typst.Compiler(template, root=root, ignore_system_fonts=True, sys_inputs=inputs)
            if not document.close or ask.query("<pages>", field="value", one=True) == "1":
                break
        compiler = typst.Compiler(template, root=root, ignore_system_fonts=True, sys_inputs=inputs)
        made = compiler.compile(format="pdf", pdf_standards=list(sheet.standards), timestamp=moment)
    if not isinstance(made, bytes):
        raise TypeError(f"expected the bytes of one PDF, found {type(made).__name__}")
    return made


def _strings(data: Data) -> Iterator[str]:
    """Yield every text of some data."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, list | dict):
        for item in data.values() if isinstance(data, dict) else data:
            yield from _strings(item)


def _mapped(data: Data, change: Callable[[str], Data], but: frozenset[str] = frozenset()) -> Data:
    """Return data with every text changed, but for those under some keys."""
    if isinstance(data, str):
        return change(data)
    if isinstance(data, list):
        return [_mapped(item, change, but) for item in data]
    if isinstance(data, dict):
        return {key: item if key in but else _mapped(item, change, but) for key, item in data.items()}
    return data


def _parted(text: str) -> Data:
    """Return a text as pieces where a part of it is too long for a line and has no place to be broken."""
    if _RUN.search(text) is None:
        return text
    pieces: list[Data] = []
    end = 0
    for run in _RUN.finditer(text):
        head, word = text[end : run.start()], run.group()
        pieces += [head + word[:PIECE], *(word[at : at + PIECE] for at in range(PIECE, len(word), PIECE))]
        end = run.end()
    return [*pieces, *([text[end:]] if end < len(text) else [])]


def _codes(cluster: str) -> str:
    return " ".join(f"U+{ord(letter):04X}" for letter in cluster)
