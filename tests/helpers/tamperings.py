"""Tamperings with a case, its copy, photos, trail and documents, each with the line that `appraise check` answers.

`python -m tests.helpers.tamperings` makes each on a fresh copy of the removal samples and prints file, exit code, line.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import json
import shutil
import tempfile
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.cli.parser import main as appraise
from appraise.services.arrival import begin, set_before
from appraise.services.opening import open_sheet
from appraise.store.read import read_case
from appraise.store.trail import line_of
from appraise.tables.load import load_tables
from tests.helpers.samples import copied_samples

if TYPE_CHECKING:
    from collections.abc import Callable

CASE, JSON, PDF, TRAIL = "grand.toml", "dossier.json", "dossier.pdf", "grand.trail.jsonl"
HTML, MARKDOWN = "dossier.html", "dossier.md"
QUOTATION, BID = "quotation_114.txt", "bid_brimmick.txt"


def custody(folder: Path) -> None:
    """Make a case of a removal: the state before kept, the arrival inspected, the dossier written as JSON and PDF."""
    tables, samples, case = load_tables(), copied_samples(), folder / CASE
    for evidence in ("photos", "papers"):
        shutil.copytree(samples / evidence, folder / evidence)
    shutil.copyfile(samples / "removal_before.toml", case)
    set_before(case, tables, "removal")
    sheet = open_sheet(case, tables).worksheet
    begin(sheet, date(2026, 10, 28), "A. Later", "claim")
    after, _ = read_case(samples / "removal_after.toml", tables)
    assert after is not None
    sheet.change(replace(after, earlier_state=sheet.case.earlier_state), "the arrival inspection")
    sheet.save()
    sheet.close()
    words = ["report", case, "--kind", "loss", "--draws", "100"]
    for name in (JSON, HTML, MARKDOWN, PDF):
        words += ["-o", folder / name]
    with contextlib.redirect_stdout(io.StringIO()):
        assert appraise([str(word) for word in words]) == 0


def copy_of(folder: Path) -> Path:
    """Return the frozen copy of the state before."""
    return next(path for path in folder.iterdir() if ".before-" in path.name)


def replaced(path: Path, old: str, new: str) -> None:
    """Write another text in the place of one that stands there once at least."""
    text = path.read_text(encoding="utf-8")
    assert old in text, f"{old} is not in {path.name}"
    path.chmod(0o644)
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def edited_line(folder: Path) -> None:
    replaced(folder / TRAIL, "the arrival inspection", "an arrival inspection")


def cut(folder: Path, lines: int) -> None:
    kept = (folder / TRAIL).read_bytes().splitlines(keepends=True)[:-lines]
    (folder / TRAIL).write_bytes(b"".join(kept))


def anew(folder: Path) -> None:
    """Compute the whole chain anew over one changed word."""
    lines, head = [], "0" * 64
    for line in (folder / TRAIL).read_bytes().splitlines():
        body = json.loads(line)
        del body["prev"], body["hash"]
        body["user"] = "somebody@elsewhere"
        raw, head = line_of(body, head)
        lines.append(raw)
    (folder / TRAIL).write_bytes(b"".join(lines))


def copy_and_hash(folder: Path) -> None:
    copy = copy_of(folder)
    old = hashlib.sha256(copy.read_bytes()).hexdigest()
    replaced(copy, "grade = ", "grade =  ")
    replaced(folder / CASE, old, hashlib.sha256(copy.read_bytes()).hexdigest())


def changed_within(folder: Path) -> None:
    sheet = open_sheet(folder / CASE, load_tables()).worksheet
    sheet.put(("identity", "model"), "Another")
    sheet.save()
    sheet.close()


def other_photo(folder: Path) -> None:
    with (folder / "photos/rim_after.png").open("ab") as stream:
        stream.write(b"x")


def other_paper(folder: Path, name: str) -> None:
    replaced(folder / "papers" / name, "EUR", "GBP")


def rechained(folder: Path, change: Callable[[list[dict[str, object]]], None]) -> None:
    """Change the records of the trail and compute its chain anew behind them."""
    bodies = [json.loads(line) for line in (folder / TRAIL).read_bytes().splitlines()]
    for body in bodies:
        del body["prev"], body["hash"]
    change(bodies)
    lines, head = [], "0" * 64
    for body in bodies:
        raw, head = line_of(body, head)
        lines.append(raw)
    (folder / TRAIL).write_bytes(b"".join(lines))


def typed_wrongly(folder: Path) -> None:
    rechained(folder, lambda bodies: bodies[-1].update(k=[]))


def reordered(folder: Path) -> None:
    lines = (folder / TRAIL).read_bytes().splitlines(keepends=True)
    lines[2:4] = reversed(lines[2:4])
    (folder / TRAIL).write_bytes(b"".join(lines))


def put_in(folder: Path) -> None:
    lines = (folder / TRAIL).read_bytes().splitlines(keepends=True)
    (folder / TRAIL).write_bytes(b"".join([*lines[:3], lines[2], *lines[3:]]))


def cut_within(folder: Path) -> None:
    (folder / TRAIL).write_bytes((folder / TRAIL).read_bytes()[:-40])


def first_cut(folder: Path) -> None:
    (folder / TRAIL).write_bytes(b"".join((folder / TRAIL).read_bytes().splitlines(keepends=True)[1:]))


def of_another_case(folder: Path) -> None:
    """Put the trail of another case in the place of this one's."""
    other = folder / "other" / CASE
    other.parent.mkdir()
    shutil.copyfile(folder / CASE, other)
    sheet = open_sheet(other, load_tables()).worksheet
    sheet.put(("identity", "model"), "Another")
    sheet.save()
    sheet.close()
    shutil.move(other.with_name(TRAIL), folder / TRAIL)


