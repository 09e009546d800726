"""Read a report that was written as JSON: one clear line for anything that is none, nothing thrown."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, NoReturn

from appraise.model.problem import Problem, Unreadable
from appraise.model.unsafe import error_text, sanitize_line
from appraise.tables.content import NoFile, TooLarge, content_of

if TYPE_CHECKING:
    from pathlib import Path

LARGEST = 64 * 1024 * 1024
"""Size of a report that is still read [bytes]; a thorough one has some 1,500,000."""

EXPECTED = "a report that `appraise report … -o FILE.json` wrote"


class _Refused(Exception):
    """JSON that Python would take and a report never has."""


def read_report(path: Path) -> dict[str, Any]:
    """Read a report.

    Args:
        path: The file.

    Returns:
        The object as it stands there; nothing of what is in it has been checked.

    Raises:
        Unreadable: The file cannot be read, or holds no JSON object.
    """
    file = sanitize_line(str(path))
    content = _content(path, file)
    try:
        result = json.loads(content.decode("utf-8-sig"), object_pairs_hook=_once, parse_constant=_no_number)
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise _no(file, f"byte 0x{content[error.start]:02X}, which is not UTF-8", EXPECTED, line) from None
    except json.JSONDecodeError as error:
        mend = "the file may be cut off" if error.pos >= len(error.doc.rstrip()) else ""
        raise _no(file, f"text that is not JSON ({sanitize_line(error.msg)})", EXPECTED, error.lineno, mend) from None
    except RecursionError:
        raise _no(file, "objects nested too deep", EXPECTED) from None
    except _Refused as refused:
        raise _no(file, sanitize_line(str(refused)), EXPECTED) from None
    except ValueError:
        # Python refuses to convert numbers of thousands of digits, and does not say where.
        raise _no(file, "a number of too many digits", EXPECTED) from None
    if not isinstance(result, dict):
        raise _no(file, "JSON that is no object", EXPECTED)
    return result


def _content(path: Path, file: str) -> bytes:
    try:
        return content_of(path, LARGEST)
    except NoFile as error:
        raise _no(file, error.strerror or "", EXPECTED) from None
    except TooLarge:
        raise _no(file, "a file too large to be one", f"a report of at most {LARGEST // 1024**2} MB") from None
    except FileNotFoundError:
        raise _no(file, "no such file", EXPECTED, mend="check the name") from None
    except (OSError, ValueError) as error:
        raise _no(file, f"a file that cannot be read ({error_text(error)})", EXPECTED) from None


def _no(file: str, found: str, expected: str, line: int | None = None, mend: str = "") -> Unreadable:
    return Unreadable(Problem(file, line, "", found, expected, mend))


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Refuse what two readers could read in two ways."""
    result: dict[str, Any] = {}
    for key, value in pairs:
        if key in result:
            raise _Refused(f'the key "{key[:60]}" twice in one object')
        result[key] = value
    return result


def _no_number(name: str) -> NoReturn:
    raise _Refused(f"the number {name}")
