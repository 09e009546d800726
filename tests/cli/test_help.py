"""The help of every command: laid out for eighty columns, each option said, examples that parse."""

from __future__ import annotations

import argparse

import pytest

from appraise.cli.examples import EXAMPLES
from appraise.cli.parser import build_parser


def parsers(parser: argparse.ArgumentParser):
    """Yield every parser of the command line."""
    yield parser
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for inner in action.choices.values():
                yield from parsers(inner)


EVERY = [parser.prog for parser in parsers(build_parser())]


def test_every_command_has_an_example_and_no_other():
    assert set(EVERY) == set(EXAMPLES)


@pytest.mark.parametrize("prog", EVERY)
@pytest.mark.parametrize("columns", [60, 80, 200])
def test_help_fits_the_terminal(prog, columns, appraise, monkeypatch):
    monkeypatch.setenv("COLUMNS", str(columns))
    answer = appraise(*prog.split()[1:], "--help")
    assert (answer.code, answer.err) == (0, "")
    example = {f"  {line}" for lines in EXAMPLES.values() for line in lines}
    # In a narrow terminal the usage holds what cannot be parted: one option with its words.
    usage, _, rest = answer.out.partition("\n\n")
    lines = (rest if columns == 60 else f"{usage}\n{rest}").splitlines()
    too_long = [line for line in lines if len(line) > columns and line not in example]
    assert too_long == []
    assert all(len(line) <= 80 for line in example if line in answer.out)
    for line in EXAMPLES[prog]:
        assert f"  {line}\n" in answer.out


@pytest.mark.parametrize("line", sorted({line for lines in EXAMPLES.values() for line in lines}))
def test_examples_parse(line):
    words = line.partition(" > ")[0].split()[1:]
    assert build_parser().parse_args(words).command == words[0]


def test_every_option_and_argument_says_what_it_is():
    for parser in parsers(build_parser()):
        for action in parser._actions:
            if not isinstance(action, argparse._SubParsersAction):
                assert action.help, (parser.prog, action.dest)
        assert parser.description, parser.prog
        assert parser.description[0].isupper() or parser.description.startswith("`"), parser.prog
