"""The HTML page: literal, self-contained, in order for those who do not see it."""

from __future__ import annotations

import base64
import io
import re
from html.parser import HTMLParser
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from appraise.report.document import Column, Document, Facts, Outline, Paragraph, Section, Table
from appraise.report.html.page import ENOUGH, POLICY, page
from appraise.report.kinds import document_for
from appraise.report.words import literal
from tests.helpers.report_blocks import HOSTILE, LONG, OUTSIDE, every_block, photographed
from tests.helpers.report_text import html_text, words_of
from tests.report.conftest import valued
from tests.report.test_loss import moved

VOID = {"meta", "img"}
TAGS = {
    *("html", "head", "meta", "title", "style", "body", "header", "main", "footer", "nav", "section"),
    *("h1", "h2", "h3", "p", "ul", "ol", "li", "dl", "div", "dt", "dd", "a", "strong", "span"),
    *("table", "caption", "thead", "tbody", "tr", "th", "td", "details", "summary", "figure", "figcaption", "img"),
    *("svg", "desc", "g", "path", "line", "rect", "circle", "polyline", "polygon", "text", "tspan"),
}


class Tree(HTMLParser):
    """Reads a page strictly: every element closed, in order; keeps its elements and headings."""

    def __init__(self, content: bytes) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.feed(content.decode("utf-8"))
        self.close()
        assert not self.open

    def handle_starttag(self, tag, attrs):
        assert len(dict(attrs)) == len(attrs), f"an attribute of {tag} twice"
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def all(self, *tags: str) -> list[dict[str, str | None]]:
        return [attrs for tag, attrs in self.elements if tag in tags]


@pytest.fixture(scope="module", params=["full", "summary", "workorder", "loss", "blocks", "photos"])
def content(request, tmp_path_factory):
    if request.param == "loss":
        return page(document_for("loss", moved())).content
    if request.param == "blocks":
        return page(every_block("plain")).content
    if request.param == "photos":
        return page(photographed(tmp_path_factory.mktemp("photos"))).content
    return page(document_for(request.param, valued("grand"))).content


def test_it_is_well_formed_and_holds_no_script_and_no_event(content):
    tree = Tree(content)
    assert {tag for tag, _ in tree.elements} <= TAGS
    for _, attrs in tree.elements:
        assert not any(name.startswith("on") or name == "style" for name in attrs)
    ids = [attrs["id"] for _, attrs in tree.elements if "id" in attrs]
    assert len(ids) == len(set(ids))


def test_nothing_is_fetched(content):
    tree = Tree(content)
    for tag, attrs in tree.elements:
        for name in ("src", "href", "xlink:href", "srcset", "data", "action", "poster", "background"):
            value = attrs.get(name)
            assert value is None or (tag == "a" and value.startswith("#")) or value.startswith("data:image/"), value
    style = re.search(rb"<style>(.*?)</style>", content, re.DOTALL)
    assert style is not None
    assert b"url(" not in style[1]
    assert b"@import" not in style[1]
    policy = [attrs["content"] for attrs in tree.all("meta") if attrs.get("http-equiv") == "Content-Security-Policy"]
    assert policy == [POLICY]
    assert POLICY.startswith("default-src 'none';")


def test_links_within_the_page_arrive(content):
    tree = Tree(content)
    ids = {attrs["id"] for _, attrs in tree.elements if "id" in attrs}
    links = [attrs["href"] or "" for attrs in tree.all("a")]
    assert all(link.startswith("#") and link[1:] in ids for link in links)
    sections = [name for name in ids if re.fullmatch(r"s\d+", name)]
    assert len(links) == (len(sections) if len(sections) > ENOUGH else 0)


