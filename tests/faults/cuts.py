"""The work that the power is cut in, and what must be there after every cut."""

from __future__ import annotations

import json
import random
import shutil
import tempfile
from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.report.appraisal import appraisal
from appraise.report.written import Sheet
from appraise.services.arrival import set_before
from appraise.services.documents import export_documents
from appraise.services.opening import open_sheet, recover
from appraise.services.trail_check import checked_trail
from appraise.store.baseline import check_earlier
from appraise.store.files import digest_of
from appraise.store.read import read_case
from appraise.store.trail_file import read_trail
from appraise.store.versions import versions
from appraise.store.write import write_case
from tests.faults.power_cut import Recording, laid_out, reachable, recorded
from tests.helpers import worksheet_cases
from tests.helpers.edits import checks_of, fingerprint, savable, step

if TYPE_CHECKING:
    from appraise.tables.rows import Tables

CASE, REPORT, OTHER = "case.toml", "report.md", "other.toml"


@dataclass(frozen=True)
class Kept:
    """What is acknowledged when an action has returned."""

    now: str
    """Fingerprint of the case as the worksheet has it."""
    saved: str
    """Of the case as the file has it."""
    contents: frozenset[str]
    """SHA-256 of every content that the file has had, which a version keeps."""
    report: str = ""
    """SHA-256 of the report written."""
    other: str = ""
    """Fingerprint of the case as the file of its other name has it; empty before it was saved under that."""


USUAL = ("edit", "save", "edit", "edit", "save", "edit", "save")


def work(
    folder: Path,
    tables: Tables,
    kept: list[tuple[str, Kept]],
    seed: int | None = None,
    only: tuple[str, ...] | None = None,
):
    """Return what is done to a case: edits and saves, a report, the state before set, an edit.

    Args:
        folder: Where the case lies.
        tables: The reference tables.
        kept: Takes what each action has acknowledged.
        seed: Of edits and saves chosen at random; none: the usual ones.
        only: Edits and saves to make, and nothing after them.
    """
    path, chance, checks = folder / CASE, random.Random(seed), checks_of(tables)
    turns = only or USUAL if seed is None else ("edit", *chance.choices(("edit", "save"), (2, 1), k=9), "save")

    def act(system: Recording) -> None:
        seen: set[str] = set()
        report = ""

        def done(what: str, case) -> None:
            seen.add(digest_of(path.read_bytes()))
            saved, _ = read_case(path, tables)
            kept.append((what, Kept(fingerprint(case), fingerprint(saved), frozenset(seen), report)))
            system.mark(len(kept) - 1, False)

        def begun() -> None:
            system.mark(len(kept) - 1, True)

        case, _ = read_case(path, tables)
        done("nothing", case)
        begun()
        sheet = open_sheet(path, tables).worksheet
        for number, what in enumerate(turns):
            if number:
                begun()
            if what == "edit" and seed is not None:
                step(sheet, chance, checks)
            elif what == "edit":
                sheet.put(("identity", "maker"), f"Invented {number}")
            elif savable(sheet.case):
                sheet.save()
            else:
                sheet.put(("remarks",), ())  # a remark without words cannot be saved
            assert not sheet.trouble
            done(what, sheet.case)
        if only is not None:
            sheet.release()
            return
        begun()
        if not savable(sheet.case):
            sheet.put(("remarks",), ())
        sheet.save()
        done("save", sheet.case)
        begun()
        sheet.close()
        item = appraisal(sheet.case, tables, file=CASE, sha256=digest_of(path.read_bytes()), draws=100, seed=1)
        (outcome,) = export_documents(item, "summary", [folder / REPORT], Sheet(), path)
        assert not (outcome.problem or outcome.untold)
        report = digest_of((folder / REPORT).read_bytes())
        done("report", sheet.case)
        begun()
        set_before(path, tables, "removal")
        case, _ = read_case(path, tables)
        done("set-before", case)
        begun()
        sheet = open_sheet(path, tables).worksheet
        sheet.put(("identity", "maker"), "After")
        done("edit", sheet.case)
        begun()
        stayed = sheet.save_as(folder / OTHER)
        assert not stayed
        kept.append(("save-as", replace(kept[-1][1], other=fingerprint(sheet.case))))
        system.mark(len(kept) - 1, False)
        sheet.release()

    return act


