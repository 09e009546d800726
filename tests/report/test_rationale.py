"""The rationale: no figure in prose that is not a node of the tree, no words but ours, the row's or the file's."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from appraise.engine.valuation import value_case
from appraise.engine.work import groups
from appraise.explain import reason_tree
from appraise.model.case import DryingClueSeen, Grade, Reading, Renewal
from appraise.model.locale_format import PLAIN
from appraise.model.notes import name_of
from appraise.model.reason import Quote, Reason
from appraise.model.result import Range, WorkList
from appraise.model.span import Span
from appraise.report.appraisal import appraisal, assembled
from appraise.report.document import Facts, Table
from appraise.report.kinds import ReportKind, document_for
from appraise.report.rationale import rationale
from appraise.report.terminal import value_page
from appraise.report.value_texts import counts_on_choice
from appraise.report.words import day, literal, number, small
from appraise.store.read import read_case
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
from appraise.tables.rows import CheckKind
from tests.helpers.depth import examples
from tests.helpers.golden import whole_or_digest
from tests.helpers.report_cases import bare, grand, priced, unwanted, watched, young
from tests.helpers.report_text import words_of
from tests.helpers.terminal_text import printed
from tests.report.conftest import DRAWS, GOLDEN, valued


def strings(thing):
    """Yield every text in a case or a table, and every way its dates are written."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, Span):
        yield PLAIN.when(thing)
    elif isinstance(thing, date):
        yield day(thing)
    elif isinstance(thing, Mapping):
        for value in thing.values():
            yield from strings(value)
    elif isinstance(thing, tuple):
        for value in thing:
            yield from strings(value)
    elif is_dataclass(thing):
        for field in fields(thing):
            yield from strings(getattr(thing, field.name))


def quotable(item):
    """Return every text that a sentence may quote."""
    identity = item.case.identity
    texts = {*strings(item.case), *strings(item.valuation), *(node.label for node in item.tree.walk())}
    for name in ("components", "checks", "remedies", "bases", "dating_clues", "condition_classes", "cautions"):
        texts.update(strings(getattr(item.tables, name)))
    for name in ("drying_clues", "drying_stories"):
        texts.update(strings(getattr(item.tables, name)))
    texts.update(text.removesuffix(f", {identity.kind}") for text in tuple(texts))
    texts.update(name_of(note) for remark in item.case.remarks for note in remark.notes)
    texts.add(f"{identity.compass} notes")
    if identity.size_cm is not None:
        texts.add(f"{number(identity.size_cm)} cm")
    plain = {literal(text).rstrip(" .;") for text in texts}
    return {*plain, *(small(text) for text in plain), *(text[:1].upper() + text[1:] for text in plain)}


def assert_reasoned(item):
    """Every piece of every sentence is words without digits, a node of the tree, or a quotation."""
    nodes = {node.figure: node for node in item.tree.walk()}
    allowed = quotable(item)
    sentences = [sentence for chapter in item.chapters for sentence in chapter.sentences]
    assert sentences
    for sentence in sentences:
        for piece in sentence.pieces:
            if isinstance(piece, Reason):
                assert nodes[piece.figure] == piece, sentence.text
            elif isinstance(piece, Quote):
                assert piece.text in allowed, (piece.text, sentence.text)
            else:
                assert not any(char.isdigit() for char in piece), sentence.text
        numbers = re.findall(r"\d[\d,.]*", sentence.text)
        carried = " ".join(
            piece.shown if isinstance(piece, Reason) else piece.text
            for piece in sentence.pieces
            if not isinstance(piece, str)
        )
        assert all(found.rstrip(",.") in carried for found in numbers), sentence.text


def test_no_figure_without_a_reason(item):
    assert_reasoned(item)


CHECKS = load_tables().checks


def answered(check):
    """Return a strategy for one answer to a check."""
    if check.kind is CheckKind.GRADED:
        return st.sampled_from([1.0, 2.0, 2.5, 3.0, 4.0, 5.0]).map(lambda grade: Grade(grade, check=check.key))
    if check.kind is CheckKind.YES_NO:
        return st.booleans().map(lambda found: Reading(check.key, found))
    low, high = check.anchors[0][0], check.anchors[-1][0]
    if check.kind is CheckKind.COUNT:
        return st.integers(0, int(high) + 1).map(lambda count: Reading(check.key, float(count)))
    return st.floats(low, high).map(lambda value: Reading(check.key, round(value, 2), check.unit))


