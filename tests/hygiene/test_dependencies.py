"""What the project stands on: bounded versions, free licences, told in DEVELOPERS.md; what is in the wheel."""

from __future__ import annotations

import re
import shutil
import tomllib
import zipfile
from importlib import metadata
from pathlib import Path

import pytest
from hatchling.build import build_wheel
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
TOLD = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
RUNTIME = [Requirement(line) for line in PROJECT["project"]["dependencies"]]
CHECKING = [Requirement(line) for line in PROJECT["project"]["optional-dependencies"]["check"]]
CHOSEN = [Requirement(line) for line in PROJECT["project"]["optional-dependencies"]["practice"]]
"""What a user may add by choice, and nothing needs: of these alone the lesser GPL is taken."""
OTHER = [Requirement(line) for lines in PROJECT["project"]["optional-dependencies"].values() for line in lines]

FREE = re.compile(
    r"\b(MIT|MIT-CMU|BSD|0BSD|Apache|MPL|Mozilla|PSF|Python Software Foundation|ISC|ISCL|Zlib|CC0|HPND)\b"
)
"""Licences that let anybody use, change and pass on."""
BINDING = re.compile(r"\b(A?GPL|SSPL|BUSL|proprietary|commercial)\b", re.IGNORECASE)


def installed(name: str) -> str:
    """Return the version at hand; tools for contributors alone may be missing, `.ci/run` asks again with them."""
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        if name not in {item.name for item in CHECKING}:
            raise
        pytest.skip(f"{name} comes with the extra of the checks")


def licence(name: str) -> str:
    """Return what a package says of its licence."""
    installed(name)
    found = metadata.distribution(name).metadata
    classified = [line for line in found.get_all("Classifier") or [] if line.startswith("License ::")]
    return found.get("License-Expression") or " ".join(classified) or (found.get("License") or "")[:200]


def brought() -> set[str]:
    """Return every package that an installation brings, the named ones included."""
    names: set[str] = set()
    asked: set[tuple[str, frozenset[str]]] = set()
    todo = list(RUNTIME)
    while todo:
        requirement = todo.pop()
        name = canonicalize_name(requirement.name)
        wanted = (name, frozenset(requirement.extras))  # one package may want an extra that another does without
        if wanted in asked:
            continue
        asked.add(wanted)
        names.add(name)
        extras = ["", *requirement.extras]
        for line in metadata.requires(name) or []:
            inner = Requirement(line)
            if inner.marker is None or any(inner.marker.evaluate({"extra": extra}) for extra in extras):
                todo.append(inner)
    return names


@pytest.mark.parametrize("requirement", [*RUNTIME, *OTHER], ids=lambda requirement: requirement.name)
def test_every_dependency_is_bounded_and_what_is_installed_fits(requirement):
    operators = {part.operator for part in requirement.specifier}
    assert operators & {"<", "<=", "==", "~="}, "no ceiling"
    assert requirement.specifier.contains(installed(requirement.name), prereleases=True)


def test_every_dependency_has_its_reason_beside_it():
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    for requirement in RUNTIME:
        line = next(line for line in text.splitlines() if line.strip().startswith(f'"{requirement.name}'))
        assert len(line.partition("#")[2].strip()) > 10, line


@pytest.mark.parametrize("name", sorted(brought() | {canonicalize_name(item.name) for item in OTHER}))
def test_every_licence_is_free(name):
    found = licence(name)
    if name in {canonicalize_name(item.name) for item in CHOSEN}:
        assert FREE.search(found) or re.search(r"\bL(?:GPL|esser)", found), (name, found)
        return
    assert FREE.search(found), (name, found)
    assert not BINDING.search(found), (name, found)


