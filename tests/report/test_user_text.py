"""What a user wrote is printed as written: never taken for a message, whatever braces and percent signs it holds."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from appraise.cli.parser import main
from appraise.model.locale_format import PLAIN
from appraise.model.message import Message, message, messages
from appraise.report.kinds import OF_A_LOSS, ReportKind
from appraise.report.wording import manner_for
from appraise.store.write import write_case
from tests.helpers.pseudo import pseudo_manner
from tests.security.hostile_case import everywhere

WORDS = ("see {note}", "{0}", "{}", "%s %(note)s", "{{", "}", "{how} {reason} {label} {figure}", "not used")
"""Templates of several languages, places of messages of ours, and a message of ours."""

texts = st.text(st.sampled_from("{}%$<>abn0 _"), max_size=12) | st.sampled_from(WORDS)


@pytest.fixture(params=WORDS)
def written(request, tmp_path, tables):
    """A case file with such words in every text that is free, among them the reason of a weight of the assessor's."""
    case = everywhere(request.param)
    case = replace(case, market=replace(case.market, weight_cost_pct=50.0))
    path = tmp_path / "case.toml"
    write_case(path, case, tables)
    return request.param, path


@pytest.mark.parametrize("command", [("value",), ("value", "--json"), ("why",), ("why", "--json"), ("check",)])
@pytest.mark.parametrize("locale", [(), ("--locale", "de_CH")])
def test_commands_print_what_was_written(command, locale, written, capsys):
    words, path = written
    if command[0] == "check" and locale:
        return
    code = main([command[0], str(path), *command[1:], *locale, *(() if command[0] == "check" else ("--draws", "100"))])
    out, err = capsys.readouterr()
    assert (code, err) == (1 if command[0] == "check" else 0, "")  # the photo so called is not there
    if command[0] == "why":
        assert words in out


@pytest.mark.parametrize("ending", ["md", "html", "json", "pdf"])
def test_every_format_of_a_report_is_written(ending, written, tmp_path, capsys):
    words, path = written
    for kind in ReportKind:
        wanted = ["--before", str(path)] if kind in OF_A_LOSS else []
        target = tmp_path / f"{kind}.{ending}"
        code = main(["report", str(path), "-o", str(target), "--kind", kind, "--draws", "100", *wanted])
        told = capsys.readouterr().err.splitlines()
        assert (code, [line for line in told if "found no such file, expected the photo" not in line]) == (0, []), kind
        if ending in ("md", "json") and kind == "full":
            assert any(words.strip() and plain(words) in plain(line) for line in target.read_text("utf-8").splitlines())


def plain(text):
    """Return a text without what the writers put before a sign to take its meaning away."""
    return text.replace("\\", "")


@given(texts)
def test_words_of_a_user_are_rendered_untouched(words):
    for manner in (PLAIN, manner_for("de_CH"), pseudo_manner()):
        assert manner.render(words) == words


@given(texts, texts)
def test_braces_in_what_is_put_in_a_place_stay(first, second):
    said = PLAIN.say(message("{first} and {second}"), first=first, second=second)
    assert said == f"{first} and {second}"


@given(texts)
def test_a_text_without_values_has_no_places(words):
    assert PLAIN.say(words) == words


def test_a_message_is_told_from_other_words_by_its_type():
    other = pseudo_manner()
    assert other.render(message("not used")) != "not used"
    assert other.render("not used") == "not used"
    assert all(isinstance(form, Message) for form in messages("{count} year", "{count} years"))
