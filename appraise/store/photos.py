"""Photos, quotations and bids that a case names: whether they are there, and still the ones that were entered."""

from __future__ import annotations

import hashlib
import os
from typing import TYPE_CHECKING

import tomli

from appraise.model.lazy_dataclass import dataclass
from appraise.model.unsafe import error_text, sanitize_line
from appraise.store.findings import Diagnostics, Path, Words
from appraise.store.read import LARGEST as LARGEST_CASE
from appraise.tables.content import NoFile, TooLarge, content_of, open_file, resolved

if TYPE_CHECKING:
    from pathlib import Path as FilePath

    from appraise.model.case import Case
    from appraise.model.problem import Problem


LARGEST = 256 * 1024 * 1024
"""Size of a photo that is still read [bytes]."""

_STARTS = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"GIF87a", b"GIF89a")
"""How PNG, JPEG and GIF files begin."""


@dataclass(frozen=True, slots=True)
class Found:
    """A photo looked for: where it lies, or what is wrong with it."""

    path: FilePath | None = None
    """Its path, once it is found and read, and the path that was taken."""
    sha256: str = ""
    """The digest of what was read there."""
    fault: str = ""
    """The finding in place of the photo."""
    expected: str = ""
    mend: str = ""
    of_digest: bool = False
    """It is there, and another than the one that was taken."""
    missing: bool = False
    """It is not there; it may only not have been copied."""


def look_for(folder: FilePath, photo: str, sha256: str, what: str = "photo") -> Found:
    """Look for one photo, or another file that a case rests on.

    Args:
        folder: The case file's folder, links resolved.
        photo: Path relative to it, as the case has it; nothing outside the folder is opened.
        sha256: The digest recorded when it was taken; empty where none was.
        what: A photo or a file.
    """
    wanted = f"the {what} {sanitize_line(photo)}"
    try:
        path = resolved(folder / photo)
        if not path.is_relative_to(folder):
            return Found(fault="a link out of the folder", expected=f"a {what} inside the case file's folder")
        found = sha256_of(path)
    except FileNotFoundError:
        return Found(fault="no such file", expected=wanted, missing=True)
    except NoFile as error:
        return Found(fault=error.strerror or "", expected=wanted)
    except TooLarge as error:
        return Found(fault=error.strerror or "", expected=f"a {what} of at most {LARGEST // 1024**2} MB")
    except (OSError, ValueError) as error:
        return Found(fault=f"a file that cannot be read ({error_text(error)})", expected=wanted)
    if sha256 and found != sha256:
        expected = f"the {what} whose SHA-256 is {sha256[:12]}…"
        mend = f"put the {what} back as it was {'taken' if what == 'photo' else 'received'}, or record the new digest"
        return Found(fault=f"a {what} with {found[:12]}…", expected=expected, mend=mend, of_digest=True)
    return Found(path, found)


def is_picture(path: FilePath) -> bool:
    """Tell whether a file begins as a kind of picture that documents can show."""
    try:
        with open_file(path) as stream:
            head = stream.read(12)
    except OSError:
        return False
    return head.startswith(_STARTS) or (head[:4] == b"RIFF" and head[8:] == b"WEBP")


def check_photos(path: FilePath, case: Case, *, unhashed: bool = False) -> list[Problem]:
    """Compare every photo a case names, and the files of its quotations and bids, with their SHA-256.

    Args:
        path: The case file.
        case: What it holds.
        unhashed: Give a hint for every one that has no SHA-256 to compare with.

    Returns:
        A problem for every one that has changed or lies outside the folder, a hint for every missing one.

    Raises:
        OSError: The case file cannot be read.
    """
    # The case has been read already; the text gives the lines.
    text = content_of(path, LARGEST_CASE).decode("utf-8-sig", errors="replace").replace("\r\n", "\n")
    findings = Diagnostics(sanitize_line(str(path)), text)
    folder = resolved(path).parent
    places = _places(text)
    for file in case.photo_files:
        sha256 = case.photo(file).sha256
        found = look_for(folder, file, sha256)
        at, of_digest = places.get(file, (("photos",), ("photos",)))
        if found.fault:
            where = of_digest if found.of_digest else at
            findings.add(where, Words(found.fault), found.expected, found.mend, grave=not found.missing)
        elif unhashed and not sha256:
            words = Words(f"no SHA-256 of the photo {sanitize_line(file)}")
            findings.add(at, words, "the one from its entry", f"`{HASH_COMMAND}` records it", grave=False)
    head = case.practice
    if head.letterhead:
        found = look_for(folder, head.letterhead, head.sha256, "file")
        if found.fault:
            where = ("practice", "sha256" if found.of_digest else "letterhead")
            findings.add(where, Words(found.fault), found.expected, found.mend, grave=not found.missing)
    for name, at_, file, sha256 in case.claim.papers:
        found, place = look_for(folder, file, sha256, "file"), ("claim", name, at_)
        if found.fault:
            findings.add(
                (*place, "sha256" if found.of_digest else "file"),
                Words(found.fault),
                found.expected,
                found.mend,
                grave=not found.missing,
            )
        elif unhashed and not sha256:
            words = Words(f"no SHA-256 of the file {sanitize_line(file)}")
            findings.add((*place, "file"), words, "the one from its entry", f"`{HASH_COMMAND}` records it", grave=False)
    return sorted(findings.problems, key=lambda problem: problem.line or 0)


HASH_COMMAND = "appraise photos CASE --hash"
"""The advice that gives photos without a digest theirs."""


def _places(text: str) -> dict[str, tuple[Path, Path]]:
    """Return where a case file names each photo, and where its digest stands: keys, items counted from 0."""
    try:
        document = tomli.loads(text)
        result: dict[str, tuple[Path, Path]] = {}
        for at, row in enumerate(document.get("photos", ())):
            result.setdefault(row["file"], (("photos", at, "file"), ("photos", at, "sha256")))
        for at, row in enumerate(document.get("remarks", ())):
            if "photo" in row:
                result.setdefault(row["photo"], (("remarks", at, "photo"), ("remarks", at, "sha256")))
            for file in row.get("photos", ()):
                result.setdefault(file, (("remarks", at, "photos"), ("remarks", at, "photos")))
    except (ValueError, LookupError, TypeError, AttributeError):
        return {}  # it has been written anew since it was read
    return result


def sha256_of(path: FilePath) -> str:
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
