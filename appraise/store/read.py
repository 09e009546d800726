"""Read a case file: every problem named with its line, nothing thrown for bad input."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import tomli

from appraise.model.case import SCHEMA
from appraise.model.unsafe import clean, error_text, sanitize_line, unsafe_in
from appraise.store.findings import Diagnostics, Path, Words
from appraise.store.plain_toml import plain
from appraise.store.sections import Sections
from appraise.tables.content import DEEPEST, NoFile, TooLarge, content_of, too_deep_at

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import date
    from pathlib import Path as FilePath

    from appraise.model.case import Case
    from appraise.model.problem import Problem
    from appraise.tables.rows import Tables

    Step = Callable[[dict[str, Any]], dict[str, Any]]


LARGEST = 16 * 1024 * 1024
"""Size of a case file that is still read [bytes]; a thorough one has some 30,000."""

_HINTS = 20
"""Lines with control characters that are told one by one."""

_CASE = "case file"

_ESCAPE = re.compile(r"""\\[^"\\nt\s]""")
"""A backslash that may write a control character: none before a quote, a backslash, a blank, or n and t."""

_WHERE = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)\Z")


def read_case(path: FilePath, tables: Tables, *, today: date | None = None) -> tuple[Case | None, list[Problem]]:
    """Read a case file.

    Args:
        path: The file.
        tables: What its names are checked against.
        today: Where given, an inspection dated after it earns a hint.

    Returns:
        The case, or none where a grave problem was found; and all problems, in the order of the file.
    """
    case, problems, _ = read_case_file(path, tables, today=today)
    return case, problems


def read_case_file(
    path: FilePath, tables: Tables, *, today: date | None = None
) -> tuple[Case | None, list[Problem], bytes]:
    """Read a case file as `read_case` does.

    Returns:
        Case and problems; and the very bytes that they are of, empty where the file could not be read.
    """
    findings = Diagnostics(sanitize_line(str(path)))
    found = content(path, findings, _CASE)
    words = None if found is None else text(found, findings)
    if found is None or words is None:
        return None, findings.problems, found or b""
    case, problems = parse_case(words, tables, file=findings.file, today=today)
    return case, problems, found


def parse_case(text: str, tables: Tables, *, file: str, today: date | None = None) -> tuple[Case | None, list[Problem]]:
    """Read a case from the text of its file.

    Args:
        text: The file's content.
        tables: What its names are checked against.
        file: How problems name the file.
        today: Where given, an inspection dated after it earns a hint.

    Returns:
        As `read_case`.
    """
    findings = Diagnostics(file)
    made = document(text.removeprefix("\ufeff").replace("\r\n", "\n"), findings, _CASE)
    if made is None:
        return None, findings.problems
    case = check_document(made, tables, findings, today=today)
    findings.problems.sort(key=lambda problem: problem.line or 0)
    return case, findings.problems


def check_document(
    document: dict[str, Any], tables: Tables, findings: Diagnostics, *, today: date | None = None
) -> Case | None:
    """Turn a parsed document into a case.

    Args:
        document: Tables, lists and values as `tomli` gives them.
        tables: What its names are checked against.
        findings: Where problems go.
        today: Where given, an inspection dated after it earns a hint.

    Returns:
        The case, or none where a grave problem was found.
    """
    current = _versioned(document, findings)
    if current is None:
        return None
    return Sections(current, tables, findings, today).case()


def content(path: FilePath, findings: Diagnostics, what: str) -> bytes | None:
    """Return the bytes of a file, or none where they cannot be had.

    Args:
        path: The file.
        findings: Where problems go.
        what: It ought to be: "case file".
    """
    try:
        return content_of(path, LARGEST)
    except NoFile as error:
        findings.add((), Words(error.strerror or ""), f"a {what}")
        return None
    except TooLarge as error:
        findings.add((), Words(error.strerror or ""), f"a {what} of at most {LARGEST // 1024**2} MB")
        return None
    except FileNotFoundError:
        findings.add((), Words("no such file"), f"a {what}", "check the name, or `appraise new` to begin one")
        return None
    except (OSError, ValueError) as error:
        findings.add((), Words(f"a file that cannot be read ({error_text(error)})"), f"a readable {what}")
    return None


def text(content: bytes, findings: Diagnostics) -> str | None:
    """Return the text of a file, or none where it is none."""
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        found = Words(f"byte 0x{content[error.start]:02X}, which is not UTF-8")
        findings.add((), found, "text in UTF-8", "save the file again as UTF-8", line=line)
        return None


