"""Detached signatures and time stamps beside a document, verified by the general tools of the machine."""

from __future__ import annotations

import re
import shutil
import subprocess
from typing import TYPE_CHECKING

from appraise.model.problem import InputError, Problem
from appraise.model.unsafe import error_text, sanitize_line
from appraise.services.seals import NAMESPACE, SIGNATURE, STAMP, Seal, Trusted, beside
from appraise.tables.content import open_file, resolved

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

_LONGEST_WAIT = 30.0
"""For an answer of a tool [s]."""


def seals(path: Path, trusted: Trusted) -> Iterator[Seal]:
    """Verify the signature and the time stamp that lie beside a file, those of them that there are.

    Args:
        path: The document.
        trusted: Signers and authorities.

    Yields:
        What was found of each; a tool or a list of signers that is not there is a problem too.
    """
    for ending, verify in ((SIGNATURE, _signature), (STAMP, _stamp)):
        seal = beside(path, ending)
        if seal is not None:
            shown = sanitize_line(str(seal))
            try:
                yield Seal(shown, verify(path, seal, trusted))
            except InputError as refused:
                yield Seal(shown, problem=Problem(shown, None, "", refused.found, refused.expected, refused.mend))


def _signature(path: Path, seal: Path, trusted: Trusted) -> str:
    tool, signers = _tool("ssh-keygen"), _trusted(trusted.signers, "allowed signers", "--signers FILE", "signers")
    listed = ("-f", str(resolved(signers)), "-s", str(resolved(seal)))
    named = _run(path, tool, "-Y", "find-principals", *listed)
    who = sanitize_line(named.stdout.strip().split("\n")[0])
    if named.returncode or not who:
        found = f"a signature by a key that {sanitize_line(str(signers))} does not name ({_last(named)})"
        raise InputError(found, "one by an allowed signer")
    done = _run(path, tool, "-Y", "verify", *listed, "-I", who, "-n", NAMESPACE)
    if done.returncode:
        mend = f'the document was changed since, or it was signed for another namespace than "{NAMESPACE}"'
        raise InputError(f"a signature that does not hold ({_last(done)})", "one of this content", mend)
    key = re.search(r"with (.+)$", done.stdout.strip().split("\n")[0])
    return f"signed by {who}" + (f" ({sanitize_line(key[1])})" if key else "")


def _stamp(path: Path, seal: Path, trusted: Trusted) -> str:
    tool, authority = _tool("openssl"), _trusted(trusted.authority, "authority", "--authority FILE", "authority")
    given = ("-in", str(resolved(seal)))
    data = ("-data", str(resolved(path)), "-CAfile", str(resolved(authority)))
    done = _run(path, tool, "ts", "-verify", *given, *data)
    if done.returncode:
        mend = "the document was changed since, or another authority stamped it"
        raise InputError(f"a time stamp that does not hold ({_last(done)})", "one of this content", mend)
    told = _run(path, tool, "ts", "-reply", *given, "-text")
    when = re.search(r"^Time stamp: (.+)$", told.stdout, re.MULTILINE)
    return f"time-stamped {sanitize_line(when[1])}" if when else "time-stamped"


def _tool(name: str) -> str:
    result = shutil.which(name)
    if result is None:
        raise InputError(f"no {name} on this machine", f"{name}, which verifies it")
    return result


def _trusted(path: Path | None, what: str, option: str, key: str) -> Path:
    if path is None:
        raise InputError(f"no {what} to verify it by", f"{option}, or [signatures] {key} in the settings")
    try:
        open_file(path).close()
    except (OSError, ValueError) as error:
        shown = sanitize_line(str(path))
        raise InputError(f"that {shown} cannot be read ({error_text(error)})", f"a file of the {what}") from None
    return path


def _run(path: Path, *words: str) -> subprocess.CompletedProcess[str]:
    try:
        with open_file(path) as stream:
            return subprocess.run(  # noqa: S603 - a tool of the machine, by its whole path and without a shell
                words,
                stdin=stream,
                capture_output=True,
                text=True,
                errors="replace",
                timeout=_LONGEST_WAIT,
                check=False,
            )
    except subprocess.TimeoutExpired:
        raise InputError("no answer of the tool that verifies it", f"one within {_LONGEST_WAIT:g} s") from None
    except (OSError, ValueError) as error:
        raise InputError(f"that it cannot be verified ({error_text(error)})", "files that can be read") from None


def _last(done: subprocess.CompletedProcess[str]) -> str:
    """Return what a tool said last, on one line."""
    lines = [line for line in (done.stdout + done.stderr).splitlines() if line.strip()]
    telling = [line for line in lines if "error" in line.lower()] or lines
    return sanitize_line(telling[-1])[:160].strip() if telling else f"exit code {done.returncode}"
