"""The program speaks to nobody: no module for it is imported, and every command works where speaking is forbidden.

There is no serving mode: nothing listens, in a browser or elsewhere.
"""

from __future__ import annotations

import ast
import os
import shutil
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest

import appraise
from appraise.cli.examples import EXAMPLES
from appraise.cli.parser import COMMANDS
from appraise.evidence.book import book
from appraise.tables.folder import data_folder
from tests.helpers.sales import sale, write_many

PACKAGE = Path(appraise.__file__).parent

FORBIDDEN = {
    *("socket", "ssl", "http", "urllib.request", "ftplib", "smtplib", "poplib", "imaplib", "telnetlib", "xmlrpc"),
    *("socketserver", "wsgiref", "webbrowser", "requests", "httpx", "aiohttp", "websockets", "urllib3"),
    *("pickle", "shelve", "marshal", "subprocess", "multiprocessing", "pty", "ctypes", "code"),
}
"""Modules that reach out, or run what they are given."""

KNOWN = {
    ("snapshot.py", "marshal"),  # plain values behind a digest of them, in the user's own cache: nothing of it is run
    ("lock.py", "socket"),  # the name of this machine, for who has a case open
    ("lazy_dataclass.py", "code"),  # an `__init__` with the names of a class's own fields, as the standard library's
    ("signature_check.py", "subprocess"),  # ssh-keygen and openssl, for a signature or a time stamp that lies there
    ("process_pool.py", "multiprocessing"),  # a ranking shares its work among processes of its own, over pipes
    ("process_pool.py", "multiprocessing.connection"),
    ("process_pool.py", "multiprocessing.connection.wait"),
}
"""What is imported for something else."""

# An audit hook cannot be taken off again, so it sees everything that the process does: our code and the libraries'.
DENY = """
import sys
_NET = ("socket.connect", "socket.bind", "socket.getaddrinfo", "socket.gethostbyname", "socket.gethostbyaddr",
        "socket.sendto", "socket.sendmsg", "http.client.connect", "urllib.Request", "ftplib.connect", "smtplib.connect")
_RUN = ("os.system", "os.exec", "os.posix_spawn", "os.spawn", "subprocess.Popen", "os.fork", "os.forkpty")
def _deny(event, args):
    if event in _NET:
        raise PermissionError(f"network: {event} {args!r}")
    if event in _RUN:
        raise PermissionError(f"another program: {event} {args!r}")
sys.addaudithook(_deny)
"""

WALK = """
import asyncio, sys
from pathlib import Path
from appraise.app import AppraiseApp
from appraise.services.case_session import CaseSession
from appraise.store.read import read_case
from appraise.tables.load import load_tables
async def walk():
    tables = load_tables()
    path = Path("renewed_grand.toml")
    case, _ = read_case(path, tables)
    app = AppraiseApp(Path(), tables, CaseSession(path, case, tables))
    async with app.run_test(size=(100, 30)) as pilot:
        for key in "f5 escape f6 escape f7 escape f11 escape f4 escape f1 escape f2".split():
            await pilot.press(key)
            await pilot.pause()
            await app.workers.wait_for_complete()
    print("walked")
asyncio.run(walk())
"""


@pytest.fixture
def ground(tmp_path):
    """A folder with what the examples name, and a hook that forbids."""
    hook = tmp_path / "hook"
    hook.mkdir()
    (hook / "sitecustomize.py").write_text(DENY, encoding="utf-8")
    samples = data_folder("sample_cases")
    (tmp_path / "sample_cases").mkdir()
    for name in ("renewed_grand.toml", "sample_cases/renewed_grand.toml", "grand.toml"):
        shutil.copyfile(samples / "renewed_grand.toml", tmp_path / name)
    for state in ("before", "after"):
        shutil.copyfile(samples / f"removal_{state}.toml", tmp_path / f"{state}.toml")
    (tmp_path / "trade_in").mkdir()
    for name in ("one", "other", "trade_in/one"):
        shutil.copyfile(samples / "trade_in_grand.toml", tmp_path / f"{name}.toml")
    (tmp_path / "our_tables").mkdir()
    (tmp_path / "log.csv").write_text("date,note,cents\n2026-01-31,A4,-4\n2026-03-31,A4,-6\n", encoding="utf-8")
    (tmp_path / "scale.csv").write_text("note,length_mm,diameter_mm\nA4,400,1\n", encoding="utf-8")
    (tmp_path / "room.csv").write_text(
        "time,temp C,rh\n2026-01-01 12:00,20,40\n2026-01-02 12:00,20,41\n", encoding="utf-8"
    )
    write_many(tmp_path / "sold.csv", 40)
    with book(tmp_path / "sales.sqlite3", create=True) as found:
        ends = {"low": Decimal(11_000), "middle": Decimal(12_000), "high": Decimal(13_000)}
        found.add([sale(file_sha256=str(number), line=0, **ends) for number in range(3)])
    (tmp_path / "cases").mkdir()
    shutil.copyfile(samples / "renewed_grand.toml", tmp_path / "cases" / "one.toml")
    return tmp_path


