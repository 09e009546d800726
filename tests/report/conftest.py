"""Fixtures of the report's tests: the real tables, valued cases, and snapshots one file each."""

from __future__ import annotations

from functools import cache

import pytest
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode

from appraise.report.appraisal import Appraisal, appraisal
from appraise.tables.load import load_tables
from tests.helpers.report_cases import CASES

DRAWS = 500
"""Enough for a test: the figures need not be fine."""
GOLDEN = {"grand.toml", "bare.toml", "unwanted.toml"}
"""Cases whose texts are kept whole to be read: rich, without money, and worth what its parts bring."""


@cache
def valued(name: str) -> Appraisal:
    """Return one of the invented cases, valued."""
    return appraisal(CASES[name](), load_tables(), file=f"{name}.toml", sha256="ab" * 32, draws=DRAWS)


@pytest.fixture(params=sorted(CASES))
def item(request) -> Appraisal:
    """Every invented case in turn."""
    return valued(request.param)


class _Text(SingleFileSnapshotExtension):
    _write_mode = WriteMode.TEXT
    file_extension = "txt"


class _Markdown(_Text):
    file_extension = "md"


class _Json(_Text):
    file_extension = "json"


@pytest.fixture
def text_snapshot(snapshot):
    """A snapshot as a text file."""
    return snapshot.use_extension(_Text)


@pytest.fixture
def markdown_snapshot(snapshot):
    """A snapshot as a Markdown file."""
    return snapshot.use_extension(_Markdown)


@pytest.fixture
def json_snapshot(snapshot):
    """A snapshot as a JSON file."""
    return snapshot.use_extension(_Json)
