"""A check answered with suspected: between no and yes in the value, with and without in a claim, typed and kept."""

from __future__ import annotations

from dataclasses import replace

import pytest

from appraise.engine.condition import condition
from appraise.engine.sampler import Sampler
from appraise.engine.subject import assemble
from appraise.engine.valuation import value_case
from appraise.explain.terms import answers_text
from appraise.model.case import Grade, Reading, Remark
from appraise.model.claim import Finding, Origin
from appraise.model.locale_format import PLAIN
from appraise.model.loss import Doubt
from appraise.model.problem import InputError
from appraise.services.answers import write_answer
from appraise.services.case_session import CaseSession
from appraise.store.document import case_text
from appraise.store.read import parse_case
from tests.helpers.depth import whole
from tests.unit.test_loss_compare import TABLES, compare, sample

CHECK = "plate_crack"
TABLE_PCT = 50.0


def answered(case, value, probability_pct=None, check=CHECK):
    kept = tuple(reading for reading in case.readings if reading.check != check)
    return replace(case, readings=(*kept, Reading(check, value, probability_pct=probability_pct)))


def value(case):
    return value_case(case, TABLES, draws=256).value


QUESTIONS = sorted(
    row.key for row in TABLES.checks.values() if row.kind == "yes_no" and "grand" in row.kinds and row.key != CHECK
)


@pytest.mark.parametrize("check", [CHECK, *whole(QUESTIONS, QUESTIONS[::8])])
def test_suspected_lies_between_no_and_yes_and_falls_with_its_probability(check):
    """A law for every question of a grand: no figure of the range rises as the fault gets likelier."""
    case = sample("after")
    answers = [(False, None), *((Finding.SUSPECTED.value, pct) for pct in (2.0, 20.0, 60.0, 98.0)), (True, None)]
    found = [value(answered(case, *answer, check=check)) for answer in answers]
    for end in ("low", "mid", "high"):
        figures = [getattr(each, end) for each in found]
        assert figures == sorted(figures, reverse=True), end


def test_the_share_of_the_draws_is_the_probability():
    case = sample("after")
    source = Sampler(1, 1000)

    def left(one):
        return condition(assemble(one, TABLES), (), source, TABLES).worn["plate"].kept

    no, yes, suspected = (
        left(answered(case, *answer)) for answer in ((False,), (True,), (Finding.SUSPECTED.value, 30.0))
    )
    struck = suspected == yes
    assert struck.sum() == 300
    assert (suspected[~struck] == no[~struck]).all()
    assert (yes < no).all()


def test_without_a_probability_the_tables_counts():
    assert TABLES.setting("suspected_pct") == TABLE_PCT
    case = sample("after")
    assert value(answered(case, "suspected")) == value(answered(case, "suspected", TABLE_PCT))


def test_the_middle_case_goes_by_what_is_likelier():
    case = sample("after")

    def central(one):
        return float(condition(assemble(one, TABLES), (), Sampler.centre(), TABLES).worn["plate"].kept[0])

    no, yes = central(answered(case, value=False)), central(answered(case, value=True))
    assert central(answered(case, "suspected", 50.0)) == no
    assert central(answered(case, "suspected", 51.0)) == yes != no


def test_a_grade_of_the_assessor_stands_over_what_is_suspected():
    case = sample("after")
    mine = replace(case, grades=(*case.grades, Grade(2.0, component="plate", reason="magnified, no crack")))
    assert value(answered(mine, "suspected")) == value(answered(mine, value=False))


def test_the_worst_of_two_suspected_faults_governs():
    case = answered(sample("after"), "suspected", 40.0, "plate_repair")
    both = answered(case, "suspected", 40.0)
    plate = next(part for part in assemble(both, TABLES).parts if part.key == "plate")
    grades = [doubt.part.seen.grade for doubt in plate.suspected]
    assert grades == sorted(grades)
    assert value(both).low <= value(case).low
    assert value(both).mid <= value(answered(sample("after"), "suspected", 40.0)).mid


def claim(answer, probability_pct=None, *, before=False, remarks=()):
    earlier = answered(sample("before"), before)
    later = answered(sample("after"), answer, probability_pct)
    return compare(earlier, replace(later, remarks=(*later.remarks, *remarks)))


def suspected_of(loss):
    return [each for each in loss.doubtful if each.doubt is Doubt.SUSPECTED]


