"""`report --kind` as a person runs it, photos and wrong use among it."""

from __future__ import annotations

import hashlib
import json
from io import BytesIO

import pytest
from PIL import Image

from tests.helpers.samples import copied_samples

FOLDER = copied_samples()
BEFORE, AFTER = FOLDER / "removal_before.toml", FOLDER / "removal_after.toml"
HEADS = {
    "full": "# Condition and value of a piano",
    "annex": "# Annex: derivation of the figures",
    "summary": "# Summary for the owner",
    "workorder": "# Work order",
    "offer": "# Offer",
    "buying": "# Buying sheet, for internal use only",
}


@pytest.mark.parametrize("kind", HEADS)
def test_each_kind_of_one_case(appraise, good, tmp_path, kind):
    page, data = tmp_path / "r.md", tmp_path / "r.json"
    for target in (page, data):
        answer = appraise("report", good, "--kind", kind, "-o", target, "--draws", "200")
        assert answer == (0, f"wrote {target}\n", "")
    # A page meant to stand alone is marked while a station that decides is unseen.
    head = f"{HEADS[kind]} (preliminary)" if kind in ("summary", "offer", "buying") else HEADS[kind]
    assert page.read_text(encoding="utf-8").startswith(f"{head}\n")
    found = json.loads(data.read_text(encoding="utf-8"))
    assert (found["kind"], found["document"]["title"]) == (kind, head.removeprefix("# "))
    if kind in ("offer", "workorder"):  # a seller and a workshop get nothing to compute the figures of the house from
        assert not {"recompute", "value", "market", "work"} & set(found)
        return
    assert found["recompute"]["case_text"] == good.read_text(encoding="utf-8")


def test_without_a_kind_it_is_the_full_one(appraise, good, tmp_path):
    appraise("report", good, "-o", tmp_path / "r.md", "--draws", "200")
    assert (tmp_path / "r.md").read_text(encoding="utf-8").startswith(HEADS["full"])


def test_the_annex_is_a_file_of_its_own_beside_the_report(appraise, good, tmp_path):
    page, data = tmp_path / "r.md", tmp_path / "r.json"
    words = ("-o", page, "-o", data, "--annex", "--draws", "200")
    assert appraise("report", good, *words).code == 0
    annex = tmp_path / "r-annex.md"
    assert annex.read_text(encoding="utf-8").startswith(HEADS["annex"])
    assert r"\[hammers.grade\]" in annex.read_text(encoding="utf-8")
    assert r"\[hammers.grade\]" not in page.read_text(encoding="utf-8")
    assert sorted(path.name for path in tmp_path.glob("r*")) == ["r-annex.md", "r.json", "r.md"]
    page.unlink()
    answer = appraise("report", good, "-o", page, "--annex", "--draws", "200")
    assert (answer.code, page.exists()) == (2, False)  # the annex would replace another
    answer = appraise("report", good, "-o", page, "--annex", "--kind", "summary")
    assert answer.code == 2
    assert "found --annex with --kind summary, expected it with --kind full alone" in answer.err


def test_a_loss_is_the_dossier(appraise, tmp_path):
    words = ("--sum-insured", "15000", "--excess", "250", "--weight", "480 kg", "--draws", "300")
    for name, command in {
        "report.md": ("report", AFTER, "--kind", "loss", "--before", BEFORE),
        "loss.md": ("loss", BEFORE, AFTER),
    }.items():
        assert appraise(*command, "-o", tmp_path / name, *words).code == 0
    report, loss = ((tmp_path / name).read_text(encoding="utf-8") for name in ("report.md", "loss.md"))
    assert report == loss
    assert "| Excess (deductible) | EUR 250 |" in report


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--kind", "invoice"), "invalid choice"),
        (("--kind", "loss"), "found no earlier state in it, expected one; name the file of the state before"),
        (
            ("--kind", "loss", "--before", BEFORE, "--basis", "retail"),
            "found --basis with --kind loss, expected neither",
        ),
        (("--kind", "loss", "--before", BEFORE, "--date", "2027-01-01"), "found --date with --kind loss, expected nei"),
        (("--kind", "summary", "--before", BEFORE), "found --before with --kind summary, expected it"),
        (("--excess", "250"), "found --excess with --kind full, expected it with --kind loss, notice or request"),
        (("--kind", "workorder", "--no-betterment"), "found --no-betterment with --kind workorder"),
        (
            ("--kind", "loss", "--before", BEFORE, "--excess", "much"),
            "--excess: found “much”, expected an amount of money",
        ),
        (("--kind", "loss", "--before", FOLDER / "recent_grand.toml"), "these are not one instrument"),
    ],
)
def test_wrong_use(appraise, tmp_path, words, said):
    answer = appraise("report", AFTER, *words, "-o", tmp_path / "r.md")
    assert (answer.code, answer.out) == (2, "")
    assert said in answer.err
    assert len(answer.err.splitlines()) == 1
    assert answer.err.startswith("appraise report: ")
    assert not (tmp_path / "r.md").exists()


