"""Files of a size nobody means: each is refused or read, within bounds of time and memory.

`python -m tests.fuzz.sizes` prints what each takes; `python -m tests.fuzz.sizes NAME` tries one.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
import time
from contextlib import suppress
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

MEMORY = 2 * 1024**3
"""Address space a process may take [bytes]."""

SECONDS = 120.0
"""When a process is taken for hung; all of them together take less."""

_HEAD = 'schema = 1\n[identity]\nkind = "grand"\n[assignment]\ninspected = 2026-11-20\n'
_REMARK = '[[remarks]]\nplace = "case"\ntext = "worn"\n'
_ROWS = 1_000_000


def _case_of_50_mb() -> Iterator[bytes]:
    yield _HEAD.encode()
    remark = ('[[remarks]]\nplace = "case"\ntext = "' + "worn " * 2000 + '"\n').encode()
    yield from (remark for _ in range(5200))


def _largest_case() -> Iterator[bytes]:
    yield _HEAD.encode()
    remark = ('[[remarks]]\nplace = "case"\ntext = "' + "worn " * 2000 + '"\n').encode()
    yield from (remark for _ in range(1650))


def _remarks() -> Iterator[bytes]:
    yield _HEAD.encode()
    yield from (_REMARK.encode() for _ in range(100_000))


def _bad_remarks() -> Iterator[bytes]:
    yield _HEAD.encode()
    yield from (f'[[remarks]]\nplace = "x{n}"\ntetx = "worn"\n'.encode() for n in range(100_000))


def _levels() -> Iterator[bytes]:
    yield _HEAD.encode() + b"x = " + b"[" * 10_000 + b"]" * 10_000 + b"\n"


def _dotted_levels() -> Iterator[bytes]:
    yield _HEAD.encode() + b"x" + b".x" * 10_000 + b" = 1\n"


def _tables_in_tables() -> Iterator[bytes]:
    """Every header a prefix longer than the one before: quadratic in its text, as deep as is allowed."""
    yield _HEAD.encode()
    for n in range(20_000):
        yield b"[" + b".".join(b"t%d" % (n % 60) for _ in range(60)) + b".k%d]\n" % n


def _arrays_of_arrays() -> Iterator[bytes]:
    """Arrays of tables within arrays of tables, the nearest TOML has to entities that multiply."""
    yield _HEAD.encode()
    for depth in range(1, 60):
        yield from (b"[[" + b".".join(b"a%d" % level for level in range(depth)) + b"]]\n" for _ in range(2000))


def _keys() -> Iterator[bytes]:
    yield _HEAD.encode()
    yield from (b"[k%d]\nmaekr = 1\n" % n for n in range(200_000))


def _dotted_keys() -> Iterator[bytes]:
    yield _HEAD.encode()
    yield from (b"k" + b".k%d" % n * 60 + b" = 1\n" for n in range(30_000))


def _controls() -> Iterator[bytes]:
    yield _HEAD.encode()
    yield b"# \x1b\n" * 3_000_000


def _quotes() -> Iterator[bytes]:
    yield _HEAD.encode() + b'x = """' + b'"" ' * 5_000_000


def _backslashes() -> Iterator[bytes]:
    yield _HEAD.encode() + b'x = "' + b"\\\\" * 5_000_000


def _columns() -> Iterator[bytes]:
    yield b",".join(b"c%d" % n for n in range(_ROWS)) + b"\n" + b",".join(b"1" for _ in range(_ROWS)) + b"\n"


def _few_columns_many_unknown() -> Iterator[bytes]:
    yield b",".join(b"c%d" % n for n in range(250_000)) + b"\n"


def _one_line_of_50_mb() -> Iterator[bytes]:
    yield b"note,value\nA4,"
    yield b"7" * (50 * 1024**2)


def _one_cell_of_2_mb() -> Iterator[bytes]:
    yield b"note,value\nA4," + b"7" * 1_900_000 + b"\n"


def _bad_rows() -> Iterator[bytes]:
    yield b"note,value\n"
    yield from (b"H%d,x\n" % n for n in range(4990))


def _short_rows() -> Iterator[bytes]:
    yield b"note;value;x\n"
    yield from (b";\n" for _ in range(400_000))


def _log() -> Iterator[bytes]:
    yield b"time,temp C,rh\n"
    random = Random(0)
    for n in range(1_500_000):
        minute = n % 1440
        yield b"2026-01-%02d %02d:%02d,20.%d,4%d\n" % (
            1 + n // 1440 % 28, minute // 60, minute % 60, random.randrange(10), random.randrange(10),
        )  # fmt: skip


def _log_of_commas() -> Iterator[bytes]:
    yield b"time,temp C,rh\n"
    yield from (b",,\n" * 1_000_000 for _ in range(40))


def _log_of_one_line() -> Iterator[bytes]:
    yield b"time,temp C,rh\n2026-01-01 12:00,"
    yield from (b"2" * 1_000_000 for _ in range(50))


def _log_of_columns() -> Iterator[bytes]:
    yield b"time,temp C,rh," + b",".join(b"x" for _ in range(_ROWS)) + b"\n"
    yield b"2026-01-01 12:00,20,40," + b",".join(b"1" for _ in range(_ROWS)) + b"\n"


def _log_quoted() -> Iterator[bytes]:
    yield b'time,temp C,rh\n"'
    yield from (b"x\n" * 500_000 for _ in range(50))


def _table_rows() -> Iterator[bytes]:
    yield from (b'[[row]]\nkey = "k%d"\n' % n for n in range(150_000))


def _table_levels() -> Iterator[bytes]:
    yield b"[[row]]\nkey" + b".x" * 500_000 + b" = 1\n"