def test_a_suspected_answer_has_its_scenario_in_the_claim():
    plain, loss, sure = claim(answer=False), claim("suspected", 20.0), claim(answer=True)
    assert loss.scenarios[0] == plain.scenarios[0]  # what is suspected establishes nothing
    (found,) = suspected_of(loss)
    assert (found.line.latest.place, found.line.latest.check, found.probability) == ("plate", CHECK, 0.2)
    assert found.without == plain.scenarios[0].loss
    assert found.counted.mid > 5 * found.without.mid
    assert found.payable_counted.mid > found.payable_without.mid
    # As much as if the answer were yes and put down to the move, all else as established.
    text = "Crack at the second strut."
    known = claim(answer=True, remarks=(Remark("plate", text, origin=Origin.TRANSIT),))
    assert found.counted == known.scenarios[0].loss
    assert loss.scenarios[-1].loss.mid >= found.counted.mid
    assert not suspected_of(sure)
    (change,) = [each for each in loss.checks if each.check == CHECK]
    said = [answers_text(answers, change.unit, PLAIN) for answers in (change.before, change.after)]
    assert (said, change.worse_by) == (["no", "suspected"], 0.0)


def test_a_remark_on_it_tells_it_once_with_the_probability_of_the_answer():
    remark = Remark("plate", "A dark line.", finding=Finding.SUSPECTED, check=CHECK)
    (found,) = suspected_of(claim("suspected", 20.0, remarks=(remark,)))
    assert (found.line.latest.text, found.probability) == ("A dark line.", 0.2)
    own = replace(remark, probability_pct=35.0)
    (found,) = suspected_of(claim("suspected", 20.0, remarks=(own,)))
    assert found.probability == 0.35


@pytest.mark.parametrize("before", ["suspected", True])
def test_what_was_there_or_suspected_before_is_in_no_doubt_of_the_move(before):
    assert not suspected_of(claim("suspected", before=before))


# -- typed and kept ------------------------------------------------------------------------------------------


@pytest.fixture
def sheet(tmp_path):
    return CaseSession(tmp_path / "case.toml", sample("after"), TABLES)


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("s", ("suspected", None)),
        ("Suspected", ("suspected", None)),
        ("s30", ("suspected", 30.0)),
        ("suspected 12,5 %", ("suspected", 12.5)),
        ("suspected, 7 %", ("suspected", 7.0)),
        ("y", (True, None)),
        ("no", (False, None)),
    ],
)
def test_answers_as_typed(sheet, text, kept):
    write_answer(sheet, TABLES.checks[CHECK], text)
    (found,) = [reading for reading in sheet.case.readings if reading.check == CHECK]
    assert (found.value, found.probability_pct) == kept


@pytest.mark.parametrize("text", ["s0", "s100", "suspected -3", "suspect", "s3 mm", "maybe"])
def test_what_is_no_answer_is_refused_in_one_line_and_nothing_is_lost(sheet, text):
    before = sheet.case
    with pytest.raises(InputError) as refused:
        write_answer(sheet, TABLES.checks[CHECK], text)
    assert "\n" not in str(refused.value)
    assert sheet.case is before


def test_it_comes_back_from_the_file():
    case = answered(sample("after"), "suspected", 20.0)
    text = case_text(case)
    assert 'value = "suspected"\nprobability_pct = 20\n' in text
    again, problems = parse_case(text, TABLES, file="case.toml")
    assert not [problem for problem in problems if problem.grave]
    assert again.readings == case.readings


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('value = "suspected"', 'value = "Suspected"', 'mend: write "suspected"'),
        ('value = "suspected"', 'value = "perhaps"', 'true or false, without quotes, or "suspected"'),
        ("probability_pct = 20", "probability_pct = 100", "probability_pct: found 100"),
        ('value = "suspected"', "value = true", 'no such key unless value = "suspected"'),
    ],
)
def test_a_file_that_says_it_otherwise_gets_one_line(old, new, said):
    text = case_text(answered(sample("after"), "suspected", 20.0))
    assert old in text
    _, problems = parse_case(text.replace(old, new), TABLES, file="case.toml")
    lines = [str(problem) for problem in problems if "readings" in str(problem)]
    assert len(lines) == 1
    assert said.removeprefix("mend: ") in lines[0]
