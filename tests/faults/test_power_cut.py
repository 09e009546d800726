"""A power cut between any two calls: what had been acknowledged comes back from every state that it can leave."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest

from appraise.services import case_session
from appraise.store import files
from tests.faults import power_cut
from tests.faults.cuts import FAR, cut_everywhere
from tests.faults.power_cut import Disk, Recording, reachable, recorded
from tests.helpers.depth import whole


def test_nothing_acknowledged_is_lost(tables, request, capsys):
    most = request.config.getoption("--cuts") or None
    found = cut_everywhere(tables, most) + cut_everywhere(tables, most, there=FAR)
    assert not found.wrong, found.wrong
    assert {"edit", "save", "report", "set-before", "save-as", "save-as elsewhere", "at rest"} <= set(found.tried)
    with capsys.disabled():
        told = f"{sum(found.tried.values())} of {found.states} states of a power cut reopened: nothing lost"
        print(f"\n{told}")  # noqa: T201 - the count belongs to the result


@pytest.mark.parametrize("dropped", ["files", "folders"])
def test_the_model_sees_a_missing_fsync(tables, monkeypatch, dropped):
    """Where the store forgets to synchronise files or folders, something acknowledged is lost."""
    kept = Recording._fsync

    def forgetful(self, handle):
        if Path(self.root, self.handles[handle][0]).is_dir() != (dropped == "folders"):
            kept(self, handle)

    monkeypatch.setattr(power_cut.Recording, "_fsync", forgetful)
    # Without it the states grow beyond counting, and little work shows it.
    assert cut_everywhere(tables, 200, only=("edit", "save")).wrong


def test_what_a_cut_leaves_of_a_file_and_its_name(tmp_path):
    def work(system):
        handle = system.open(tmp_path / "a", 0o102)  # O_RDWR | O_CREAT
        system.write(handle, b"12")
        system.close(handle)
        files.system.replace(tmp_path / "a", tmp_path / "b")

    (tmp_path / "b").write_bytes(b"old")
    start, calls = recorded(tmp_path, work)
    left = {frozenset(state.items()) for _, state in reachable(start, calls)}
    new = [b"", b"1", b"\0\0", b"12"]
    renamed = {frozenset({("b", content)}) for content in new}
    beside = {frozenset({("a", content), ("b", b"old")}) for content in new}
    assert left == renamed | beside | {frozenset({("b", b"old")})}


def test_what_was_synchronised_stays():
    disk = Disk({})
    for call in (("create", "a"), ("write", "a", b"1"), ("fsync", "a"), ("fsync", "."), ("write", "a", b"2")):
        disk.do(*call)
    assert {state["a"] for state in disk.states()} == {b"1", b"1\0", b"12"}


def test_the_model_sees_companions_that_are_not_synchronised(tables, monkeypatch):
    """Where photos, papers and the frozen copy are not synchronised in the other folder, they are lost."""
    monkeypatch.setattr(case_session, "put", partial(files.put, fsync=False))
    assert any("gone" in found for found in cut_everywhere(tables, whole(200, 40), there=FAR).wrong)
