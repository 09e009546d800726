"""The work that the power is cut in, and what must be there after every cut."""

from __future__ import annotations

import json
import random
import shutil
import tempfile
from collections import Counter
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.model.case import PhotoFile, Remark
from appraise.model.claim import Quotation
from appraise.report.appraisal import appraisal
from appraise.report.document import Sheet
from appraise.services.arrival import set_before
from appraise.services.documents import export_documents
from appraise.services.opening import open_sheet, recover
from appraise.services.trail_check import checked_trail
from appraise.store.baseline import check_earlier
from appraise.store.files import digest_of
from appraise.store.read import read_case
from appraise.store.trail_file import read_trail
from appraise.store.write import versions, write_case
from tests.faults.power_cut import Recording, laid_out, reachable, recorded
from tests.helpers import worksheet_cases
from tests.helpers.edits import checks_of, fingerprint, savable, step

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from appraise.services.case_session import CaseSession
    from appraise.tables.rows import Tables

CASE, REPORT, OTHER, FAR = "case.toml", "report.md", "other.toml", "elsewhere/far.toml"
PHOTO, PAPER = "photos/board.png", "papers/quotation.txt"
PICTURE = Path(__file__).parents[2] / "sample_cases/photos/rim_after.png"
OFFER = b"Invented quotation: shimming one crack, 180.00\n"


@dataclass(frozen=True)
class Held:
    """What is acknowledged of a case under one name."""

    now: str
    """Fingerprint of the case as the worksheet has it."""
    saved: str
    """Of the case as the file has it."""
    moved: str = ""
    """The name under which the work goes on; empty where that is this one."""


@dataclass(frozen=True)
class Kept:
    """What is acknowledged when an action has returned."""

    files: Mapping[str, Held]
    """By name."""
    contents: frozenset[str] = frozenset()
    """SHA-256 of every content that the first file has had, which a version keeps."""
    report: str = ""
    """SHA-256 of the report written."""


USUAL = ("edit", "save", "edit", "edit", "save", "edit", "save")
BEFORE_FAR = ("edit", "save", "edit")


def begun_in(folder: Path, tables: Tables) -> None:
    """Put a case with a photo and a quotation into a folder, and an empty folder beside it."""
    for name, content in ((PHOTO, PICTURE.read_bytes()), (PAPER, OFFER)):
        (folder / name).parent.mkdir()
        (folder / name).write_bytes(content)
    (folder / FAR).parent.mkdir()
    case = worksheet_cases.upright()
    asked = Quotation("Invented workshop", Decimal("180.00"), ("soundboard_shim_upright",), date(2026, 11, 2))
    write_case(
        folder / CASE,
        replace(
            case,
            photos=(PhotoFile(PHOTO, digest_of(PICTURE.read_bytes())),),
            remarks=(*case.remarks, Remark("soundboard", "A crack.", photos=(PHOTO,))),
            claim=replace(case.claim, quotations=(replace(asked, file=PAPER, sha256=digest_of(OFFER)),)),
        ),
        tables,
    )


