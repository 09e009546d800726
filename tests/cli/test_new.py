"""`appraise new`."""

from __future__ import annotations

import tomllib
from dataclasses import fields, replace
from datetime import date
from decimal import Decimal

import pytest

from appraise.model.case import Case, Circumstances, Identity, Kind
from appraise.model.market import Costs
from appraise.model.span import Span
from appraise.store.read import read_case
from appraise.tables.folder import data_folder
from appraise.tables.load import load_tables


@pytest.fixture
def read():
    return lambda path: read_case(path, load_tables())


def test_from_options(appraise, tmp_path, read):
    path = tmp_path / "case.toml"
    answer = appraise(
        *("new", path, "--kind", "upright", "--maker", 'Brunvock "B" [/]', "--year", "1925/1931"),
        *("--size", "51in", "--serial", "12", "--currency", "CHF", "--replacement-cost", "9 800,50"),
        *("--labour-rate", "90", "--finish", "shellac", "--compass", "85", "--date", "2026-11-02"),
    )
    left = "Not told, so from the tables: overhead 0%, contingency 10% and margin 30%."
    assert answer == (0, f"{path} made; next: appraise open {path}\n{left}\n", "")
    case, problems = read(path)
    assert problems == []
    assert case.identity.kind is Kind.UPRIGHT
    assert case.identity.maker == 'Brunvock "B" [/]'
    assert case.identity.made == Span.parse("1925/1931")
    assert case.identity.size_cm == pytest.approx(129.54)
    assert case.identity.serial == "12"
    assert case.identity.compass == 85
    assert case.assignment.inspected == date(2026, 11, 2)
    assert case.assignment.currency == "CHF"
    assert case.market.replacement_cost_new == Decimal("9800.50")
    assert case.costs.labour_rate == Decimal(90)


def test_facts_of_the_instrument_from_options(appraise, tmp_path, read):
    path = tmp_path / "case.toml"
    answer = appraise(
        *("new", path, "--kind", "upright", "--date", "2026-11-02", "--overdamper", "Yes", "--drop-action", "no"),
        *(
            "--straight-strung",
            "yes",
            "--player",
            "silent",
            "--last-tuned",
            "2024-05",
            "--stairs",
            "2",
            "--owners",
            "1",
        ),
    )
    left = "Not told, so from the tables: overhead 0%, contingency 10% and margin 30%."
    assert answer == (0, f"{path} made; next: appraise open {path}\n{left}\n", "")
    it = read(path)[0].identity
    assert (it.overdamper, it.drop_action, it.straight_strung, it.player) == (True, False, True, "silent")
    assert (it.last_tuned, it.stairs, it.owners) == (Span.parse("2024-05"), 2, 1)


def test_the_least(appraise, tmp_path, read):
    path = tmp_path / "case.toml"
    assert appraise("new", path, "--kind", "grand").code == 0
    case, problems = read(path)
    assert problems == []
    assert case.assignment.inspected == date(2026, 12, 31)


def test_an_existing_file_is_left(appraise, good):
    before = good.read_bytes()
    answer = appraise("new", good, "--kind", "grand")
    assert answer == (2, "", f"appraise new: {good} exists and is not overwritten; choose another name\n")
    assert good.read_bytes() == before


