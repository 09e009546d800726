"""`loss` as a person runs it."""

from __future__ import annotations

import hashlib
import json
import shutil
from pathlib import Path

import pytest

from appraise.services.report_audit import frozen_text
from appraise.store.trail_file import read_trail
from tests.helpers.samples import copied_samples, look_only

FOLDER = copied_samples()
BEFORE, AFTER = FOLDER / "removal_before.toml", FOLDER / "removal_after.toml"


@pytest.fixture(autouse=True)
def photos(tmp_path):
    """The photos of the pair, where tests copy its cases to."""
    shutil.copytree(FOLDER / "photos", tmp_path / "photos")


def test_the_page(appraise):
    answer = appraise("loss", BEFORE, AFTER, "--weight", "480 kg", "--volume", "4 m³")
    assert (answer.code, answer.err) == (0, "")
    assert "Proposed: EUR" in answer.out
    for amount in ("SDR 3,998.40", "SDR 960.00", "EUR 2,480.00", "USD 634.93"):
        assert amount in answer.out
    assert "check the current edition and the policy, ask a lawyer; this is no legal advice" in answer.out


@pytest.mark.usefixtures("value_anew")
def test_the_same_words_give_the_same_object(appraise):
    words = ("loss", BEFORE, AFTER, "--json", "--seed", "7", "--draws", "300")
    first, second = appraise(*words), appraise(*words)
    assert first.out == second.out
    value = json.loads(first.out)
    assert (value["schema"], value["seed"], value["draws"], value["currency"]) == (1, 7, 300, "EUR")
    assert [each["counting"] for each in value["scenarios"]] == ["established", "all_unknown"]
    assert value["before"]["file"] == "removal_before.toml"
    assert {rule["rule"] for rule in value["carriage"]["rules"]} >= {"cmr_limit", "hgb_451e"}


def test_weights_are_understood_in_either_unit(appraise):
    for words in (("--weight", "480"), ("--weight", "1058.2189 lb")):
        value = json.loads(appraise("loss", BEFORE, AFTER, *words, "--json", "--draws", "100").out)
        owed = {rule["rule"]: rule["at_most"] for rule in value["carriage"]["rules"]}
        assert (owed["cmr_limit"], owed["us_released_value"], owed["hgb_451e"]) == ("3998.40", "634.93", "1860.00")


def test_the_dossier(appraise, tmp_path):
    target = tmp_path / "claim.md"
    answer = appraise("loss", BEFORE, AFTER, "-o", target, "--sum-insured", "15000", "--excess", "250")
    assert (answer.code, answer.out) == (0, f"wrote {target}\n")
    text = target.read_text(encoding="utf-8")
    assert text.startswith("# Loss: grand piano, Ostravell OV 178, serial 28655\n")
    assert "| Sum insured | EUR 15,000 |" in text
    again = appraise("loss", BEFORE, AFTER, "-o", target)
    assert again.code == 2
    assert again.err.endswith("found a file of this name; --force replaces it\n")
    assert target.read_text(encoding="utf-8") == text
    assert appraise("loss", BEFORE, AFTER, "-o", target, "--force").code == 0


def test_a_dossier_is_put_down_in_the_trail_of_the_later_case(appraise, tmp_path):
    """With the hashes of both states; no appraisal says that it amends one."""
    after = tmp_path / "after.toml"
    shutil.copytree(FOLDER / "papers", tmp_path / "papers")
    after.write_bytes(AFTER.read_bytes())
    target = tmp_path / "claim.md"
    for words in (("loss", BEFORE, after), ("report", after, "--kind", "loss", "--before", BEFORE)):
        assert appraise(*words, "-o", target, "--draws", "100", "--force").code == 0
    records = [record for record in read_trail(after).records if record.act == "report"]
    assert [record.more["before"] for record in records] == [hashlib.sha256(BEFORE.read_bytes()).hexdigest()]
    (record,) = records
    assert record.more["file"] == hashlib.sha256(after.read_bytes()).hexdigest()
    assert record.more["report"] == hashlib.sha256(target.read_bytes()).hexdigest()
    assert frozen_text(record).encode() == after.read_bytes()
    after.write_text(after.read_text(encoding="utf-8").replace("[identity]", "# a word\n[identity]"), encoding="utf-8")
    assert appraise("report", after, "-o", tmp_path / "full.md", "--draws", "100").code == 0
    assert "Amends" not in (tmp_path / "full.md").read_text(encoding="utf-8")
    checked = appraise("check", after)
    assert checked.code == 0, checked.err


@pytest.fixture
def kept(appraise, tmp_path):
    """A case that remembers its state before the move, and what the move did since."""
    path = tmp_path / "grand.toml"
    shutil.copytree(FOLDER / "papers", tmp_path / "papers")
    path.write_bytes(BEFORE.read_bytes())
    answer = appraise("loss", "--set-before", "removal", path)
    assert answer.code == 0
    assert answer.out.startswith("kept the state of 2026-10-06 as grand.toml.before-2026-10-06, read-only, SHA-256 ")
    assert answer.err == ""
    remembered = path.read_text(encoding="utf-8").split("[earlier_state]")[1]
    path.write_text(AFTER.read_text(encoding="utf-8") + "\n[earlier_state]" + remembered, encoding="utf-8")
    return path


