"""Repair or total loss, in sentences: what each comes to, where the line lies, and which is proposed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from appraise.engine.loss.arithmetic import total_share
from appraise.model.loss import Measure
from appraise.report.loss.compared import MEASURES

if TYPE_CHECKING:
    from appraise.report.loss.compared import Compared


def repair_or_total(item: Compared) -> str:
    """Return both measures of the established loss side by side, in sentences; empty where nothing is established.

    A reader without the table of measures needs both: the share at which a repair is taken for a total loss is a line
    in the policy, and none in the damage.
    """
    say, result = item.manner.say, item.proposed
    value = item.loss.value_before
    if not result.counts or value is None:
        return ""
    total = next((each for each in result.alternatives if each.measure is Measure.TOTAL_LOSS), None)
    if total is None:
        return ""
    wreck = (
        say("the whole value before, since the salvage passes to the insurer")
        if item.loss.terms.surrendered
        else say("value before less salvage of {salvage}", salvage=item.spread(result.salvage))
    )
    whole = say("A total loss comes to {total}: {wreck}.", total=item.spread(total.loss), wreck=wreck)
    if result.repair is None or result.repair_share is None:
        return say("No labour rate is stated, so no repair is costed. {whole}", whole=whole)
    share = total_share(item.loss.terms, item.tables)
    stated = item.loss.terms.total_loss_pct is not None
    line = item.manner.percent(share)
    sentences = [
        say(
            "The repair comes to {repair}, {share} of the value before.",
            repair=item.spread(result.repair),
            share=item.manner.percent(result.repair_share),
        ),
        whole,
        say("A repair counts as a total loss from {line} of the value before, as the policy states.", line=line)
        if stated
        else say("A repair counts as a total loss from {line} of the value before, our assumption.", line=line),
        say(
            "Proposed: {measure}; the amounts payable by each measure are shown side by side.",
            measure=say(MEASURES[result.measure]),
        ),
    ]
    if result.unrestored:
        labels = "; ".join(item.place(key) for key in result.unrestored)
        sentences.insert(1, say("Not restored by it: {labels}.", labels=labels))
    return " ".join(sentences)
