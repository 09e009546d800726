"""The photos that remarks name: whether they are there, and still the ones that were taken."""

from __future__ import annotations

import hashlib
import os
from typing import TYPE_CHECKING

from appraise.store.characters import one_line
from appraise.store.findings import Findings, Words
from appraise.store.read import LARGEST
from appraise.tables.content import TooLarge, content_of, open_file, resolved
from appraise.tables.lines import line_index

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.case import Case, Remark
    from appraise.model.problem import Problem

MOST = 1024**3
"""Size of a photo that is still read [bytes]."""


def check_photos(path: Path, case: Case) -> list[Problem]:
    """Compare every photo a case names with its SHA-256.

    Args:
        path: The case file.
        case: What it holds.

    Returns:
        A problem for every photo that has changed or lies outside the folder, a hint for every missing one.

    Raises:
        OSError: The case file cannot be read.
    """
    # The case has been read already; the text gives the lines.
    text = content_of(path, LARGEST).decode("utf-8-sig", errors="replace").replace("\r\n", "\n")
    findings = Findings(one_line(str(path)), line_index(text))
    folder = resolved(path).parent
    for place, remark in enumerate(case.remarks):
        if not remark.photo:
            continue
        where = ("remarks", place, "photo")
        try:
            photo = resolved(folder / remark.photo)
        except OSError as error:
            findings.add(where, Words(one_line(error.strerror or str(error))), "a photo")
            continue
        if not photo.is_relative_to(folder):
            findings.add(where, Words("a link out of the folder"), "a photo inside the case file's folder")
        else:
            _compare(findings, place, photo, remark)
    return findings.problems


def _compare(findings: Findings, place: int, photo: Path, remark: Remark) -> None:
    where = ("remarks", place, "photo")
    try:
        found = sha256_of(photo)
    except FileNotFoundError:
        findings.add(where, Words("no such file"), f"the photo {one_line(remark.photo)}", grave=False)
        return
    except OSError as error:
        expected = f"the photo {one_line(remark.photo)}, of {MOST // 1024**2} MB at most"
        findings.add(where, Words(one_line(error.strerror or str(error))), expected)
        return
    if remark.sha256 and found != remark.sha256:
        expected = f"the photo whose SHA-256 is {remark.sha256[:12]}…"
        mend = "put the photo back as it was taken, or record the new digest"
        findings.add(("remarks", place, "sha256"), Words(f"a photo with {found[:12]}…"), expected, mend)


def sha256_of(path: Path) -> str:
    """Return the SHA-256 of a file's content, in hexadecimal.

    Args:
        path: The file, all links resolved: one that has been put in its place since is not followed.

    Raises:
        OSError: The file cannot be read, is none, or is larger than `MOST`.
    """
    with open_file(path, follow=False) as stream:
        size = os.fstat(stream.fileno()).st_size
        if size > MOST:
            raise TooLarge(size)
        return hashlib.file_digest(stream, "sha256").hexdigest()
