"""Photos are the ones that were taken."""

from __future__ import annotations

import hashlib
import os

import pytest

from appraise.model.case import PhotoFile
from appraise.store.photo_entry import entered, photos_in
from appraise.store.photos import LARGEST, check_photos
from appraise.store.read import read_case
from appraise.store.write import write_case

DIGEST = hashlib.sha256(b"photo").hexdigest()


def problems(tmp_path, tables, good, *, content=b"photo"):
    if content is not None:
        (tmp_path / "1.jpg").write_bytes(content)
    path = tmp_path / "case.toml"
    path.write_text(good + f'[[remarks]]\nplace = "case"\ntext = "x"\nphoto = "1.jpg"\nsha256 = "{DIGEST}"\n')
    case, found = read_case(path, tables)
    assert found == []
    return check_photos(path, case)


def test_the_same_photo(tmp_path, tables, good):
    assert problems(tmp_path, tables, good) == []


def test_another_photo(tmp_path, tables, good):
    (found,) = problems(tmp_path, tables, good, content=b"another")
    assert (found.line, found.key, found.grave) == (46, "remarks[2].sha256", True)


def test_a_missing_photo_is_a_hint(tmp_path, tables, good):
    (found,) = problems(tmp_path, tables, good, content=None)
    assert (found.line, found.found, found.grave) == (45, "no such file", False)


def test_a_link_out_of_the_folder(tmp_path, tables, good):
    folder = tmp_path / "cases"
    folder.mkdir()
    (tmp_path / "secret").write_bytes(b"photo")
    (folder / "1.jpg").symlink_to(tmp_path / "secret")
    (found,) = problems(folder, tables, good, content=None)
    assert found.found == "a link out of the folder"


def shot(path, taken="2026:11:20 10:23:45", offset="+01:00", size=(8, 6)):
    from PIL import Image

    exif = Image.Exif()
    inside = exif.get_ifd(0x8769)
    inside[0x9003], inside[0x9011] = taken, offset
    Image.new("RGB", size, "brown").save(path, exif=exif.tobytes())


@pytest.mark.parametrize(
    ("taken", "offset", "kept"),
    [
        ("2026:11:20 10:23:45", "+01:00", "2026-11-20T10:23:45+01:00"),
        ("2026:11:20 10:23:45", "", "2026-11-20T10:23:45"),
        ("2026:11:20 10:23:45", "soon", "2026-11-20T10:23:45"),
        ("0000:00:00 00:00:00", "+01:00", ""),
        ("yesterday", "+01:00", ""),
    ],
)
@pytest.mark.parametrize("name", ["1.jpg", "1.png", "1.webp"])
def test_the_capture_time_is_the_camera_s(tmp_path, name, taken, offset, kept):
    shot(tmp_path / name, taken, offset)
    made = entered(tmp_path, name)
    assert made == PhotoFile(name, hashlib.sha256((tmp_path / name).read_bytes()).hexdigest(), kept)


@pytest.mark.parametrize("cut", [0, 3, 30, 120, 400])
def test_a_broken_picture_is_hashed_all_the_same(tmp_path, cut):
    shot(tmp_path / "whole.jpg")
    content = (tmp_path / "whole.jpg").read_bytes()[:cut]
    (tmp_path / "1.jpg").write_bytes(content)
    assert entered(tmp_path, "1.jpg").sha256 == hashlib.sha256(content).hexdigest()


def test_what_is_no_photo_to_enter_is_said(tmp_path):
    (tmp_path / "folder.jpg").mkdir()
    assert entered(tmp_path, "none.jpg").missing
    assert entered(tmp_path, "folder.jpg").fault == "a folder"
    with (tmp_path / "huge.jpg").open("wb") as stream:
        stream.truncate(LARGEST + 1)
    assert entered(tmp_path, "huge.jpg").expected == "a photo of at most 256 MB"


def test_a_remark_of_the_earlier_layout_keeps_photo_and_digest(tmp_path, tables, good):
    path = tmp_path / "case.toml"
    path.write_text(good + f'[[remarks]]\nplace = "case"\ntext = "x"\nphoto = "1.jpg"\nsha256 = "{DIGEST}"\n')
    case, _ = read_case(path, tables)
    assert (case.remarks[-1].photos, case.photo("1.jpg")) == (("1.jpg",), PhotoFile("1.jpg", DIGEST))
    write_case(path, case, tables)
    assert "\nphoto =" not in path.read_text()
    assert read_case(path, tables) == (case, [])
    (found,) = check_photos(path, case)
    assert (found.key, found.line) == (
        "photos[1].file",
        path.read_text().splitlines().index('file = "1.jpg"') + 1,
    )


@pytest.mark.parametrize(
    ("text", "key", "expected"),
    [
        ('[[photos]]\nfile = "a.jpg"\n[[photos]]\nfile = "a.jpg"\n', "photos[2].file", "each photo once"),
        ('[[photos]]\nfile = "../a.jpg"\n', "photos[1].file", "a path inside the case file's folder"),
        ('[[photos]]\nfile = "a.jpg"\nchecks = ["nope"]\n', "photos[1].checks[1]", "a check of the table checks"),
        ('[[photos]]\nfile = "a.jpg"\ntaken = "noon"\n', "photos[1].taken", "a date and time such as"),
        (
            f'[[remarks]]\nplace = "case"\ntext = "x"\nphoto = "a.jpg"\nsha256 = "{DIGEST}"\n'
            f'[[photos]]\nfile = "a.jpg"\nsha256 = "{"0" * 64}"\n',
            "remarks[2].sha256",
            'the digest that the file gives "a.jpg" elsewhere',
        ),
    ],
)
def test_an_entry_that_cannot_be(tmp_path, tables, good, text, key, expected):
    path = tmp_path / "case.toml"
    path.write_text(good + text)
    case, (found,) = read_case(path, tables)
    assert case is None
    assert found.key == key
    assert found.expected.startswith(expected)


def test_a_photo_without_a_digest_is_said_where_it_is_asked(tmp_path, tables, good):
    (tmp_path / "1.jpg").write_bytes(b"photo")
    path = tmp_path / "case.toml"
    path.write_text(good + '[[photos]]\nfile = "1.jpg"\nwhole = true\n')
    case, _ = read_case(path, tables)
    assert check_photos(path, case) == []
    (found,) = check_photos(path, case, unhashed=True)
    assert (found.found, found.grave) == ("no SHA-256 of the photo 1.jpg", False)


def test_the_photos_of_a_folder_newest_first(tmp_path):
    for at, name in enumerate(("a.jpg", "below/b.HEIC", "notes.txt", ".hidden.jpg", ".trash/c.jpg", "d.png")):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(b"x")
        os.utime(tmp_path / name, (at, at))
    (tmp_path / "link.jpg").symlink_to("a.jpg")
    assert [photo.file for photo in photos_in(tmp_path)] == ["d.png", "below/b.HEIC", "a.jpg"]
