"""The photos that remarks name: whether they are there, and still the ones that were taken."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

from appraise.store.characters import one_line
from appraise.store.findings import Findings, Words

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.model.problem import Problem


def check_photos(path: Path, case: Case) -> list[Problem]:
    """Compare every photo a case names with its SHA-256.

    Args:
        path: The case file.
        case: What it holds.

    Returns:
        A problem for every photo that has changed or lies outside the folder, a hint for every missing one.

    Raises:
        OSError: The case file, or a photo that is there, cannot be read.
    """
    text = path.read_text(encoding="utf-8-sig").replace("\r\n", "\n")
    findings = Findings(one_line(str(path)), text)
    folder = path.resolve().parent
    for place, remark in enumerate(case.remarks):
        if not remark.photo:
            continue
        where = ("remarks", place, "photo")
        photo = (folder / remark.photo).resolve()
        if not photo.is_relative_to(folder):
            findings.add(where, Words("a link out of the folder"), "a photo inside the case file's folder")
        elif not photo.is_file():
            findings.add(where, Words("no such file"), f"the photo {one_line(remark.photo)}", grave=False)
        elif remark.sha256 and (found := sha256_of(photo)) != remark.sha256:
            expected = f"the photo whose SHA-256 is {remark.sha256[:12]}…"
            mend = "put the photo back as it was taken, or record the new digest"
            findings.add(("remarks", place, "sha256"), Words(f"a photo with {found[:12]}…"), expected, mend)
    return findings.problems


def sha256_of(path: Path) -> str:
    """Return the SHA-256 of a file's content, in hexadecimal.

    Raises:
        OSError: The file cannot be read.
    """
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()
