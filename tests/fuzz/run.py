"""Try broken inputs and hold each to the same promises.

No error but those a docstring promises; an end within the time allowed; every problem with its file, what was found and
what was expected, on one harmless line; the file as it was and nothing beside it. Whatever is accepted can be written
and read again, and valued.
"""

from __future__ import annotations

import faulthandler
import io
import os
import shutil
import signal
import sys
import traceback
from collections import Counter
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass, field, replace
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

from appraise.cli.diagnostics import ExitCode
from appraise.cli.parser import main
from appraise.engine.valuation import value_case
from appraise.model.problem import InputError, Problem, Unreadable
from appraise.model.ranking import Candidate
from appraise.model.unsafe import sanitize_line
from appraise.report.appraisal import appraisal
from appraise.report.full import full_report
from appraise.report.json_text import dumps
from appraise.report.markdown import render
from appraise.report.outputs.value import REPORT
from appraise.services.fields import Field, get, parse, replace_at
from appraise.services.particulars import RECORDS, SECTIONS
from appraise.services.trade_in import Terms, one
from appraise.store.document import case_text, to_document
from appraise.store.findings import dotted
from appraise.store.read import parse_case
from appraise.store.result_cache import ResultCache
from appraise.tables.folder import data_folder
from appraise.tables.load import load_from, load_tables
from tests.fuzz import hostile, mutate, samples
from tests.fuzz.known import good_cases
from tests.fuzz.targets import Target, entry_readers, file_readers
from tests.fuzz.words import Ground, command_line

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from appraise.model.case import Case

SECONDS = 5.0
"""Time allowed for one input; the slowest good one takes a hundredth of it."""

_CONTROL = {
    *map(chr, range(32)),
    *map(chr, range(127, 160)),
    *map(chr, range(0x202A, 0x202F)),
    *map(chr, range(0x2066, 0x206A)),
}


class TooLong(Exception):
    """An input took longer than is allowed."""


@dataclass(slots=True)
class Tally:
    """What has been tried and what went wrong."""

    tried: Counter[str] = field(default_factory=Counter)
    accepted: Counter[str] = field(default_factory=Counter)
    failures: dict[str, str] = field(default_factory=dict)
    """The first of each kind: where it happened → the input's number and the traceback."""


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """Stop what takes longer; where even that cannot be stopped, end the process and say where it was."""

    def stop(*_: object) -> None:
        raise TooLong(f"more than {seconds:g} s")

    faulthandler.dump_traceback_later(seconds * 4, exit=True)
    before = signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)
        faulthandler.cancel_dump_traceback_later()