def test_headings_do_not_skip(content):
    levels = [int(tag[1]) for tag, _ in Tree(content).elements if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_everything_has_words_for_those_who_do_not_see_it(content):
    tree = Tree(content)
    assert all(attrs.get("alt") for attrs in tree.all("img"))
    for attrs in tree.all("svg"):
        assert attrs["role"] == "img"
        names = (attrs["aria-labelledby"] or "").split()
        assert names
        assert all(any(other.get("id") == name for _, other in tree.elements) for name in names)
    assert all(attrs.get("scope") in ("col", "row") for attrs in tree.all("th"))
    assert len(tree.all("caption")) == len(tree.all("table"))
    assert tree.all("html")[0]["lang"] == "en"
    names = {attrs.get("name"): attrs.get("content") for attrs in tree.all("meta")}
    assert names["viewport"] == "width=device-width, initial-scale=1"
    assert names["description"]


@pytest.mark.parametrize("text", [*HOSTILE, LONG, OUTSIDE])
def test_hostile_text_comes_out_literally(text):
    document = every_block(text)
    made = page(document).content
    tree = Tree(made)
    assert {tag for tag, _ in tree.elements} <= TAGS
    for tag, attrs in tree.elements:
        assert not any(name.startswith("on") for name in attrs)
        assert not (attrs.get("href") or "#").strip().startswith("javascript:"), tag
    shown = html_text(made)
    places = words_of(document).count(text)
    assert places > 50
    assert shown.count(literal(text)) >= places
    assert not re.search(rb"[\x00-\x09\x0b-\x1f\x7f]", made)


@given(st.text(max_size=60))
def test_any_text_survives(text):
    sections = (Section(text, (Paragraph(text), Facts(((text, text),)), Outline(((0, text), (1, text))))),)
    made = page(Document(text, text, sections, author=text, footer=text)).content
    Tree(made)
    assert html_text(made).count(literal(text)) >= 8


def test_the_derivation_folds():
    made = page(document_for("annex", valued("grand"))).content.decode("utf-8")
    outline = made.partition('<details class="outline">')[2]
    assert outline.count("<details>") > 50
    assert "::details-content" in made  # opened on paper


def test_photos_are_upright_small_and_tell_nothing_else(tmp_path):
    from PIL import Image

    written = page(photographed(tmp_path))
    tree = Tree(written.content)
    kinds = [(attrs["src"] or "").partition(";")[0] for attrs in tree.all("img")]
    assert kinds == ["data:image/jpeg", "data:image/png"]
    inside = base64.b64decode((tree.all("img")[0]["src"] or "").partition("base64,")[2])
    assert b"Secretcam" not in inside
    with Image.open(io.BytesIO(inside)) as shot:
        assert shot.size == (1200, 1600)
        assert not shot.getexif()
    assert tree.all("img")[0]["width"] == "1200"
    shown = html_text(written.content)
    for name in ("large.jpg", "clear.png", "broken.jpg", "words.jpg", "gone.jpg", "none.jpg"):
        assert f"caption of {name}" in shown
    assert shown.count("Not shown: ") == 4
    assert "scaled down" in shown
    assert [note.partition(":")[0] for note in written.notes] == ["broken.jpg", "words.jpg", "gone.jpg"]
    assert all("\n" not in note and str(tmp_path) not in note for note in written.notes)


def test_a_page_does_not_grow_without_end(tmp_path, monkeypatch):
    from appraise.report.html import page as writer

    monkeypatch.setattr(writer, "MOST", 4_000)
    written = page(photographed(tmp_path))
    assert len(Tree(written.content).all("img")) == 1
    assert any(note.startswith("large.jpg: the page already holds") for note in written.notes)


def test_a_picture_of_too_many_pixels_is_not_unpacked(tmp_path, monkeypatch):
    from PIL import Image

    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 1_000_000)
    written = page(photographed(tmp_path))
    assert any(note == "large.jpg: too many pixels to be shown" for note in written.notes)


def _luminance(colour: str) -> float:
    """Relative luminance [–] (WCAG 2.2, from memory of its definition, as checked against #fff and #000)."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one: str, other: str) -> float:
    high, low = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_text_can_be_read_in_light_and_in_dark():
    assert round(_contrast("#ffffff", "#000000"), 1) == 21.0
    css = page(every_block("plain")).content.decode("utf-8")
    schemes = re.findall(r":root \{[^}]*?((?:--\w+: #[0-9a-f]{6};\s*)+)\}", css)
    assert len(schemes) == 2  # light and dark; on paper it is black on white
    for scheme in schemes:
        colours = dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", scheme))
        for ink in ("ink", "soft", "link"):
            for ground in ("paper", "faint"):
                assert _contrast(colours[ink], colours[ground]) >= 4.5, (ink, ground)


def test_on_a_phone_a_figure_and_its_range_stay_beside_their_label():
    columns = (Column("Part"), Column("Grade", numeric=True), Column("Share", numeric=True), Column("Note"))
    found = Document("T", "s", (Section("A", (Table(columns, (("Keys", "3.2 (2.8–3.5)", "5%", "plain"),)),)),))
    content = page(found).content.decode("utf-8")
    cells = re.findall(r"<td[^>]*data-label[^>]*>(.*?)</td>", content)
    assert cells == ['<span>3.2 <span class="nb">(2.8–3.5)</span></span>', "5%", "plain"]
