"""Whatever a person has written behind a # stands in the file after a save, at what it was written about."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from decimal import Decimal
from random import Random

import pytest

from appraise.model.case import Grade, Remark
from appraise.store.document import to_document
from appraise.store.read import parse_case, read_case
from appraise.store.write import write_case
from appraise.tables.folder import data_folder
from appraise.tables.lines import toml_lines
from appraise.tables.load import load_tables

TABLES = load_tables()
SAMPLES = sorted(data_folder("sample_cases").glob("*.toml"))

TEXT = """\
# The head.

schema = 1  # the layout

# All that is known of it.
[identity]
kind = "upright"  # not a grand
# From the fallboard.
maker = "Calvenor"
compass = 88  # counted

[assignment]
inspected = 2026-11-20

# First of two.
[[remarks]]
place = "case"
text = \"\"\"
A scratch # which is no comment
on the fall.\"\"\"  # seen by day
notes = [
    1,  # lowest
    2,
]
# Ask the owner.

# Second of two.
[[remarks]]
place = "case"
text = "A veneer chip"  # left side

[[grades]]
check = "plate_finish"
grade = 2
# Nothing follows.
"""


def saved(tmp_path, text, change=lambda case: case):
    path = tmp_path / "case.toml"
    path.write_text(text, encoding="utf-8")
    case, problems = read_case(path, TABLES)
    assert case is not None, [str(problem) for problem in problems]
    write_case(path, change(case), TABLES)
    found = path.read_text(encoding="utf-8")
    again, problems = read_case(path, TABLES)
    assert to_document(again) == to_document(change(case)), problems
    return found


def test_each_stays_at_what_it_was_written_about(tmp_path):
    found = saved(tmp_path, TEXT, lambda case: replace(case, identity=replace(case.identity, maker="Brunvock")))
    assert "# The head.\n\nschema = 1  # the layout\n" in found
    assert "# All that is known of it.\n[identity]\n" in found
    assert 'kind = "upright"  # not a grand\n# From the fallboard.\nmaker = "Brunvock"\n' in found
    assert "# First of two.\n[[remarks]]\n" in found
    assert "notes = [1, 2]\n# Ask the owner.\n\n# Second of two.\n[[remarks]]" in found
    assert 'text = "A veneer chip"  # left side\n' in found
    assert "A scratch # which is no comment\n" in found
    for words in ("# counted", "# lowest", "# seen by day", "# Nothing follows."):
        assert found.count(words) == 1, words


def test_a_record_takes_its_comments_along(tmp_path):
    def turned(case):
        return replace(case, remarks=(Remark("case", "New"), case.remarks[1], case.remarks[0]))

    found = saved(tmp_path, TEXT, turned)
    second, first = found.index("# Second of two."), found.index("# First of two.")
    assert second < found.index('text = "A veneer chip"  # left side') < first < found.index("A scratch")
    assert found.index('text = "New"') < second


def test_comments_at_what_is_gone_are_not(tmp_path):
    found = saved(tmp_path, TEXT, lambda case: replace(case, remarks=(), grades=()))
    for words in ("# First of two.", "# left side", "# lowest", "# Ask the owner.", "# Second of two."):
        assert found.count(words) == 1, words


def test_another_name_takes_them_along(tmp_path):
    (tmp_path / "case.toml").write_text(TEXT, encoding="utf-8")
    case, _ = read_case(tmp_path / "case.toml", TABLES)
    write_case(tmp_path / "other.toml", case, TABLES, comments_of=tmp_path / "case.toml")
    found = (tmp_path / "other.toml").read_text(encoding="utf-8")
    assert found.startswith("# The head.")
    assert "# From the fallboard.\n" in found


def commented(random: Random, text: str) -> tuple[str, Counter[str]]:
    """Return a text with comments at random lines, beside values and between them, and what they say."""
    words: Counter[str] = Counter()
    made = []
    lines = text.split("\n")
    inside = False
    for line in toml_lines(text):
        if not inside and random.random() < 0.15:
            made += [f"# own {line.number}", *([""] if random.random() < 0.3 else [])]
            words[f"# own {line.number}"] += 1
        beside = not inside and line.path and line.ends and line.comment < 0 and random.random() < 0.2
        made.append(lines[line.number - 1] + (f" # by {line.number}" if beside else ""))
        if beside:
            words[f"# by {line.number}"] += 1
        inside = not line.ends
    return "\n".join(made), words


def changed(random: Random, case):
    """Return a case with records gone, turned round, new or another."""
    kinds = ("readings", "grades", "remarks", "photos", "renewals")
    for name in kinds:
        records = [record for record in getattr(case, name) if random.random() < 0.8]
        if random.random() < 0.3:
            random.shuffle(records)
        case = replace(case, **{name: tuple(records)})
    if random.random() < 0.5:
        case = replace(case, costs=replace(case.costs, carriage=Decimal("120.00")))
    if random.random() < 0.5:
        case = replace(case, remarks=(*case.remarks, Remark("case", "One more")))
    return case


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_none_is_lost_whatever_changes(tmp_path, path):
    for number in range(12):
        random = Random(f"{path.stem}:{number}")
        text, words = commented(random, path.read_text(encoding="utf-8"))
        case, problems = parse_case(text, TABLES, file="case.toml")
        assert case is not None, [str(problem) for problem in problems]
        new = changed(random, case)
        found = saved(tmp_path, text, lambda _, new=new: new)
        counted = Counter(word for line in found.split("\n") for word in re.findall("# (?:own|by) [0-9]+$", line))
        assert counted == words, number
        write_case(tmp_path / "case.toml", new, TABLES)
        assert (tmp_path / "case.toml").read_text(encoding="utf-8") == found, number


def test_a_grade_that_is_new_takes_no_comment_of_another(tmp_path):
    found = saved(tmp_path, TEXT, lambda case: replace(case, grades=(Grade(3, "beams_posts"), *case.grades)))
    assert (
        found.index('check = "beams_posts"') < found.index('check = "plate_finish"') < found.index("# Nothing follows.")
    )