def document(text: str, findings: Diagnostics, what: str) -> dict[str, Any] | None:
    """Parse the text of a file, or say why it cannot be parsed.

    Args:
        text: Line ends as newlines.
        findings: Where problems go.
        what: It ought to be: "case file".
    """
    if not text.strip():
        findings.add((), Words("an empty file"), f"a {what}", "`appraise new` begins one")
        return None
    text = _printable(text, findings)
    document = plain(text)
    deep = too_deep_at(text) if document is None else None
    if deep is not None:
        found = Words(f"nesting deeper than {DEEPEST}")
        findings.add((), found, f"tables, lists and values as a {what} has them", line=deep)
        return None
    try:
        if document is None:
            document = tomli.loads(text)
    except tomli.TOMLDecodeError as error:
        message = str(error)
        where = _WHERE.search(message)
        line = int(where[1]) if where and where[1] else text.rstrip("\n").count("\n") + 1
        mend = "the file may be cut off" if where and not where[1] else ""
        words = sanitize_line(_WHERE.sub("", message))
        findings.add((), Words(f"text that is not TOML ({words})"), "TOML 1.0", mend, line=line)
        return None
    except ValueError as error:
        # Python refuses to convert numbers of thousands of digits, and does not say where.
        findings.add((), Words(f"a value that cannot be read ({sanitize_line(str(error))})"), "TOML 1.0")
        return None
    findings.text = text
    # No control character is left but what an escape may write.
    return _cleaned(document, (), findings) if _ESCAPE.search(text) else document


def _printable(text: str, findings: Diagnostics) -> str:
    """Return the text without control characters, one hint for each line that had some."""
    lines = 0
    cleaned = clean(text)
    if cleaned == text:
        return text
    for number, line in enumerate(text.split("\n"), start=1):
        name = next(unsafe_in(line), None)
        if name is not None:
            lines += 1
            if lines <= _HINTS:
                _unsafe(findings, (), name, number)
    if lines > _HINTS:
        _unsafe(findings, (), f"of {lines - _HINTS} more lines")
    return cleaned


def _unsafe(findings: Diagnostics, path: Path, name: str, line: int | None = None) -> None:
    found = Words(f"the control character {name}")
    findings.add(path, found, "printable text", "it is read as U+FFFD", grave=False, line=line)


def _cleaned(value: Any, path: Path, findings: Diagnostics) -> Any:  # noqa: ANN401 - whatever TOML holds
    """Return the value without the control characters that were written as escapes."""
    if isinstance(value, str):
        if value.isprintable():  # which nothing unsafe is
            return value
        name = next(unsafe_in(value.replace("\r\n", "\n")), None)
        if name is None:
            return value
        _unsafe(findings, path, name)
        return clean(value)
    if isinstance(value, list):
        return [_cleaned(item, (*path, place), findings) for place, item in enumerate(value)]
    if isinstance(value, dict):
        keys = {key: key if key.isprintable() else clean(key) for key in value}
        return {keys[key]: _cleaned(item, (*path, keys[key]), findings) for key, item in value.items()}
    return value


def _versioned(document: dict[str, Any], findings: Diagnostics) -> dict[str, Any] | None:
    """Return the document in the present layout, or none where its version does not allow that."""
    version = document.get("schema")
    path = ("schema",)
    if version is None:
        findings.add(path, None, f"schema = {SCHEMA}", f"write schema = {SCHEMA} as the first line")
    elif isinstance(version, bool) or not isinstance(version, int):
        findings.add(path, version, f"a whole number: schema = {SCHEMA}")
    elif version > SCHEMA:
        mend = "a newer release of appraise wrote this file; install that release to open it"
        findings.add(path, version, f"at most {SCHEMA}", mend)
    elif version < OLDEST:
        findings.add(path, version, f"{OLDEST} to {SCHEMA}" if OLDEST < SCHEMA else f"{SCHEMA}")
    else:
        return migrate(document, version)
    return None


STEPS: dict[int, Step] = {}
"""Version → what turns a document of that version into one of the next; empty while there is one version."""

OLDEST = min(STEPS, default=SCHEMA)
"""The oldest version that can still be read."""


def migrate(
    document: dict[str, Any], version: int, *, steps: Mapping[int, Step] = STEPS, target: int = SCHEMA
) -> dict[str, Any]:
    """Bring a document from its version to the target.

    Args:
        document: The parsed file; it is not changed.
        version: The version it says it has.
        steps: One step for every version from the oldest to the one before the target.
        target: The version wanted.

    Returns:
        A document of the target version, its `schema` key set.

    Raises:
        KeyError: No step leads on from some version on the way.
    """
    migrated = dict(document)
    for step in range(version, target):
        migrated = steps[step](migrated)
    migrated["schema"] = target
    return migrated
