"""An arrow or a circle on a photo: kept in the case, drawn on the copy in documents, told where nothing is drawn."""

from __future__ import annotations

import hashlib
import io
from dataclasses import replace

import pytest
from PIL import Image, ImageChops

from appraise.model.case import Kind, PhotoFile
from appraise.model.photo_mark import Mark, mark_of
from appraise.report.document import Photo
from appraise.report.pictures import picture
from appraise.report.sections.photos import Shot
from appraise.services.cell_pictures import fitted, half_cells
from appraise.store.read import read_case
from appraise.store.write import write_case
from tests.helpers import worksheet_cases


@pytest.mark.parametrize(
    ("text", "mark"),
    [
        ("circle 40 62", Mark("circle", 40, 62)),
        ("arrow 0 100", Mark("arrow", 0, 100)),
        ("arrow 12.5 7.5", Mark("arrow", 12.5, 7.5)),
        ("", None),
        ("square 1 2", None),
        ("circle 101 2", None),
        ("circle 40", None),
        ("circle -4 2", None),
    ],
)
def test_a_mark_is_read(text, mark):
    assert mark_of(text) == mark


def test_it_is_kept_in_the_case_and_a_wrong_one_named(tmp_path, tables):
    path = tmp_path / "case.toml"
    case = replace(worksheet_cases.upright(), photos=(PhotoFile("a.png", whole=True, mark="circle 40 62"),))
    write_case(path, case, tables)
    assert read_case(path, tables)[0].photos == case.photos
    path.write_text(path.read_text(encoding="utf-8").replace("circle 40 62", "circle 40 162"), encoding="utf-8")
    _, problems = read_case(path, tables)
    assert [problem.key for problem in problems] == ["photos[1].mark"]


@pytest.mark.parametrize("mode", ["RGB", "RGBA"])
@pytest.mark.parametrize("mark", ["circle 25 50", "arrow 75 50"])
def test_it_is_drawn_on_the_copy_and_the_file_stays(tmp_path, mode, mark):
    path = tmp_path / "a.png"
    Image.new(mode, (400, 200), (90, 90, 90, 255)[: len(mode)]).save(path)
    before = hashlib.sha256(path.read_bytes()).hexdigest()
    plain, marked = (picture(Photo("a.png", "", "", path=path, mark=text)) for text in ("", mark))
    assert (marked.width, marked.height) == (plain.width, plain.height) == (400, 200)
    grey, drawn = (Image.open(io.BytesIO(each.content)).convert("RGB") for each in (plain, marked))
    differs = ImageChops.difference(grey, drawn).convert("L").point(lambda value: 255 * (value > 40))
    left, top, right, bottom = differs.getbbox()
    at = (100, 100) if mark.startswith("circle") else (300, 100)
    assert left <= at[0] <= right
    assert top <= at[1] <= bottom
    assert right - left < 100, "no more than the place that is meant"
    assert hashlib.sha256(path.read_bytes()).hexdigest() == before


@pytest.mark.parametrize("mode", ["RGB", "RGBA"])
@pytest.mark.parametrize("mark", ["circle 25 50", "arrow 75 50", "arrow 0 0", "circle 100 100"])
@pytest.mark.parametrize("room", [(30, 10), (78, 16), (198, 50)])
def test_it_is_drawn_on_the_screen_where_it_is_meant(tmp_path, mode, mark, room):
    path = tmp_path / "a.png"
    Image.new(mode, (400, 200), (90, 90, 90, 255)[: len(mode)]).save(path)
    plain, marked = half_cells(path, *room), half_cells(path, *room, mark_of(mark))
    assert [len(line) for line in marked] == [len(line) for line in plain]
    across, down = len(plain[0]), 2 * len(plain)
    differ = [
        (x, 2 * y + half)
        for y, line in enumerate(marked)
        for x, cell in enumerate(line)
        for half in (0, 1)
        if cell[half] != plain[y][x][half]
    ]
    shown = {marked[y // 2][x][y % 2] for x, y in differ}
    assert {(255, 255, 255), (170, 0, 40)} <= shown, "dark within light, whatever lies below"
    at = mark_of(mark)
    middle = at.x / 100 * across, at.y / 100 * down
    reach = max(11, 0.25 * min(across, down))
    assert all(abs(x - middle[0]) <= reach and abs(y - middle[1]) <= reach for x, y in differ)
    if mark.startswith("circle 25"):
        assert marked[round(middle[1]) // 2][round(middle[0])] == plain[0][0], "what is circled stays in sight"


@pytest.mark.parametrize("mark", ["circle 25 50", "arrow 75 50"])
def test_it_is_drawn_on_the_picture_that_the_terminal_gets(tmp_path, mark):
    path = tmp_path / "a.png"
    Image.new("RGB", (400, 200), (90, 90, 90)).save(path)
    plain, marked = (
        Image.open(io.BytesIO(fitted(path, 78, 16, each).png)).convert("RGB") for each in (None, mark_of(mark))
    )
    left, top, right, bottom = ImageChops.difference(plain, marked).getbbox()
    at = mark_of(mark)
    x, y = at.x / 100 * plain.width, at.y / 100 * plain.height
    assert left <= x <= right
    assert top <= y <= bottom
    assert right - left < plain.width / 3


def test_it_is_told_in_words(tables):
    shot = Shot(PhotoFile("a.png", caption="the rim", mark="arrow 12.5 60"), Kind.GRAND)
    assert shot.caption(tables).endswith("the rim (arrow added, at 12.5 % from the left, 60 % from the top)")
    assert shot.plate(tables).mark == "arrow 12.5 60"
