"""The command in this process, as the tests of the command line have it."""

from tests.cli.conftest import appraise  # noqa: F401
