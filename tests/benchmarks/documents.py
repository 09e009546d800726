"""A case file to its full report as PDF, as a whole process, against an office suite that recalculates and prints.

The spreadsheet is built here from the same case: every table of the report on a sheet of its own, the lines of the
derivation on another, and the depreciation of every component computed in the sheet by Ross's formula. It draws no
samples: the office suite has less to compute than we have.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

_HEAD = """<?xml version="1.0" encoding="UTF-8"?>
<office:document xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"
 xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"
 xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"
 xmlns:of="urn:oasis:names:tc:opendocument:xmlns:of:1.2" office:version="1.3"
 office:mimetype="application/vnd.oasis.opendocument.spreadsheet"><office:body><office:spreadsheet>
"""
_FOOT = "</office:spreadsheet></office:body></office:document>\n"


def spreadsheet(case: Path) -> str:
    """Return a flat OpenDocument spreadsheet (OASIS OpenDocument 1.3) with what the full report of a case shows."""
    from appraise.report.appraisal import appraisal
    from appraise.report.document import Outline, Table
    from appraise.report.kinds import document_for
    from appraise.store.read import read_case
    from appraise.tables.load import load_tables

    tables = load_tables()
    found, _ = read_case(case, tables)
    if found is None:
        raise RuntimeError(f"{case} cannot be read")
    item = appraisal(found, tables, file=case.name)
    sheets = []
    for section in document_for("full", item).sections:
        for block in section.blocks:
            if isinstance(block, Table):
                rows = [[column.heading for column in block.columns], *block.rows]
                sheets.append([[_words(cell) for cell in row] for row in rows])
            elif isinstance(block, Outline):
                sheets.append([[_words(text)] for _, text in block.entries])
    parts = [part for station in item.valuation.stations for part in station.components]
    computed = [[_words(head) for head in ("Component", "Age", "Life", "Share", "Left")]]
    for line, part in enumerate(parts, 2):
        left = f"of:=[.D{line}]*(1-MIN(1;([.B{line}]/[.C{line}]+([.B{line}]/[.C{line}])^2)/2))"
        figures = [_number(value) for value in (part.age_years.mid, part.life_years.mid, part.share)]
        computed.append([_words(part.label), *figures, _formula(left)])
    computed.append([_words("All"), *[_words("")] * 3, _formula(f"of:=SUM([.E2:.E{len(parts) + 1}])")])
    named = (
        f'<table:table table:name="s{place}">{_rows(rows)}</table:table>'
        for place, rows in enumerate([computed, *sheets])
    )
    return _HEAD + "\n".join(named) + _FOOT


def full_report(case: Path) -> tuple[float, float] | None:
    """Return the shortest run of ours and of the office suite [s]; none where there is no office suite."""
    from tests.benchmarks.table import best

    office = shutil.which("soffice")
    if office is None:
        return None
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sheet = folder / "case.fods"
        sheet.write_text(spreadsheet(case), encoding="utf-8")
        made = folder / "case.pdf"
        profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
        theirs = [office, profile, "--headless", "--convert-to", "pdf", "--outdir", str(folder), str(sheet)]
        ours = [sys.executable, "-m", "appraise", "report", str(case), "-o", str(folder / "ours.pdf"), "--force"]

        def run(command: list[str]) -> None:
            subprocess.run(command, check=True, capture_output=True)

        run(theirs)  # the first run makes a profile, which no later one does
        if not made.is_file():
            raise RuntimeError("the office suite wrote no PDF")
        return best(lambda: run(ours), 3), best(lambda: run(theirs), 3)


def _rows(rows: list[list[str]]) -> str:
    return "".join(f"<table:table-row>{''.join(row)}</table:table-row>" for row in rows)


def _words(text: str) -> str:
    return f'<table:table-cell office:value-type="string"><text:p>{escape(text)}</text:p></table:table-cell>'


def _number(value: float) -> str:
    return f'<table:table-cell office:value-type="float" office:value="{value!r}"/>'


def _formula(formula: str) -> str:
    return f"<table:table-cell table:formula={quoteattr(formula)}/>"