def run(ground, *words, program=("-m", "appraise"), before=()):
    path = os.pathsep.join((str(ground / "hook"), str(PACKAGE.parent)))
    environment = {
        **os.environ,
        "PYTHONPATH": path,
        "XDG_CACHE_HOME": str(ground / "cache"),
        "APPRAISE_SETTINGS": str(ground / "settings.toml"),
        "TEXTUAL_ANIMATIONS": "none",
    }
    return subprocess.run(
        [*before, sys.executable, *program, *words],
        cwd=ground,
        env=environment,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )


LINES = sorted({line.partition(" > ")[0] for lines in EXAMPLES.values() for line in lines})


def test_the_hook_forbids(ground):
    for code in (
        "import socket; socket.create_connection(('127.0.0.1', 9))",
        "import socket; socket.socket().bind(('127.0.0.1', 0))",
        "import urllib.request; urllib.request.urlopen('http://127.0.0.1:9/')",
        "import subprocess; subprocess.run(['true'])",
    ):
        done = run(ground, code, program=("-c",))
        assert done.returncode != 0
        assert "PermissionError" in done.stderr


@pytest.mark.parametrize("line", [line for line in LINES if line != "appraise open grand.toml"])
def test_every_command_works_where_nobody_may_be_spoken_to(line, ground):
    words = []
    for word in line.split()[1:]:
        words += sorted(path.name for path in ground.glob(word)) if "*" in word else [word]
    if words[0] == "new" and "--kind" not in words:
        words += ["--kind", "upright"]
    if words[0] == "new":
        words[1] = "fresh.toml"
    if words[0] == "look":  # of a case in which nothing was checked
        made = run(ground, "new", "bare.toml", "--kind", "grand")
        assert made.returncode == 0, made.stderr
        words[1] = "bare.toml"
    done = run(ground, *words)
    # No sale of the book is like this case, so none can be taken.
    # A case that has been copied away from its earlier state has a problem, which `check` tells.
    refused = words[:2] == ["sales", "like"] and "--take" in words
    expected = {"check": (0, 1), "share": (2,), "like": (2 if refused else 0,)}.get(
        words[1] if words[0] == "sales" else words[0], (0,)
    )
    if "--undo" in words:  # the book is new, and no sale of it was struck out
        expected, refused = (2,), True
    if "--tour" in words:  # it is walked on a screen, and there is none
        expected, refused = (2,), True
    assert done.returncode in expected, done.stderr
    if "share" in words:  # the one command that calls a server, the one that it is told; there is none of that name
        assert done.stderr.startswith("appraise sales share: ")
        return
    assert "PermissionError" not in done.stderr
    said = done.stderr if refused else done.stdout
    assert said.strip() or (ground / "rank.csv").read_text()


def test_every_command_is_among_them():
    assert {line.split()[1] for line in LINES} == set(COMMANDS)


def test_the_worksheet_speaks_to_nobody(ground):
    done = run(ground, WALK, program=("-c",))
    assert done.returncode == 0, done.stderr[-2000:]
    assert "walked" in done.stdout


def test_where_there_is_no_network_at_all(ground):
    unshare = shutil.which("unshare")
    if unshare is None or subprocess.run([unshare, "-n", "true"], capture_output=True, check=False).returncode:
        pytest.skip("this system lets nobody take the network away from a process")
    done = run(ground, "value", "grand.toml", before=(unshare, "-n"))
    assert done.returncode == 0, done.stderr
    done = run(ground, WALK, program=("-c",), before=(unshare, "-n"))
    assert done.returncode == 0, done.stderr


def _named(node: ast.AST) -> list[str]:
    """Return what a piece of code imports, or "code" where it calls what runs a text or another program."""
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom):
        return [node.module or "", *(f"{node.module}.{alias.name}" for alias in node.names)]
    if isinstance(node, ast.Call):
        called = getattr(node.func, "id", ""), getattr(node.func, "attr", "")
        if called[0] in {"eval", "exec", "compile", "__import__"} or called[1] in {"system", "popen", "execv", "fork"}:
            return ["code"]
    return []


def test_no_module_reaches_out_or_runs_what_it_is_given():
    found = {
        (path.name, name)
        for path in PACKAGE.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        for name in _named(node)
        if name in FORBIDDEN or name.split(".")[0] in FORBIDDEN
    }
    assert {item for item in found if item not in KNOWN} == set()
