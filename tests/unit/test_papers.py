"""The file of a quotation or a bid: hashed on entry in the form and by the command, compared by `check`."""

from __future__ import annotations

import hashlib
import json
import shutil
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from appraise.cli.parser import main
from appraise.model.claim import Quotation, SalvageBid
from appraise.model.problem import InputError
from appraise.screens.fields import RecordScreen
from appraise.services.opening import open_sheet
from appraise.services.papers import papers, with_paper
from appraise.services.particulars import CLAIM_RECORDS
from appraise.store.read import read_case
from appraise.store.write import write_case
from tests.helpers.samples import copied_samples
from tests.helpers.worksheet_cases import upright

OFFER = b"Invented: lyre and leg, 905.00\n"
DIGEST = hashlib.sha256(OFFER).hexdigest()
FILE = ("claim", "quotations", 0, "file")


@pytest.fixture
def case_file(tmp_path, tables):
    asked = Quotation("Invented workshop", Decimal("905.00"), ("soundboard_shim_upright",), date(2026, 11, 2))
    bid = SalvageBid("Invented buyer", Decimal("400.00"), date(2026, 11, 3))
    case = upright()
    write_case(
        tmp_path / "case.toml",
        replace(case, claim=replace(case.claim, quotations=(asked,), salvage_bids=(bid,))),
        tables,
    )
    (tmp_path / "papers").mkdir()
    (tmp_path / "papers/offer.txt").write_bytes(OFFER)
    return tmp_path / "case.toml"


@pytest.fixture
def case(case_file, tables):
    return read_case(case_file, tables)[0]


@pytest.mark.parametrize("name", ["quotations", "salvage_bids"])
def test_hashed_as_it_is_entered_and_the_digest_goes_with_the_file(case, case_file, name):
    path = ("claim", name, 0, "file")
    entered = with_paper(case, path, "papers/offer.txt", case_file)
    (found,) = papers(entered, case_file)
    assert (found.name, found.file, found.sha256, found.fault) == (name, "papers/offer.txt", DIGEST, "")
    (case_file.parent / "papers/offer.txt").write_bytes(b"another")
    (changed,) = papers(entered, case_file)
    assert "a file with" in changed.fault
    again = with_paper(entered, path, "papers/offer.txt", case_file)
    assert papers(again, case_file)[0].sha256 == hashlib.sha256(b"another").hexdigest()
    none = with_paper(again, path, "", case_file)
    assert not papers(none, case_file)
    assert getattr(none.claim, name)[0].sha256 == ""


@pytest.mark.parametrize(
    ("file", "said"),
    [
        ("papers/none.txt", "no such file"),
        ("papers", "expected the quotation or the bid"),
        ("/etc/hostname", "a path relative to the case file"),
        ("../case.toml", "a path inside the case file's folder"),
        ("papers\\offer.txt", "a path with / between folders"),
        ("papers/link.txt", "a link out of the folder"),
    ],
)
def test_what_is_not_there_is_refused_in_one_line(case, case_file, file, said):
    (case_file.parent / "papers/link.txt").symlink_to("/etc/hostname")
    with pytest.raises(InputError) as refused:
        with_paper(case, FILE, file, case_file)
    assert said in str(refused.value)
    assert "\n" not in str(refused.value)


def test_the_form_hashes_it_in_a_record_and_in_a_new_one(case_file, tables):
    sheet = open_sheet(case_file, tables).worksheet
    try:
        records = next(each for each in CLAIM_RECORDS if each.path == ("claim", "quotations"))
        assert "sha256" not in {field.path[-1] for field in records.fields}  # nobody types a digest
        RecordScreen(sheet, records, 0).put(FILE, "papers/offer.txt", "file")
        assert sheet.case.claim.quotations[0].sha256 == DIGEST
        draft = RecordScreen(sheet, records, 1, records.blank())
        new = ("claim", "quotations", 1)
        values = {
            "file": "papers/offer.txt",
            "firm": "Another",
            "amount": Decimal(900),
            "day": date(2026, 11, 3),
            "jobs": ("soundboard_shim_upright",),
        }
        for name, value in values.items():
            with pytest.raises(InputError):
                draft.put((*new, "file"), "papers/none.txt", "file")
            draft.put((*new, name), value, name)
        assert [each.sha256 for each in sheet.case.claim.quotations] == [DIGEST, DIGEST]
        sheet.undo()
        assert len(sheet.case.claim.quotations) == 1
    finally:
        sheet.release()


def test_the_command_hashes_and_check_compares(case_file, capsys):
    text = case_file.read_text().replace(
        'firm = "Invented workshop"', 'firm = "Invented workshop"\nfile = "papers/offer.txt"'
    )
    case_file.write_text(text)
    assert main(["photos", str(case_file)]) == 1
    assert "papers/offer.txt (quotation 1): not hashed when it was entered" in capsys.readouterr().out
    assert main(["photos", str(case_file), "--hash"]) == 0
    assert f"SHA-256 {DIGEST}" in capsys.readouterr().out
    assert f'sha256 = "{DIGEST}"' in case_file.read_text()
    assert main(["photos", str(case_file), "--json"]) == 0
    (told,) = json.loads(capsys.readouterr().out)["papers"]
    assert told == {"file": "papers/offer.txt", "list": "quotations", "number": 1, "sha256": DIGEST, "problem": None}
    assert main(["check", str(case_file)]) == 0
    (case_file.parent / "papers/offer.txt").write_bytes(b"another")
    capsys.readouterr()
    assert main(["check", str(case_file)]) == 1
    assert "claim.quotations[1].sha256: found a file with" in capsys.readouterr().out
    (case_file.parent / "papers/offer.txt").unlink()
    assert main(["photos", str(case_file), "--hash"]) == 1
    assert "no such file" in capsys.readouterr().out
    assert main(["check", str(case_file)]) == 1


def test_the_sample_claim_has_its_papers(tmp_path, tables, capsys):
    shutil.copytree(copied_samples(), tmp_path / "samples")
    assert main(["photos", str(tmp_path / "samples/removal_after.toml")]) == 0
    out = capsys.readouterr().out
    assert "papers/quotation_114.txt (quotation 1): as it was entered" in out
    assert "papers/bid_brimmick.txt (bid 1): as it was entered" in out
