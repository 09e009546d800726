"""The settings of whoever works with the program: one TOML file, read strictly, its problems told as a case's."""

from __future__ import annotations

import os
from dataclasses import field, fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from appraise.commands import BY_ID, COMMANDS
from appraise.keymap import clashes, own_keys
from appraise.model.currency import Rates
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import Problem, Unreadable
from appraise.model.unsafe import error_text, sanitize_line
from appraise.store.findings import Diagnostics, Words, did_you_mean, listed
from appraise.store.own_values import COMPLETE, NotTaken, day_typed, rates_typed
from appraise.store.read import content, document, text
from appraise.store.settings_sections import (
    About,
    CurrencySettings,
    KeySettings,
    NewCaseSettings,
    PracticeSettings,
    SalesSettings,
    ScreenSettings,
    SignatureSettings,
    WalkSettings,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from appraise.keymap import Clash

SCHEMA = 1
"""Version of the file's layout."""

_WHAT = "settings file"
_MARK = "\ufeff"
"""Mark that some editors put before a text in UTF-8."""


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting: its place in the file, its default, what it takes."""

    section: str
    key: str
    default: bool | str
    about: About

    def taken(self, value: object) -> bool | str:
        """Return a value as it is kept.

        Raises:
            NotTaken: The setting does not take it.
        """
        if isinstance(self.default, bool):
            if not isinstance(value, bool):
                raise NotTaken("true or false")
            return value
        about = self.about
        if about.words is not None and not isinstance(value, str):
            value = about.words(value)
        if not isinstance(value, str):
            raise NotTaken("a text in quotes")
        plain = sanitize_line(value).strip()
        if about.choices and plain not in dict(about.choices):
            keys = [key for key, _ in about.choices if key]
            raise NotTaken(f"one of {listed(keys)}", did_you_mean(plain, keys))
        if len(plain) > about.most:
            raise NotTaken(f"a text of at most {about.most} characters")
        return about.spelt(plain) if about.spelt is not None and (plain or self.default) else plain

    def written(self, value: bool | str) -> object:
        """Return a value that is kept as the file has it."""
        typed = self.about.typed
        return value if typed is None or not value else typed(str(value))


@dataclass(frozen=True, slots=True)
class OwnSettings:
    """The file's settings, with defaults for the rest; each field of a section is one setting."""

    walk: WalkSettings = field(default_factory=WalkSettings, metadata={"heading": "During the inspection"})
    new_case: NewCaseSettings = field(
        default_factory=NewCaseSettings, metadata={"heading": "What a new case begins with"}
    )
    practice: PracticeSettings = field(default_factory=PracticeSettings, metadata={"heading": "Your practice"})
    sales: SalesSettings = field(default_factory=SalesSettings, metadata={"heading": "Your own sales"})
    currencies: CurrencySettings = field(default_factory=CurrencySettings, metadata={"heading": "Rates of exchange"})
    signatures: SignatureSettings = field(
        default_factory=SignatureSettings, metadata={"heading": "Signatures and time stamps"}
    )
    screen: ScreenSettings = field(default_factory=ScreenSettings, metadata={"heading": "On the screen"})
    keys: Any = field(default_factory=KeySettings, metadata={"heading": "Keys"})

    @property
    def own_keys(self) -> dict[str, str]:
        """Keys that differ from ours, by command, as bindings have them."""
        return own_keys(self._keys_told())

    def clash(self) -> Clash | None:
        """Return a key that two commands of one screen have; none where each has its own."""
        return next(clashes(self._keys_told()), None)

    def _keys_told(self) -> dict[str, str]:
        return {each.id: getattr(self.keys, each.action) for each in COMMANDS}

    def value(self, setting: Setting) -> bool | str:
        """Return what holds for a setting."""
        held: bool | str = getattr(getattr(self, setting.section), setting.key)
        return held

    def put(self, setting: Setting, value: bool | str) -> OwnSettings:
        """Return the settings with one of them changed."""
        section = replace(getattr(self, setting.section), **{setting.key: value})
        return replace(self, **{setting.section: section})

    def document(self) -> dict[str, dict[str, object]]:
        """Return them as the file has them."""
        held: dict[str, dict[str, object]] = {}
        for each in SETTINGS:
            held.setdefault(each.section, {})[each.key] = each.written(self.value(each))
        return held

    def exchange(self) -> Rates | None:
        """Return the rates of exchange, none where the settings state no rate.

        Raises:
            Unreadable: They are not complete: without a day, a source and a reference no rate can be told.
        """
        stated = self.currencies
        if not stated.rates:
            return None
        for key, expected in COMPLETE.items():
            if not getattr(stated, key):
                raise Unreadable(_incomplete(f"currencies.{key}", "nothing", expected))
        units = dict(rates_typed(stated.rates))
        if units.pop(stated.reference, 1.0) != 1.0:
            expected = f"1, or no such rate: {stated.reference} is the reference"
            raise Unreadable(_incomplete(f"currencies.rates.{stated.reference}", "another rate", expected))
        return Rates(stated.reference, day_typed(stated.date), stated.source, units)


_DEFAULTS = OwnSettings()

HEADINGS: Mapping[str, str] = {each.name: each.metadata["heading"] for each in fields(OwnSettings)}
"""Tables of the file, and what a person reads over the settings of each."""

SETTINGS: tuple[Setting, ...] = tuple(
    Setting(section, each.name, getattr(getattr(_DEFAULTS, section), each.name), each.metadata["about"])
    for section in HEADINGS
    for each in fields(getattr(_DEFAULTS, section))
)
"""Every setting, in the order in which it is listed."""

BY_NAME: Mapping[str, Setting] = {f"{each.section}.{each.key}": each for each in SETTINGS}
"""Each setting by section and key."""


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


def beside_settings(name: str) -> Path:
    """Return the file that a setting names: a relative path counts from the settings' folder, and ~ is the home.

    Raises:
        RuntimeError: There is no home to look for the settings in; a ~ that names none stays a part of the path.
    """
    return settings_file().parent / os.path.expanduser(name)  # noqa: PTH111 - Path's raises without a home


def _incomplete(key: str, found: str, expected: str) -> Problem:
    return Problem(sanitize_line(str(settings_file())), None, key, found, expected)


def _clashing(clash: Clash) -> tuple[str, str, str, str]:
    """Return key, found, expected and mend of two commands that would have one key."""
    found = f"{clash.key}, which is {clash.other} as well ({clash.place})"
    return f"keys.{BY_ID[clash.id].action}", found, "a key that no other command has there", "give that one another key"


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
    words = _words(path, findings)
    plain = "" if words is None else _plain(words)
    if not plain.strip():
        return OwnSettings(), findings.problems
    made = document(plain, findings, _WHAT)
    settings = OwnSettings() if made is None else _settings(made, findings)
    findings.problems.sort(key=lambda problem: problem.line or 0)
    return (OwnSettings() if findings.grave else settings), findings.problems


def write_setting(path: Path, setting: Setting, value: bool | str) -> OwnSettings:
    """Put one setting into a settings file, made where there is none; comments and all else stay as they are.

    Args:
        path: The file; a link is followed.
        setting: Which.
        value: As it is kept.

    Returns:
        What holds then.

    Raises:
        Unreadable: The file has problems, or cannot be written; it is as it was.
    """
    import tomlkit

    from appraise.store.write import write_file

    settings, problems = read_settings(path)
    if problems:
        raise Unreadable(*problems)
    settings = settings.put(setting, value)
    if (clash := settings.clash()) is not None:
        raise Unreadable(Problem(sanitize_line(str(path)), None, *_clashing(clash)))
    before = _words(path, Diagnostics("")) or f"schema = {SCHEMA}\n"
    made = tomlkit.parse(before.removeprefix(_MARK))
    if setting.section not in made:
        made[setting.section] = tomlkit.table()
    section: Any = made[setting.section]
    section[setting.key] = setting.written(value)
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        after = tomlkit.dumps(made)
        if 0 < before.count("\n") == before.count("\r\n"):
            after = after.replace("\r\n", "\n").replace("\n", "\r\n")  # what is added ends as all else does
        write_file(path, (_MARK * before.startswith(_MARK) + after).encode("utf-8"))
    except (OSError, ValueError) as error:
        found = f"that it cannot be written ({error_text(error)})"
        raise Unreadable(
            Problem(sanitize_line(str(path)), None, "", found, "a file and folder that can be written")
        ) from error
    return settings


def _words(path: Path, findings: Diagnostics) -> str | None:
    """Return the text of the file; none where there is no file, or where it cannot be read."""
    try:
        path.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return None
    except (OSError, ValueError):
        pass  # what stands in the way is told below
    found = content(path, findings, _WHAT)
    return None if found is None else text(found, findings)


def _plain(words: str) -> str:
    """Return a text without the mark of its encoding, each line ended as TOML's own writers do."""
    return words.removeprefix(_MARK).replace("\r\n", "\n")


def _settings(made: dict[str, Any], findings: Diagnostics) -> OwnSettings:
    version = made.pop("schema", SCHEMA)
    if version != SCHEMA or isinstance(version, bool):
        findings.add(("schema",), version, f"schema = {SCHEMA}")
    settings = OwnSettings()
    for name, table in made.items():
        if name not in HEADINGS:
            mend = findings.nearest(name, HEADINGS)
            findings.add((name,), Words("an unknown key"), f"one of the tables {listed(HEADINGS)}", mend)
        elif not isinstance(table, dict):
            findings.add((name,), table, f"a table: [{name}]")
        else:
            settings = _section(settings, name, table, findings)
    if (clash := settings.clash()) is not None:
        key, *told = _clashing(clash)
        findings.add(tuple(key.split(".")), Words(told[0]), *told[1:])
    return settings


def _section(settings: OwnSettings, name: str, table: dict[str, Any], findings: Diagnostics) -> OwnSettings:
    known = {each.key: each for each in SETTINGS if each.section == name}
    for key, value in table.items():
        if key not in known:
            mend = findings.nearest(key, known)
            findings.add((name, key), Words("an unknown key"), f"a key of [{name}]", mend)
            continue
        try:
            settings = settings.put(known[key], known[key].taken(value))
        except NotTaken as refused:
            path, found = ((name, key, refused.inside), refused.found) if refused.inside else ((name, key), value)
            findings.add(path, found, refused.expected, refused.mend)
    return settings