def found_wrong(folder: Path, tables: Tables, before: Kept, after: Kept | None) -> str:
    """Return what a cut has taken that was acknowledged, or what cannot be; empty where all is well.

    Args:
        folder: What the cut left.
        tables: The reference tables.
        before: What had been acknowledged.
        after: What the action on its way was to make of it; none between two actions.
    """
    path = folder / CASE
    either = [before] if after is None else [before, after]
    saved, problems = read_case(path, tables)
    if saved is None:
        return f"the file is no case: {problems[0]}"
    if fingerprint(saved) not in {each.saved for each in either}:
        return "the file holds neither the saved state nor the one on its way"
    trail = read_trail(path)
    if trail is not None and trail.breaks:
        return "the chain of the trail is broken"
    if check_earlier(path, saved, tables):
        return "the case names a frozen copy that is not there"
    there = {digest_of(each.read_bytes()) for each in (path, folder / f"{CASE}~", *versions(path)) if each.exists()}
    if not before.contents <= there:
        return "an earlier version is gone"
    if before.other:
        other, _ = read_case(folder / OTHER, tables)
        if other is None or fingerprint(other) != before.other:
            return "the file of the other name is not what was saved"
        if check_earlier(folder / OTHER, other, tables):
            return "the file of the other name has lost its frozen copy"
        its = read_trail(folder / OTHER)
        if its is None or its.breaks:
            return "the file of the other name has lost its trail"
    report = folder / REPORT
    if report.exists() and digest_of(report.read_bytes()) not in {each.report for each in either}:
        return "a report that is not whole"
    if before.report and not report.exists():
        return "the report is gone"
    named = [] if trail is None else [one.more.get("report") for one in trail.records]
    if before.report and before.report not in named:
        return "no line names the report"
    whole = trail is None or bool(trail.records)
    if whole and any(problem.grave for problem in checked_trail(path, saved).problems):
        return f"check takes it for tampered with: {checked_trail(path, saved).problems[0]}"
    for lock in folder.glob(".appraise/*.lock"):
        if lock.stat().st_size and lock.read_bytes().strip(b"\0").endswith(b"}"):
            lock.write_text(json.dumps({**json.loads(lock.read_bytes().strip(b"\0")), "pid": 2**22 + 1}))
    opened = open_sheet(path, tables)
    if opened.held is not None:
        return "the case stays locked"
    if opened.unsaved is not None:
        recover(opened.worksheet, opened.unsaved)
    opened.worksheet.release()
    came = fingerprint(opened.worksheet.case)
    if came in {each.now for each in either}:
        return ""
    # Work that goes on under another name is there, and the old name keeps what was saved under it.
    saved_before = {each.saved for each in either}
    moved = read_case(folder / OTHER, tables)[0] if (folder / OTHER).exists() else None
    if moved is None or fingerprint(moved) not in {each.other for each in either} or came not in saved_before:
        return "what comes back is not what was acknowledged"
    return ""


@dataclass(frozen=True)
class Cuts:
    """What became of a number of cuts."""

    states: int
    """Reachable states in all."""
    tried: Counter[str]
    """States reopened, by the action that was cut."""
    wrong: Counter[str]
    """What was wrong, by action and finding."""

    def __add__(self, other: Cuts) -> Cuts:
        return Cuts(self.states + other.states, self.tried + other.tried, self.wrong + other.wrong)


def cut_everywhere(
    tables: Tables, most: int | None = None, seed: int | None = None, only: tuple[str, ...] | None = None
) -> Cuts:
    """Reopen every reachable state, or an even choice of them.

    Args:
        tables: The reference tables.
        most: States reopened at most; none: all.
        seed: Of work chosen at random; none: the usual work.
        only: As `work` takes it.
    """
    memory = Path("/dev/shm")  # noqa: S108 - a fresh folder is made in it
    with tempfile.TemporaryDirectory(prefix="appraise-", dir=memory if memory.is_dir() else None) as name:
        folder = Path(name) / "live"
        folder.mkdir()
        write_case(folder / CASE, worksheet_cases.upright(), tables)
        kept: list[tuple[str, Kept]] = []
        start, calls = recorded(folder, work(folder, tables, kept, seed, only))
        states = [(passed, state) for passed, state in reachable(start, calls) if passed]
        every = 1 if most is None else -(-len(states) // most)
        tried: Counter[str] = Counter()
        wrong: Counter[str] = Counter()
        for (at, on_its_way), state in states[::every]:
            place = Path(name) / "cut"
            place.mkdir()
            laid_out(state, place)
            what = kept[at + 1][0] if on_its_way else "at rest"
            tried[what] += 1
            found = found_wrong(place, tables, kept[at][1], kept[at + 1][1] if on_its_way else None)
            if found:
                wrong[f"{what}: {found.replace(str(place), '')}"] += 1
            shutil.rmtree(place)
    return Cuts(len(states), tried, wrong)
