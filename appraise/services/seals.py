"""Signatures and time stamps beside a document: their files, the tools that verify them, the finding."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.model.lazy_dataclass import dataclass

if TYPE_CHECKING:
    from pathlib import Path

    from appraise.model.problem import Problem

SIGNATURE, STAMP = ".sig", ".tsr"
SEALS = (SIGNATURE, STAMP)
"""Endings of a signature of OpenSSH and of a response of RFC 3161, behind the name of the document."""

NAMESPACE = "file"
"""Namespace of a signature: ssh-keygen(1) names it for the signing of files."""

MAKE_SIGNATURE = f"ssh-keygen -Y sign -f KEY -n {NAMESPACE} DOCUMENT"
ASK_FOR_STAMP = "openssl ts -query -data DOCUMENT -sha256 -cert -out DOCUMENT.tsq"


def beside(path: Path, ending: str) -> Path | None:
    """Return the signature or stamp that lies beside a file; none where there is none, or no such name can be.

    Args:
        path: The document.
        ending: One of `SEALS`.
    """
    try:
        seal = path.with_name(path.name + ending)
        return seal if seal.is_file() else None
    except (OSError, ValueError):
        return None


@dataclass(frozen=True, slots=True)
class Trusted:
    """By what signatures and stamps are verified; none of a kind: it cannot be."""

    signers: Path | None = None
    """Allowed signers, as ssh-keygen(1) has them."""
    authority: Path | None = None
    """Certificates in PEM that the chain of a time stamp ends in."""


@dataclass(frozen=True, slots=True)
class Seal:
    """Finding on one signature or stamp."""

    file: str
    words: str = ""
    """Who signed or when it was stamped; empty where that does not hold."""
    problem: Problem | None = None