def picture() -> bytes:
    out = BytesIO()
    Image.new("RGB", (40, 30), "grey").save(out, "PNG")
    return out.getvalue()


@pytest.fixture
def photographed(good, tmp_path):
    """Return a case with photos of every sort: found, another, missing, out of the folder, no picture."""
    folder = tmp_path / "cases"
    folder.mkdir()
    (tmp_path / "secret.png").write_bytes(picture())
    (folder / "link.png").symlink_to(tmp_path / "secret.png")
    (folder / "found.png").write_bytes(picture())
    (folder / "other.png").write_bytes(picture() + b"x")
    (folder / "text.png").write_bytes(b"no picture")
    digest = hashlib.sha256(picture()).hexdigest()
    text = good.read_text(encoding="utf-8")
    for name in ("found", "other", "missing", "link", "text"):
        digested = digest if name in ("found", "other") else ""
        text += f'\n[[remarks]]\nplace = "case"\ntext = "Seen {name}"\nphoto = "{name}.png"\nsha256 = "{digested}"\n'
    text += '\n[[remarks]]\nplace = "case"\ntext = "Seen above"\nphoto = "../secret.png"\n'
    case = folder / "case.toml"
    case.write_text(text, encoding="utf-8")
    return case


def test_photos_that_cannot_be_shown_get_a_line_and_the_rest_is_made(appraise, photographed, tmp_path):
    data = tmp_path / "r.json"
    answer = appraise("report", photographed, "-o", data, "--draws", "200")
    assert answer.code == 2  # a path that climbs out of the folder is refused with the case
    assert "../secret.png" in answer.err
    text = photographed.read_text(encoding="utf-8").rpartition("\n[[remarks]]")[0]
    photographed.write_text(text, encoding="utf-8")
    answer = appraise("report", photographed, "-o", data, "--draws", "200")
    assert (answer.code, answer.out) == (0, f"wrote {data}\n")
    lines = answer.err.splitlines()
    assert len(lines) == 3
    assert all(f"{photographed}:" in line for line in lines)
    blocks = [b for s in json.loads(data.read_text())["document"]["sections"] for b in s["blocks"]]
    (plates,) = [block for block in blocks if block["kind"] == "plates"]
    problems = {photo["file"]: photo["problem"] or "" for row in plates["rows"] for photo in row}
    assert problems["found.png"] == ""
    assert "expected the photo whose SHA-256 is" in problems["other.png"]
    assert problems["missing.png"] == "found no such file, expected the photo missing.png"
    assert problems["link.png"].startswith("found a link out of the folder")
    assert problems["text.png"].startswith("found no picture")


def test_a_report_with_photos_computes_again_anywhere(appraise, photographed, tmp_path):
    text = photographed.read_text(encoding="utf-8").rpartition("\n[[remarks]]")[0]
    photographed.write_text(text, encoding="utf-8")
    data = tmp_path / "elsewhere" / "report.json"  # where no file of the case's name lies
    data.parent.mkdir()
    assert appraise("report", photographed, "-o", data, "--draws", "200").code == 0
    photographed.unlink()
    assert appraise("check", data) == (0, f"{data}: the same to the cent; its case is not beside it\n", "")
