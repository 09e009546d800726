"""Charts as pictures: well formed whatever is written in them, told apart without colour, alike every time."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode

from appraise.report.appraisal import appraisal
from appraise.report.charts import build, svg_canvas
from appraise.report.charts.alt import alt
from appraise.report.charts.readings import touch
from appraise.report.charts.svg import svg
from appraise.store.read import read_case
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
from tests.helpers.drawings import HOSTILE, every
from tests.report.conftest import valued

NS = "{http://www.w3.org/2000/svg}"
KINDS = sorted(every())
ELEMENTS = {"svg", "title", "desc", "rect", "line", "polyline", "polygon", "circle", "text", "tspan"}


class _Svg(SingleFileSnapshotExtension):
    _write_mode = WriteMode.TEXT
    file_extension = "svg"


def parsed(drawing, **options):
    return ET.fromstring(svg(drawing, **options))  # noqa: S314 - our own output


@pytest.mark.parametrize("width", [70.0, 95.0, 170.0])
@pytest.mark.parametrize("kind", KINDS)
def test_hostile_words_are_shown_literally(kind, width):
    drawing = every(HOSTILE, HOSTILE, HOSTILE)[kind]
    text = svg(drawing, width_mm=width)
    root = ET.fromstring(text)  # noqa: S314 - our own output
    assert {node.tag.removeprefix(NS) for node in root.iter()} <= ELEMENTS
    words = [node.text or "" for node in root.iter()]
    assert sum(word.startswith("<script>") for word in words) >= 4
    assert root.findtext(f"{NS}title").startswith("<script>alert(1)</script> ]]> & \"q\" 'a' [/x] \ufffd\ufffd[2J")
    assert not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ufffe\uffff]", text)


@pytest.mark.parametrize("kind", KINDS)
def test_a_picture_stands_by_itself(kind):
    text = svg(every()[kind], prefix="fig-3")
    root = ET.fromstring(text)  # noqa: S314 - our own output
    assert root.get("role") == "img"
    ids = [node.get("id") for node in root.iter() if node.get("id")]
    assert ids == ["fig-3-title", "fig-3-desc"]
    assert root.get("aria-labelledby") == " ".join(ids)
    assert root.findtext(f"{NS}desc") == alt(every()[kind])
    assert "http" not in text.replace("http://www.w3.org/2000/svg", "")
    for node in root.iter():
        assert not {name for name in node.attrib if name.startswith("on") or name in ("href", "style", "class")}
        # What is moved by dx is left out of a width by some: a text that ends at the edge would lose its last letter.
        assert not {"dx", "dy"} & set(node.attrib)
    *_, width, height = (float(part) for part in root.get("viewBox").split())
    assert root.get("width") == "170mm"
    assert root.get("height") == f"{svg_canvas.px(height / svg_canvas.PX_PER_MM)}mm"
    assert width == pytest.approx(170 * svg_canvas.PX_PER_MM, abs=0.01)


@pytest.mark.parametrize("width", [70.0, 95.0, 170.0])
@pytest.mark.parametrize("kind", KINDS)
def test_nothing_lies_outside_the_picture(kind, width):
    root = parsed(every("A label of some length that has to be folded")[kind], width_mm=width)
    *_, right, bottom = (float(part) for part in root.get("viewBox").split())
    for node in root.iter():
        for names, end in ((("x", "x1", "x2", "cx"), right), (("y", "y1", "y2", "cy"), bottom)):
            assert all(-0.5 <= float(node.get(name)) <= end + 0.5 for name in names if node.get(name)), node.attrib
        places = [float(part) for part in re.split("[ ,]", node.get("points") or "") if part]
        assert all(-2 <= x <= right + 2 for x in places[::2])
        assert all(-2 <= y <= bottom + 2 for y in places[1::2])
        if node.tag == f"{NS}text" and node.get("text-anchor") is None and node.text:
            reach = svg_canvas.text_width(node.text, float(node.get("font-size")))
            assert float(node.get("x")) + reach <= right + 2, node.text


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_chart_is_the_same_bytes(kind, snapshot):
    text = svg(every()[kind])
    assert text == svg(every()[kind])
    assert text == snapshot.use_extension(_Svg)


@pytest.mark.parametrize(
    ("prefix", "fonts"), [("3", svg_canvas.FONTS), ('a" onload="', svg_canvas.FONTS), ("a", 'x" onload="y'), ("", "a")]
)
def test_a_prefix_that_is_no_id_is_refused(prefix, fonts):
    with pytest.raises(ValueError, match="expected"):
        svg(every()["bars"], prefix=prefix, fonts=fonts)


def without_colour(node):
    """The shape of a mark: its element and its points about its first point, with how it is drawn."""
    if node.tag == f"{NS}circle":
        return ("circle",)
    places = [float(part) for part in re.split("[ ,]", node.get("points")) if part]
    return tuple(
        (round(x - places[0], 1), round(y - places[1], 1)) for x, y in zip(places[::2], places[1::2], strict=True)
    )


def test_curves_differ_by_dash_and_letter():
    root = parsed(every()["curves"])
    curves = list(root.iter(f"{NS}polyline"))
    styles = {(node.get("stroke-dasharray"), node.get("stroke-width")) for node in curves}
    assert len(styles) == len(curves) == 7
    letters = [node.text for node in root.iter(f"{NS}text") if node.get("font-weight") and len(node.text) == 1]
    assert sorted(letters) == sorted("ABCDEFG" * 2)  # on the curve, and in the legend


def test_series_differ_by_shape():
    root = parsed(every()["scatter"])
    marks = {}
    for node in root.iter():
        fill = node.get("fill")
        if node.tag in (f"{NS}polygon", f"{NS}circle") and node.get("stroke") == fill:
            marks.setdefault(fill, set()).add(without_colour(node))
    shapes = [next(iter(each)) for each in marks.values() if len(each) == 1]
    # The legend's marks are a little larger than those of the field: two sizes of one shape a colour.
    assert len(marks) == 6
    smallest = [min(each, key=str) for each in marks.values()]
    assert len(set(smallest)) == 6, shapes


def test_what_stands_out_is_hollow():
    root = parsed(every()["scatter"])
    hollow = [
        node
        for node in root.iter()
        if node.get("fill") == svg_canvas.PAPER and node.get("stroke") not in (None, svg_canvas.FRAME)
    ]
    assert len(hollow) == 6


def luminance(colour):
    """Relative luminance: W3C, Web Content Accessibility Guidelines 2.1, definition of the term (from memory)."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(first, second):
    high, low = sorted((luminance(first), luminance(second)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_reckoned_as_the_guidelines_say():
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)
    assert contrast("#777777", "#ffffff") < 4.5


def test_every_text_and_mark_stands_out_from_its_ground():
    """WCAG 2.1: text 4.5:1 (1.4.3), graphics 3:1 (1.4.11); the grid and the shade of a band carry nothing."""
    drawings = [*every().values(), *build.drawings(valued("grand")), *build.drawings(valued("watched"))]
    for drawing in drawings:
        for node in parsed(drawing).iter():
            fill, stroke = node.get("fill"), node.get("stroke")
            if node.tag in (f"{NS}text", f"{NS}tspan"):
                if fill is not None:
                    assert contrast(fill, svg_canvas.PAPER) >= 4.5, node.attrib
                continue
            for colour in {fill, stroke} - {None, "none", svg_canvas.PAPER, svg_canvas.SHADE, svg_canvas.GRID}:
                assert contrast(colour, svg_canvas.PAPER) >= 3.0, node.attrib
                assert contrast(colour, svg_canvas.SHADE) >= 3.0, node.attrib
    assert contrast(svg_canvas.PAPER, svg_canvas.MARK) >= 3.0  # percentiles on the bar
    assert contrast(svg_canvas.PAPER, svg_canvas.FRAME) >= 3.0


def test_charts_of_every_case_are_pictures(item):
    for n, drawing in enumerate(build.drawings(item)):
        for width in (95.0, 170.0):
            assert parsed(drawing, width_mm=width, prefix=f"c{n}").get("role") == "img"


def test_the_name_of_a_band_is_not_broken_in_its_midst():
    """It gets the room that it takes: a sum and its difference may come out a hair less."""
    for name in ("removal_after", "renewed_grand"):
        case, _ = read_case(data_folder("sample_cases") / f"{name}.toml", load_tables())
        drawn = svg(touch(appraisal(case, load_tables(), draws=64)), width_mm=167.9)
        assert ">downweight<" in drawn