def test_one_file_and_its_remembered_state_say_what_two_files_say(appraise, kept):
    words = ("--json", "--draws", "100")
    one, two = (json.loads(appraise("loss", *files, *words).out) for files in ((kept,), (BEFORE, AFTER)))
    assert one["before"] == {
        "file": "grand.toml.before-2026-10-06",
        "sha256": hashlib.sha256(BEFORE.read_bytes()).hexdigest(),
        "inspected": "2026-10-06",
        "remembered": True,
        "preliminary_parts": [],
    }
    for key in ("scenarios", "remarks", "checks", "components", "value_before", "timeline", "cautions"):
        assert one[key] == two[key], key
    checked = appraise("check", kept)  # the photos of the later state are not there, and no work of ours wrote it
    assert checked.code == 1
    assert "it was changed outside the program" in checked.out
    assert "earlier_state" not in checked.out


def test_the_frozen_copy_is_read_only_and_the_case_it_was(kept):
    copy = kept.with_name("grand.toml.before-2026-10-06")
    assert copy.read_bytes() == BEFORE.read_bytes()
    assert copy.stat().st_mode & 0o777 == 0o444


def test_a_changed_copy_is_refused_with_one_line(appraise, kept):
    copy = kept.with_name("grand.toml.before-2026-10-06")
    copy.chmod(0o644)
    copy.write_bytes(copy.read_bytes() + b"\n")
    answer = appraise("loss", kept)
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.count("\n") == 1
    for words in (
        "grand.toml.before-2026-10-06: found another content",
        "put back the copy that grand.toml was set with",
    ):
        assert words in answer.err
    assert appraise("check", kept).code == 1
    copy.unlink()
    assert "found that it cannot be read (no such file)" in appraise("loss", kept).err


def test_setting_twice_is_refused_and_nothing_is_written_over(appraise, kept):
    before = kept.read_bytes()
    answer = appraise("loss", "--set-before", "again", kept)
    assert answer.code == 2
    assert (
        "found an earlier state of 2026-10-06 in it, expected none; --in-place-of with its day sets another"
        in answer.err
    )
    assert kept.read_bytes() == before
    assert appraise("loss", "--set-before", "again", kept, "--force").code == 2
    assert appraise("loss", "--set-before", "again", kept, "--in-place-of", "2026-10-07").code == 2
    assert appraise("loss", "--set-before", "again", kept, "--in-place-of", "2026-10-06").code == 0
    assert kept.with_name("grand.toml.before-2026-10-06").read_bytes() == BEFORE.read_bytes()
    assert kept.with_name("grand.toml.before-2026-11-03").read_bytes() == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((AFTER,), "found no earlier state in it, expected one"),
        (("--set-before", "x", BEFORE, AFTER), "found two files with --set-before"),
        (("--set-before", "x", AFTER, "-o", "x.md"), "found --output with --set-before"),
        ((BEFORE, AFTER, "--delivered", "2026-09-01"), "found the delivery on 2026-09-01, expected a day from"),
        ((BEFORE, AFTER, "--delivered", "soon"), "expected a day such as"),
        ((BEFORE, AFTER, "--residual", "-1"), "--residual"),
    ],
)
def test_what_makes_no_sense_is_one_line(appraise, words, said):
    answer = appraise("loss", *words)
    assert (answer.code, answer.out, answer.err.count("\n")) == (2, "", 1)
    assert said in answer.err


def test_options_go_before_what_the_case_says_of_the_claim(appraise, kept):
    text = kept.read_text(encoding="utf-8")
    without = text[: text.index("\n[claim]")] + text[text.index("\n[earlier_state]") :]
    kept.write_text(without, encoding="utf-8")
    claim = '\n[claim]\nsum_insured = "15000"\nexcess = "250"\nweight_kg = 480.0\ndelivered = 2026-10-23\n'
    kept.write_text(kept.read_text(encoding="utf-8") + claim, encoding="utf-8")
    words = ("--json", "--draws", "100")
    value = json.loads(appraise("loss", kept, *words).out)
    assert (value["terms"]["sum_insured"], value["terms"]["excess"]) == ("15000.00", "250.00")
    assert (value["carriage"]["weight_kg"], value["delivered"]) == (480.0, "2026-10-23")
    other = json.loads(appraise("loss", kept, "--excess", "900", "--surrendered", "--residual", "70", *words).out)
    assert (other["terms"]["excess"], other["terms"]["surrendered"]) == ("900.00", True)
    assert other["scenarios"][0]["residual"]["mid"] == "70.00"


