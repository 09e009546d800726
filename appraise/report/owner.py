"""The page for an owner: what it is, what was done, how it is, what it needs, what it is worth, and who says so."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from appraise.explain.terms import missing_cost, missing_rate
from appraise.model.case import Extent
from appraise.model.findings import in_time
from appraise.model.result import WorkList
from appraise.report import household
from appraise.report.cautions import PLATE, applicable
from appraise.report.document import Column, Facts, FillInLines, Paragraph, PhotoGrid, Section
from appraise.report.document_header import framed
from appraise.report.lives import BY_AGE, life_rows
from appraise.report.provenance import amended
from appraise.report.sections.cells import invented, lean
from appraise.report.sections.identity import BELOW_ZERO, not_inspected
from appraise.report.sections.photos import shots
from appraise.report.sections.work import DISPOSAL_FIRST
from appraise.report.value_texts import (
    counts_on_choice,
    disposed,
    job_text,
    list_title,
    none_needed,
    nothing_inspected,
    work_lists,
)
from appraise.report.words import capital, literal, said

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from appraise.model.case import Renewal
    from appraise.model.result import WorkItem
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block, Document, Photo, Table


_QUIET = frozenset({"nothing", "open", "untuned", "poor_work", "age"})
"""Conclusions on the clues to drying that an owner need not hear of."""


def owner_summary(item: Appraisal) -> Document:
    """Arrange a valued case for whoever owns the instrument, on one page or two; nothing that was written is cut.

    Args:
        item: The valued case.
    """
    sections = (_piano(item), _history(item), _state(item), needs(item), worth(item), _who(item))
    return framed(item, item.manner.say("Summary for the owner"), sections, close=True)


def _piano(item: Appraisal) -> Section:
    say, asked, it = item.manner.say, item.case.assignment, item.case.identity
    made = say("not known") if it.made is None else item.manner.dated(it.made)
    if it.made is not None and it.made_evidence.strip():
        made = say("{when}; evidence: {evidence}", when=made, evidence=literal(it.made_evidence))
    stated = (
        (say("Made"), made),
        (say("Serial number"), literal(it.serial)),
        (say("Inspected"), ", ".join(filter(None, (item.manner.day(asked.inspected), literal(asked.place))))),
        (say("For"), literal(asked.client)),
        (say("Purpose"), literal(asked.purpose)),
    )
    blocks: list[Block] = [*invented(item.case), Facts(tuple(row for row in stated if row[1]))]
    if (photo := _photo(item)) is not None:
        blocks.append(PhotoGrid(((photo,),)))
    return Section(say("The piano"), tuple(blocks), key="piano")


def _photo(item: Appraisal) -> Photo | None:
    """Return the first photo of the case, one of the whole before all others.

    Its file and digest are left to the full report.
    """
    used = shots(item.case, item.tables)
    if not used:
        return None
    result = item.photos[0] if item.photos else used[0].plate(item.tables)
    caption, problem = used[0].caption(item.tables, item.manner), item.manner.render(result.problem)
    return replace(result, file="", caption=caption, problem=problem, sha256="", taken="")


def _history(item: Appraisal) -> Section:
    say, tuned = item.manner.say, item.case.identity.last_tuned
    rows = [_done(item, renewal) for renewal in in_time(item.case.renewals)]
    if tuned is not None:
        rows.append((capital(item.manner.dated(tuned)), say("last tuned")))
    blocks: list[Block] = [Facts(tuple(rows))] if rows else []
    if not item.case.renewals:
        blocks.insert(0, Paragraph(say("No work is on record: every part is taken to be as old as the piano.")))
    return Section(say("Work on record"), tuple(blocks), key="history")


def _done(item: Appraisal, renewal: Renewal) -> tuple[str, str]:
    say = item.manner.say
    parts = item.manner.listed(household.named(item, part) for part in renewal.components)
    renewed = renewal.extent == Extent.RENEWED
    what = say("new or rebuilt: {parts}", parts=parts) if renewed else say("repaired: {parts}", parts=parts)
    if by := literal(renewal.by):
        what = say("{work}; by {workshop}", work=what, workshop=by)
    when = say("date not known") if renewal.date is None else item.manner.dated(renewal.date)
    return capital(when), what


def _state(item: Appraisal) -> Section:
    say, stations = item.manner.say, item.valuation.stations
    rows = tuple(
        (
            household.station(item, station.station),
            household.condition(item, station),
            household.inspected(item, station),
            _noted(item, {station.station, *(part.component for part in station.components)}),
        )
        for station in stations
    )
    heads = (say("Part of the piano"), say("Condition"), say("Inspected"), say("Noted"))
    blocks: list[Block] = [lean(tuple(map(Column, heads)), rows)]
    if nothing_inspected(item.valuation):
        blocks.append(Paragraph(say("Not inspected yet: the condition is the one expected for its age.")))
    elif any(station.inspected <= 0 for station in stations):
        blocks.append(Paragraph(say("For parts not inspected, the condition is the one expected for their age.")))
    if item.valuation.drying is not None and item.valuation.drying.conclusion not in _QUIET:
        drying = next(chapter for chapter in item.chapters if chapter.topic == "drying")
        blocks.append(Paragraph(drying.sentences[0].text))
    return Section(say("Condition"), tuple(blocks), key="state")


def _noted(item: Appraisal, places: set[str]) -> str:
    texts = (literal(remark.text).rstrip(".;") for remark in item.case.remarks if remark.place in places)
    return "; ".join(text for text in texts if text)


def _who(item: Appraisal) -> Section:
    say, asked = item.manner.say, item.case.assignment
    rows = [(say("Appraiser responsible"), literal(asked.assessor) or say("not stated"))]
    rows.append((say("Not inspected"), not_inspected(item)))
    left_out = [item.tables.checks[left.check] for left in item.case.left_out if left.check in item.tables.checks]
    if left_out:
        named = "; ".join(item.manner.small(literal(check.label)) for check in left_out)
        rows.append((say("Could not be checked"), named))
    if literal(asked.limits):
        rows.append((say("Limits of the visit"), literal(asked.limits)))
    cautions = household.of_the_household(applicable(item.case, item.tables, item.valuation))
    if cautions:
        rows.append((say("Cautions"), " ".join(said(item.manner, row.short or row.text) for row in cautions)))
    rows += amended(item.standing, item.manner)
    word = say(
        "The full report, with the definition of the value and the assumptions, prevails. The program informs and "
        "signs nothing; this page is no legal or tax advice."
    )
    return Section(
        say("Appraiser and limits"),
        (Facts(tuple(rows)), Paragraph(word), FillInLines((say("Date and signature"),))),
        key="who",
    )


TUNING = "tuning"
"""The component that a tuning puts right."""

IN_TUNE = 2.5
"""Heidecke's class “sound, wear plain”: up to here no more than the usual tuning is asked for [grade]."""

