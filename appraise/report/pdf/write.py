"""A document as a tagged PDF: its data and a fixed template go to Typst, and no text of it is ever source."""

from __future__ import annotations

import json
import re
import tempfile
import unicodedata
from datetime import UTC, datetime
from importlib.resources import files
from operator import itemgetter
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.model.unsafe import REPLACEMENT
from appraise.report.document import Paragraph, Section, Unwritable, Written
from appraise.report.pdf.data import TypstBuilder
from appraise.report.report_labels import Furniture

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from appraise.report.document import Document, Sheet
    from appraise.report.pdf.data import Data


NAMED = 12
"""Characters left out that are named; more are counted."""

SCALES = (1.0, 0.95, 0.9, 0.86)
"""Of the type of a document that is meant for one page, the largest that fits; where none does it takes a second."""

LONG = (1.0, 0.98, 0.96, 0.94)
"""The same of any other document, so that its last page is not nearly empty where that can be had."""

NEARLY_EMPTY = 0.3
"""A page that is written on down to no more of its height is nearly empty [–], head and margin included."""

PLAIN = frozenset({"k", "title", "subtitle", "author", "lang", "region", "paper", "file", "alt", "svg"})
"""Keys of the data whose text must stay in one piece."""

_RUNS = {
    "table": re.compile(r"[^\s/–-]{22,}|(?=[^\s/–-]*\d)[^\s/–-]{13,}"),
    "": re.compile(r"[^\s/–-]{40,}"),
}
"""Text that may break at a line end without a hyphen, in tables and elsewhere: digests,
numbers, names of files."""

RUNS = 11
"""Empty runs of the typesetter after which it has dropped what it keeps of the documents before."""

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

    Raises:
        Unwritable: The typesetter refuses it, as PDF/A does a document without a date.
    """
    setter = TypstBuilder(sheet, document.manner)
    head, sections = setter.head(document), setter.sections(document.sections)
    data: Data = {**head, "sections": sections}
    lost = missing(_strings(data))
    notes = list(setter.notes)
    if lost:
        words = Furniture(document.manner)
        said = words.left_out([_codes(cluster) for cluster in lost[:NAMED]], len(lost[NAMED:]))
        notes.append(said)
        # The longest first: a letter with a mark on it before the bare letter.
        pattern = re.compile("|".join(re.escape(cluster) for cluster in sorted(lost, key=len, reverse=True)))
        about = setter.sections((Section(words.about, (Paragraph(said),)),))
        data = _mapped({**head, "sections": [*sections, *about]}, lambda text: pattern.sub(REPLACEMENT, text))
    return Written(_set(_parted(data), setter, document, sheet), tuple(notes))


def _set(data: Data, setter: TypstBuilder, document: Document, sheet: Sheet) -> bytes:
    """Let the template read the data; it lies with the pictures in a folder of their own while it does."""
    import typst

    moment = None if document.dated is None else datetime.combine(document.dated, datetime.min.time(), UTC)
    with tempfile.TemporaryDirectory(prefix="appraise-") as folder:
        template = Path(folder, "report.typ")
        template.write_bytes((files("appraise.report.pdf") / template.name).read_bytes())
        for name, picture in setter.pictures.items():
            Path(folder, name).write_bytes(picture.content)
        _forget(Path(folder))
        ranked: list[tuple[int, typst.Compiler]] = []
        for scale in SCALES if document.close else LONG:
            inputs = {"document": json.dumps(data, ensure_ascii=False), "scale": str(scale)}
            # Asked for its pages and then for the file it sets the document once: a file as template is remembered.
            compiler = typst.Compiler(template, root=Path(folder), ignore_system_fonts=True, sys_inputs=inputs)
            pages, filled = json.loads(compiler.query("<end>", field="value", one=True))
            # Of a document meant for one page the fewest pages count; of any the last one that is not nearly empty.
            rank = 2 * pages * document.close + (pages > 1 and filled <= NEARLY_EMPTY)
            rank += 0 if document.most is None else 2 * max(0, pages - document.most)
            ranked.append((rank, compiler))
            if pages == 1 or rank == 0:
                break
        try:
            _, chosen = min(ranked, key=itemgetter(0))
            made = chosen.compile(format="pdf", pdf_standards=list(sheet.standards), timestamp=moment)
        except typst.TypstError as error:
            raise Unwritable(f"the PDF cannot be set: {error.message}") from error
    if not isinstance(made, bytes):
        raise TypeError(f"expected the bytes of one PDF, found {type(made).__name__}")
    return made


def _forget(folder: Path) -> None:
    """Let the typesetter drop what it keeps of earlier documents: 100 MB of a long one.

    It drops what was not used for ten runs; empty ones take a millisecond together.
    """
    import typst

    empty = folder / "empty.typ"
    empty.touch()
    compiler = typst.Compiler(empty, root=folder, ignore_system_fonts=True)
    for _ in range(RUNS):
        compiler.compile(format="svg")


def _strings(data: Data) -> Iterator[str]:
    """Yield every text of some data."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, list | dict):
        for item in data.values() if isinstance(data, dict) else data:
            yield from _strings(item)


