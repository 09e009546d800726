"""`python -m tests.helpers.frozen FOLDER`: what the commands say of the samples and of random cases, kept or compared.

The first run writes one JSON file a case and keeps the case file beside it; a later one, of changed code, names every
case whose output differs and the first key that does. It goes by case files and printed JSON alone, so that nothing
of the program's inside is asked for. Hold a change of structure to it: `--cases 500` before, the same after.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import sys
from datetime import date
from pathlib import Path

from hypothesis import HealthCheck, Phase, given, seed, settings

from appraise.cli import inputs
from appraise.cli.parser import main as command
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables
from tests.helpers.cases import cases

DAY = date(2026, 12, 31)


def main() -> int:
    """Keep the outputs, or compare them with those that were kept."""
    parser = argparse.ArgumentParser(prog="python -m tests.helpers.frozen", description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--cases", type=int, default=500)
    args = parser.parse_args()
    inputs.today = lambda: DAY
    files: Path = args.folder / "cases"
    if not files.exists():
        files.mkdir(parents=True)
        _write_cases(files, args.cases)
    different = 0
    for path in sorted(files.glob("*.toml")):
        kept = args.folder / f"{path.stem}.json"
        found = _outputs(path)
        if not kept.exists():
            kept.write_text(json.dumps(found))
        elif (was := json.loads(kept.read_text())) != found:
            different += 1
            sys.stdout.write(f"{path.stem}: {_first_difference(was, found, path.stem)}\n")
    sys.stdout.write(f"{len(list(files.glob('*.toml')))} cases, {different} different\n")
    return min(different, 1)


def _write_cases(folder: Path, many: int) -> None:
    from appraise.store.document import case_text

    tables = load_tables()
    for path in sorted(data_folder("sample_cases").glob("*.toml")):
        (folder / path.name).write_bytes(path.read_bytes())
    turn = iter(range(many))

    @seed(1)
    @settings(
        max_examples=many,
        deadline=None,
        database=None,
        derandomize=False,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(cases(tables))
    def every(case: object) -> None:
        (folder / f"random_{next(turn):04}.toml").write_text(case_text(case), encoding="utf-8")

    every()


def _outputs(path: Path) -> dict[str, object]:
    """Return what is printed of a case: exit code, standard output as data, standard error."""
    value = ["value", str(path), "--json", "--draws", "128"]
    said = {
        "value": _said([*value, "--minutes", "30"]),
        "why": _said(["why", str(path), "value", "--json", "--draws", "128"]),
        "page": _said(["value", str(path), "--draws", "128"]),
        "missing": _said(["missing", str(path)]),
    }
    if path.stem == "removal_after":
        said["loss"] = _said(["loss", str(path.with_name("removal_before.toml")), str(path), "--json"])
    return said


def _said(words: list[str]) -> dict[str, object]:
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = command(words)
    text = out.getvalue().replace(words[1], "CASE")
    try:
        data = json.loads(text)
    except json.JSONDecodeError:
        data = text.splitlines()
    return {"code": code, "out": data, "err": err.getvalue().replace(words[1], "CASE")}


def _first_difference(was: object, found: object, where: str) -> str:
    if isinstance(was, dict) and isinstance(found, dict):
        for key in (*was, *(key for key in found if key not in was)):
            if was.get(key) != found.get(key):
                return _first_difference(was.get(key), found.get(key), f"{where}.{key}")
    if isinstance(was, list) and isinstance(found, list) and len(was) == len(found):
        for n, (one, two) in enumerate(zip(was, found, strict=True)):
            if one != two:
                return _first_difference(one, two, f"{where}[{n}]")
    return f"{where}: was {str(was)[:80]}, found {str(found)[:80]}"


if __name__ == "__main__":
    sys.exit(main())
