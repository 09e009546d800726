"""The valuation after one change, and the charts of a case."""

from __future__ import annotations

from dataclasses import replace

from tests.benchmarks.table import FRAME_MS, SAMPLE, best, line


def recomputation() -> None:
    """One grade changed, the whole valuation again, against one frame."""
    from appraise.engine.valuation import value_case
    from appraise.store.read import read_case
    from appraise.tables.load import load_tables

    tables = load_tables()
    case, _ = read_case(SAMPLE, tables)
    turn = [0]

    def change() -> None:
        turn[0] += 1
        # A grade not seen before, so that nothing of the part that changes can come from what was kept.
        grades = (replace(case.grades[0], grade=1.5 + turn[0] / 64.0), *case.grades[1:])
        value_case(replace(case, grades=grades), tables)

    change()
    line("recomputation after one change", best(change, 60), "one frame at 60 Hz", FRAME_MS / 1e3, ", aim ≤ 1")


def charts() -> None:
    """Every chart of a case as a picture and with letters, against the appraisal that they show."""
    from appraise.report.appraisal import appraisal
    from appraise.report.charts import build
    from appraise.report.charts.svg import svg
    from appraise.report.charts.text import lines
    from appraise.store.read import read_case
    from appraise.tables.load import load_tables

    tables = load_tables()
    case, _ = read_case(SAMPLE, tables)
    item = appraisal(case, tables)
    whole = best(lambda: appraisal(case, tables), 5)
    line(
        "charts as pictures",
        best(lambda: [svg(each) for each in build.drawings(item)], 10),
        "valuing and telling",
        whole,
    )
    line("charts with letters", best(lambda: [lines(each, 80) for each in build.drawings(item)], 10), "the same", whole)
