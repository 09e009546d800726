"""Photos are the ones that were taken."""

from __future__ import annotations

import hashlib

from appraise.store.photos import check_photos
from appraise.store.read import read_case

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