def everything_but_the_dossier(folder: Path) -> None:
    """Change the frozen copy and its hash wherever it stands, and compute the chain anew."""
    copy = copy_of(folder)
    old = hashlib.sha256(copy.read_bytes()).hexdigest()
    replaced(copy, "grade = ", "grade =  ")
    new = hashlib.sha256(copy.read_bytes()).hexdigest()
    text = (folder / CASE).read_text(encoding="utf-8").replace(old, new)
    was = hashlib.sha256((folder / CASE).read_bytes()).hexdigest()
    (folder / CASE).write_text(text, encoding="utf-8")
    now = hashlib.sha256((folder / CASE).read_bytes()).hexdigest()

    def change(bodies: list[dict[str, object]]) -> None:
        bodies[:] = json.loads(json.dumps(bodies).replace(old, new).replace(was, now))

    rechained(folder, change)


def photo_and_hash(folder: Path) -> None:
    photo = folder / "photos/rim_after.png"
    old = hashlib.sha256(photo.read_bytes()).hexdigest()
    other_photo(folder)
    replaced(folder / CASE, old, hashlib.sha256(photo.read_bytes()).hexdigest())


def older_version(folder: Path) -> None:
    """Put back what a save has kept of the version before."""
    shutil.copyfile(folder / f"{CASE}~", folder / CASE)


def other_case_inside(folder: Path) -> None:
    found = json.loads((folder / JSON).read_text(encoding="utf-8"))
    found["recompute"]["after_text"] = found["recompute"]["after_text"].replace("labour_rate = ", "labour_rate =  ")
    found["after"]["sha256"] = hashlib.sha256(found["recompute"]["after_text"].encode()).hexdigest()
    (folder / JSON).write_text(json.dumps(found), encoding="utf-8")


def without_its_trail(folder: Path) -> None:
    """Take out of the dossier what it names of the trail, and the trail with it."""
    found = json.loads((folder / JSON).read_text(encoding="utf-8"))
    del found["trail"]
    (folder / JSON).write_text(json.dumps(found), encoding="utf-8")


def swapped_photos(folder: Path) -> None:
    one, other = folder / "photos/rim_after.png", folder / "photos/cheek_before.png"
    first, second = one.read_bytes(), other.read_bytes()
    one.write_bytes(second)
    other.write_bytes(first)