class Fuzzer:
    """Tries inputs by their number: the same seed and number give the same input."""

    def __init__(self, folder: Path, seed: int = 0) -> None:
        self.tally = Tally()
        self._folder, self._seed = folder, seed
        self._tables = load_tables()
        self._candidate = _candidate(folder / "candidate")
        self._ground = Ground(folder / "ground")
        self._ground.prepare()
        (folder / "one").mkdir()
        (folder / "here").mkdir()
        os.chdir(folder / "here")  # a hostile word may be the name of a file to write
        os.environ["XDG_CACHE_HOME"] = str(folder / "cache")
        os.environ["APPRAISE_SETTINGS"] = str(folder / "settings.toml")
        self._readers = {
            name: [t for t in file_readers() if _kind(t) == name] for name in ("case", "table", "separated")
        }

    def run(self, inputs: int, first: int = 0) -> Tally:
        """Try so many inputs."""
        kinds = (
            ("case",) * 8
            + ("separated",) * 6
            + ("table",) * 3
            + ("entry",) * 4
            + ("field",) * 2
            + ("command",) * 2
            + ("kept",)
        )
        tries: dict[str, Callable[[Random], bool]] = {name: getattr(self, f"_{name}") for name in set(kinds)}
        for number in range(first, first + inputs):
            random = Random(f"{self._seed}:{number}")
            kind = random.choice(kinds)
            self.tally.tried[kind] += 1
            try:
                with within(SECONDS):
                    self.tally.accepted[kind] += tries[kind](random)
            except Exception as error:  # noqa: BLE001 - whatever was not promised is what is looked for
                self._note(number, error)
        return self.tally

    def _note(self, number: int, error: BaseException) -> None:
        frames = traceback.extract_tb(error.__traceback__)
        ours = [
            frame for frame in frames if "/appraise/" in frame.filename and "/tests/" not in frame.filename
        ] or frames
        place = f"{type(error).__name__} at {Path(ours[-1].filename).name}:{ours[-1].lineno}"
        if place not in self.tally.failures:
            text = "".join(traceback.format_exception(error))
            self.tally.failures[place] = f"input {self._seed}:{number}\n{text[-3000:]}"

    def _case(self, random: Random) -> bool:
        content = mutate.document(random, samples.case(random), samples.values())
        self._read_with(random, "case", content, "case.toml")
        try:
            text = content.decode("utf-8")
        except UnicodeDecodeError:
            return False
        case, problems = parse_case(text, self._tables, file="case.toml")
        fit_to_show(problems, text)
        assert (case is None) == any(problem.grave for problem in problems)
        if case is None:
            return False
        again, found = parse_case(case_text(case), self._tables, file="case.toml")
        assert again is not None, found
        assert to_document(again) == to_document(case)
        if random.random() < 0.15:
            value_case(case, self._tables, draws=100)
        if random.random() < 0.05:
            item = appraisal(case, self._tables, file="case.toml", sha256="0" * 64, draws=100)
            page = render(full_report(item))
            assert not _CONTROL.difference("\n").intersection(page)
            dumps(REPORT.dump((item, "full")))
        return True

    def _separated(self, random: Random) -> bool:
        content = samples.separated(random)
        if random.random() < 0.7:
            content = samples.spoilt_cells(random, content, random.choice(hostile.TEXTS))
        return self._read_with(random, "separated", mutate.some_bytes(random, content), "values.csv")

    def _table(self, random: Random) -> bool:
        name, rows = samples.table(random)
        if isinstance(rows, dict):
            content = mutate.document(random, rows, samples.values())
        else:
            content = mutate.some_bytes(random, samples.spoilt_cells(random, rows, random.choice(hostile.TEXTS)))
        self._read_with(random, "table", content, Path(name).name)
        overlay = self._folder / "overlay"
        path = overlay / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
        load_from.cache_clear()
        try:
            load_tables(overlay)
        except Unreadable as unreadable:
            fit_to_show(unreadable.problems, None)
            return False
        finally:
            assert path.read_bytes() == content
            path.unlink()
        return True

    def _entry(self, random: Random) -> bool:
        target = random.choice(entry_readers())
        word = random.choice((*hostile.TEXTS, *samples.SEPARATED[0].split(",")))
        if random.random() < 0.5:
            word = mutate.some_bytes(random, word.encode("utf-8", "surrogatepass")).decode("utf-8", "replace")
        try:
            target.call(word, random)
        except Exception as error:
            if not target.allows(error):
                raise
            if not isinstance(error, OSError):  # which names the path as it was given
                _one_harmless_line(str(error), strictly=False)
            return False
        return True

    def _field(self, random: Random) -> bool:
        """Hold the worksheet's fields to this: what it takes can be written and read again."""
        case = random.choice(good_cases())
        item = random.choice(_fields(case))
        word = random.choice((*hostile.TEXTS, *_TYPED))
        if not word.strip():
            return False  # a new record begins empty
        try:
            value = parse(item, word, case, self._tables)
        except InputError as refused:
            _one_harmless_line(str(refused), strictly=False)
            return False
        _, problems = parse_case(case_text(replace_at(case, item.path, value)), self._tables, file="case.toml")
        own = [problem for problem in problems if problem.grave and problem.key == dotted(item.path)]
        assert not own or item.path[-1] in _HANG_TOGETHER, (item.path, word, [str(problem) for problem in own])
        return True

    def _kept(self, random: Random) -> bool:
        key = f"{random.randrange(16**8):08x}"
        place = self._folder / "kept" / key[:2] / f"{key[2:]}.json"
        place.parent.mkdir(parents=True, exist_ok=True)
        content = self._candidate.replace(b"KEY", key.encode())
        for old in (b"true", b'"grand"', b"null", b"[", b"1", b"0.", b"88"):
            if random.random() < 0.3:
                content = content.replace(
                    old, random.choice((b"NaN", b"1e999", b'"x"', b"[[", b"{}", b"-1", b"9" * 5000)), 1
                )
        content = mutate.some_bytes(random, content)
        if random.random() < 0.02:
            content = b"[" * 60_000
        place.write_bytes(content)
        found = ResultCache(self._folder / "kept").get(key, "case.toml")
        assert place.read_bytes() == content
        place.unlink()
        return found is not None

    def _command(self, random: Random) -> bool:
        words = command_line(random, self._ground)
        out, err = io.StringIO(), io.StringIO()
        before, stdin = self._state(), sys.stdin
        sys.stdin = io.StringIO("")
        try:
            with redirect_stdout(out), redirect_stderr(err):
                code = main(words)
        finally:
            sys.stdin = stdin
        assert code in set(ExitCode), (words, code)
        said = out.getvalue() + err.getvalue()
        assert "Traceback" not in said, words
        assert not _CONTROL.difference("\n\t").intersection(said), words
        if code == ExitCode.UNUSABLE:
            assert err.getvalue().strip() or "--json" in words, words
        for name, was in before.items():
            if "--set-before" in words:
                continue  # writes into the case, as it says
            assert (self._ground.folder / name).read_bytes() == was, (words, name)
        for path in (self._folder / "here").iterdir():
            shutil.rmtree(path) if path.is_dir() else path.unlink()
        for path in self._ground.folder.iterdir():
            assert not path.name.startswith("."), (words, path)
            if path.name.startswith("out"):
                path.unlink()
        return code == ExitCode.DONE

    def _state(self) -> dict[str, bytes]:
        """Return what must not change: every ordinary file that was there."""
        folder = self._ground.folder
        return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file() and not path.is_symlink()}

    def _read_with(self, random: Random, kind: str, content: bytes, name: str) -> bool:
        """Give one file to a reader of its kind, sometimes of another."""
        readers = self._readers[kind if random.random() < 0.95 else random.choice(list(self._readers))]
        target = random.choice(readers)
        path = self._folder / "one" / name
        for left in path.parent.iterdir():
            shutil.rmtree(left) if left.is_dir() else left.unlink()
        path.write_bytes(content)
        done = True
        try:
            found = target.call(path, random)
        except Exception as error:
            if not target.allows(error):
                raise
            if isinstance(error, Unreadable):
                fit_to_show(error.problems, content.decode("utf-8", "replace"))
            done = False
        else:
            fit_to_show(_problems(found), None)
        assert path.read_bytes() == content, target.name
        assert list(path.parent.iterdir()) == [path], target.name
        path.unlink()
        return done


