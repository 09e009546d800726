"""The settings of whoever works with the program: one TOML file, read strictly, its problems told as a case's."""

from __future__ import annotations

import os
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from appraise.model.problem import Unreadable
from appraise.store.characters import sanitize_line
from appraise.store.findings import Diagnostics, Words, listed
from appraise.store.layout import table
from appraise.store.read import content, document, text

if TYPE_CHECKING:
    from appraise.model.problem import Problem

SCHEMA = 1
"""Version of the file's layout."""

_WHAT = "settings file"


@dataclass(frozen=True, slots=True)
class WalkSettings:
    """How the walk and the particulars go."""

    move_on: Annotated[bool, "true or false"] = True
    """After an answer go to the next row."""


@dataclass(frozen=True, slots=True)
class OwnSettings:
    """What the file says, and the defaults where it says nothing."""

    walk: WalkSettings = field(default_factory=WalkSettings)


SECTIONS = {"walk": table(WalkSettings)}
"""Tables of the file; a new one needs its part in `OwnSettings`."""


def settings_file() -> Path:
    """Return where the file is looked for: where APPRAISE_SETTINGS says, else below XDG_CONFIG_HOME or ~/.config.

    Raises:
        RuntimeError: There is no home.
    """
    told = os.environ.get("APPRAISE_SETTINGS", "")
    if told:
        return Path(told)
    stated = os.environ.get("XDG_CONFIG_HOME", "")
    # The XDG Base Directory Specification has relative paths passed over.
    base = Path(stated) if stated and Path(stated).is_absolute() else Path.home() / ".config"
    return base / "appraise" / "settings.toml"


def own_settings() -> OwnSettings:
    """Return the settings in force: the defaults where there is no file, or no home to look for one in.

    Raises:
        Unreadable: The file has problems, and carries all of them.
    """
    try:
        path = settings_file()
    except RuntimeError:
        return OwnSettings()
    settings, problems = read_settings(path)
    if problems:
        raise Unreadable(*problems)
    return settings


def read_settings(path: Path) -> tuple[OwnSettings, list[Problem]]:
    """Read a settings file; none there: the defaults.

    Args:
        path: The file.

    Returns:
        The settings, and every problem in the order of the file; with a problem the defaults stand.
    """
    findings = Diagnostics(sanitize_line(str(path)))
    try:
        path.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return OwnSettings(), []
    except (OSError, ValueError):
        pass  # what stands in the way is told below
    found = content(path, findings, _WHAT)
    words = None if found is None else text(found, findings)
    if words is None or not words.strip():
        return OwnSettings(), findings.problems
    made = document(words.removeprefix("\ufeff").replace("\r\n", "\n"), findings, _WHAT)
    settings = OwnSettings() if made is None else _settings(made, findings)
    findings.problems.sort(key=lambda problem: problem.line or 0)
    return (OwnSettings() if findings.grave else settings), findings.problems


def _settings(made: dict[str, Any], findings: Diagnostics) -> OwnSettings:
    version = made.pop("schema", SCHEMA)
    if version != SCHEMA or isinstance(version, bool):
        findings.add(("schema",), version, f"schema = {SCHEMA}")
    walk = WalkSettings()
    for name, raw in made.items():
        model = SECTIONS.get(name)
        if model is None:
            mend = findings.nearest(name, SECTIONS)
            findings.add((name,), Words("an unknown key"), f"one of the tables {listed(SECTIONS)}", mend)
        elif not isinstance(raw, dict):
            findings.add((name,), raw, f"a table: [{name}]")
        else:
            values = model.read(findings, (name,), raw)
            if values is not None:
                walk = WalkSettings(**values)
    return OwnSettings(walk)