@st.composite
def inspections(draw):
    """Return a case with some of its checks answered and some parts renewed."""
    case = draw(st.sampled_from([grand, priced, unwanted, young, bare, watched]))()
    possible = [
        check for check in CHECKS.values() if case.identity.kind in check.kinds and check.kind is not CheckKind.RECORD
    ]
    chosen = draw(st.lists(st.sampled_from(possible), max_size=25, unique_by=lambda check: check.key))
    answers = [draw(answered(check)) for check in chosen]
    made = case.identity.made.latest if case.identity.made else date(1950, 1, 1)
    since = draw(st.dates(made + timedelta(days=1), case.assignment.inspected))
    renewals = draw(
        st.sampled_from(
            [(), (Renewal(("hammers",), Span(since, since)),), (Renewal(("plain_strings",), clues=("wire_grey",)),)]
        )
    )
    clues = draw(st.dictionaries(st.sampled_from(sorted(load_tables().drying_clues)), st.booleans(), max_size=6))
    return replace(
        case,
        drying_clues=tuple(DryingClueSeen(key, seen) for key, seen in clues.items()),
        pitch_log=case.pitch_log[: draw(st.integers(0, 40))],
        grades=tuple(answer for answer in answers if isinstance(answer, Grade)),
        readings=tuple(answer for answer in answers if isinstance(answer, Reading)),
        renewals=renewals,
    )