def appended(name: str) -> Callable[[Path], None]:
    def act(folder: Path) -> None:
        with (folder / name).open("ab") as stream:
            stream.write(b"\n<!-- x -->\n")

    return act


def other_figure(folder: Path) -> None:
    found = json.loads((folder / JSON).read_text(encoding="utf-8"))
    found["value_before"]["mid"] = "1.00"
    (folder / JSON).write_text(json.dumps(found), encoding="utf-8")


def other_pdf(folder: Path) -> None:
    with (folder / PDF).open("ab") as stream:
        stream.write(b"\n% x\n")


def deleted(name: str) -> Callable[[Path], None]:
    return lambda folder: (folder / name).unlink()


@dataclass(frozen=True, slots=True)
class Tampering:
    """One tampering and what is answered of one file."""

    done: str
    act: Callable[[Path], None]
    checked: str
    line: str
    """Part of the one line that tells what differs."""


TAMPERINGS = (
    Tampering("trail line edited", edited_line, CASE, "hash: found"),
    Tampering("trail line edited", edited_line, JSON, "trail.line: found a chain that breaks at line"),
    Tampering("trail line edited", edited_line, PDF, "hash: found"),
    Tampering("chain computed anew", anew, CASE, "earlier_state.trail: found no line of its trail with the hash"),
    Tampering("chain computed anew", anew, JSON, "trail.hash: found"),
    Tampering("last lines cut", lambda folder: cut(folder, 5), JSON, "lines were cut off, or the trail is another"),
    Tampering("last line cut", lambda folder: cut(folder, 1), PDF, "or the last lines of the trail were cut off"),
    Tampering("trail emptied", lambda folder: (folder / TRAIL).write_bytes(b""), CASE, "found an empty trail"),
    Tampering("trail deleted", deleted(TRAIL), CASE, "earlier_state.trail: found no trail beside it"),
    Tampering("trail deleted", deleted(TRAIL), JSON, "trail: found no trail of its case beside it"),
    Tampering("trail deleted", deleted(TRAIL), PDF, "found no trail beside it"),
    Tampering(
        "frozen copy edited",
        lambda folder: replaced(copy_of(folder), "grade = ", "grade =  "),
        CASE,
        "found another content (SHA-256",
    ),
    Tampering("copy and its hash edited", copy_and_hash, CASE, "the frozen copy and its SHA-256 were both changed"),
    Tampering("case changed after the dossier", changed_within, JSON, "after.sha256: found grand.toml with SHA-256"),
    Tampering("case changed after the dossier", changed_within, PDF, "found grand.toml with SHA-256"),
    Tampering(
        "case changed outside",
        lambda folder: replaced(folder / CASE, "serial = ", "serial =  "),
        CASE,
        "it was changed outside the program",
    ),
    Tampering(
        "before-file changed",
        lambda folder: replaced(copy_of(folder), "grade = ", "grade =  "),
        JSON,
        "before.sha256: found grand.toml.before-",
    ),
    Tampering(
        "before-file changed",
        lambda folder: replaced(copy_of(folder), "grade = ", "grade =  "),
        PDF,
        "expected the state before grand.toml.before-",
    ),
    Tampering("photo changed", other_photo, CASE, "sha256: found a photo with"),
    Tampering("photo changed", other_photo, JSON, "photos: found photos/rim_after.png with SHA-256"),
    Tampering("photo changed", other_photo, PDF, "photos: found photos/rim_after.png with SHA-256"),
    Tampering("photo missing", deleted("photos/rim_after.png"), CASE, "photos[3].file: found no such file"),
    Tampering("photo missing", deleted("photos/rim_after.png"), JSON, "photos: found no such file"),
    Tampering("earlier photo missing", deleted("photos/cheek_before.png"), CASE, "photos: found no such file"),
    Tampering("earlier photo missing", deleted("photos/cheek_before.png"), JSON, "photos: found no such file"),
    *(
        Tampering(f"{what} {done}", act, checked, f"{key}{said}")
        for what, name, key in (("quotation", QUOTATION, "claim.quotations[1]"), ("bid", BID, "claim.salvage_bids[1]"))
        for done, act, of_case, of_document in (
            ("changed", partial(other_paper, name=name), ".sha256: found a file with", f": found papers/{name} with"),
            ("missing", deleted(f"papers/{name}"), ".file: found no such file", ": found no such file"),
        )
        for checked, said in ((CASE, of_case), (JSON, of_document), (PDF, of_document))
    ),
    Tampering("PDF changed", other_pdf, PDF, "the document was changed since"),
    Tampering("PDF changed", other_pdf, CASE, "dossier.pdf with SHA-256"),
    Tampering("JSON figure changed", other_figure, JSON, 'value_before.mid: found "1.00"'),
    Tampering("JSON figure changed", other_figure, CASE, "dossier.json with SHA-256"),
    *(
        Tampering(f"{name.rpartition('.')[2]} changed", appended(name), checked, said)
        for name in (HTML, MARKDOWN)
        for checked, said in ((name, "the document was changed since"), (CASE, f"{name} with SHA-256"))
    ),
    *(
        Tampering(done, act, checked, said)
        for done, act, of_case, of_pdf in (
            ("trail lines exchanged", reordered, "prev: found", "prev: found"),
            ("trail line put in", put_in, "prev: found", "prev: found"),
            ("first trail line cut", first_cut, "prev: found", "prev: found"),
            ("a number of the trail as a list, rechained", typed_wrongly, "k: found []", "k: found []"),
            ("trail of another case put there", of_another_case, "earlier_state.trail: found", "that no line of"),
        )
        for checked, said in ((CASE, of_case), (PDF, of_pdf))
    ),
    Tampering("last trail line cut within", cut_within, CASE, "bytes that was cut off"),
    Tampering("last trail line cut within", cut_within, PDF, "that no line of"),
    Tampering("copy, case and whole trail edited", everything_but_the_dossier, CASE, "earlier_state.trail: found"),
    Tampering("copy, case and whole trail edited", everything_but_the_dossier, JSON, "before.sha256: found"),
    *(
        Tampering("frozen copy deleted", lambda folder: copy_of(folder).unlink(), checked, said)
        for checked, said in (
            (CASE, "expected the frozen copy of"),
            (JSON, "before.sha256: found no"),
            (PDF, "found no such file"),
        )
    ),
    Tampering("photo and its hash edited", photo_and_hash, CASE, "it was changed outside the program"),
    Tampering("photo and its hash edited", photo_and_hash, JSON, "after.sha256: found"),
    Tampering("photos exchanged", swapped_photos, CASE, "sha256: found a photo with"),
    Tampering("photos exchanged", swapped_photos, PDF, "photos: found photos/"),
    Tampering("older version of the case put back", older_version, CASE, "it was changed outside the program"),
    Tampering("older version of the case put back", older_version, PDF, "expected the case grand.toml"),
    Tampering("case within the JSON changed", other_case_inside, JSON, "after.sha256: found"),
    Tampering("trail taken out of the JSON", without_its_trail, JSON, "a file that no line of"),
    Tampering("case deleted", deleted(CASE), PDF, "found no such file, expected the case grand.toml"),
)
"""What is tampered with, the file that is checked, and what its line says."""


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as kept:
        made = Path(kept) / "made"
        made.mkdir()
        custody(made)
        for number, each in enumerate(TAMPERINGS):
            folder = Path(kept) / str(number)
            shutil.copytree(made, folder)
            each.act(folder)
            said = io.StringIO()
            with contextlib.redirect_stdout(said):
                code = appraise(["check", str(folder / each.checked)])
            line = next((line for line in said.getvalue().splitlines() if each.line in line), "NOT FOUND")
            print(f"{each.done} | {each.checked} | {int(code)} | {line.replace(f'{folder}/', '')}")  # noqa: T201


if __name__ == "__main__":
    main()
