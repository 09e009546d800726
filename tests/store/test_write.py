"""A save is whole or not at all, and loses nothing."""

from __future__ import annotations

import os
from dataclasses import replace

import pytest

from appraise.model.case import Grade
from appraise.model.problem import Unreadable
from appraise.store import files
from appraise.store.read import read_case
from appraise.store.write import leading_comment, write_case, write_file


@pytest.fixture
def path(tmp_path, good):
    path = tmp_path / "case.toml"
    path.write_text(good, encoding="utf-8")
    return path


@pytest.fixture
def case(path, tables):
    return read_case(path, tables)[0]


def renamed(case, maker):
    return replace(case, identity=replace(case.identity, maker=maker))


def test_the_previous_version_and_the_comment_are_kept(path, case, tables, good):
    write_case(path, renamed(case, "Brunvock"), tables)
    assert path.with_name("case.toml~").read_text(encoding="utf-8") == good
    text = path.read_text(encoding="utf-8")
    assert text.startswith("# Invented for the tests.\n# Nobody of this name builds instruments.\n\nschema = 1\n")
    assert 'maker = "Brunvock"' in text
    assert sorted(item.name for item in path.parent.iterdir()) == ["case.toml", "case.toml~"]


def test_saving_the_same_again_writes_nothing(path, case, tables):
    write_case(path, renamed(case, "Brunvock"), tables)
    kept, stamp = path.with_name("case.toml~").read_bytes(), path.stat().st_mtime_ns
    write_case(path, renamed(case, "Brunvock"), tables)
    assert path.with_name("case.toml~").read_bytes() == kept
    assert path.stat().st_mtime_ns == stamp


def test_a_new_file_has_no_previous_version(tmp_path, case, tables):
    path = tmp_path / "new.toml"
    write_case(path, case, tables)
    assert read_case(path, tables) == (case, [])
    assert not path.with_name("new.toml~").exists()


def test_the_mode_is_kept(path, case, tables):
    path.chmod(0o640)
    write_case(path, renamed(case, "Brunvock"), tables)
    assert path.stat().st_mode & 0o777 == 0o640


def test_a_link_is_followed(path, case, tables):
    link = path.with_name("link.toml")
    link.symlink_to(path)
    write_case(link, renamed(case, "Brunvock"), tables)
    assert link.is_symlink()
    assert read_case(path, tables)[0].identity.maker == "Brunvock"


@pytest.mark.parametrize("broken", ["replace", "fchmod"])
@pytest.mark.parametrize("turn", [1, 2])
def test_a_failure_leaves_the_file_as_it_was(path, case, tables, good, monkeypatch, broken, turn):
    real, calls = getattr(files.system, broken), []

    def fail(*args):
        calls.append(args)
        if len(calls) == turn:
            raise OSError(28, "No space left on device")
        return real(*args)

    monkeypatch.setattr(files.system, broken, fail)
    with pytest.raises(Unreadable) as caught:
        write_case(path, renamed(case, "Brunvock"), tables)
    assert len(caught.value.problems) == 1
    assert "No space left on device" in str(caught.value)
    assert "\n" not in str(caught.value)
    assert path.read_text(encoding="utf-8") == good
    assert not [item for item in path.parent.iterdir() if item.name.endswith(".part")]


def test_a_folder_that_is_not_there(tmp_path, case, tables):
    with pytest.raises(Unreadable, match="cannot be written"):
        write_case(tmp_path / "none" / "case.toml", case, tables)


def test_a_read_only_file(path, case, tables, good, monkeypatch):
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(Unreadable, match="the file is read-only"):
        write_case(path, renamed(case, "Brunvock"), tables)
    assert path.read_text(encoding="utf-8") == good


def test_a_case_that_could_not_be_read_again_is_not_written(path, case, tables, good):
    with pytest.raises(Unreadable, match="expected a check of the table checks"):
        write_case(path, replace(case, grades=(Grade(2.0, check="nonsense"),)), tables)
    assert path.read_text(encoding="utf-8") == good


def test_control_characters_are_never_written(path, case, tables):
    write_case(path, renamed(case, "Oster\x1b[2Jmoor\r\n& Sons"), tables)
    again, problems = read_case(path, tables)
    assert problems == []
    assert again.identity.maker == "Oster\ufffd[2Jmoor\n& Sons"


@pytest.mark.parametrize(
    ("text", "block"),
    [
        ("", ""),
        ("schema = 1\n", ""),
        ("# a\nschema = 1\n", "# a\n\n"),
        ("\ufeff# a\r\n#\r\n\r\n# b\r\n\r\nschema = 1\n# c\n", "# a\n#\n\n# b\n\n"),
        ("   # a\n", "   # a\n\n"),
    ],
)
def test_leading_comment(text, block):
    assert leading_comment(text) == block


def test_a_pipe_is_written_to_and_stays_a_pipe(tmp_path):
    import os
    import stat
    import threading

    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    read = []
    reader = threading.Thread(target=lambda: read.append(pipe.read_bytes()))
    reader.start()
    write_file(pipe, b"a report")
    reader.join(10)
    assert read == [b"a report"]
    assert stat.S_ISFIFO(pipe.stat().st_mode)
