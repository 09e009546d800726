"""The sample cases in a folder of their own, for tests that write reports: a report leaves a trail beside its case."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from appraise.services.opening import open_sheet
from appraise.tables.folder import data_folder

if TYPE_CHECKING:
    from appraise.tables.rows import Tables

_LEFT = shutil.ignore_patterns(".*", "*.trail.jsonl", "*~")
"""What work on the samples themselves leaves beside them."""


@cache
def copied_samples() -> Path:
    """Return a folder with a copy of every sample case and its photos, gone when the tests are over."""
    folder = Path(tempfile.mkdtemp(prefix="appraise-samples-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return Path(shutil.copytree(data_folder("sample_cases"), folder / "sample_cases", ignore=_LEFT))


def look_only(path: Path, tables: Tables, part: str = "hammers") -> str:
    """Take all checks of a part out of a case file and grade it at a quick look instead; return the part."""
    sheet = open_sheet(path, tables).worksheet
    for check in tables.checks.values():
        if check.component == part:
            sheet.clear(check.key)
    sheet.overrule(part, None)
    sheet.look({part: 3.0})
    sheet.save()
    sheet.close()
    return part