NONE_LEFT = 0.5
"""An economic life below this is none [years]."""


def needs(item: Appraisal) -> Section:
    """Return the three lists of work with every job, tuning, and the jobs to come."""
    say = item.manner.say
    title, key = say("Work it needs"), "work"
    if not item.case.costs.reckoned:
        why = say("No work was costed: {why}.", why=missing_rate(item.case, item.manner))
        return Section(title, (Paragraph(why), *_facts(_later(item))), key=key)
    lists = work_lists(item.valuation)
    blocks: list[Block] = [Paragraph(say(DISPOSAL_FIRST))] if disposed(item.valuation) else []
    if needed := lists[WorkList.NEEDED]:
        blocks.append(_needed(item, needed))
    elif not blocks:
        blocks.append(Paragraph(none_needed(item.valuation, item.manner)))
    others = (_in_a_line(item, group, lists[group]) for group in lists if group is not WorkList.NEEDED)
    blocks += _facts((*(row for row in others if row[1]), *_both(item), *_later(item)))
    return Section(title, tuple(blocks), key=key)


def _facts(rows: Iterable[tuple[str, str]]) -> tuple[Facts, ...]:
    facts = Facts(tuple(rows))
    return (facts,) if facts.rows else ()


def _needed(item: Appraisal, jobs: tuple[WorkItem, ...]) -> Table:
    """Return every job that is needed now, what it costs and what happens if it is left."""
    say, shown = item.manner.say, item.figures.shown
    rows = [
        (job_text(job, item.manner), shown(f"work.{job.remedy}.cost"), said(item.manner, job.if_left)) for job in jobs
    ]
    if len(jobs) > 1:
        rows.append((say("Together"), shown(f"work_list.{WorkList.NEEDED}"), ""))
    title = say(list_title(item.valuation, WorkList.NEEDED))
    return lean((Column(title), Column(say("Costs"), numeric=True), Column(say("If not done"))), rows)


def _in_a_line(item: Appraisal, group: WorkList, jobs: tuple[WorkItem, ...]) -> tuple[str, str]:
    """Return every job of another list with its cost, and what they cost together where they are several."""
    say, shown, small = item.manner.say, item.figures.shown, item.manner.small
    text = "; ".join(
        say("{job} {cost}", job=small(job_text(job, item.manner)), cost=shown(f"work.{job.remedy}.cost"))
        for job in jobs
    )
    if len(jobs) > 1:
        text = say("{jobs}; together {cost}", jobs=text, cost=shown(f"work_list.{group}"))
    return say(list_title(item.valuation, group)), text


def _both(item: Appraisal) -> Iterator[tuple[str, str]]:
    """Yield what is needed now and what pays for itself come to together, where there is some of both."""
    lists, say = work_lists(item.valuation), item.manner.say
    if all(lists[group] for group in (WorkList.NEEDED, WorkList.PAYS)):
        both = say("work needed now and work that pays for itself")
        yield say("Together"), say("{jobs} {cost}", jobs=both, cost=item.figures.shown("work_listed"))


