"""The photos that remarks name: whether they are there, and still the ones that were taken."""

from __future__ import annotations

import hashlib
import os
from dataclasses import dataclass
from typing import TYPE_CHECKING

from appraise.store.characters import one_line, told_by
from appraise.store.findings import Findings, Words
from appraise.store.read import LARGEST as LARGEST_CASE
from appraise.tables.content import NoFile, TooLarge, content_of, open_file, resolved

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.case import Case
    from appraise.model.problem import Problem


LARGEST = 256 * 1024 * 1024
"""Size of a photo that is still read [bytes]."""

_STARTS = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"GIF87a", b"GIF89a")
"""How PNG, JPEG and GIF files begin."""


@dataclass(frozen=True, slots=True)
class Found:
    """A photo looked for: where it lies, or what is wrong with it."""

    path: Path | None = None
    """Where it lies, once it is found, read, and the one that was taken."""
    fault: str = ""
    """What was found instead."""
    expected: str = ""
    mend: str = ""
    of_digest: bool = False
    """It is there, and another than the one that was taken."""
    missing: bool = False
    """It is not there; it may only not have been copied."""


def look_for(folder: Path, photo: str, sha256: str) -> Found:
    """Look for one photo of a case.

    Args:
        folder: The case file's folder, links resolved.
        photo: Path relative to it, as the case has it; nothing outside the folder is opened.
        sha256: The digest recorded when it was taken; empty where none was.
    """
    wanted = f"the photo {one_line(photo)}"
    try:
        path = resolved(folder / photo)
        if not path.is_relative_to(folder):
            return Found(fault="a link out of the folder", expected="a photo inside the case file's folder")
        found = sha256_of(path)
    except FileNotFoundError:
        return Found(fault="no such file", expected=wanted, missing=True)
    except NoFile as error:
        return Found(fault=error.strerror or "", expected=wanted)
    except TooLarge as error:
        return Found(fault=error.strerror or "", expected=f"a photo of at most {LARGEST // 1024**2} MB")
    except (OSError, ValueError) as error:
        return Found(fault=f"a file that cannot be read ({told_by(error)})", expected=wanted)
    if sha256 and found != sha256:
        expected = f"the photo whose SHA-256 is {sha256[:12]}…"
        mend = "put the photo back as it was taken, or record the new digest"
        return Found(fault=f"a photo with {found[:12]}…", expected=expected, mend=mend, of_digest=True)
    return Found(path)


def is_picture(path: Path) -> bool:
    """Tell whether a file begins as a kind of picture that documents can show."""
    try:
        with open_file(path) as stream:
            head = stream.read(12)
    except OSError:
        return False
    return head.startswith(_STARTS) or (head[:4] == b"RIFF" and head[8:] == b"WEBP")


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
    text = content_of(path, LARGEST_CASE).decode("utf-8-sig", errors="replace").replace("\r\n", "\n")
    findings = Findings(one_line(str(path)), text)
    folder = resolved(path).parent
    for place, remark in enumerate(case.remarks):
        if not remark.photo:
            continue
        found = look_for(folder, remark.photo, remark.sha256)
        if found.fault:
            key = "sha256" if found.of_digest else "photo"
            grave = not found.missing
            findings.add(("remarks", place, key), Words(found.fault), found.expected, found.mend, grave=grave)
    return findings.problems


def sha256_of(path: Path) -> str:
    """Return the SHA-256 of a file's content, in hexadecimal.

    Args:
        path: The file, all links resolved: one that has been put in its place since is not followed.

    Raises:
        OSError: The file cannot be read, is none, or is larger than `LARGEST`.
    """
    with open_file(path, follow=False) as stream:
        size = os.fstat(stream.fileno()).st_size
        if size > LARGEST:
            raise TooLarge(size)
        return hashlib.file_digest(stream, "sha256").hexdigest()
