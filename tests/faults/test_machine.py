"""Random sequences of work, crashes and other programs' changes, against a model that keeps everything in lists."""

from __future__ import annotations

import json
import random
import tempfile
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from appraise.model.problem import Unreadable
from appraise.services.merging import Merging, Side
from appraise.services.opening import open_sheet, read_at_rest, recover, set_aside
from appraise.store.read import read_case
from appraise.store.trail_file import read_trail
from appraise.store.write import WriteConflict, write_case
from appraise.tables.load import load_tables
from tests.helpers import worksheet_cases
from tests.helpers.depth import whole
from tests.helpers.edits import checks_of, savable, step

TABLES = load_tables()
CHECKS = checks_of(TABLES)

RARELY = st.integers(0, 3).map(lambda number: number == 3)
"""What would otherwise hide everything else."""


class Work(RuleBasedStateMachine):
    """One case file, a person at the worksheet, and now and then somebody else."""

    @initialize()
    def begin(self):
        self.folder = tempfile.TemporaryDirectory(prefix="appraise-")
        self.path = Path(self.folder.name) / "case.toml"
        write_case(self.path, worksheet_cases.upright(), TABLES)
        self.sheet = open_sheet(self.path, TABLES).worksheet
        self.now = self.file = self.base = worksheet_cases.upright()
        self.past, self.future = [], []
        self.since = ([], [])

    def teardown(self):
        if hasattr(self, "folder"):
            self.sheet.release()
            self.folder.cleanup()

    @rule(seed=st.integers(0, 2**32 - 1))
    def edit(self, seed):
        before = self.sheet.case
        chance = random.Random(seed)
        kept = chance.randrange
        # Undo and redo are rules of their own, with a model of their own.
        chance.randrange = lambda stop: kept(10) if stop == 12 else kept(stop)
        step(self.sheet, chance, CHECKS)
        if self.sheet.case != before:
            self._did(before)
            self.now = self.sheet.case

    @rule()
    def undo(self):
        told = self.sheet.undo()
        assert (told is None) == (not self.past)
        if self.past:
            self.future.append(self.now)
            self._moved(*self.since)
            self.now = self.past.pop()

    @rule()
    def redo(self):
        told = self.sheet.redo()
        assert (told is None) == (not self.future)
        if self.future:
            self.past.append(self.now)
            self._moved(*reversed(self.since))
            self.now = self.future.pop()

    @precondition(lambda self: hasattr(self, "now") and savable(self.now))
    @rule()
    def save(self):
        foreign = self.base != self.file
        try:
            self.sheet.save()
        except WriteConflict:
            assert foreign
            assert read_case(self.path, TABLES)[0] == self.file
        else:
            assert not foreign
            self.file = self.base = self.now
            self.since = ([], [])

    @precondition(lambda self: hasattr(self, "now") and not savable(self.now))
    @rule()
    def save_what_is_not_finished(self):
        with pytest.raises(Unreadable):
            self.sheet.save()
        assert read_case(self.path, TABLES)[0] == self.file

    @rule(often=RARELY, serial=st.text("abc", min_size=1, max_size=3), model=st.sampled_from(["One", "Two"]))
    def somebody_else(self, often, serial, model):
        if not often:
            return
        self.file = replace(self.file, identity=replace(self.file.identity, serial=serial, model=model))
        write_case(self.path, self.file, TABLES)

    @rule(sides=st.lists(st.sampled_from(Side), min_size=1, max_size=4))
    def merge(self, sides):
        if not self.sheet.on_disk.changed:
            return
        theirs, digest = read_at_rest(self.path, TABLES)
        assert theirs == self.file
        merging = Merging(self.base, self.now, theirs)
        choice = {one.key: sides[at % len(sides)] for at, one in enumerate(merging.conflicts)}
        merged = merging.merged(choice)
        for side, all_of_it in ((Side.MINE, self.now), (Side.THEIRS, theirs)):
            if not merging.conflicts and all(one.usual is side for one in merging.differences):
                assert merged == all_of_it
        self.sheet.merge(merged, self.base, theirs, digest)
        self.since = ([], [])
        self._did(self.now)
        self.now, self.base = merged, theirs

    @rule(aside=RARELY)
    def crash(self, aside):
        """End without a word, and open again."""
        lock = self.sheet.journal.lock
        lock.path.write_text(json.dumps({**json.loads(lock.path.read_text()), "pid": 2**22 + 1}))
        trail = self.path.with_name("case.trail.jsonl")
        if aside and trail.exists():
            with trail.open("ab") as stream:
                stream.write(b'{"act":"edit","at":"20')
        opened = open_sheet(self.path, TABLES)
        self.sheet = opened.worksheet
        assert self.sheet.case == self.file
        unsaved = opened.unsaved
        if unsaved is None:
            assert self.now in (self.base, self.file)
            self._anew()
            return
        assert unsaved.wrong == ""
        assert unsaved.left.case == self.now
        assert unsaved.foreign == (self.base != self.file)
        if aside:
            set_aside(self.sheet, unsaved)
            self._anew()
        elif unsaved.foreign:
            assert unsaved.base == self.base
            merging = Merging(unsaved.base, unsaved.left.case, self.sheet.case)
            merged = merging.merged({one.key: Side.MINE for one in merging.conflicts})
            self.sheet.merge(merged, unsaved.base, self.file, self.sheet.on_disk.digest, mine=unsaved.left)
            self.past, self.future = [*self.since[0], self.now], []
            self.now, self.base = merged, self.file
            self.since = ([self.past[-1]], [])
        else:
            recover(self.sheet, unsaved)
            # Undo goes back as far as the last save.
            self.past, self.future = (list(stack) for stack in self.since)
        assert [case for _, case in self.sheet._stacks.past] == self.past
        assert [case for _, case in self.sheet._stacks.future] == self.future

    @rule(often=RARELY)
    def leave_without_saving(self, often):
        if not often:
            return
        self.sheet.close()
        opened = open_sheet(self.path, TABLES)
        assert opened.unsaved is None
        self.sheet = opened.worksheet
        self._anew()

    def _anew(self):
        self.now = self.base = self.file
        self.past, self.future = [], []
        self.since = ([], [])

    def _did(self, before):
        self.past.append(before)
        self.future.clear()
        self.since[0].append(before)
        self.since[1].clear()

    def _moved(self, out, into):
        """Follow undo, or redo, in what was done since the last save; it may go back behind it."""
        if out:
            out.pop()
        into.append(self.now)

    @invariant()
    def nothing_is_lost(self):
        if not hasattr(self, "sheet"):
            return
        assert self.sheet.case == self.now
        assert self.sheet.dirty == (self.now != self.base)
        assert not self.sheet.trouble
        assert read_case(self.path, TABLES)[0] == self.file
        trail = read_trail(self.path)
        assert trail is None or not trail.breaks


TestWork = Work.TestCase
TestWork.settings = settings(max_examples=whole(50, 8), stateful_step_count=35, deadline=None)