@pytest.mark.parametrize(
    ("option", "value", "line"),
    [
        ("--year", "193", 'identity.made: found "193", expected a year such as 1931'),
        ("--year", "2030", "identity.made: found 2030, expected a date up to the inspection, 2026-11-20"),
        ("--size", "tall", 'identity.size_cm: found "tall", expected a number'),
        ("--size", "1850", "identity.size_cm: found 1850.0, expected a number of at most 500"),
        ("--kind", "organ", 'identity.kind: found "organ", expected "grand" or "upright"'),
        ("--currency", "euro", 'assignment.currency: found "euro", expected three capital letters'),
        ("--overdamper", "perhaps", 'identity.overdamper: found "perhaps", expected true or false'),
        ("--compass", "many", 'identity.compass: found "many", expected a whole number'),
        (
            "--replacement-cost",
            "nan",
            'market.replacement_cost_new: found "nan", expected an amount',
        ),
        ("--climate", "sesonal", 'circumstances.climate: found "sesonal", expected a row of the table climates'),
    ],
)
def test_what_does_not_fit(appraise, tmp_path, option, value, line):
    path = tmp_path / "case.toml"
    options = {"--kind": "grand", "--date": "2026-11-20", option: value}
    answer = appraise("new", path, *(word for pair in options.items() for word in pair))
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.startswith(f"{path}: {line}")
    assert answer.err.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_one_end_of_the_cost_alone_is_kept_and_told(appraise, tmp_path):
    path = tmp_path / "case.toml"
    answer = appraise("new", path, "--kind", "grand", "--date", "2026-11-20", "--replacement-low", "5")
    assert (answer.code, answer.out.splitlines()[0]) == (0, f"{path} made; next: appraise open {path}")
    assert answer.err.startswith(f"{path}: market.replacement_cost_new: found nothing, expected the cost itself")
    assert answer.err.count("\n") == 1
    assert tomllib.loads(path.read_text())["market"] == {"replacement_cost_low": "5"}


def test_a_folder_that_is_not_there(appraise, tmp_path):
    path = tmp_path / "none" / "case.toml"
    answer = appraise("new", path, "--kind", "grand")
    assert answer.code == 2
    assert answer.err.startswith(f"{path}: found that it cannot be written (No such file or directory)")


@pytest.fixture
def person(monkeypatch):
    """Return a function that sets what a person answers, and collects what was asked."""
    asked = []

    def answers(*lines):
        left = list(lines)

        def answer(question):
            asked.append(question)
            if not left:
                raise EOFError
            return left.pop(0)

        monkeypatch.setattr("builtins.input", answer)
        monkeypatch.setattr("appraise.cli.new.interactive", lambda: True)
        return asked

    return answers


def test_asked_in_a_terminal(appraise, tmp_path, read, person):
    path = tmp_path / "case.toml"
    asked = person("", "organ", "G", "Oskelmoor", "", "185,5", "", "193", "1931", "EUR", "48000", "")
    answer = appraise("new", path, "--date", "2026-11-20")
    assert answer.code == 0
    assert asked[:3] == ["Grand or upright: "] * 3
    assert asked.count("Year made, or 1925/1931: ") == 2
    assert '  found "organ", expected "grand" or "upright"\n' in answer.out
    case, problems = read(path)
    assert problems == []
    assert case.identity.made == Span.of_year(1931)
    assert case.identity.size_cm == 185.5
    assert case.market.replacement_cost_new == Decimal(48000)


@pytest.mark.parametrize(("kind", "size"), [("g", "Length"), ("Upright", "Height")])
def test_the_size_is_asked_for_by_the_name_it_has(appraise, tmp_path, person, kind, size):
    asked = person(kind, *[""] * 8)
    answer = appraise("new", tmp_path / "case.toml")
    assert f"{size} in cm, or 73in: " in asked
    assert answer.out.startswith("Enter alone leaves an answer open")


def test_the_help_names_the_words_that_the_tables_take(appraise):
    tables = load_tables()
    words = {
        "tier": [row.key for row in tables.market_factors.values() if row.factor == "tier"],
        "records": [row.key for row in tables.market_factors.values() if row.factor == "records"],
        "finish": [key.removeprefix("finish_") for key in tables.lives if key.startswith("finish_")],
        "key-covering": [
            key.removeprefix("key_coverings_") for key in tables.lives if key.startswith("key_coverings_")
        ],
        "climate": list(tables.climates),
        "use": list(tables.uses),
    }
    told = " ".join(appraise("new", "--help").out.split())
    for option, keys in words.items():
        assert f"{', '.join(keys[:-1])} or {keys[-1]} " in told.partition(f" --{option} TEXT")[2], option


def test_what_an_option_says_is_not_asked(appraise, tmp_path, person):
    asked = person(*[""] * 9)
    appraise("new", tmp_path / "case.toml", "--kind", "grand", "--maker", "Oskelmoor")
    assert not [question for question in asked if question in ("Grand or upright: ", "Maker: ")]


