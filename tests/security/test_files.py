"""Files that lead elsewhere or are none: photos, links, pipes; what is written is seen by nobody before it is whole."""

from __future__ import annotations

import os
import stat
from dataclasses import replace

import pytest

from appraise.model.case import PhotoFile, Remark
from appraise.store.crosscheck import photo_problem
from appraise.store.files import System
from appraise.store.photos import check_photos, sha256_of
from appraise.store.read import read_case
from appraise.store.write import write_case, write_file, writing
from appraise.tables.content import NoFile, TooLarge, content_of, open_file
from tests.helpers.worksheet_cases import grand

PHOTO = b"a photo"


@pytest.fixture
def with_photo(tmp_path, tables):
    """Return a function that writes a case with one photo and gives what is said of it."""

    def found(name: str, digest: str = "0" * 64) -> list[str]:
        path = tmp_path / "case.toml"
        case = replace(
            grand(tables), remarks=(Remark("case", "worn", photos=(name,)),), photos=(PhotoFile(name, digest),)
        )
        if not path.exists():
            write_case(path, case, tables)
        return [problem.found for problem in check_photos(path, case)]

    return found


@pytest.mark.parametrize(
    "name",
    ["../secret.jpg", "a/../../secret.jpg", "/etc/passwd", "C:\\x.jpg", "\\\\host\\x.jpg", "..", "a/..", "C:x.jpg"],
)
def test_a_photo_outside_the_folder_is_refused(name, tmp_path, tables):
    assert photo_problem(name)
    path = tmp_path / "case.toml"
    head = 'schema = 1\n[identity]\nkind = "grand"\n[assignment]\ninspected = 2026-11-20\n'
    text = f'{head}[[remarks]]\nplace = "case"\ntext = "x"\nphoto = \'{name}\'\n'
    path.write_text(text, encoding="utf-8")
    case, problems = read_case(path, tables)
    assert case is None
    assert [problem.key for problem in problems] == ["remarks[1].photo"]
    assert problems[0].line == 9


@pytest.mark.parametrize("name", ["photo.jpg", "photos/one.jpg", "ä ö.jpg", "...jpg", "a..b.jpg"])
def test_a_photo_inside_is_taken(name):
    assert photo_problem(name) == ""


def test_a_link_out_of_the_folder_is_not_followed(tmp_path, with_photo):
    outside = tmp_path.parent / f"{tmp_path.name}-outside"
    outside.mkdir()
    (outside / "secret.jpg").write_bytes(PHOTO)
    (tmp_path / "photo.jpg").symlink_to(outside / "secret.jpg")
    (tmp_path / "album").symlink_to(outside)
    assert with_photo("photo.jpg") == ["a link out of the folder"]
    assert with_photo("album/secret.jpg") == ["a link out of the folder"]


def test_a_link_within_the_folder_is(tmp_path, with_photo):
    (tmp_path / "real.jpg").write_bytes(PHOTO)
    (tmp_path / "photo.jpg").symlink_to("real.jpg")
    assert with_photo("photo.jpg", sha256_of(tmp_path / "real.jpg")) == []


def test_a_photo_that_is_no_file_keeps_nobody_waiting(tmp_path, with_photo):
    os.mkfifo(tmp_path / "pipe.jpg")
    (tmp_path / "folder.jpg").mkdir()
    (tmp_path / "loop.jpg").symlink_to("loop.jpg")
    assert with_photo("pipe.jpg") == ["something that is not a file"]
    assert with_photo("folder.jpg") == ["a folder"]
    assert len(with_photo("loop.jpg")) == 1
    assert with_photo("none.jpg") == ["no such file"]


def test_a_photo_of_no_photos_size(tmp_path, with_photo):
    with (tmp_path / "huge.jpg").open("wb") as stream:
        stream.truncate(4 * 1024**3)
    assert with_photo("huge.jpg") == ["a file of 4096.0 MB"]


def test_a_link_put_in_place_between_two_looks_is_not_followed(tmp_path):
    (tmp_path / "secret").write_bytes(PHOTO)
    (tmp_path / "photo.jpg").symlink_to("secret")
    with pytest.raises(OSError, match="symbolic links"):
        sha256_of(tmp_path / "photo.jpg")


def test_files_are_opened_without_waiting(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    for path in (tmp_path / "pipe", tmp_path, "/dev/zero", "/dev/tty0"):
        with pytest.raises(OSError):
            open_file(path)  # type: ignore[arg-type]
    with pytest.raises(NoFile):
        open_file(tmp_path / "pipe")
    (tmp_path / "x").write_bytes(b"12345")
    assert content_of(tmp_path / "x", 5) == b"12345"
    with pytest.raises(TooLarge) as caught:
        content_of(tmp_path / "x", 4)
    assert caught.value.size == 5


@pytest.fixture
def umask():
    before = os.umask(0o027)
    yield
    os.umask(before)


@pytest.mark.usefixtures("umask")
def test_what_is_being_written_is_for_its_owner_alone(tmp_path, tables, monkeypatch):
    seen = []
    real = System.write

    def look(handle: int, content: bytes) -> int:
        seen.append(stat.S_IMODE(os.fstat(handle).st_mode))
        return real(handle, content)

    monkeypatch.setattr(System, "write", staticmethod(look))
    write_case(tmp_path / "case.toml", grand(tables), tables)
    write_file(tmp_path / "report.md", b"text")
    with writing(tmp_path / "rank.csv") as stream:
        stream.write("x")
        parts = [path for path in tmp_path.iterdir() if path.name not in {"case.toml", "report.md"}]
        seen += [stat.S_IMODE(path.stat().st_mode) for path in parts if path.is_file() and "rank.csv" in path.name]
    assert len(seen) >= 3
    assert set(seen) == {0o600}
    for name in ("case.toml", "report.md", "rank.csv"):
        assert stat.S_IMODE((tmp_path / name).stat().st_mode) == 0o640, name


def test_a_mode_that_was_set_by_hand_stays(tmp_path):
    path = tmp_path / "report.md"
    path.write_bytes(b"old")
    path.chmod(0o604)
    write_file(path, b"new")
    assert stat.S_IMODE(path.stat().st_mode) == 0o604


def test_nothing_is_left_beside_what_could_not_be_written(tmp_path, monkeypatch):
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(System, "fsync", staticmethod(full))
    with pytest.raises(OSError, match="No space"):
        write_file(tmp_path / "report.md", b"x" * 1000)
    assert list(tmp_path.iterdir()) == []


def test_demo_writes_through_no_link(tmp_path, monkeypatch, capsys):
    from appraise.cli.parser import main

    monkeypatch.chdir(tmp_path)
    folder = tmp_path / "practice"
    folder.mkdir()
    (folder / "renewed_grand.toml").symlink_to(tmp_path / "elsewhere.toml")
    os.mkfifo(folder / "recent_grand.toml")
    assert main(["demo", "practice"]) == 0
    said = capsys.readouterr().out
    assert said.count("not overwritten") == 2
    assert not (tmp_path / "elsewhere.toml").exists()
