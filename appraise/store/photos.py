"""The photos that remarks name: whether they are there, and still the ones that were taken."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from appraise.store.characters import one_line
from appraise.store.findings import Findings, Words

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
        path = (folder / photo).resolve()
        if not path.is_relative_to(folder):
            return Found(fault="a link out of the folder", expected="a photo inside the case file's folder")
        if not path.is_file():
            return Found(fault="no such file", expected=wanted, missing=True)
        if path.stat().st_size > LARGEST:
            return Found(fault="a file too large to read", expected=f"a photo of at most {LARGEST // 1024**2} MB")
        found = sha256_of(path)
    except (OSError, ValueError, RuntimeError) as error:
        reason = (error.strerror if isinstance(error, OSError) else None) or str(error)
        return Found(fault=f"a file that cannot be read ({one_line(reason)})", expected=wanted)
    if sha256 and found != sha256:
        expected = f"the photo whose SHA-256 is {sha256[:12]}…"
        mend = "put the photo back as it was taken, or record the new digest"
        return Found(fault=f"a photo with {found[:12]}…", expected=expected, mend=mend, of_digest=True)
    return Found(path)


def is_picture(path: Path) -> bool:
    """Tell whether a file begins as a kind of picture that documents can show."""
    try:
        with path.open("rb") as stream:
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
    text = path.read_text(encoding="utf-8-sig").replace("\r\n", "\n")
    findings = Findings(one_line(str(path)), text)
    folder = path.resolve().parent
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

    Raises:
        OSError: The file cannot be read.
    """
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()
