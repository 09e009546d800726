"""The settings of whoever works with the program: one TOML file, read strictly, its problems told as a case's."""

from __future__ import annotations

import os
from dataclasses import field, fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from appraise.model.currency import DIGITS
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import Problem, Unreadable
from appraise.model.quantities import Units
from appraise.model.unsafe import error_text, sanitize_line
from appraise.store.findings import Diagnostics, Words, did_you_mean, listed
from appraise.store.locales import EXPECTED, known_locale, nearest_locale
from appraise.store.read import content, document, text

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

SCHEMA = 1
"""Version of the file's layout."""

CELLS, KITTY = "cells", "kitty"
"""How photos can be drawn; the second is the Kitty graphics protocol."""

_WHAT = "settings file"
_MARK = "\ufeff"
"""What some editors put before a text in UTF-8."""
_T = TypeVar("_T", bool, str)


class NotTaken(ValueError):
    """A value that a setting does not take: what was expected, and what to write instead."""

    def __init__(self, expected: str, mend: str = "") -> None:
        super().__init__(expected)
        self.expected, self.mend = expected, mend


@dataclass(frozen=True, slots=True)
class About:
    """What is said of a setting beside its default, and what it takes."""

    label: str
    help: str
    choices: tuple[tuple[str, str], ...] = ()
    """What may be chosen, with the words for it; none: yes or no, or a text."""
    most: int = 200
    """Characters of a text."""
    spelt: Callable[[str], str] | None = None
    """Returns a text as it is kept, or raises `NotTaken`."""


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
        if not isinstance(value, str):
            raise NotTaken("a text in quotes")
        plain, about = sanitize_line(value).strip(), self.about
        if about.choices and plain not in dict(about.choices):
            keys = [key for key, _ in about.choices if key]
            raise NotTaken(f"one of {listed(keys)}", did_you_mean(plain, keys))
        if len(plain) > about.most:
            raise NotTaken(f"a text of at most {about.most} characters")
        return about.spelt(plain) if about.spelt is not None and plain else plain


def _currency(name: str) -> str:
    if name.upper() not in DIGITS:
        raise NotTaken("a currency of ISO 4217 in use, such as EUR", did_you_mean(name.upper(), DIGITS))
    return name.upper()


def _locale(name: str) -> str:
    found = known_locale(name)
    if not found:
        raise NotTaken(EXPECTED, nearest_locale(name))
    return found


def _setting(default: _T, about: About) -> _T:
    made: _T = field(default=default, metadata={"about": about})
    return made


_UNITS = (("", "not stated: metric"), (Units.METRIC.value, "metric"), (Units.INCH.value, "inches, pounds, °F"))


@dataclass(frozen=True, slots=True)
class WalkSettings:
    """How the walk and the particulars go."""

    move_on: bool = _setting(
        default=True,
        about=About("Go on after an answer", "Enter takes an answer and goes to the next row; no: it stays there."),
    )


@dataclass(frozen=True, slots=True)
class NewCaseSettings:
    """What a new case begins with; what is empty stays as a case has it where nothing is said."""

    assessor: str = _setting("", About("Assessor", "Who inspects, as reports name you; with title and address."))
    equipment: str = _setting(
        "", About("Equipment", "What you measure with, and when each was last checked, as reports list it.")
    )
    currency: str = _setting("", About("Currency", "Three letters of ISO 4217; empty: EUR.", spelt=_currency))
    locale: str = _setting(
        "", About("Locale", "How reports write figures and dates: de_CH, en_GB; empty: the house’s way.", spelt=_locale)
    )
    units: str = _setting("", About("Units", "What lengths, torque and weights are given in.", _UNITS))


@dataclass(frozen=True, slots=True)
class SalesSettings:
    """Where own sales are kept."""

    book: str = _setting(
        "", About("Book of sales", "File of your sales book; empty: sales.sqlite3 beside the settings file.")
    )


@dataclass(frozen=True, slots=True)
class PracticeSettings:
    """Under whose name documents go out; a new case takes it over, so that its documents are the same elsewhere."""

    name: str = _setting("", About("Practice", "Name at the head of every document of a new case."))
    address: str = _setting("", About("Address", "Street, place, telephone, on one line below the name.", most=500))
    letterhead: str = _setting(
        "", About("Letterhead", "A picture, PNG or JPEG, from the settings’ folder or with ~; copied to each new case.")
    )
    qualifications: str = _setting(
        "", About("Qualifications", "Training and memberships, printed over your signature.", most=500)
    )
    statement: str = _setting(
        "", About("Statement", "What you state over your signature in the whole appraisal.", most=2000)
    )
    signature: str = _setting("", About("Signature block", "Under the line to sign on: name and title.", most=500))


@dataclass(frozen=True, slots=True)
class ScreenSettings:
    """How the terminal shows things."""

    pictures: str = _setting(
        CELLS,
        About(
            "Photos are drawn",
            "In half cells, or by the Kitty graphics protocol in a terminal that has it, with Unicode placeholders and "
            "24-bit colour. The terminal is never asked; where it shows signs instead of a photo, choose half cells.",
            ((CELLS, "in half cells, at any terminal"), (KITTY, "sharp, by the Kitty graphics protocol")),
        ),
    )


@dataclass(frozen=True, slots=True)
class OwnSettings:
    """What the file says, and the defaults where it says nothing; each field of a section is one setting."""

    walk: WalkSettings = field(default_factory=WalkSettings, metadata={"heading": "During the inspection"})
    new_case: NewCaseSettings = field(
        default_factory=NewCaseSettings, metadata={"heading": "What a new case begins with"}
    )
    practice: PracticeSettings = field(default_factory=PracticeSettings, metadata={"heading": "Your practice"})
    sales: SalesSettings = field(default_factory=SalesSettings, metadata={"heading": "Your own sales"})
    screen: ScreenSettings = field(default_factory=ScreenSettings, metadata={"heading": "On the screen"})

    def value(self, setting: Setting) -> bool | str:
        """Return what holds for a setting."""
        held: bool | str = getattr(getattr(self, setting.section), setting.key)
        return held

    def put(self, setting: Setting, value: bool | str) -> OwnSettings:
        """Return the settings with one of them changed."""
        section = replace(getattr(self, setting.section), **{setting.key: value})
        return replace(self, **{setting.section: section})


_DEFAULTS = OwnSettings()

HEADINGS: Mapping[str, str] = {each.name: each.metadata["heading"] for each in fields(OwnSettings)}
"""Tables of the file, and what a person reads over the settings of each."""

SETTINGS: tuple[Setting, ...] = tuple(
    Setting(section, each.name, getattr(getattr(_DEFAULTS, section), each.name), each.metadata["about"])
    for section in HEADINGS
    for each in fields(getattr(_DEFAULTS, section))
)
"""Every setting, in the order in which it is listed."""


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
    before = _words(path, Diagnostics("")) or f"schema = {SCHEMA}\n"
    made = tomlkit.parse(before.removeprefix(_MARK))
    if setting.section not in made:
        made[setting.section] = tomlkit.table()
    section: Any = made[setting.section]
    section[setting.key] = value
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
    return settings.put(setting, value)


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
            findings.add((name, key), value, refused.expected, refused.mend)
    return settings