def _table_of_50_mb() -> Iterator[bytes]:
    yield from (b"#" * 1_000_000 for _ in range(50))


_CASE = ("check", "x.toml")
SIZES: dict[str, tuple[Callable[[], Iterator[bytes]], str, tuple[str, ...]]] = {
    "a case of 50 MB": (_case_of_50_mb, "x.toml", _CASE),
    "a case of 16 MB": (_largest_case, "x.toml", _CASE),
    "100,000 remarks": (_remarks, "x.toml", _CASE),
    "100,000 remarks, valued": (_remarks, "x.toml", ("value", "x.toml", "--draws", "100", "--json")),
    "100,000 wrong remarks": (_bad_remarks, "x.toml", _CASE),
    "10,000 levels of lists": (_levels, "x.toml", _CASE),
    "10,000 levels of keys": (_dotted_levels, "x.toml", _CASE),
    "20,000 headers of 60 parts": (_tables_in_tables, "x.toml", _CASE),
    "arrays of tables 60 deep": (_arrays_of_arrays, "x.toml", _CASE),
    "200,000 unknown sections": (_keys, "x.toml", _CASE),
    "30,000 keys of 60 parts": (_dotted_keys, "x.toml", _CASE),
    "3,000,000 control characters": (_controls, "x.toml", _CASE),
    "a text of 5,000,000 quotes": (_quotes, "x.toml", _CASE),
    "a text of 5,000,000 escapes": (_backslashes, "x.toml", _CASE),
    "CSV of 1,000,000 columns": (_columns, "x.csv", ("measure", "touch", "--csv", "x.csv")),
    "CSV of 250,000 columns": (_few_columns_many_unknown, "x.csv", ("measure", "touch", "--csv", "x.csv")),
    "CSV of one line of 50 MB": (_one_line_of_50_mb, "x.csv", ("measure", "touch", "--csv", "x.csv")),
    "CSV of one cell of 2 MB": (_one_cell_of_2_mb, "x.csv", ("measure", "touch", "--csv", "x.csv")),
    "CSV of 4,990 wrong rows": (_bad_rows, "x.csv", ("measure", "touch", "--csv", "x.csv")),
    "CSV of 400,000 short rows": (_short_rows, "x.csv", ("measure", "pitch", "x.csv")),
    "a scale of 1,000,000 columns": (_columns, "x.csv", ("measure", "string", "--scale", "x.csv")),
    "a logger's 1,500,000 rows": (_log, "x.csv", ("measure", "wood", "--log", "x.csv")),
    "a logger's 40,000,000 empty rows": (_log_of_commas, "x.csv", ("measure", "wood", "--log", "x.csv")),
    "a logger's line of 50 MB": (_log_of_one_line, "x.csv", ("measure", "wood", "--log", "x.csv")),
    "a logger's 1,000,000 columns": (_log_of_columns, "x.csv", ("measure", "wood", "--log", "x.csv")),
    "a logger's quoted cell of 50 MB": (_log_quoted, "x.csv", ("measure", "wood", "--log", "x.csv")),
    "a table of 150,000 rows": (_table_rows, "laws.toml", ("sources", "--tables", ".")),
    "a table's key of 500,000 parts": (_table_levels, "laws.toml", ("sources", "--tables", ".")),
    "a table of 50 MB": (_table_of_50_mb, "laws.toml", ("sources", "--tables", ".")),
}
"""What is tried: what writes the file, how it is named, and the command that reads it."""


def attempt(name: str, folder: Path) -> tuple[int, str, float, float]:
    """Write one such file and have a command read it in a process of bounded memory.

    Returns:
        Exit code; standard error; time taken [s]; memory at most [MB].

    Raises:
        subprocess.TimeoutExpired: It hangs.
    """
    content, file, words = SIZES[name]
    with (folder / file).open("wb") as stream:
        stream.writelines(content())
    out = folder / "said"
    started = time.perf_counter()
    with out.open("wb") as said:
        process = subprocess.Popen(
            [sys.executable, "-S", "-c", _WITNESS, str(MEMORY), sys.executable, "-m", "appraise", *words],
            cwd=folder,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=said,
            env={**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parents[2])},
            start_new_session=True,
        )
        try:
            told, _ = process.communicate(timeout=SECONDS)
        finally:
            with suppress(ProcessLookupError):
                os.killpg(process.pid, signal.SIGKILL)
    taken = time.perf_counter() - started
    status, memory = map(int, told.split())
    text = out.read_text(encoding="utf-8", errors="replace")
    return os.waitstatus_to_exitcode(status), text, taken, memory / 1024


_WITNESS = """
import os, resource, sys
most, *command = sys.argv[1:]
told, silent = os.dup(1), os.open(os.devnull, os.O_WRONLY)
os.dup2(silent, 1)
child = os.fork()
if not child:
    resource.setrlimit(resource.RLIMIT_AS, (int(most), int(most)))
    os.execv(command[0], command)
_, status, used = os.wait4(child, 0)
os.write(told, f"{status} {used.ru_maxrss}".encode())
"""
"""Starts the command: the peak of a process counts what it was forked from, and a test's own has grown."""


def main() -> None:
    """Print what each takes."""
    for name in sys.argv[1:] or SIZES:
        with tempfile.TemporaryDirectory(prefix="sizes-") as folder:
            try:
                code, text, taken, memory = attempt(name, Path(folder))
            except subprocess.TimeoutExpired:
                print(f"{name:36} HANGS", flush=True)
                continue
        lines = text.splitlines()
        last = lines[-1][:110] if lines else ""
        print(f"{name:36} exit {code:3}  {taken:6.1f} s  {memory:6.0f} MB  {len(lines):6} lines  {last}", flush=True)


if __name__ == "__main__":
    main()
