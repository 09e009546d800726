"""What `value` printed is printed again of the same content on the same terms, and of nothing else."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys

import pytest

from appraise.__main__ import main
from appraise.report import appraisal
from appraise.tables.folder import data_folder

PROGRAM = """
import sys
import appraise.__main__ as program
from appraise.engine import valuation
real = valuation.value_case
def counted(*args, **options):
    print("valued", file=sys.__stderr__)
    return real(*args, **options)
valuation.value_case = counted
sys.exit(program.main())
"""


@pytest.fixture
def value(tmp_path, monkeypatch, capsysbinary):
    """Run `value` as its process does; return what it printed and whether a case was valued for it."""
    shutil.copyfile(data_folder("sample_cases") / "renewed_grand.toml", tmp_path / "case.toml")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    real, seen = appraisal.value_case, []

    def counted(*args, **options):
        seen.append(args)
        return real(*args, **options)

    monkeypatch.setattr(appraisal, "value_case", counted)

    def run(*words, **variables):
        monkeypatch.setattr(sys, "argv", ["appraise", "value", "case.toml", "--draws", "100", *words])
        seen.clear()
        with monkeypatch.context() as terminal:
            for name, value in variables.items():
                terminal.setenv(name, value)
            assert main() == 0
        return capsysbinary.readouterr().out, bool(seen)

    return run


@pytest.fixture
def value_in_a_process(tmp_path):
    """The same in processes of their own."""
    shutil.copyfile(data_folder("sample_cases") / "renewed_grand.toml", tmp_path / "case.toml")

    def run(*words, **variables):
        environment = {**os.environ, "XDG_CACHE_HOME": str(tmp_path / "cache"), **variables}
        done = subprocess.run(
            [sys.executable, "-c", PROGRAM, "value", "case.toml", "--draws", "100", *words],
            cwd=tmp_path,
            env={**environment, "PYTHONPATH": os.pathsep.join(sys.path)},
            capture_output=True,
            check=True,
        )
        return done.stdout, b"valued" in done.stderr

    return run


def test_a_later_process_prints_the_same_without_valuing(value_in_a_process):
    first, valued = value_in_a_process()
    assert valued
    assert value_in_a_process() == (first, False)


def test_the_same_command_prints_the_same_without_valuing(value, tmp_path):
    first, valued = value()
    assert valued
    assert value() == (first, False)
    assert value("--no-cache") == (first, True)
    kept = list((tmp_path / "cache" / "appraise" / "printed").iterdir())
    assert len(kept) == 1
    assert os.name != "posix" or kept[0].stat().st_mode & 0o077 == 0
    kept[0].write_text("{")
    assert value() == (first, True)


def test_other_content_options_and_terminals_are_valued(value, tmp_path):
    first, _ = value()
    assert value("--json")[1]
    assert value("--seed", "7")[1]
    assert value(COLUMNS="70")[1]
    path = tmp_path / "case.toml"
    path.write_text(path.read_text(encoding="utf-8") + "\n# looked at again\n", encoding="utf-8")
    assert value() == (first, True)


def test_a_folder_of_ones_own_tables_is_never_kept(value, tmp_path):
    (tmp_path / "ours").mkdir()
    assert value("--tables", "ours")[1]
    assert value("--tables", "ours")[1]
    assert value("--tables=ours")[1]
    assert value("--tables=ours")[1]
