"""Numbers as people write and dictate them, turned into plain figures."""

from __future__ import annotations

import re

_GROUPED = re.compile(
    r"\d{1,3}(?:"
    r"(?:[ '’\u00a0\u202f]\d{3})+(?:[.,]\d+)?"  # 6 500 and 6'500.50
    r"|(?:\.\d{3})+,\d+|(?:,\d{3})+\.\d+"  # 6.500,00 and 6,500.00
    r"|(?:\.\d{3}){2,}|(?:,\d{3}){2,}"  # 1.000.000
    r")(?![\d.,])",
    re.ASCII,
)
_BLANKS = re.compile(r"['’ \u00a0\u202f]")
_FRACTION = re.compile(r"(\d?)\s?([½¼¾⅛⅜⅝⅞])")
_FRACTIONS = {"½": ".5", "¼": ".25", "¾": ".75", "⅛": ".125", "⅜": ".375", "⅝": ".625", "⅞": ".875"}
_SMALL = {
    word: n
    for n, word in enumerate(
        ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
        + [f"{word}teen" for word in ("thir", "four", "fif", "six", "seven", "eigh", "nine")]
    )
}
_TENS = {
    f"{word}ty": 10 * n for n, word in enumerate(("twen", "thir", "for", "fif", "six", "seven", "eigh", "nine"), 2)
}
_WORDS = {**_SMALL, **_TENS, "hundred": 100, "thousand": 1000}


def in_figures(text: str) -> str:
    """Return an amount in plain figures with a decimal point or comma, what stands behind it as it was.

    "6 500" and "6.500,00" lose what stands between the thousands, "2½" is 2.5, "minus seven point four mm" is -7.4 mm.
    A single point or comma stays: whether it is the decimal one is for the caller to say.
    """
    plain = _FRACTION.sub(lambda found: f"{found[1] or '0'}{_FRACTIONS[found[2]]}", _dictated(text), count=1)
    return _GROUPED.sub(lambda found: _ungrouped(found[0]), plain, count=1)


def _ungrouped(figures: str) -> str:
    """Return figures without what stands between thousands; of two kinds of mark the last is the decimal one."""
    bare = _BLANKS.sub("", figures)
    marks = [mark for mark in bare if mark in ".,"]
    if len(set(marks)) == 2:
        return bare.replace(marks[0], "").replace(",", ".")
    return bare.replace(marks[0], "") if len(marks) > 1 else bare


def _dictated(text: str) -> str:
    """Return a text that begins with a number in English words with that number in figures; another as it is."""
    words = text.strip().casefold().replace("-", " ").split()
    sign = "-" if words[:1] in (["minus"], ["negative"]) else ""
    at = first = len(sign)
    thousands = rest = 0
    while at < len(words) and words[at] in _WORDS:
        size = _WORDS[words[at]]
        if size == 1000:
            thousands, rest = (thousands + max(rest, 1)) * size, 0
        else:
            rest = max(rest, 1) * size if size == 100 else rest + size
        at += 1
    if at == first:
        return text
    decimals = ""
    if words[at : at + 1] == ["point"]:
        for word in words[at + 1 :]:
            if _SMALL.get(word, 10) > 9:
                break
            decimals += str(_SMALL[word])
        if not decimals:
            return text
        at += 1 + len(decimals)
    figures = f"{sign}{thousands + rest}{'.' if decimals else ''}{decimals}"
    return " ".join((figures, *words[at:]))
