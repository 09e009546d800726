"""Records that were read before are not read again: whatever was read before, a case and its problems are the same."""

from __future__ import annotations

from random import Random

import tomli

from appraise.store import sections
from appraise.store.findings import Diagnostics
from appraise.store.read import check_document
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
from tests.fuzz.mutate import document
from tests.helpers.depth import whole

GOOD = [tomli.loads(path.read_text(encoding="utf-8")) for path in sorted(data_folder("sample_cases").glob("*.toml"))]


def read(made):
    findings = Diagnostics("a.toml")
    return check_document(made, load_tables(), findings), findings.problems


def test_what_was_read_before_changes_nothing():
    chance = Random(5)
    items = [item for good in GOOD for name in ("grades", "readings", "remarks") for item in good.get(name, ())]
    for _ in range(whole(2_000, 150)):
        good = chance.choice(GOOD)
        try:
            made = tomli.loads(document(chance, good, items).decode())
        except ValueError:
            continue
        for name in ("grades", "readings"):  # each may stand where the other belongs
            if isinstance(made.get(name), list):
                made[name] += chance.sample(items, 3)
        warm = read(made)
        sections._alike.cache_clear()
        assert repr(read(made)) == repr(warm)
        for other in chance.sample(GOOD, 2):
            read(other)
