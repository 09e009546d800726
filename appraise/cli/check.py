"""`appraise check FILE…`: problems of a case, a report in JSON computed again, a PDF known by its hash."""

from __future__ import annotations

from argparse import ArgumentTypeError
from dataclasses import replace
from pathlib import Path
from string import hexdigits
from typing import TYPE_CHECKING

from appraise.cli import inputs
from appraise.cli.diagnostics import ExitCode, complain
from appraise.cli.options import add_date, add_json, add_tables
from appraise.cli.output import say, say_json
from appraise.model.lazy_dataclass import dataclass
from appraise.model.problem import Problem, Unreadable
from appraise.model.unsafe import error_text, sanitize_line
from appraise.services.seals import ASK_FOR_STAMP, MAKE_SIGNATURE, SEALS, Trusted, beside
from appraise.tables.content import open_file

REPORT = ".json"
"""Ending of a report that can be computed again."""

DOCUMENTS = (".pdf", ".html", ".md")
"""Endings of documents that are recognised by their hash; anything else is a case."""

_PDF = b"%PDF-"

SHORTEST, WHOLE = 12, 64
"""Digits of a hash: as few as a screen shows of it, and all."""

if TYPE_CHECKING:
    import argparse
    from datetime import date

    from appraise.services.seals import Seal
    from appraise.services.trail_check import Checked
    from appraise.tables.rows import Tables

DESCRIPTION = (
    "List every problem of a case file with its line, the text found, the text expected and how to "
    "fix it. Photos are compared with their SHA-256, and the trail beside the case is checked "
    "against its chain of hashes. A report written as JSON holds the case it was made from: it is "
    "computed again, and every figure that differs is named; its statements about the trail of its "
    "case and the report that it amends are checked against the trail beside it. A PDF, HTML or "
    "Markdown document is recognised by the SHA-256 that the trail recorded when it was written. The "
    "case, the state before, photos and documents beside it are checked against the trail or the "
    "document. A signature or a time stamp that lies beside a file, FILE.sig or FILE.tsr, is verified by the "
    f"ssh-keygen or openssl of the machine; nothing is signed here. One is made by `{MAKE_SIGNATURE}`, the "
    f"query for the other by `{ASK_FOR_STAMP}`. Exit code 1 where there is a problem or a difference."
)


def options(parser: argparse.ArgumentParser) -> None:
    """Add its options."""
    parser.add_argument(
        "cases",
        nargs="+",
        type=Path,
        metavar="FILE",
        help="a case file, a report as .json, or a document such as a PDF",
    )
    parser.add_argument(
        "--hash",
        type=_hash,
        metavar="HASH",
        help="a hash of the trail as a document printed it: a line of the trail of each case must have it",
    )
    text = "allowed signers, as ssh-keygen has them, for a signature beside a file (FILE.sig)"
    parser.add_argument("--signers", type=Path, metavar="LIST", help=text)
    text = "certificates in PEM in which the chain of a time stamp beside a file (FILE.tsr) ends"
    parser.add_argument("--authority", type=Path, metavar="PEM", help=text)
    add_date(parser, "the day taken for today; an inspection after it is pointed out")
    add_tables(parser)
    add_json(parser)


def run(args: argparse.Namespace) -> int:
    """Check case files and reports.

    Raises:
        Unreadable: The tables cannot be used, or the settings where they are asked for signers.
    """
    from appraise.services.signature_check import seals

    tables = inputs.tables_for(args.tables)
    today, trusted = args.date or inputs.today(), _trusted(args)
    checked = []
    for path in args.cases:
        found = _checked(path, tables, today, args.hash)
        checked.append(replace(found, seals=tuple(seals(path, trusted))) if found.readable else found)
        if not args.json:
            _tell(checked[-1])
    if args.json:
        from appraise.cli.listings import CHECK

        say_json(CHECK.dump(checked))
    return max(each.code for each in checked)


@dataclass(frozen=True, slots=True)
class CheckedFile:
    """Finding on one file."""

    file: str
    readable: bool
    problems: list[Problem]
    trail: Checked | None = None
    """Absent for a report, and for a case that cannot be read."""
    report: bool = False
    words: str = ""
    """The line for a report without a difference."""
    seals: tuple[Seal, ...] = ()
    """The signature and the time stamp beside it."""

    @property
    def differs(self) -> bool:
        """True where a problem counts: of a case every one, of a report every one that is more than a hint."""
        return any(problem.grave or not self.report for problem in self.problems)

    @property
    def code(self) -> ExitCode:
        """Return the exit status that it calls for."""
        if not self.readable:
            return ExitCode.UNUSABLE
        broken = any(seal.problem is not None for seal in self.seals)
        return ExitCode.PROBLEMS if self.differs or broken else ExitCode.DONE


