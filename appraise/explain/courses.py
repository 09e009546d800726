"""Why each course comes to what it does: as is, after work, disposal; and what the lists of work come to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.costs import maker_class, removal, salvage_share
from appraise.engine.work import groups
from appraise.explain.worth import hour_nodes, work_nodes
from appraise.model.message import message
from appraise.model.result import Range, WorkList

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from appraise.explain.nodes import Context
    from appraise.model.reason import Reason
    from appraise.model.result import WorkItem


def course_nodes(context: Context) -> Iterator[Reason]:
    """Return what each course leaves: as is, after work, disposal; and the jobs."""
    say = context.say
    valuation = context.valuation
    chosen = [item for item in valuation.work if item.chosen]
    basis = context.refer(context.tables.bases[valuation.basis])
    if valuation.left_alone is not None:
        yield context.spread(
            "left_alone",
            say("As is"),
            valuation.left_alone,
            "money",
            say("no work done, the buyer’s first costs deducted, the approaches weighted, the adjustments made"),
            basis,
        )
    if valuation.after_work is not None:
        yield context.spread(
            "after_work",
            say("After the best plan of work, less its cost"),
            valuation.after_work,
            "money",
            say(
                "value with the plan done, less its cost and the buyer’s allowance for the trouble, the "
                "approaches weighted, the adjustments made"
            ),
            (
                *basis,
                *context.setting("incentive_typical"),
                *context.refer(*(context.tables.remedies[item.remedy] for item in chosen)),
            ),
        )
    if valuation.plan_cost is not None:
        yield context.spread(
            "plan_cost",
            say("Cost of the best plan"),
            valuation.plan_cost,
            "money",
            say(
                "sum of its jobs, shared steps once, each at its mean: {jobs}",
                jobs="; ".join(item.label for item in chosen),
            ),
            context.refer(*(context.tables.remedies[item.remedy] for item in chosen)),
            [_plan_hours(context, chosen)] if chosen else [],
        )
    if valuation.salvage is not None:
        kind = context.case.identity.kind
        yield context.spread(
            "salvage",
            say("Disposal: parts less removal"),
            valuation.salvage,
            "money",
            say("median of the draws: a share of replacement cost new, less what it costs to take it away"),
            context.setting(*(f"salvage_{kind}_{step}" for step in ("low", "typical", "high"))),
            [_parts_share(context), _removal(context)],
        )
    yield from _listed(context)
    yield from hour_nodes(context)
    yield from work_nodes(context)


_LISTS = {
    WorkList.NEEDED: message("Needed now, together"),
    WorkList.PAYS: message("Pays for itself, together"),
    WorkList.PLAYER: message("For the player, together"),
}
"""Labels of what each list of work costs."""


def _listed(context: Context) -> list[Reason]:
    """Return what each list of work costs, and the first two together with their hours; none where they are empty."""
    say, lists = context.say, groups(context.valuation.work)
    outer = say("low and high where all jobs go the same way")
    how = say("sum of its jobs, shared steps once")
    nodes = [
        context.spread(f"work_list.{group}", say(_LISTS[group]), _sum(jobs, "cost"), "money", how, outer=outer)
        for group, jobs in lists.items()
        if jobs
    ]
    jobs = (*lists[WorkList.NEEDED], *lists[WorkList.PAYS])
    if jobs:
        what = say("sum of work needed now and work that pays for itself, shared steps once")
        label, hours = say("Work needed now and work that pays for itself"), say("Hours of that work")
        nodes += [
            context.spread("work_listed", label, _sum(jobs, "cost"), "money", what, outer=outer),
            context.spread("work_listed_hours", hours, _sum(jobs, "hours"), "h", what, outer=outer),
        ]
    return nodes


def _sum(jobs: Sequence[WorkItem], name: str) -> Range:
    """Return the sum of the costs [money] or the hours [h] of some jobs."""
    spans: list[Range] = [getattr(job, name) for job in jobs]
    low, mid, high = (sum(getattr(span, end) for span in spans) for end in ("low", "mid", "high"))
    return Range(low, mid, high)


def _plan_hours(context: Context, chosen: list[WorkItem]) -> Reason:
    say = context.say
    how = say("sum of the hours of its jobs, shared steps once; low and high where all jobs go the same way")
    outer = say("low and high of the table")
    return context.spread("plan_hours", say("Hours of the best plan"), _sum(chosen, "hours"), "h", how, outer=outer)


def _parts_share(context: Context) -> Reason:
    say, row = context.say, maker_class(context.case, context.tables)
    share = salvage_share(context.case, context.tables).mid
    refs, how = context.setting(f"salvage_{context.case.identity.kind}_typical"), say("from the table")
    if row is not None and row.salvage != 1.0:
        refs += context.refer(row)
        how = say("from the table × {factor} for the class of maker", factor=context.manner.factor(row.salvage))
    return context.figure("salvage.share", context.say("Salvage, as a share of cost new"), share, "%", how, refs)


def _removal(context: Context) -> Reason:
    say = context.say
    stated = context.case.costs.removal is not None
    kind = context.case.identity.kind
    return context.exact(
        "removal",
        say("Taking it away"),
        removal(context.case, context.tables),
        say("as stated in the case") if stated else say("hours of the table at the labour rate"),
        () if stated else context.setting(f"removal_hours_{kind}"),
    )