@settings(max_examples=examples(10), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(inspections())
def test_no_figure_without_a_reason_in_any_case(case):
    assert_reasoned(appraisal(case, load_tables(), draws=64))


def test_sentences_are_sentences(item):
    for chapter in item.chapters:
        for sentence in chapter.sentences:
            text = sentence.text
            assert text[0] == text[0].upper(), text
            assert text.endswith("."), text
            assert "  " not in text, text
            assert " ." not in text, text
            assert not text.endswith(".."), text


def test_no_two_sentences_are_the_same(item):
    if item.file == "hostile.toml":
        pytest.skip("its texts are all alike")
    texts = [sentence.text for chapter in item.chapters for sentence in chapter.sentences]
    assert len(texts) == len(set(texts))


def test_topics_are_the_ones_named(item):
    told = rationale(item.case, item.tables, item.valuation, item.tree)
    named = {"value", "instrument", "history", "station", "work", "not inspected", "range", "caution"}
    named |= {"pitch", "drying"}
    assert {sentence.topic for sentence in told} <= named
    assert told == tuple(sentence for chapter in item.chapters for sentence in chapter.sentences)


def text_of(name, topic):
    """Return what a case's rationale says on one topic."""
    chapters = valued(name).chapters
    return " ".join(s.text for chapter in chapters if chapter.topic == topic for s in chapter.sentences)


def test_without_a_price_it_says_so_and_speaks_of_a_share():
    text = text_of("bare", "value")
    assert "no value in money can be stated" in text
    assert valued("bare").figures.shown("share_of_new") in text
    assert "EUR" not in text


def test_an_unwanted_piano_is_called_so():
    text = text_of("unwanted", "value")
    assert "No ready market is expected" in text
    assert "the figure is the cost of disposal, not a price" in text
    assert valued("unwanted").figures.shown("salvage") in text
    assert "−" in valued("unwanted").figures.shown("salvage")


@pytest.mark.parametrize(
    ("salvage", "words"),
    [
        (Range(20.0, 40.0, 60.0), "Disposal brings more than a sale as an instrument"),
        (Range(-420.0, -280.0, -90.0), "the figure is the cost of disposal, not a price"),
    ],
)
def test_salvage_that_sets_the_value_is_called_so(salvage, words):
    """The prose for either sign of salvage, whatever the tables make of a given piano."""
    case, tables = unwanted(), load_tables()
    valuation = replace(value_case(case, tables, draws=64), best="salvage", salvage=salvage)
    item = assembled(case, tables, valuation, reason_tree(case, tables, valuation))
    assert_reasoned(item)
    text = " ".join(s.text for chapter in item.chapters if chapter.topic == "value" for s in chapter.sentences)
    assert words in text
    assert item.figures.shown("salvage") in text


def test_a_critical_part_that_gates_is_named():
    text = text_of("unwanted", "value")
    assert "The plate, at grade" in text
    assert "holds the whole piano back" in text
    assert valued("unwanted").figures.shown("usability") in text


def test_what_was_not_inspected_is_listed_part_by_part(item):
    text = " ".join(s.text for c in item.chapters if c.topic == "not inspected" for s in c.sentences)
    for station in item.valuation.stations:
        parts = [part for part in station.components if part.inspected <= 0 and not part.overruled]
        if len(parts) == len(station.components):
            assert small(station.label) in text or "Nothing was inspected" in text
        else:
            assert all(small(part.label) in text for part in parts)


def test_the_governing_check_is_told_in_the_words_of_its_row():
    text = text_of("unwanted", "station")
    words = dict(CHECKS["beams_posts"].words)
    assert small(words[5.0]).rstrip(".") in text
    assert "Broken or missing strings: 7" in text
    assert "alone counts for no worse than grade" in text


def test_an_overruling_grade_carries_its_reason():
    text = text_of("grand", "station")
    assert "For the key bushings the assessor sets the grade at 3.5: “cloth hard throughout, keys rattle”." in text


def test_history_tells_dates_evidence_and_clues():
    text = text_of("grand", "history")
    assert "renewed in 1998 by first workshop; evidence: invoice of that year." in text
    assert "at an undocumented date" in text
    assert "copper windings dull brown and plain wire slightly grey, which point to an age of" in text
    assert valued("grand").figures.shown("plain_strings.age") in text
    assert "repaired between 2005 and 2008; undocumented." in text


def test_the_three_lists_of_work_are_told_in_their_order():
    item = sample("removal_after")
    lists = groups(item.valuation.work)
    text = " ".join(s.text for chapter in item.chapters if chapter.topic == "work" for s in chapter.sentences)
    places = [text.index(head) for head in ("Needed now", "Pays for itself", "For the player, not for the price")]
    assert places == sorted(places)
    for job in (*lists[WorkList.NEEDED], *lists[WorkList.PAYS]):
        assert item.figures.shown(f"work.{job.remedy}.cost") in text
    for job in lists[WorkList.PAYS]:
        assert item.figures.shown(f"work.{job.remedy}.value_added") in text
    assert "not worth" not in text.lower()


def test_what_can_hurt_somebody_comes_first_and_says_what_happens():
    item = sample("removal_after")
    text = " ".join(s.text for chapter in item.chapters if chapter.topic == "work" for s in chapter.sentences)
    assert text.startswith("Needed now, for safety: rebuild a leg and its plate, at ")
    assert "If not done: the instrument can collapse" in text


def told_in(document):
    """Return what a document tells before the derivation of its figures."""
    sections = tuple(section for section in document.sections if section.key != "derivation")
    return words_of(replace(document, sections=sections))


@pytest.mark.parametrize("name", ["cracked_plate_grand", "attic_upright"])
def test_what_is_disposed_of_is_advised_no_work(name):
    item = sample(name)
    assert item.valuation.best == "salvage"
    value, work = (
        " ".join(s.text for chapter in item.chapters if chapter.topic == topic for s in chapter.sentences)
        for topic in ("value", "work")
    )
    assert value.lower().index("disposal") < value.index("A comparable new instrument costs")
    assert work.startswith("The course is disposal, so no work is advised. If kept, it would need ")
    assert "cannot wait" not in work
    assert "large job is to be expected" not in work
    safety = [job for job in item.valuation.work if job.safety and job.group is not WorkList.PLAYER]
    assert all(small(job.if_left).rstrip(".") in work for job in safety)
    pages = [" ".join(told_in(document_for(kind, item))) for kind in ("full", "summary", "workorder")]
    pages.append(printed(*value_page(item), width=4000))
    for page in pages:
        assert "The value assumes disposal, so no work is advised." in page
        assert "Would need, were it kept" in page
        assert "Needed now" not in page
        assert "For the player" not in page


def test_where_no_market_is_expected_no_exposure_time_is_told():
    item = sample("attic_upright")
    assert "No ready market is expected" in " ".join(s.text for c in item.chapters for s in c.sentences)
    for page in (" ".join(told_in(document_for("full", item))), printed(*value_page(item), width=4000)):
        assert "none, as no ready market is expected" in page
        assert "months of advertising" not in page
    item = sample("renewed_grand")
    assert "months of advertising" in " ".join(words_of(document_for("full", item)))


@pytest.mark.parametrize("path", sorted(data_folder("sample_cases").glob("*.toml")), ids=lambda path: path.stem)
def test_one_count_of_jobs_in_every_document(path):
    """As many jobs as the lists have lines: steps that serve others are lines too."""
    item = sample(path.stem)
    lines = sum(job.group is not WorkList.PLAYER for job in item.valuation.work)
    if not lines:
        pytest.skip("no job is needed and none pays")
    cost = item.figures.shown("work_listed")
    assert f"{lines} job{'s' * (lines > 1)}, {cost} in all" in " ".join(words_of(document_for("full", item)))
    order = document_for("workorder", item)
    (head,) = [dict(block.rows) for block in order.sections[0].blocks if isinstance(block, Facts)]
    assert head["Jobs"] == str(lines) == str(sum(part.key.startswith("job_") for part in order.sections))
    page = document_for("summary", item)
    (work,) = [section for section in page.sections if section.key == "work"]
    needed = [row for block in work.blocks if isinstance(block, Table) for row in block.rows if row[0] != "Together"]
    paying = dict(row for block in work.blocks if isinstance(block, Facts) for row in block.rows)
    pays = paying.get("Pays for itself") or paying.get("Would pay for itself, were it kept") or ""
    assert len(needed) + sum("together" not in job for job in pays.split("; ") if job) == lines


@pytest.mark.parametrize("path", sorted(data_folder("sample_cases").glob("*.toml")), ids=lambda path: path.stem)
def test_one_figure_for_the_next_large_job_and_no_part_left_out_beside_a_limit(path):
    """Every document tells it from one node, and what limits the visit stands beside what was inspected."""
    item = sample(path.stem)
    pages = {kind: " ".join(words_of(document_for(kind, item))) for kind in ("full", "summary")}
    for page in pages.values():
        told = re.findall(r"large job is expected in about ([\d.]+ years?)", page)
        assert set(told) <= {item.figures.shown("next_intervention")}
        assert "first renewal" not in page.lower()
        inspected = all(part.inspected > 0 for s in item.valuation.stations for part in s.components)
        if inspected and literal(item.case.assignment.limits):
            assert "none; for places that could not be reached, see the limits of the visit" in page
            assert literal(item.case.assignment.limits).rstrip(".") in page


def test_the_choice_kept_open_is_a_figure_of_its_own():
    item = valued("grand")
    option = item.figures.shown("option")
    assert item.valuation.option > item.valuation.step
    for kind in ("full", "summary"):
        document = document_for(kind, item)
        rows = [row for s in document.sections for block in s.blocks if isinstance(block, Facts) for row in block.rows]
        told = f"{option}: the course is chosen once the instrument is opened"
        assert ("Option value in the best estimate", told) in rows
    (section,) = [each for each in document_for("full", item).sections if each.key == "assumptions"]
    assumed = [text for text in section.blocks[0].items if text.startswith("Extraordinary assumption: ")]
    assert any(option in text for text in assumed)


@pytest.mark.parametrize("kind", ["full", "summary", "workorder"])
def test_every_document_ends_with_the_law_first(item, kind):
    assert words_of(document_for(kind, item))[-1] == "Local codes and licensed practice come first."


def test_a_part_due_by_age_alone_is_to_be_looked_at_first():
    """It is not due now, and no number of years is told for it: nobody inspected it."""
    item = sample("barely_inspected_upright")
    station = next(s for s in item.valuation.stations if any(part.due for part in s.components))
    assert not any(part.inspected for part in item.valuation.due)
    page = document_for("full", item)
    tables = [block for s in page.sections for block in s.blocks if isinstance(block, Table)]
    rows = [row for table in tables for row in table.rows if row[0] == station.label and len(row) >= 4]
    assert rows[0][-1] == "inspect first"
    assert not any("now" in row[-1].split() for row in rows)
    assert "“Inspect first”: a part is due by its age, but was not inspected." in " ".join(words_of(page))
    said = words_of(document_for("summary", item))
    assert "Due by age, not inspected" in said
    assert "Due now" not in said


@pytest.mark.parametrize("kind", ["full", "summary", "workorder"])
def test_no_grade_of_a_tuning_that_nobody_heard(kind):
    item = sample("barely_inspected_upright")
    document = document_for(kind, item)
    tables = [block for s in document.sections for block in s.blocks if isinstance(block, Table)]
    rows = [row for table in tables for row in table.rows if "Tuning and pitch" in row]
    assert all(row == ("Tuning and pitch", "not inspected") for row in rows)
    assert bool(rows) == (kind == "full")
    grade = item.figures.get("tuning.grade")
    assert grade is not None
    assert not any(grade.figure in s.figures for chapter in item.chapters for s in chapter.sentences)


def test_the_first_of_many_parts_is_not_taken_for_the_likeliest_alone():
    item = sample("trade_in_grand")
    coming = item.valuation.next_intervention
    text = " ".join(s.text for chapter in item.chapters if chapter.topic == "work" for s in chapter.sentences)
    assert f"in about {item.figures.shown('next_intervention')} (" in text
    assert f"last about {item.figures.shown(f'{coming.component}.remaining')}." in text


def test_a_fault_of_the_whole_is_told_as_found_or_not(item):
    """No depreciation and no good order of a flood, of borers or of mould."""
    faults = {key for key, row in item.tables.components.items() if row.hazard}
    for chapter in item.chapters:
        for sentence in chapter.sentences:
            assert not {f"{key}.depreciation" for key in faults} & set(sentence.figures)
    labels = {small(item.tables.components[key].label) for key in faults - {"tuning"}}
    told = " ".join(s.text for c in item.chapters if c.topic == "station" for s in c.sentences)
    assert not any(f"{label} {verb} in good order" in told for label in labels for verb in ("is", "are"))


def test_value_that_counts_on_work_is_an_extraordinary_assumption():
    item = sample("renewed_grand")
    assert item.valuation.best == "after_work"
    shown = item.figures.shown
    told = " ".join(s.text for chapter in item.chapters if chapter.topic == "value" for s in chapter.sentences)
    assert f"the work that the value counts on can be done for about {shown('plan_cost')}" in told
    assert f"if not, its value as is would be {shown('left_alone')}" in told
    assert "A buyer deducts the cost of that job, about " in told
    page = " ".join(words_of(document_for("full", item)))
    assert f"if not, the value as is would be {shown('left_alone')}" in page
    assert shown("left_alone") not in " ".join(words_of(document_for("workorder", item)))  # for a workshop: no value
    page = " ".join(words_of(document_for("summary", item)))
    assert (
        f"can be done for about {shown('plan_cost')}; without that work the value is about {shown('left_alone')}"
        in page
    )


def test_a_fault_that_costs_more_than_it_adds_is_paid_for_as_is():
    item = sample("practice_upright")
    assert item.valuation.best == "left_alone"
    told = " ".join(s.text for chapter in item.chapters if chapter.topic == "value" for s in chapter.sentences)
    usable = item.figures.shown("usability")
    assert f"Fixing that costs more than it adds; a buyer pays for the piano as is: {usable} of a sound one." in told
    assert "Extraordinary assumption" not in " ".join(words_of(document_for("full", item)))


@pytest.mark.parametrize("name", ["attic_upright", "removal_after", "renewed_grand", "trade_in_grand"])
def test_the_work_order_and_the_report_name_one_total(name):
    item = sample(name)
    total = item.figures.shown("work_listed")
    for kind in ("full", "summary", "workorder"):
        assert total in " ".join(words_of(document_for(kind, item))), kind


@pytest.mark.parametrize(
    ("basis", "words", "never"),
    [
        ("replacement_new", "supposes a new instrument in place of this one", "a hidden fault would change"),
        ("used_replacement", "sound in every part that plays, whatever faults this one has", "supposes the sale"),
        ("retail", "supposes the sale that its definition describes", "Hypothetical condition"),
        ("trade_in", "supposes the sale that its definition describes", "Hypothetical condition"),
        ("like_for_like", "The value is valid for the effective date", "Hypothetical condition"),
    ],
)
def test_closing_statements_are_true_of_the_kind_of_value(basis, words, never):
    case = grand()
    item = appraisal(replace(case, assignment=replace(case.assignment, basis=basis)), load_tables(), draws=DRAWS)
    (section,) = [each for each in document_for("full", item).sections if each.key == "assumptions"]
    text = " ".join(section.blocks[0].items)
    assert words in text
    assert never not in text
    counts_on_work = item.valuation.best == "after_work" or counts_on_choice(item.tables, item.valuation)
    assert ("Extraordinary assumption" in text) == counts_on_work
    assert "no hypothetical condition was made" not in text


def test_a_like_used_instrument_is_sound_whatever_this_one_is():
    case = unwanted()
    item = appraisal(
        replace(case, assignment=replace(case.assignment, basis="used_replacement")), load_tables(), draws=64
    )
    assert_reasoned(item)
    text = " ".join(s.text for chapter in item.chapters if chapter.topic == "value" for s in chapter.sentences)
    assert "assumes every playing part to be sound, so no work is considered" in text
    assert "back" not in text
    assert "choice kept open" not in text


def test_closing_statements_follow_the_case():
    plain = appraisal(priced(), load_tables(), draws=DRAWS)
    (section,) = [each for each in document_for("full", plain).sections if each.key == "assumptions"]
    text = " ".join(section.blocks[0].items)
    assert "The case states no limits of the visit and no adjustment of the assessor." in text
    assert "two comparable sales would weigh more" in text
    assert "comparables are taken as stated" not in text
    (section,) = [each for each in document_for("full", valued("grand")).sections if each.key == "assumptions"]
    text = " ".join(section.blocks[0].items)
    assert "comparables are taken as stated" in text
    assert "Effective ages and grades that the assessor set are taken as stated" in text
    assert "No comparable sales" not in text


def test_without_a_labour_rate_no_work_is_judged():
    assert "No labour rate was given" in text_of("priced", "work")
    assert "no work would bring back" not in text_of("priced", "value")


def test_the_origin_of_the_market_factor_is_told():
    assert "the comparable sales in this case show" in text_of("grand", "value")
    assert "the reference tables allow" in text_of("priced", "value")


def test_pitch_and_drying_are_told_with_what_to_watch():
    pitch, drying = text_of("watched", "pitch"), text_of("watched", "drying")
    figures = valued("watched").figures
    assert "drifting flat" in pitch
    assert figures.shown("pitch.drift") in pitch
    assert "A4 on 2 March 2025 stood at −55 cents" in pitch
    assert "The clues show that it has dried out" in drying
    assert figures.shown("drying.story.dried_out") in drying
    assert "the worst result of drying" in drying
    assert "The key coverings hold so far" in drying
    assert "To be watched" in drying
    assert figures.shown("drying.next") in drying


def test_without_log_and_clues_there_is_no_word_of_them():
    assert text_of("grand", "pitch") == text_of("grand", "drying") == ""
    assert valued("grand").figures.get("pitch") is None
    assert valued("grand").figures.get("drying") is None


@pytest.mark.parametrize(
    ("clues", "words"),
    [
        (
            {"pins_loose": True, "board_cracks_fresh": True, "flat_soon": True},
            "a record of dry air over weeks is lacking",
        ),
        ({"rust": True, "pins_loose": True, "keys_swollen": True}, "signs of damp as well"),
        ({"pins_loose": True}, "stays open"),
        ({"pins_loose": False}, "None of the clues looked for"),
        ({"flat_throughout": True, "pins_loose": False, "screws_loose": False}, "long untuned"),
    ],
)
def test_other_conclusions_on_drying_read_well(clues, words):
    case = replace(bare(), drying_clues=tuple(DryingClueSeen(key, seen) for key, seen in clues.items()))
    item = appraisal(case, load_tables(), draws=64)
    assert_reasoned(item)
    assert words in " ".join(s.text for c in item.chapters if c.topic == "drying" for s in c.sentences)


@pytest.mark.parametrize("basis", ["replacement_new", "like_for_like", "retail", "auction", "trade_in"])
def test_every_basis_reads_well(basis):
    case = grand()
    item = appraisal(replace(case, assignment=replace(case.assignment, basis=basis)), load_tables(), draws=DRAWS)
    assert_reasoned(item)
    text = " ".join(s.text for c in item.chapters if c.topic == "value" for s in c.sentences)
    assert ("market factor" in text) == (basis not in ("replacement_new", "like_for_like"))


def test_the_rationale_of_each_case(item, text_snapshot):
    lines = []
    for chapter in item.chapters:
        lines.append(f"{chapter.heading} [{chapter.topic}]")
        lines += [f"  {sentence.text}" for sentence in chapter.sentences]
    assert whole_or_digest("\n".join(lines) + "\n", whole=item.file in GOLDEN) == text_snapshot


def sample(name):
    path = Path(__file__).parents[2] / "sample_cases" / f"{name}.toml"
    tables = load_tables()
    return appraisal(read_case(path, tables)[0], tables, draws=300)


def owner_text(item):
    return " ".join(words_of(document_for("summary", item)))


def test_a_piano_nobody_looked_at_is_told_so_from_the_first_line():
    item = sample("barely_inspected_upright")
    told = " ".join(sentence.text for chapter in item.chapters for sentence in chapter.sentences)
    assert "No part of it was inspected; it is valued as of 20 November 2026 (" in told
    assert "It was inspected on" not in told
    page = owner_text(item)
    assert "Not inspected yet: the condition is the one expected for its age." in page
    assert "parts: nothing was inspected" in page


def test_an_owner_is_told_that_it_has_dried_out():
    assert "The clues show that it has dried out: " in owner_text(sample("attic_upright"))
    assert "dried out" not in owner_text(sample("renewed_grand"))


def test_what_is_due_is_told_before_the_next_large_job():
    """Hammers cut to the wood are due now, and what comes next comes after them."""
    item = sample("practice_upright")
    due = {part.component: part for part in item.valuation.due}
    assert due["hammers"].large
    assert not set(due) & set(item.valuation.next_intervention.competing)
    text = " ".join(sentence.text for chapter in item.chapters for sentence in chapter.sentences)
    now = text.index("cannot wait: ")
    assert "hammers" in text[now : text.index(".", now)]
    assert now < text.index("A large job is expected in about ")
    drowned = sample("flooded_hall_grand")
    text = " ".join(sentence.text for chapter in drowned.chapters for sentence in chapter.sentences)
    assert "reached the end of its economic life" in text


def told_of(times, first=False):
    """Return what is said of a sample grand whose comparables were sold at so many times their price."""
    tables = load_tables()
    case = read_case(data_folder("sample_cases") / "renewed_grand.toml", tables)[0]
    sold = tuple(replace(each, price=each.price * Decimal(times)) for each in case.market.comparables)
    case = replace(case, market=replace(case.market, comparables=sold[:1] if first else sold))
    item = appraisal(case, tables, draws=DRAWS)
    return item, " ".join(words_of(document_for(ReportKind.FULL, item)))


@pytest.mark.parametrize(("times", "told"), [("0.7", False), ("10", True), ("0.1", True)])
def test_a_market_factor_far_from_that_of_the_tables_is_pointed_out(times, told):
    _, text = told_of(times)
    assert ("before anybody relies on this figure" in text) == told


@pytest.mark.parametrize(("times", "told"), [("0.8", False), ("0.1", True)])
def test_approaches_that_contradict_each_other_are_told_to(times, told):
    item, text = told_of(times, first=True)
    for words in ("differ by more than their uncertainties", "(Birge ratio), which adds"):
        assert (words in text) == told
    assert (item.figures.get("disagreement") is not None) == told
