"""`appraise demo` and `appraise open`."""

from __future__ import annotations

import shutil
from dataclasses import replace

import pytest

from appraise.cli.demo import TOUR
from appraise.model.problem import Problem, Unreadable
from tests.helpers.samples import copied_samples


@pytest.fixture
def samples(tmp_path, monkeypatch):
    folder = tmp_path / "samples"
    (folder / "photo").mkdir(parents=True)
    (folder / "b.toml").write_text("schema = 1\n")
    (folder / "a.toml").write_text("schema = 1\n")
    (folder / "photo" / "1.jpg").write_bytes(b"photo")
    monkeypatch.setattr("appraise.cli.demo.data_folder", lambda _: folder)
    return folder


@pytest.fixture
def opened(monkeypatch):
    """Collect what the worksheet was opened on."""
    calls = []

    class App:
        @staticmethod
        def run(*args, **_):
            calls.append(args)
            return 0

    monkeypatch.setattr("appraise.cli.open.import_module", lambda _: App)
    monkeypatch.setattr("appraise.cli.open.interactive", lambda: True)
    monkeypatch.setattr("appraise.cli.demo.interactive", lambda: True)
    return calls


def test_copies_and_says_what_next(appraise, samples, tmp_path):
    folder = tmp_path / "demo"
    answer = appraise("demo", folder)
    assert (answer.code, answer.err) == (0, "")
    assert answer.out.splitlines()[:3] == [
        f"2 sample cases in {folder}; everything in them is invented:",
        f"  {folder / 'a.toml'}",
        f"  {folder / 'b.toml'}",
    ]
    assert f"next: appraise value {folder / 'a.toml'}" in answer.out
    assert (folder / "photo" / "1.jpg").read_bytes() == b"photo"


def test_what_work_on_the_samples_left_beside_them_stays_there(appraise, samples, tmp_path):
    left = ("a.trail.jsonl", "a.toml~", ".appraise/a.toml.lock", ".appraise/a.toml.20261120T101112000000Z~", ".a.part")
    for name in left:
        (samples / name).parent.mkdir(exist_ok=True)
        (samples / name).write_text("x\n")
    folder = tmp_path / "demo"
    assert appraise("demo", folder).code == 0
    assert sorted(path.name for path in folder.iterdir()) == ["a.toml", "b.toml", "photo"]


def test_real_work_on_the_samples_is_not_copied(appraise, tmp_path, monkeypatch):
    """The worksheet itself leaves what it leaves, whatever that is called."""
    from appraise.services.opening import open_sheet
    from appraise.tables.load import load_tables

    source, folder = copied_samples(), tmp_path / "demo"
    shutil.copytree(source, tmp_path / "samples")
    case = tmp_path / "samples" / "recent_grand.toml"
    sheet = open_sheet(case, load_tables()).worksheet
    sheet.change(replace(sheet.case, invented="Invented, and changed."), "words")
    sheet.save()
    assert {path.name for path in case.parent.iterdir()} > {".appraise", "recent_grand.trail.jsonl"}
    monkeypatch.setattr("appraise.cli.demo.data_folder", lambda _: tmp_path / "samples")
    assert appraise("demo", folder).code == 0
    assert {path.name for path in folder.iterdir()} == {path.name for path in source.glob("*.toml")} | {
        "photos",
        "papers",
    }


def test_what_the_person_changed_is_left(appraise, samples, tmp_path):
    folder = tmp_path / "demo"
    appraise("demo", folder)
    (folder / "a.toml").write_text("schema = 1 # mine\n")
    answer = appraise("demo", folder)
    assert answer.code == 0
    assert f"{folder / 'a.toml'}: not overwritten, it differs from the sample" in answer.out
    assert (folder / "a.toml").read_text() == "schema = 1 # mine\n"


def test_the_usual_folder(appraise, samples, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    appraise("demo")
    assert (tmp_path / "appraise-demo" / "a.toml").is_file()


def test_a_file_in_the_way(appraise, samples, good):
    answer = appraise("demo", good)
    assert answer.code == 2
    assert answer.err.count("\n") == 1


def test_in_a_terminal_the_worksheet_opens(appraise, samples, tmp_path, opened):
    assert appraise("demo", tmp_path / "demo").code == 0
    assert opened == [(tmp_path / "demo", None, None)]


def test_open_a_case_a_folder_and_nothing(appraise, good, tmp_path, opened, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for words in (["open", good], ["open", tmp_path], ["open"], [], ["open", good, "--tables", "mine"]):
        assert appraise(*words).code == 0
    here = type(tmp_path)()
    mine = here / "mine"
    assert opened == [
        (tmp_path, good, None),
        (tmp_path, None, None),
        (here, None, None),
        (here, None, None),
        (tmp_path, good, mine),
    ]


def test_a_case_that_cannot_be_opened(appraise, good, opened, monkeypatch):
    problem = Problem(str(good), 1, "schema", "2", "at most 1")

    class App:
        @staticmethod
        def run(*_, **__):
            raise Unreadable(problem)

    monkeypatch.setattr("appraise.cli.open.import_module", lambda _: App)
    assert appraise("open", good) == (2, "", f"{problem}\n")


def test_the_tour_opens_its_case_and_needs_a_terminal(appraise, opened, tmp_path, monkeypatch):
    assert appraise("demo", tmp_path / "demo", "--tour").code == 0
    assert opened == [(tmp_path / "demo", tmp_path / "demo" / TOUR, None)]
    assert (tmp_path / "demo" / TOUR).is_file()
    monkeypatch.setattr("appraise.cli.demo.interactive", lambda: False)
    answer = appraise("demo", tmp_path / "other", "--tour")
    assert (answer.code, answer.err) == (2, "appraise demo: found no terminal, expected one for --tour\n")
