"""A person at a real terminal, as quick as one likes, before a disk as slow as one likes."""

from __future__ import annotations

import os
import signal
import sys
import time
from pathlib import Path

import pexpect

_SLOW_DISK = """
import os, random, time
_fsync, _chance, _longest = os.fsync, random.Random(int(os.environ["SLOW_DISK_SEED"])), float(os.environ["SLOW_DISK"])
def fsync(handle):
    _fsync(handle)
    if _chance.random() < float(os.environ["SLOW_DISK_SHARE"]):
        time.sleep(_chance.uniform(0.0, _longest))
os.fsync = fsync
"""
"""Read by the interpreter before the program: what it writes takes its time to reach the disk."""

THIRTY_A_SECOND = 1 / 30
"""Between two keys of somebody who types fast [s]."""

KEYS = {
    "up": b"\x1b[A",
    "down": b"\x1b[B",
    "right": b"\x1b[C",
    "left": b"\x1b[D",
    "home": b"\x1b[H",
    "end": b"\x1b[F",
    "delete": b"\x1b[3~",
    "pageup": b"\x1b[5~",
    "pagedown": b"\x1b[6~",
    "f1": b"\x1bOP",
    "f2": b"\x1bOQ",
    "f3": b"\x1bOR",
    "f5": b"\x1b[15~",
    "f6": b"\x1b[17~",
    "f8": b"\x1b[19~",
    "f9": b"\x1b[20~",
    "f10": b"\x1b[21~",
    "f4": b"\x1bOS",
    "f7": b"\x1b[18~",
    "f11": b"\x1b[23~",
    "f12": b"\x1b[24~",
    "enter": b"\r",
    "tab": b"\t",
    "backspace": b"\x7f",
    "escape": b"\x1b[27u",  # as terminals send it that tell it apart from the beginning of other keys
    "space": b" ",
    **{f"ctrl+{letter}": bytes([ord(letter) - 96]) for letter in "abcdefghijklmnopqrstuvwxyz"},
}
"""What a terminal sends for a key that is no character."""


def sent(key: str) -> bytes:
    """Return what a terminal sends for a key."""
    return KEYS.get(key) or key.encode()


class Typist:
    """The program on a case in a pseudo-terminal."""

    def __init__(
        self,
        case: Path,
        *,
        disk: float = 0.0,
        share: float = 1.0,
        seed: int = 1,
        size: tuple[int, int] = (24, 80),
        command: tuple[str, ...] = ("open",),
        nohup: bool = False,
    ):
        """Open it.

        Args:
            case: The file.
            disk: Longest that fsync takes [s].
            share: Of the calls that are so slow.
            seed: Of how long they take.
            size: Lines and columns.
            command: What is asked of the program.
            nohup: The program is started to leave SIGHUP alone.
        """
        hooks = case.parent / "slow disk"
        hooks.mkdir(exist_ok=True)
        (hooks / "sitecustomize.py").write_text(_SLOW_DISK)
        environment = {key: value for key, value in os.environ.items() if key not in {"NO_COLOR", "COLUMNS", "LINES"}}
        path = os.pathsep.join([str(hooks), *filter(None, [environment.get("PYTHONPATH")])])
        environment |= {"TERM": "xterm-256color", "TEXTUAL_ANIMATIONS": "none", "PYTHONPATH": path}
        environment |= {"SLOW_DISK": str(disk), "SLOW_DISK_SHARE": str(share), "SLOW_DISK_SEED": str(seed)}
        environment["XDG_CACHE_HOME"] = str(case.parent / "cache")
        environment["XDG_CONFIG_HOME"] = str(case.parent / "settings")
        self.shown = bytearray()
        self._child = pexpect.spawn(
            sys.executable,
            ["-m", "appraise", *command, str(case)],
            cwd=str(Path(__file__).parents[2]),
            env=environment,
            dimensions=size,
            timeout=120,
            ignore_sighup=nohup,
        )
        self._child.delaybeforesend = None

    def wait(self, words: bytes, longest: float = 120.0) -> None:
        """Read until words are shown; what the program draws otherwise is in `shown`."""
        latest, begun = time.monotonic() + longest, len(self.shown)
        while words not in self.shown[max(0, begun - len(words)) :]:
            assert time.monotonic() < latest, f"{words!r} was never shown:\n{self.text()}"
            self.read(0.05)

    def read(self, seconds: float) -> bool:
        """Read what the program draws for a time; False when it has ended."""
        latest = time.monotonic() + seconds
        while True:
            try:
                self.shown += self._child.read_nonblocking(65536, timeout=max(0.0, latest - time.monotonic()))
            except pexpect.TIMEOUT:
                return True
            except pexpect.EOF:
                return False

    def type(self, keys: list[str], gap: float = 0.0) -> None:
        """Type keys in one write, then wait."""
        self._child.send(b"".join(sent(key) for key in keys))
        self.read(gap)

    def click(self, column: int, line: int, gap: float = 0.0) -> None:
        """Press and let go the first button at a cell, counted from 0; wait after each of both."""
        for end in "Mm":
            self._mouse(0, column, line, end)
            self.read(gap)

    def roll(self, column: int, line: int, *, down: bool) -> None:
        """Turn the wheel by one step."""
        self._mouse(65 if down else 64, column, line, "M")

    def _mouse(self, button: int, column: int, line: int, end: str) -> None:
        """Send an event of the mouse as terminals do in the mode SGR (1006) of xterm."""
        self._child.send(f"\x1b[<{button};{column + 1};{line + 1}{end}".encode())

    def end(self, longest: float = 300.0) -> int:
        """Wait until the program has ended; return its exit code."""
        latest = time.monotonic() + longest
        while self.read(0.2):
            assert time.monotonic() < latest, f"it never ended:\n{self.text()}"
        self._child.close()
        return -self._child.signalstatus if self._child.signalstatus else self._child.exitstatus

    def hang_up(self, longest: float = 60.0) -> int:
        """Close the terminal; return the exit code of the program, which has to end by itself."""
        process = self._child.pid
        os.close(self._child.child_fd)
        self._child.closed, self._child.child_fd, self._child.terminated = True, -1, True
        latest = time.monotonic() + longest
        while time.monotonic() < latest:
            ended, status = os.waitpid(process, os.WNOHANG)
            if ended:
                return os.waitstatus_to_exitcode(status)
            time.sleep(0.05)
        os.kill(process, signal.SIGKILL)
        os.waitpid(process, 0)
        raise AssertionError("it never ended")

    def text(self) -> str:
        """Return the last that the program drew."""
        return self.shown[-6000:].decode(errors="replace")
