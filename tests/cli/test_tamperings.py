"""`check` finds every tampering of the table with exit code 1 and one line; untouched, everything is whole."""

from __future__ import annotations

import json
import shutil

import pytest

from tests.helpers.tamperings import CASE, JSON, PDF, TAMPERINGS, TRAIL, custody, cut, replaced


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("custody") / "made"
    folder.mkdir()
    custody(folder)
    return folder


@pytest.fixture
def folder(made, tmp_path):
    return shutil.copytree(made, tmp_path / "claim")


def test_untouched(appraise, folder):
    before = {path: path.read_bytes() for path in folder.iterdir() if path.is_file()}
    answer = appraise("check", folder / CASE, folder / JSON, folder / PDF)
    assert (answer.code, answer.err) == (0, "")
    case, dossier, document = answer.out.splitlines()
    assert case.startswith(f"{folder / CASE}: no problems; a trail of ")
    assert dossier == f"{folder / JSON}: the same to the cent"
    assert document.startswith(f"{folder / PDF}: the document as it was written on ")
    assert document.endswith(f"of {TRAIL})")
    assert {path: path.read_bytes() for path in folder.iterdir() if path.is_file()} == before


@pytest.mark.parametrize("each", TAMPERINGS, ids=lambda each: f"{each.done}, {each.checked}")
def test_tampering(appraise, folder, each):
    each.act(folder)
    answer = appraise("check", folder / each.checked)
    assert (answer.code, answer.err) == (1, "")
    assert [line for line in answer.out.splitlines() if each.line in line], answer.out
    assert "no problems" not in answer.out
    assert "the same to the cent" not in answer.out


def test_the_hash_that_a_document_printed(appraise, folder):
    said = json.loads((folder / JSON).read_text(encoding="utf-8"))["trail"]["hash"]
    for typed in (said, f"{said[:12]}…", f"{said[:32]} {said[32:]}".upper()):
        assert appraise("check", folder / CASE, "--hash", typed).code == 0
    cut(folder, 5)
    assert appraise("check", folder / CASE).code == 0, "a crash before the line of a save leaves the same"
    answer = appraise("check", folder / CASE, "--hash", said)
    assert answer.code == 1
    assert f"{TRAIL}: found no line with the hash {said[:12]}…, expected the line that a document" in answer.out
    for wrong in ("abc", "g" * 64, "0" * 65):
        assert appraise("check", folder / CASE, "--hash", wrong).code == 2


def test_a_case_of_another_ending_knows_its_document(appraise, good, tmp_path):
    case = good.rename(tmp_path / "grand.case-file")
    assert appraise("report", case, "--kind", "summary", "--draws", "100", "-o", tmp_path / "r.md").code == 0
    assert appraise("check", case, tmp_path / "r.md").code == 0
    replaced(tmp_path / "r.md", "1985", "1995")
    assert appraise("check", tmp_path / "r.md").code == 1


def test_a_pdf_is_never_read_as_a_case(appraise, tmp_path):
    for name in ("report.pdf", "report.toml"):
        (tmp_path / name).write_bytes(b"%PDF-1.7\nschema = 1\n")
        answer = appraise("check", tmp_path / name)
        assert (answer.code, answer.err) == (1, "")
        assert "found no trail beside it, expected one that names SHA-256" in answer.out
    answer = appraise("check", tmp_path / "none.pdf")
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.count("\n") == 1
    assert "no such file" in answer.err