def test_no_betterment(appraise):
    value = json.loads(appraise("loss", BEFORE, AFTER, "--no-betterment", "--json", "--draws", "100").out)
    assert value["terms"]["betterment_deducted"] is False
    assert value["scenarios"][0]["betterment"]["high"] == "0.00"
    assert value["scenarios"][0]["repair"] == value["scenarios"][0]["net_repair"]


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (
            (BEFORE, FOLDER / "attic_upright.toml"),
            "attic_upright.toml: found the kind “upright”, expected “grand” as in removal_before.toml; these are not "
            "one instrument, or one of the files has it wrong",
        ),
        (
            (AFTER, BEFORE),
            "removal_before.toml: inspected on 2026-10-06, expected a day from 2026-11-03 on; is removal_after.toml "
            "the state before?",
        ),
        ((BEFORE, AFTER, "--weight", "heavy"), "--weight: the weight: found “heavy”, expected a number in kg"),
        ((BEFORE, AFTER, "--weight", "5 t"), "--weight: the weight: found the unit “t”, expected kg, lb"),
        (
            (BEFORE, AFTER, "--weight", "5000 kg"),
            "--weight: the weight: found 5000 kg, which cannot be, expected 20 to 2000 kg",
        ),
        ((BEFORE, AFTER, "--volume", "nan"), "--volume: the volume: found “nan”, expected a number in m³"),
        (
            (BEFORE, AFTER, "--excess", "inf"),
            "--excess: found “inf”, expected an amount of money, its currency left out: 14000 or 14000.50",
        ),
        ((BEFORE, AFTER, "--excess=-5"), "--excess: found “-5”, expected an amount from 0 to 99,999,999,999"),
        ((BEFORE, AFTER, "--sum-insured", "0"), "--sum-insured: found “0”, expected an amount above 0"),
        (
            (BEFORE, AFTER, "--sum-insured", "9" * 80),
            f"--sum-insured: found “{'9' * 59}…”, expected an amount from 0 to 99,999,999,999",
        ),
        (
            (BEFORE, BEFORE, "--value-at-risk", "9000"),
            "found --value-at-risk without --sum-insured, expected both, for average",
        ),
        ((BEFORE, AFTER, "-o", "claim.doc"), "claim.doc: found the ending .doc, expected .pdf, .html, .md or .json"),
        (
            (BEFORE, AFTER, "-o", "nowhere/claim.md"),
            "nowhere/claim.md: found no folder nowhere, expected one; make it first",
        ),
    ],
)  # fmt: skip
def test_one_line_and_code_2(appraise, words, line):
    answer = appraise("loss", *words)
    assert (answer.code, answer.out) == (2, "")
    assert answer.err == f"appraise loss: {line}\n"


def test_another_serial(appraise, tmp_path):
    other = tmp_path / "other.toml"
    shutil.copytree(FOLDER / "papers", tmp_path / "papers")
    other.write_text(AFTER.read_text(encoding="utf-8").replace('serial = "28655"', 'serial = "[/b] 1"'))
    answer = appraise("loss", BEFORE, other)
    assert answer.code == 2
    assert "found the serial “[/b] 1”, expected “28655”" in answer.err
    assert answer.err.count("\n") == 1


def test_a_file_that_cannot_be_read(appraise, tmp_path, good):
    missing = appraise("loss", tmp_path / "nope.toml", good)
    assert (missing.code, missing.out) == (2, "")
    assert missing.err.count("\n") == 1
    (tmp_path / "bad.toml").write_bytes(b"\xff\xfe")
    assert appraise("loss", good, tmp_path / "bad.toml").code == 2


def test_a_case_against_itself(appraise, good):
    answer = appraise("loss", good, good)
    assert answer.code == 0
    assert "Oskelmoor [/b] [bold]" in answer.out
    assert "No repair can be costed: no labour rate was given." in answer.out


def test_a_missing_photo_is_told_and_the_rest_made(appraise, tmp_path, good):
    text = good.read_text(encoding="utf-8")
    good.write_text(f'{text}\n[[remarks]]\nplace = "finish"\ntext = "Scratch"\nphoto = "gone.jpg"\n', encoding="utf-8")
    answer = appraise("loss", good, good, "--json")
    assert answer.code == 0
    assert "gone.jpg" in answer.err
    assert json.loads(answer.out)["photos"][0]["after"]["file"] == "gone.jpg"


def test_a_loss_that_rests_on_a_quick_look_says_so(appraise, tables, tmp_path):
    before, after = (Path(shutil.copy(path, tmp_path)) for path in (BEFORE, AFTER))
    part = look_only(after, tables)
    told = json.loads(appraise("loss", before, after, "--draws", 128, "--json").out)
    assert told["before"]["preliminary_parts"] == []
    assert told["after"]["preliminary_parts"] == [part]
    assert "graded at a quick look" in appraise("loss", before, after, "--draws", 128).out
    assert "graded at a quick look" not in appraise("loss", BEFORE, AFTER, "--draws", 128).out