def _tell(found: CheckedFile) -> None:
    """Write what was found of one file; what cannot be read goes to standard error."""
    for problem in found.problems:
        (say if found.readable else complain)(str(problem))
    if not found.readable:
        return
    if found.report and not found.differs:
        say(f"{found.file}: {found.words}")
    elif found.trail is not None and not found.problems:
        say(f"{found.file}: no problems; {found.trail.words}")
    elif found.trail is not None and found.trail.lines:
        say(f"{found.file}: {found.trail.words}")
    for seal in found.seals:
        say(f"{seal.file}: {seal.words}" if seal.problem is None else str(seal.problem))


def _trusted(args: argparse.Namespace) -> Trusted:
    """Return by what signatures and stamps are verified; the settings are read where there is one and no option."""
    sealed = any(beside(path, ending) for path in args.cases for ending in SEALS)
    if not sealed or (args.signers and args.authority):
        return Trusted(args.signers, args.authority)
    from appraise.store.own_settings import beside_settings, own_settings

    own = own_settings().signatures
    signers, authority = (beside_settings(name) if name else None for name in (own.signers, own.authority))
    return Trusted(args.signers or signers, args.authority or authority)


def _hash(text: str) -> str:
    """Read a hash as a person types it from paper.

    Raises:
        ArgumentTypeError: It is none, or too short to tell one line from another.
    """
    result = "".join(text.split()).lower().rstrip("…")
    if not SHORTEST <= len(result) <= WHOLE or set(result) - set(hexdigits):
        shown = sanitize_line(text)[:WHOLE]
        raise ArgumentTypeError(f"found {shown}, expected {SHORTEST} to {WHOLE} hexadecimal digits")
    return result


def _checked(path: Path, tables: Tables, today: date, printed: str | None) -> CheckedFile:
    ending = path.suffix.lower()
    if ending == REPORT:
        return _report(path, tables)
    return _document(path, tables) if ending in DOCUMENTS or _is_pdf(path) else _case(path, tables, today, printed)


def _is_pdf(path: Path) -> bool:
    try:
        with open_file(path) as stream:
            return stream.read(len(_PDF)) == _PDF
    except (OSError, ValueError):
        return False


def _document(path: Path, tables: Tables) -> CheckedFile:
    """Recognise a document by its hash, and hold what it rests on to the files beside it."""
    from appraise.services.document_check import checked_document

    file = sanitize_line(str(path))
    try:
        found = checked_document(path, tables)
    except (OSError, ValueError) as error:
        reason = "no such file" if isinstance(error, FileNotFoundError) else error_text(error)
        unreadable = Problem(file, None, "", f"that it cannot be read ({reason})", "a document")
        return CheckedFile(file, False, [unreadable], report=True)
    return CheckedFile(file, True, list(found.problems), report=True, words=found.words)


def _report(path: Path, tables: Tables) -> CheckedFile:
    """Compute a report again, and hold what it says of its case's trail to the trail beside it."""
    from appraise.report.kinds import WITHOUT_VALUE
    from appraise.services.custody import against_files
    from appraise.services.recompute import recompute
    from appraise.services.report_audit import against_trail, case_beside
    from appraise.store.report_file import read_report

    file = sanitize_line(str(path))
    try:
        report = read_report(path)
        if report.get("kind") in WITHOUT_VALUE:  # it holds no valuation to compute again
            return _document(path, tables)
        problems = [
            *recompute(report, tables, file),
            *against_trail(path, report),
            *against_files(path, report, tables),
        ]
    except Unreadable as unreadable:
        return CheckedFile(file, False, list(unreadable.problems), report=True)
    words = "the same to the cent" + ("" if case_beside(path, report) else "; its case is not beside it")
    return CheckedFile(file, True, problems, report=True, words=words)


def _case(path: Path, tables: Tables, today: date, printed: str | None) -> CheckedFile:
    """Check a case, its photos, the earlier state that it remembers, and its trail."""
    from appraise.services.custody import earlier_photos
    from appraise.services.trail_check import checked_trail
    from appraise.store.baseline import check_earlier
    from appraise.store.photos import check_photos
    from appraise.store.read import read_case

    file = sanitize_line(str(path))
    case, problems = read_case(path, tables, today=today)
    if case is not None:
        problems += check_photos(path, case, unhashed=True)
        problems += check_earlier(path, case, tables) or earlier_photos(path, case, tables)
    try:
        with open_file(path):
            pass
    except (OSError, ValueError):
        return CheckedFile(file, False, problems)
    trail = checked_trail(path, case, printed or "")
    return CheckedFile(file, True, [*problems, *trail.problems], trail)