def test_stopping_writes_nothing(appraise, tmp_path, person):
    person("grand", "Oskelmoor")
    answer = appraise("new", tmp_path / "case.toml")
    assert (answer.code, answer.err) == (2, "appraise new: stopped before the end; nothing was written\n")
    assert list(tmp_path.iterdir()) == []


def test_an_inspection_in_the_future_is_refused(appraise, tmp_path):
    path = tmp_path / "case.toml"
    answer = appraise("new", path, "--kind", "grand", "--date", "2199-01-01")
    assert (answer.code, answer.out) == (2, "")
    assert "found 2199-01-01, expected a day up to today, 2026-12-31\n" in answer.err
    assert not path.exists()


def test_every_cost_of_a_case_has_an_option_and_what_is_not_told_is_named(appraise, tmp_path, read):
    path = tmp_path / "case.toml"
    costs = {each.name: str(n) for n, each in enumerate(fields(Costs), start=11)}
    words = [f"--{name.removesuffix('_pct').replace('_', '-')}={value}" for name, value in costs.items()]
    answer = appraise("new", path, "--kind", "grand", "--date", "2026-11-20", *words)
    assert answer == (0, f"{path} made; next: appraise open {path}\n", "")
    held = read(path)[0].costs
    assert {name: float(getattr(held, name)) for name in costs} == {name: float(value) for name, value in costs.items()}
    some = appraise("new", tmp_path / "b.toml", "--kind", "grand", "--date", "2026-11-20", "--margin", "32,5%")
    assert some.out.endswith("Not told, so from the tables: overhead 0% and contingency 10%.\n")
    wrong = appraise("new", tmp_path / "c.toml", "--kind", "grand", "--date", "2026-11-20", "--margin", "a third")
    assert wrong.code == 2
    assert 'costs.margin_pct: found "a third", expected' in wrong.err
    assert wrong.err.count("\n") == 1


def test_like_takes_the_shop_and_never_the_instrument_or_what_was_found(appraise, tmp_path, read):
    other = data_folder("sample_cases") / "trade_in_grand.toml"
    path = tmp_path / "case.toml"
    words = ("--kind", "upright", "--date", "2026-11-20", "--client", "Somebody else", "--like", other)
    assert appraise("new", path, *words).code == 0
    old, new = read(other)[0], read(path)[0]
    keys = ("purpose", "basis", "currency", "place", "assessor", "intended_users", "equipment", "locale", "units")
    assert {key: getattr(new.assignment, key) for key in keys} == {key: getattr(old.assignment, key) for key in keys}
    assert new.assignment.client == "Somebody else"
    assert new.assignment.limits == ""
    assert new.costs == old.costs
    assert new.circumstances.climate == old.circumstances.climate
    begun = Case(Identity(Kind.UPRIGHT), new.assignment, Circumstances(climate=old.circumstances.climate))
    assert new == replace(begun, costs=old.costs)


def test_like_in_another_currency_leaves_the_amounts_out(appraise, tmp_path, read):
    other = data_folder("sample_cases") / "trade_in_grand.toml"
    path = tmp_path / "case.toml"
    words = ("--kind", "grand", "--date", "2026-11-20", "--currency", "EUR", "--like", other)
    assert appraise("new", path, *words).code == 0
    old, new = read(other)[0], read(path)[0]
    assert (old.assignment.currency, new.assignment.currency) == ("GBP", "EUR")
    assert new.costs == Costs(margin_pct=old.costs.margin_pct, overhead_pct=old.costs.overhead_pct,
                              contingency_pct=old.costs.contingency_pct)  # fmt: skip


def test_like_a_case_that_cannot_be_used_makes_no_file(appraise, tmp_path):
    (tmp_path / "bad.toml").write_text("schema = 1\n")
    answer = appraise("new", tmp_path / "new.toml", "--kind", "grand", "--like", tmp_path / "bad.toml")
    assert answer.code == 2
    assert answer.err.startswith(f"{tmp_path / 'bad.toml'}")
    assert not (tmp_path / "new.toml").exists()
