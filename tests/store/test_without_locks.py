"""A case worked on where the system has no `fcntl` and none of the modules that come with it, as under Windows."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import appraise
from appraise.store.read import read_case
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables

HIDDEN = ("fcntl", "grp", "pty", "pwd", "resource", "syslog", "termios", "tty")
"""Modules of the standard library that Unix alone has (its documentation, "Unix-specific Services")."""

_HIDE = f"import sys\nsys.modules.update(dict.fromkeys({HIDDEN!r}))\n"

EDIT = """
from pathlib import Path
from appraise.services.opening import open_sheet
from appraise.tables.load import load_tables
sheet = open_sheet(Path("case.toml"), load_tables()).worksheet
sheet.put(("identity", "maker"), "Maker saved")
other = open_sheet(Path("case.toml"), load_tables())
sheet.save()
print(sheet.trouble or "kept", other.held is not None)
sheet.put(("identity", "maker"), "Maker not saved")
sheet.close()
"""

COMMAND = "from appraise.cli.parser import main\nraise SystemExit(main({words!r}))"


def child(code: str, folder: Path) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(Path(appraise.__file__).parent.parent)}
    done = subprocess.run(
        [sys.executable, "-c", _HIDE + code],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert "Traceback" not in done.stderr, done.stderr
    return done


def test_a_case_is_opened_edited_saved_and_read(tmp_path):
    case = tmp_path / "case.toml"
    case.write_bytes((data_folder("sample_cases") / "trade_in_grand.toml").read_bytes())
    assert child(EDIT, tmp_path).stdout.split() == ["kept", "True"]  # and whoever comes second finds it held
    assert read_case(case, load_tables())[0].identity.maker == "Maker saved"
    value = child(COMMAND.format(words=["value", "case.toml", "--json"]), tmp_path)
    assert float(json.loads(value.stdout)["value"]["mid"]) > 0.0
    # What was not saved stands in the trail, whose chain holds.
    check = child(COMMAND.format(words=["check", "case.toml"]), tmp_path)
    assert check.returncode == 0, check.stderr
    assert "Maker not saved" in (tmp_path / "case.trail.jsonl").read_text(encoding="utf-8")