def _mapped(data: Data, change: Callable[[str], str]) -> Data:
    """Return data with every text changed."""
    if isinstance(data, str):
        return change(data)
    if isinstance(data, list):
        return [_mapped(item, change) for item in data]
    if isinstance(data, dict):
        return {key: _mapped(item, change) for key, item in data.items()}
    return data


def _parted(data: Data, run: re.Pattern[str] = _RUNS[""]) -> Data:
    """Return data with every text that may have to be parted as pieces."""
    if isinstance(data, str):
        return _pieces(data, run)
    if isinstance(data, list):
        return [_parted(item, run) for item in data]
    if isinstance(data, dict):
        run = _RUNS["table"] if data.get("k") == "table" else run
        return {key: item if key in PLAIN else _parted(item, run) for key, item in data.items()}
    return data


def _pieces(text: str, pattern: re.Pattern[str]) -> Data:
    """Return a text as pieces where a part of it is too long for a line and has no place to be broken."""
    if pattern.search(text) is None:
        return text
    pieces: list[Data] = []
    end = 0
    for run in pattern.finditer(text):
        head, word = text[end : run.start()], run.group()
        pieces += [head + word[:PIECE], *(word[at : at + PIECE] for at in range(PIECE, len(word), PIECE))]
        end = run.end()
    return [*pieces, *([text[end:]] if end < len(text) else [])]


def _codes(cluster: str) -> str:
    return " ".join(f"U+{ord(letter):04X}" for letter in cluster)


_COMMON = re.compile(
    "[\n -~\u00a0-\u017f\u2010-\u201e\u2020-\u2022\u2026\u2030\u2032\u2033\u20ac\u2190-\u2193\u2212\u2610"
    "\u266d-\u266f\ufffd]*"
)
"""Characters that every font covers, as the tests check."""

_PROBE = b"""\
#set document(title: "probe")
#set text(font: "Libertinus Serif")
#for cluster in json(bytes(sys.inputs.clusters)) [#cluster ]
"""

_MISSING = re.compile(r'the text `"((?:[^"\\]|\\.)*)"` could not be displayed')
_ESCAPED = re.compile(r"\\(?:u\{([0-9a-f]+)\}|(.))")
_NAMED = {"n": "\n", "t": "\t", "r": "\r", "0": "\0"}


def missing(texts: Iterable[str]) -> list[str]:
    """Return what of some texts the fonts cannot show, sorted: characters, each with the marks that stand on it.

    Args:
        texts: Any number of texts.
    """
    unusual = {cluster for text in texts if not _COMMON.fullmatch(text) for cluster in _clusters(text)}
    private = {cluster for cluster in unusual if any(unicodedata.category(letter) == "Co" for letter in cluster)}
    asked = sorted(unusual - private)
    lacking = _lacking(asked)
    matching = {cluster for cluster in asked if lacking.issuperset(cluster)}
    if matching and _lacking(sorted(set(asked) - matching)):
        matching = {cluster for cluster in asked if not lacking.isdisjoint(cluster)}
    return sorted(matching | private)


def _clusters(text: str) -> Iterator[str]:
    """Yield each character that is not common, with its marks; a common one only with marks on it."""
    held = ""
    for letter in text:
        if held and unicodedata.category(letter).startswith("M"):
            held += letter
            continue
        if held and not _COMMON.fullmatch(held):
            yield held
        held = letter
    if held and not _COMMON.fullmatch(held):
        yield held


def _lacking(clusters: list[str]) -> set[str]:
    """Return the characters that the typesetter says it cannot show, as PDF/A forbids to leave them out."""
    if not clusters:
        return set()
    import typst

    try:
        typst.compile(
            _PROBE,
            ignore_system_fonts=True,
            format="pdf",
            sys_inputs={"clusters": json.dumps(clusters)},
            pdf_standards=["a-2b"],
        )
    except typst.TypstError as error:
        return {letter for result in _MISSING.findall(error.diagnostic) for letter in _plain(result)}
    return set()


def _plain(text: str) -> str:
    """Return a text as it was before it was quoted in a message."""
    return _ESCAPED.sub(lambda match: chr(int(match[1], 16)) if match[1] else _NAMED.get(match[2], match[2]), text)
