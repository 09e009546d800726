"""What an owner reads of money: what the instrument needs, and what it is worth on which basis."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.explain.missing import missing_cost, missing_rate
from appraise.model.result import WorkList
from appraise.report import household
from appraise.report.cautions import PLATE, applicable
from appraise.report.document import Column, Facts, Paragraph, Section
from appraise.report.lives import BY_AGE, lives_told
from appraise.report.sections.identity import BELOW_ZERO
from appraise.report.sections.tables import lean
from appraise.report.sections.work import DISPOSAL_FIRST
from appraise.report.value_texts import counts_on_choice, disposed, job_told, list_title, lists_told, none_needed
from appraise.report.words import said

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from appraise.model.result import WorkItem
    from appraise.report.appraisal import Appraisal
    from appraise.report.document import Block, Table

TUNING = "tuning"
"""The component that a tuning puts right."""

IN_TUNE = 2.5
"""Heidecke's class “sound, wear plain”: up to here no more than the usual tuning is asked for [grade]."""

NONE_LEFT = 0.5
"""An economic life below this is none [years]."""


def needs(item: Appraisal) -> Section:
    """What it needs now, what pays and what a player gains, every job of it; tuning; and what comes later."""
    say = item.manner.say
    title, key = say("Work it needs"), "work"
    if not item.case.costs.reckoned:
        why = say("No work was costed: {why}.", why=missing_rate(item.case, item.manner))
        return Section(title, (Paragraph(why), *_facts(_later(item))), key=key)
    lists = lists_told(item.valuation)
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
        (job_told(job, item.manner), shown(f"work.{job.remedy}.cost"), said(item.manner, job.if_left)) for job in jobs
    ]
    if len(jobs) > 1:
        rows.append((say("Together"), shown(f"work_list.{WorkList.NEEDED}"), ""))
    title = say(list_title(item.valuation, WorkList.NEEDED))
    return lean((Column(title), Column(say("Costs"), numeric=True), Column(say("If not done"))), rows)


def _in_a_line(item: Appraisal, group: WorkList, jobs: tuple[WorkItem, ...]) -> tuple[str, str]:
    """Return every job of another list with its cost, and what they cost together where they are several."""
    say, shown, small = item.manner.say, item.figures.shown, item.manner.small
    told = "; ".join(
        say("{job} {cost}", job=small(job_told(job, item.manner)), cost=shown(f"work.{job.remedy}.cost"))
        for job in jobs
    )
    if len(jobs) > 1:
        told = say("{jobs}; together {cost}", jobs=told, cost=shown(f"work_list.{group}"))
    return say(list_title(item.valuation, group)), told


def _both(item: Appraisal) -> Iterator[tuple[str, str]]:
    """Yield what is needed now and what pays for itself come to together, where there is some of both."""
    lists, say = lists_told(item.valuation), item.manner.say
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
    yield from (row for row in lives_told(item) if row[0] == say(BY_AGE))
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
    listed = [job.remedy for jobs in lists_told(item.valuation).values() for job in jobs]
    if any(TUNING in item.tables.remedies[remedy].improves for remedy in listed):
        return
    part = item.valuation.component(TUNING)
    endangered = any(PLATE in row.components for row in applicable(item.case, item.tables, item.valuation))
    if part.inspected <= 0:
        yield say("Tuning"), say("not heard at the inspection; have it looked over before it is tuned")
    elif part.grade.mid <= IN_TUNE and not endangered:
        yield say("Tuning"), say("the usual tuning only; once more when it has settled after a move")
    else:
        yield say("Tuning"), say("ask the appraiser before it is tuned")


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
            "costs about {new} today; age and condition leave {share} of that",
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