@pytest.mark.parametrize("requirement", RUNTIME, ids=lambda requirement: requirement.name)
def test_every_dependency_is_told_with_range_licence_and_purpose(requirement):
    row = next(line for line in TOLD.splitlines() if line.startswith(f"| {requirement.name} |"))
    _, name, versions, told, purpose, _ = (cell.strip() for cell in row.split("|"))
    assert name == requirement.name
    assert Requirement(f"x{versions}").specifier == requirement.specifier
    assert FREE.search(told)
    assert FREE.search(told)[0].split("-")[0] in licence(requirement.name).replace("Mozilla", "MPL")
    assert len(purpose) > 5


def test_what_they_bring_and_what_tests_need_is_told():
    direct = {canonicalize_name(item.name) for item in RUNTIME}
    for name in brought() - direct | {item.name for item in OTHER}:
        assert re.search(rf"(?<![\w-]){re.escape(name)}\s*\([A-Z]", TOLD), name


def test_the_package_says_that_it_is_typed():
    """The marker of PEP 561 lies in the package, which the wheel takes whole."""
    assert (ROOT / "appraise" / "py.typed").is_file()
    assert PROJECT["tool"]["hatch"]["build"]["targets"]["wheel"]["packages"] == ["appraise"]


def wheel_of(folder, into, monkeypatch):
    """Return the names in a wheel built from a folder, in this process, without fetching anything."""
    monkeypatch.chdir(folder)
    return set(zipfile.ZipFile(into / build_wheel(str(into))).namelist())


@pytest.fixture
def checkout(tmp_path):
    """Return a copy of what a wheel is built from, without what git would say of it and what work left there."""
    folder = tmp_path / "checkout"
    unused = shutil.ignore_patterns("__pycache__", ".*", "*.trail.jsonl", "*~", "*.before-*")
    for name in ("appraise", "reference_tables", "sample_cases"):
        shutil.copytree(ROOT / name, folder / name, ignore=unused)
    for name in ("pyproject.toml", "README.md"):
        shutil.copy(ROOT / name, folder)
    return folder


LEFT = (
    "renewed_grand.toml~",
    "renewed_grand.trail.jsonl",
    "renewed_grand.toml.before-2026-11-04",
    ".renewed_grand.toml.x7k2.part",
    ".hidden.toml",
    ".appraise/renewed_grand.toml.lock",
    ".appraise/renewed_grand.toml.20261120T101112000000Z~",
    "report.pdf",
    "rank.jsonl",
    "reports/owner.html",
    "photos/.thumbs",
    "photos/rim_after.png~",
)
"""What work on the samples may leave beside them."""


def test_a_wheel_takes_nothing_along_that_work_left_beside_the_samples(checkout, tmp_path, monkeypatch):
    (tmp_path / "before").mkdir()
    (tmp_path / "after").mkdir()
    clean = wheel_of(checkout, tmp_path / "before", monkeypatch)
    for name in LEFT:
        path = checkout / "sample_cases" / name
        path.parent.mkdir(exist_ok=True)
        path.write_text("left behind\n", encoding="utf-8")
    (checkout / "reference_tables" / "bases.toml~").write_text("left behind\n", encoding="utf-8")
    assert wheel_of(checkout, tmp_path / "after", monkeypatch) == clean
    inside = {name.removeprefix("appraise/_data/sample_cases/") for name in clean if "/sample_cases/" in name}
    there = {path.relative_to(ROOT / "sample_cases").as_posix() for path in (ROOT / "sample_cases").glob("*.toml")}
    photos = {f"photos/{path.name}" for path in (ROOT / "sample_cases" / "photos").glob("*.png")}
    assert inside == there | photos
    assert photos


def test_the_wheel_holds_marker_tables_and_samples(tmp_path, monkeypatch):
    names = wheel_of(ROOT, tmp_path, monkeypatch)
    assert "appraise/py.typed" in names
    assert "appraise/_data/reference_tables/components.toml" in names
    assert "appraise/_data/sample_cases/renewed_grand.toml" in names
    assert any(item.endswith(".tcss") for item in names)
    assert not any(item.startswith("tests/") for item in names)
