"""Details of a check: question, words of each grade, disagreement, source."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from appraise.commands import told
from appraise.model.quantities import span, unit_shown, with_unit
from appraise.report.lives import LOOK_FIRST
from appraise.services.guide import cautions_of_check
from appraise.services.quantity_limits import tolerance
from appraise.services.walk import grade_given, overruling, readings_of, suspected_told
from appraise.tables.rows import CheckKind
from appraise.widgets.marks import grade_figure, grade_style, years_left
from appraise.widgets.plain import plain, wrapped

if TYPE_CHECKING:
    from collections.abc import Sequence

    from appraise.model.case import Case
    from appraise.model.result import ComponentResult, Range
    from appraise.tables.rows import Check, Component, Row, Tables


def check_detail(check: Check, case: Case, tables: Tables, width: int, advice: Sequence[str] = ()) -> Content:
    """Return everything there is to say about one check, in lines of `width` cells; `advice` stands at the head."""
    lines = wrapped(check.label, width, "bold")
    for text in advice:
        lines += wrapped(text, width, "$text-accent", indent=2)
    if check.how:
        lines += wrapped(check.how, width, "$foreground")
    if check.caution:  # before the answers: what keeps somebody safe is not to be scrolled for
        lines += wrapped(f"▲ {check.caution}", width, "$text-warning", indent=2)
    lines += _answer_lines(check, case, tables, width)
    if check.disputed:
        lines += [Content(""), *wrapped("Practitioners disagree", width, "bold $secondary")]
        lines += wrapped(check.disputed, width, "$quiet")
    lines += [Content(""), *_basis(check, tables, width)]
    general = cautions_of_check(check, case, tables)
    if general:
        lines += [Content(""), *wrapped("Cautions", width, "bold $secondary")]
    for text in general:
        lines += wrapped(f"▲ {text}", width, "$text-warning", indent=2)
    return Content("\n").join(lines)


def _life_left(result: ComponentResult) -> str:
    """Say how long a part lasts; of one due by its age alone, that somebody has to look first."""
    return years_left(result.remaining_years) if not result.due or result.inspected > 0 else LOOK_FIRST


def component_detail(
    component: Component, case: Case, tables: Tables, result: ComponentResult | None, width: int
) -> Content:
    """Return what is known of one component, in lines of `width` cells."""
    lines = wrapped(component.label, width, "bold")
    if result is not None:
        lines += [
            _pair("condition", f"{result.grade.mid:.1f} ({result.grade.low:.1f}–{result.grade.high:.1f})", width),
            _pair("age in service", _years(result.age_years), width),
            _pair("service life here", _years(result.life_years), width),
            _pair("depreciation", f"{result.depreciation.mid:.0%}", width),
            _pair("life left", _life_left(result), width),
            _pair("share of cost new", f"{result.share:.1%}", width),
            _pair("inspected", f"{result.inspected:.0%}", width),
        ]
        if result.governing in tables.checks:
            lines.append(_pair("set by", tables.checks[result.governing].label, width))
    overrule = overruling(case, component.key)
    if overrule is not None:
        derived = "" if result is None or result.derived_grade is None else f"; checks say {result.derived_grade:.1f}"
        said = f"Overruled: {overrule.reason}{derived}"
        if overrule.preliminary:
            said = "Preliminary: graded at a quick look; the first check made of it replaces this grade."
        lines += wrapped(said, width, "$text-warning", indent=2)
    if component.critical:
        lines += wrapped("Critical: when it fails, the whole instrument is of little use.", width, "$quiet")
    lines += wrapped(told("1–5 or {overrule} overrules the grade, with a reason."), width, "$quiet")
    lines += [Content(""), *_basis(component, tables, width)]
    return Content("\n").join(lines)


def grade_choices(check: Check, tables: Tables) -> list[tuple[str, str]]:
    """Return the nine grades with their words: the check's own where it has them, else the class's."""
    words = dict(check.words)
    classes = sorted(tables.condition_classes.values(), key=lambda row: row.grade)
    return [(f"{row.grade:g}", words.get(row.grade) or row.label) for row in classes]


def _answer_lines(check: Check, case: Case, tables: Tables, width: int) -> list[Content]:
    lines, units = [Content("")], case.assignment.units
    if check.kind is CheckKind.GRADED:
        given = grade_given(case, check.key)
        now = None if given is None else given.grade
        for grade, words in check.words:
            mark = "●" if grade == now else " "
            style = f"bold {grade_style(grade)}" if grade == now else "$quiet"
            lines += wrapped(f"{mark} {grade_figure(grade).strip()} {words}", width, style, indent=4)
        if now is not None and now not in dict(check.words):
            lines += wrapped(f"● {now:g} between the words beside it", width, f"bold {grade_style(now)}")
        return lines
    if check.kind is CheckKind.YES_NO:
        lines += wrapped(f"yes means grade {check.grade_yes:g}, no means grade {check.grade_no:g}", width, "$quiet")
        lines += wrapped("s is suspected; s30 suspected, 30 % likely", width, "$quiet")
    if check.unit or check.anchors:
        lines += wrapped(tolerance(check, units) or f"in {unit_shown(check.unit, units)}", width, "$text-success")
        if check.plausible is not None:
            lines += wrapped(f"plausible: {span(*check.plausible, check.unit, units)}", width, "$quiet")
    if check.cap < 5:
        lines += wrapped(f"alone it can cause grade {check.cap:g} at worst", width, "$quiet")
    for reading in readings_of(case, check.key):
        where = f"note {reading.note}: " if reading.note else f"{plain(reading.place)}: " if reading.place else ""
        value = reading.value
        text = "yes" if value is True else "no" if value is False else value if isinstance(value, str) else ""
        if reading.suspected and check.kind is CheckKind.YES_NO:
            text = suspected_told(reading.probability_pct, tables)
        if isinstance(value, float | int) and not isinstance(value, bool):
            text = with_unit(value, reading.unit, units)
        lines += wrapped(f"● {where}{text} {reading.remark}".rstrip(), width, "bold", indent=2)
    return lines


def _basis(row: Row, tables: Tables, width: int) -> list[Content]:
    """Say what a row rests on."""
    source = tables.sources.get(row.source)
    text = f"{row.standing.value}" + (" · yours" if row.yours else "")
    if source is not None:
        text += f" · {source.author}, {source.title}" + (f", {source.year}" if source.year else "")
    if row.where:
        text += f", {row.where}"
    return wrapped(text, width, "italic $quiet")


def _pair(label: str, value: str, width: int) -> Content:
    gap = max(1, width - len(label) - len(plain(value)))
    return Content.assemble((label, "$quiet"), " " * min(gap, max(1, 20 - len(label))), plain(value))


def _years(years: Range) -> str:
    return f"{years.mid:.0f} years ({years.low:.0f}–{years.high:.0f})"
