"""Slips in the command itself: told in a line, with where help is."""

import pytest
from click.testing import CliRunner

from pipeline.cli import main


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["season"], "Missing argument 'BOOK.xlsx"),
        (["cross", "book.xlsx", "B1"], "Missing argument 'SIRE'. See `main cross --help`."),
        (["chek", "book.xlsx"], "No such command 'chek'. Did you mean 'check'? See `main --help`."),
        (["season", "book.xlsx", "--as-of", "1.2.2024"], "1.2.2024 is no date; write year-month-day, such as 2026-11-01."),
        (["season", "book.xlsx", "--seed", "one"], "'one' is not a valid integer range. See `main season --help`."),
    ],
)  # fmt: skip
def test_main__a_slip_in_the_command_is_one_line(words, said):
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 2 and result.stdout == ""
    assert result.stderr.startswith("proveout: ") and result.stderr.count("\n") == 1
    assert said in result.stderr
