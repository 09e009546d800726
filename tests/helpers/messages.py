"""The catalogue of messages, from the sources; `python -m tests.helpers.messages` writes it and levels translations."""

from __future__ import annotations

import ast
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import read_po, write_po

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping
    from typing import BinaryIO

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "appraise" / "report" / "wording"
TEMPLATE = FOLDER / "appraise.pot"

KEYWORDS = {
    "message": None,
    "messages": (1, 2),
    "say": None,
    "several": (1, 2),
    "phrase": None,
    "phrases": (1, 2),
    "tell": (2,),
    "tells": (2, 3),
}
"""Calls that a message stands in, and which of their arguments it is."""

ELSEWHERE = ("appraise/cli/", "appraise/screens/", "appraise/widgets/", "appraise/services/instruments/")
"""Speak to whoever types and not to whoever reads a report; their `say` is another function."""

_HEAD = """\
# Messages of the reports of appraise.
# Places in braces are filled in; a translation may put them in any order, and must keep each.
# Labels, definitions and cautions stand in the reference tables: a folder of tables laid over ours translates those.
#"""
_NEVER = datetime(2026, 1, 1, tzinfo=UTC)
"""The catalogue hangs on the sources alone, not on the clock."""


def calls(
    source: BinaryIO, keywords: Mapping[str, object], comment_tags: Collection[str], options: Mapping[str, object]
) -> Iterator[tuple[int, str, tuple[str | None, ...], list[str]]]:
    """Yield every call of a keyword with its arguments, none for those that are no plain text.

    A method of extraction as Babel asks for it; Babel's own takes the name of a call for that of one inside it.
    """
    for node in ast.walk(ast.parse(source.read())):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name | ast.Attribute):
            name = node.func.id if isinstance(node.func, ast.Name) else node.func.attr
            if name in keywords:
                values = [each.value if isinstance(each, ast.Constant) else None for each in node.args]
                yield node.lineno, name, tuple(each if isinstance(each, str) else None for each in values), []


def messages() -> Catalog:
    """Return every message of the sources."""
    catalogue = Catalog(
        project="appraise", header_comment=_HEAD, creation_date=_NEVER, revision_date=_NEVER, charset="utf-8"
    )
    found = extract_from_dir(ROOT / "appraise", keywords=KEYWORDS, method_map=[("**.py", calls)])
    for file, _, text, comments, context in sorted(found, key=lambda item: (item[0], item[1])):
        place = f"appraise/{file}"
        if not place.startswith(ELSEWHERE):
            catalogue.add(text, None, [(place, None)], auto_comments=comments, context=context)
    return catalogue


def written(catalogue: Catalog) -> bytes:
    """Return a catalogue as a file."""
    for message in catalogue:
        message.flags.discard("python-format")  # a percent sign is one here
        message.flags.discard("python-brace-format")
    stream = BytesIO()
    write_po(stream, catalogue, width=110, sort_output=True, include_lineno=False)
    return stream.getvalue()


def read(path: Path) -> Catalog:
    """Read a template or a translation."""
    with path.open("rb") as file:
        return read_po(file, locale=None if path.suffix == ".pot" else path.stem)


def main() -> None:
    """Write the template, and bring every translation up to it."""
    template = messages()
    TEMPLATE.write_bytes(written(template))
    for path in sorted(FOLDER.glob("*.po")):
        translation = read(path)
        translation.update(template, no_fuzzy_matching=True)
        translation.obsolete.clear()
        translation.revision_date = _NEVER
        path.write_bytes(written(translation))


if __name__ == "__main__":
    main()