def _fields(case: Case) -> list[Field]:
    """Return every field a person may fill in, of the records that are there too."""
    found = [item for _, fields in SECTIONS for item in fields]
    for records in RECORDS:
        for place in range(len(get(case, records.path))):
            found += [replace(item, path=(*records.path, place, *item.path)) for item in records.fields]
    return found


def _candidate(folder: Path) -> bytes:
    """Return what is kept of a candidate, KEY in place of its key."""
    sample = data_folder("sample_cases") / "trade_in_grand.toml"
    terms = Terms(load_tables(), draws=100)
    found = one(sample, terms)
    assert isinstance(found, Candidate)
    ResultCache(folder).put("KEY", found)
    return next(folder.rglob("*.json")).read_bytes()


def _kind(target: Target) -> str:
    if target.name.startswith("appraise.services.instruments."):
        return "separated"
    return "table" if target.name.startswith("appraise.tables.") else "case"


def _problems(found: object) -> list[Problem]:
    items = found if isinstance(found, tuple | list) else (found,)
    return [item for item in items if isinstance(item, Problem)]


def fit_to_show(problems: Iterable[Problem], text: str | None) -> None:
    """Hold each problem to the form of a message."""
    lines = None if text is None else text.count("\n") + text.count("\r") + 1
    for problem in problems:
        assert problem.file, problem
        assert problem.found.strip(), problem
        assert problem.expected.strip(), problem
        assert problem.line is None or lines is None or 1 <= problem.line <= lines, (problem, lines)
        assert len(problem.found) + len(problem.key) < 1500, problem
        _one_harmless_line(str(problem))


def _one_harmless_line(text: str, *, strictly: bool = True) -> None:
    """Hold a text to one line that controls nothing: as it is, or as standard error shows it."""
    shown = text if strictly else sanitize_line(text)
    assert not _CONTROL.intersection(shown), text
    assert len(shown) < 4000, shown[:200]


_TYPED = ("1998", "12", "7.5", "yes", "2026-01-01", "grand", "12, 40-44", "x" * 5000, "photo.jpg", "5000", "soundboard")

_HANG_TOGETHER = frozenset(
    {
        "gives_back_pct",  # only a repair gives something back; whether it is one is another field
        "replacement_cost_low",  # compared with the middle figure
        "replacement_cost_high",
    }
)
"""Fields that may be wrong for what stands in another; a save says so."""
