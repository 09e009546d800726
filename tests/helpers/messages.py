"""The catalogue of messages, from the sources.

`python -m tests.helpers.messages` levels the translations with it: what is no message any more goes, and what is not
translated is not kept. With the name of a file it writes all messages there, for somebody who translates.
"""

from __future__ import annotations

import ast
import sys
from datetime import UTC, datetime
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from babel.messages.catalog import Catalog, Message
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import read_po, write_po

from appraise.model.case import Kind
from appraise.report.words import job_label
from appraise.tables.load import load_tables

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping
    from typing import BinaryIO

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "appraise" / "report" / "wording"

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

ELSEWHERE = ("cli/", "screens/", "widgets/", "services/instruments/")
"""Speak to whoever types and not to whoever reads a report; their `say` is another function."""

_HEAD = """\
# Messages of the reports of appraise.
# Places in braces are filled in; a translation may put them in any order, and must keep each.
# Of the reference tables those texts are here that an owner reads; a folder of tables laid over ours translates others.
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


@cache
def messages() -> Catalog:
    """Return every message of the sources; found once a process, and not to be changed."""
    catalogue = Catalog(
        project="appraise", header_comment=_HEAD, creation_date=_NEVER, revision_date=_NEVER, charset="utf-8"
    )
    method_map = [*((f"{start}**.py", "ignore") for start in ELSEWHERE), ("**.py", calls)]
    found = extract_from_dir(ROOT / "appraise", keywords=KEYWORDS, method_map=method_map)
    for file, _, text, comments, context in sorted(found, key=lambda item: (item[0], item[1])):
        catalogue.add(text, None, [(f"appraise/{file}", None)], auto_comments=comments, context=context)
    for place, text in of_tables():
        catalogue.add(text, None, [(place, None)])
    return catalogue


def of_tables() -> Iterator[tuple[str, str]]:
    """Yield the texts of the tables that an owner reads, each with its file: jobs, parts, classes, short cautions."""
    tables, kinds = load_tables(), list(Kind)
    for job in tables.remedies.values():
        yield from (("reference_tables/remedies.toml", text) for text in (job_label(job.label), job.if_left) if text)
    for part in tables.components.values():
        labels = dict.fromkeys((part.label, *map(part.named, kinds)))
        yield from (("reference_tables/components.toml", label) for label in labels)
    for row in tables.condition_classes.values():
        yield "reference_tables/condition_classes.toml", row.label
    for caution in tables.cautions.values():
        yield "reference_tables/cautions.toml", caution.short or caution.text


def written(catalogue: Catalog) -> bytes:
    """Return a catalogue as a file."""
    for message in catalogue:
        message.flags.discard("python-format")  # a percent sign is one here
        message.flags.discard("python-brace-format")
    stream = BytesIO()
    write_po(stream, catalogue, width=110, sort_output=True, include_lineno=False)
    return stream.getvalue()


def read(path: Path) -> Catalog:
    """Read a translation."""
    with path.open("rb") as file:
        return read_po(file, locale=path.stem)


def levelled(path: Path) -> bytes:
    """Return a translation as it is kept: the messages that there are and that are translated."""
    translation = read(path)
    translation.update(messages(), no_fuzzy_matching=True)
    translation.obsolete.clear()
    translation.revision_date = _NEVER
    for entry in [entry for entry in translation if entry.id and not is_translated(entry)]:
        translation.delete(entry.id, entry.context)
    return written(translation)


def is_translated(entry: Message) -> bool:
    """Tell whether every form of a message has its words."""
    return all(entry.string) if isinstance(entry.string, tuple) else bool(entry.string)


def main(target: str = "") -> None:
    """Write all messages where somebody wants them, and bring every translation up to them."""
    if target:
        Path(target).write_bytes(written(messages()))
    for path in sorted(FOLDER.glob("*.po")):
        path.write_bytes(levelled(path))


if __name__ == "__main__":
    main(*sys.argv[1:2])