def work(
    folder: Path,
    tables: Tables,
    kept: list[tuple[str, Kept]],
    seed: int | None = None,
    only: tuple[str, ...] | None = None,
    there: str = OTHER,
):
    """Return what is done to a case: edits and saves, a report, the state before set, saved under another name.

    Args:
        folder: Where the case lies.
        tables: The reference tables.
        kept: Takes what each action has acknowledged.
        seed: Of edits and saves chosen at random; none: the usual ones.
        only: Edits and saves to make, and nothing after them.
        there: The other name; in another folder the case has its state before already, and there is no report.
    """
    path, chance, checks = folder / CASE, random.Random(seed), checks_of(tables)
    turns = (
        only or (BEFORE_FAR if there == FAR else USUAL)
        if seed is None
        else ("edit", *chance.choices(("edit", "save"), (2, 1), k=9), "save")
    )

    def act(system: Recording) -> None:
        seen: set[str] = set()
        files: dict[str, Held] = {}
        report = ""

        def done(what: str, case, name: str = CASE) -> None:
            seen.add(digest_of(path.read_bytes()))
            saved, _ = read_case(folder / name, tables)
            files[name] = Held(fingerprint(case), fingerprint(saved))
            kept.append((what, Kept(dict(files), frozenset(seen), report)))
            system.mark(len(kept) - 1, False)

        def begun() -> None:
            system.mark(len(kept) - 1, True)

        def moved(sheet: CaseSession) -> None:
            begun()
            assert not sheet.save_as(folder / there)
            files[CASE] = replace(files[CASE], moved=there)
            done("save-as" if there == OTHER else "save-as elsewhere", sheet.case, there)
            begun()
            sheet.put(("identity", "model"), f"In {there}")
            done("edit", sheet.case, there)
            sheet.release()

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
        if there == FAR:
            moved(sheet)
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
        moved(sheet)

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
    there = {digest_of(each.read_bytes()) for each in (path, folder / f"{CASE}~", *versions(path)) if each.exists()}
    if not before.contents <= there:
        return "an earlier version is gone"
    report = folder / REPORT
    if report.exists() and digest_of(report.read_bytes()) not in {each.report for each in either}:
        return "a report that is not whole"
    if before.report and not report.exists():
        return "the report is gone"
    trail = read_trail(path)
    named = [] if trail is None else [one.more.get("report") for one in trail.records]
    if before.report and before.report not in named:
        return "no line names the report"
    for lock in folder.rglob(".appraise/*.lock"):
        if lock.stat().st_size and lock.read_bytes().strip(b"\0").endswith(b"}"):
            lock.write_text(json.dumps({**json.loads(lock.read_bytes().strip(b"\0")), "pid": 2**22 + 1}))
    for name in before.files:
        found = _wrong_of(folder, name, tables, [each.files[name] for each in either], before.files.keys())
        if found:
            return f"{name}: {found}"
    for name in () if after is None else after.files.keys() - before.files.keys():
        if (folder / name).exists() and read_case(folder / name, tables)[0] is None:
            return f"{name}: half a file"
    return ""


def _wrong_of(folder: Path, name: str, tables: Tables, either: list[Held], known: Collection[str]) -> str:
    """Return what a cut has taken of a case under one of its names."""
    path = folder / name
    saved, problems = read_case(path, tables)
    if saved is None:
        return f"the file is no case: {problems[0]}"
    if fingerprint(saved) not in {each.saved for each in either}:
        return "the file holds neither the saved state nor the one on its way"
    trail = read_trail(path)
    if trail is not None and trail.breaks:
        return "the chain of the trail is broken"
    if trail is None and name != CASE:
        return "the trail is gone"
    if check_earlier(path, saved, tables):
        return "the case names a frozen copy that is not there"
    contents = {PHOTO: PICTURE.read_bytes(), PAPER: OFFER}
    for file in (*saved.photo_files, *(paper[2] for paper in saved.claim.papers)):
        evidence = path.parent / file
        if not evidence.exists() or evidence.read_bytes() != contents[file]:
            return f"{file} is gone or another"
    whole = trail is None or bool(trail.records)
    if whole and any(problem.grave for problem in checked_trail(path, saved).problems):
        return f"check takes it for tampered with: {checked_trail(path, saved).problems[0]}"
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
    moved = either[-1].moved
    if moved and came in {each.saved for each in either}:
        if moved in known:
            return ""  # looked at by itself
        other, _ = read_case(folder / moved, tables) if (folder / moved).exists() else (None, ())
        whole = other is not None and not check_earlier(folder / moved, other, tables)
        if other is not None and whole and fingerprint(other) == either[0].now:
            return ""
    return "what comes back is not what was acknowledged"


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
    tables: Tables,
    most: int | None = None,
    seed: int | None = None,
    only: tuple[str, ...] | None = None,
    there: str = OTHER,
) -> Cuts:
    """Reopen every reachable state, or an even choice of them.

    Args:
        tables: The reference tables.
        most: States reopened at most; none: all.
        seed: Of work chosen at random; none: the usual work.
        only: As `work` takes it.
        there: As `work` takes it.
    """
    memory = Path("/dev/shm")  # noqa: S108 - a fresh folder is made in it
    with tempfile.TemporaryDirectory(prefix="appraise-", dir=memory if memory.is_dir() else None) as name:
        folder = Path(name) / "live"
        folder.mkdir()
        begun_in(folder, tables)
        if there == FAR:
            set_before(folder / CASE, tables, "removal")
        kept: list[tuple[str, Kept]] = []
        start, calls = recorded(folder, work(folder, tables, kept, seed, only, there))
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
