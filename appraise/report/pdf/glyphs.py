"""Characters that no font of the PDF holds: found by asking the typesetter, and replaced."""

from __future__ import annotations

import json
import re
import unicodedata
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

_COMMON = re.compile(
    "[\n -~\u00a0-\u017f\u2010-\u201e\u2020-\u2022\u2026\u2030\u2032\u2033\u20ac\u2190-\u2193\u2212\u2610"
    "\u266d-\u266f\ufffd]*"
)
"""What every text may hold without asking; the tests hold the fonts to it."""

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
    found = {cluster for cluster in asked if lacking.issuperset(cluster)}
    if found and _lacking(sorted(set(asked) - found)):
        found = {cluster for cluster in asked if not lacking.isdisjoint(cluster)}
    return sorted(found | private)


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
        return {letter for told in _MISSING.findall(error.diagnostic) for letter in _plain(told)}
    return set()


def _plain(told: str) -> str:
    """Return a text as it was before it was quoted in a message."""
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)) if found[1] else _NAMED.get(found[2], found[2]), told)
