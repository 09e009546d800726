"""The practice of a case: taken from the settings when the case is begun, its picture laid beside it and hashed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.model.case import Practice
from appraise.model.problem import InputError, Problem, Unreadable
from appraise.model.unsafe import error_text, sanitize_line
from appraise.report.document import Photo
from appraise.report.pictures import picture
from appraise.store.files import put
from appraise.store.own_settings import beside_settings
from appraise.store.photos import LARGEST, is_picture, look_for, sha256_of
from appraise.tables.content import content_of, resolved

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.store.settings_sections import PracticeSettings

_PICTURE = "a picture: PNG, JPEG, GIF or WebP"


def practice_begun(own: PracticeSettings, case_file: Path) -> Practice:
    """Return the practice of a new case as the settings say, their picture copied beside the case.

    Args:
        own: The settings; a relative path of the picture counts from their folder, and ~ is the home.
        case_file: Of the new case.

    Raises:
        InputError: The picture is missing, or none, or cannot be copied.
    """
    made = Practice(
        name=own.name,
        address=own.address,
        qualifications=own.qualifications,
        statement=own.statement,
        signature=own.signature,
    )
    if not own.letterhead:
        return made
    where = f"[practice] letterhead of the settings: found {sanitize_line(own.letterhead)}"
    try:
        source = resolved(beside_settings(own.letterhead))
        sha256 = sha256_of(source)
        if not is_picture(source):
            raise InputError(f"{where}, no picture, expected {_PICTURE}")
        content = content_of(source, LARGEST)
        name = f"letterhead-{sha256[:8]}{source.suffix.lower()}"
        goal = case_file.parent / name
        if not goal.exists() or sha256_of(resolved(goal)) != sha256:
            put(goal, content, None)
    except FileNotFoundError:
        raise InputError(f"{where}, no such file, expected {_PICTURE}") from None
    except InputError:
        raise
    except (OSError, ValueError, RuntimeError) as error:
        raise InputError(f"{where}, that cannot be read ({error_text(error)}), expected {_PICTURE}") from None
    return replace(made, letterhead=name, sha256=sha256)


def with_letterhead(case: Case, file: str, case_file: Path) -> Case:
    """Return the case with a picture as its letterhead, hashed; an empty name takes it off.

    Raises:
        InputError: It is missing, or no picture.
    """
    if not file:
        return replace(case, practice=replace(case.practice, letterhead="", sha256=""))
    folder = resolved(case_file).parent
    found = look_for(folder, file, "")
    if found.path is None:
        raise InputError(f"found {found.fault}, expected {found.expected}")
    if not is_picture(found.path):
        raise InputError(f"found no picture in {sanitize_line(file)}, expected {_PICTURE}")
    return replace(case, practice=replace(case.practice, letterhead=file, sha256=found.sha256))


def letterhead_of(case_file: Path, case: Case) -> Photo | None:
    """Return the picture of a case's letterhead, found beside it and compared; none where the case names none.

    Raises:
        Unreadable: It is missing, another than was entered, or no picture that can be shown; carries the one line.
    """
    practice = case.practice
    if not practice.letterhead:
        return None
    found = look_for(resolved(case_file).parent, practice.letterhead, practice.sha256, "file")
    shown = Photo(practice.letterhead, practice.sha256, practice.name, found.path)
    words, expected = found.fault, found.expected
    if found.path is not None:
        drawn = picture(shown)
        words, expected = (drawn, _PICTURE) if isinstance(drawn, str) else ("", "")
    if words:
        mend = found.mend or "put it beside the case, or empty practice.letterhead"
        file = sanitize_line(str(case_file))
        raise Unreadable(Problem(file, None, "practice.letterhead", words, expected, mend))
    return shown