def _later(item: Appraisal) -> Iterator[tuple[str, str]]:
    """Yield what is due where no work was costed, the tuning, the next large job, and how long it is worth its upkeep.

    Nothing of an instrument that is disposed of.
    """
    say, v, shown = item.manner.say, item.valuation, item.figures.shown
    if disposed(v):
        return
    due = [household.named(item, part.component) for part in v.due if part.inspected]
    if due and not item.case.costs.reckoned:
        yield say("Due now"), item.manner.listed(due)
    yield from _tuning(item)
    yield from (row for row in life_rows(item) if row[0] == say(BY_AGE))
    life = item.figures.get("economic_life")
    if life is not None and isinstance(life.value, float) and life.value < NONE_LEFT:
        yield say("Worth its upkeep"), say("no longer: it is worth less than the work it needs, or than its parts")
        return
    if v.next_intervention is not None:
        text = say(
            "the next large job is expected in about {years}, most likely on the {part}",
            years=shown("next_intervention"),
            part=household.named(item, v.next_intervention.component),
        )
        yield say("Later"), text
    if life is not None:
        yield say("Worth its upkeep"), say("for about {years}", years=shown("economic_life"))


def _tuning(item: Appraisal) -> Iterator[tuple[str, str]]:
    """Yield that the usual tuning will do, where somebody heard it and nothing speaks against it."""
    say = item.manner.say
    listed = [job.remedy for jobs in work_lists(item.valuation).values() for job in jobs]
    if any(TUNING in item.tables.remedies[remedy].improves for remedy in listed):
        return
    part = item.valuation.component(TUNING)
    endangered = any(PLATE in row.components for row in applicable(item.case, item.tables, item.valuation))
    if part.inspected <= 0:
        yield say("Tuning"), say("not heard at the inspection; have it checked before it is tuned")
    elif part.grade.mid <= IN_TUNE and not endangered:
        yield say("Tuning"), say("the usual tuning only; once more when it has settled after a move")
    else:
        yield say("Tuning"), say("ask the appraiser before having it tuned")


def worth(item: Appraisal) -> Section:
    """The value, the sum to insure where that is asked for, the kind of value in plain words, and what it rests on."""
    say, shown, v = item.manner.say, item.figures.shown, item.valuation
    rows: list[tuple[str, str]] = []
    if v.value is None:
        rows.append((say("Value"), say("none: {why}", why=missing_cost(item.case, item.manner))))
        rows.append((say("Share of a new one left"), shown("share_of_new")))
    else:
        low, high, best = shown("value.low"), shown("value.high"), shown("value")
        words = say("{low} to {high}; best estimate {best}", low=low, high=high, best=best)
        rows.append((say("Value"), best if low == high else words))
        if v.basis in household.INSURED:
            rows.append((say("Sum to insure"), say("{best}, on this kind of value", best=best)))
    rows.append((say("Kind of value"), household.basis(item)))
    rows += _supposed(item)
    rows += _rests(item)
    again = say("have it inspected again after {time}, and after any move, damage or work", time=shown("validity"))
    rows.append((say("Effective date"), f"{item.manner.day(item.case.assignment.inspected)}; {again}"))
    return Section(say("Value and market"), (Facts(tuple(rows)),), key="worth")


def _supposed(item: Appraisal) -> Iterator[tuple[str, str]]:
    """Yield what the value supposes: that it is disposed of, or that work is done."""
    say, shown, v = item.manner.say, item.figures.shown, item.valuation
    if v.value is not None and v.value.mid < 0:
        yield say("Below zero"), say(BELOW_ZERO)
    if disposed(v):
        yield (
            say("Assumes"),
            say("that it is parted out and taken away; sold as is, the figure is {left}", left=shown("left_alone")),
        )
    if counts_on_choice(item.tables, v):
        yield (
            say("Option value in the best estimate"),
            say("{option}: the course is chosen once the instrument is opened", option=shown("option")),
        )
    if v.value is not None and v.best == "after_work" and v.after_work is not None:
        yield (
            say("Assumes"),
            say(
                "that the work it counts on can be done for about {cost}; without that work the value is about {left}",
                cost=shown("plan_cost"),
                left=shown("left_alone"),
            ),
        )


def _rests(item: Appraisal) -> Iterator[tuple[str, str]]:
    """Yield what the value is reckoned from: a new one, and sales or a table of prices."""
    say, shown, v = item.manner.say, item.figures.shown, item.valuation
    if item.figures.get("replacement_cost_new") is None or v.value is None:
        return
    yield (
        say("A comparable new one"),
        say(
            "costs about {new} today; age and condition leave {share} of that cost",
            new=shown("replacement_cost_new"),
            share=shown("share_of_new"),
        ),
    )
    if v.market_factor_from == "comparables":
        count = len(v.grid)
        text = item.manner.several(
            "the price of {count} similar piano sold", "the prices of {count} similar pianos sold", count, count=count
        )
        yield say("Market prices from"), text
    elif v.market_factor_from == "table":
        yield say("Market prices from"), say("a general table of prices; no sale of a similar piano was at hand")
