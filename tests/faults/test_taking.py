"""Learned rows taken into a folder: all files or none, and after a cut it is said which are new."""

from __future__ import annotations

import errno
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from appraise.evidence.learn import learn
from appraise.evidence.levels import levels
from appraise.evidence.overlay import sales_rows
from appraise.model.problem import Unreadable
from appraise.services.learning import take
from appraise.store import files
from appraise.tables.load import TAKING, load_from, load_tables
from tests.faults.faulty import Faulty
from tests.helpers.sales import sale

TABLES = load_tables()


def learned(price: str, count: int):
    sales = [sale(price=Decimal(price), date=date(2026, 1, 1 + k), sale="private_sale") for k in range(count)]
    return sales_rows(learn(levels(sales, TABLES, {})[0], TABLES))


FIRST, SECOND = learned("12000", 12), learned("7000", 13)


def content(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def begun(tmp_path):
    folder = tmp_path / "ours"
    take(*FIRST, folder)
    return folder, content(folder)


def test_a_write_that_fails_changes_no_file(tmp_path, monkeypatch):
    folder, before = begun(tmp_path)
    assert len(before) == 3  # sources, market factors, kinds of sale
    counting = Faulty()
    monkeypatch.setattr(files, "system", counting)
    take(*SECOND, folder)
    after = content(folder)
    assert after != before
    take(*FIRST, folder)
    assert content(folder) == before
    for at in range(len(counting.made)):
        monkeypatch.setattr(files, "system", Faulty(at, errno.ENOSPC))
        try:
            take(*SECOND, folder)
        except Unreadable as refused:
            assert str(refused.problems[0]).endswith("nothing was changed")
            monkeypatch.setattr(files, "system", files.System())
            assert content(folder) == before, at
        else:
            monkeypatch.setattr(files, "system", files.System())
            assert {key: value for key, value in content(folder).items() if key != TAKING} == after, at
            load_tables(folder)
            take(*FIRST, folder)


class Cut(BaseException):
    """Ends the work where it stands, as a power cut does."""


@pytest.mark.parametrize("files_new", [0, 1, 2])
def test_what_was_cut_off_is_told_and_can_be_taken_again(tmp_path, monkeypatch, files_new):
    folder, before = begun(tmp_path)
    written = []

    def write(path, data, **_):
        if len(written) == 1 + files_new:  # the mark, and so many files
            raise Cut
        path.write_bytes(data)
        written.append(path.name)

    monkeypatch.setattr("appraise.services.learning.write_file", write)
    with pytest.raises(Cut):
        take(*SECOND, folder)
    monkeypatch.undo()
    load_from.cache_clear()
    with pytest.raises(Unreadable) as refused:
        load_tables(folder)
    told = str(refused.value.problems[0])
    assert f"new {', '.join(written[1:]) or 'nothing'}; as before " in told
    assert told.count("\n") == 0
    assert all(name in told for name in before)
    take(*SECOND, folder)
    assert TAKING not in content(folder)
    load_tables(folder)


def test_a_mark_left_behind_with_all_in_place_is_no_fault(tmp_path):
    folder, before = begun(tmp_path)
    mark = {name: files.digest_of(data) for name, data in before.items()}
    (folder / TAKING).write_text(repr(mark).replace("'", '"'))
    assert load_tables(folder).market_factors["base_grand"].where.startswith("own sales")
    (folder / TAKING).write_text("not a mark")
    with pytest.raises(Unreadable, match="taken in part"):
        load_tables(folder)


def test_rows_of_the_user_stay_when_a_write_fails(tmp_path, monkeypatch):
    folder = tmp_path / "ours"
    folder.mkdir()
    row = replace(TABLES.bases["auction"])
    assert row.key == "auction"
    (folder / "sources.toml").write_text("# mine\n")
    monkeypatch.setattr(files, "system", Faulty(9, errno.EIO, lasting=True))
    with pytest.raises(Unreadable):
        take(*FIRST, folder)
    monkeypatch.undo()
    assert (folder / "sources.toml").read_text() == "# mine\n"
