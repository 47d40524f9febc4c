"""Slips in the command itself: told in a line, with where help is."""

import sys

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


def test_main__a_missing_library_is_one_line_with_its_remedy(monkeypatch, tmp_path):
    """As after an update that needs one more; a module of our own that is missing is our fault and keeps its traceback."""
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    for name in [name for name in sys.modules if name.startswith("pipeline.workbook.template")]:
        monkeypatch.delitem(sys.modules, name)
    result = CliRunner().invoke(main, ["new", str(tmp_path / "book.xlsx")])
    assert (result.exit_code, result.stdout) == (1, ""), result.exception
    assert "A library is missing (openpyxl); run `python3 -m pipeline.first_run demo`" in result.stderr
    assert result.stderr.count("\n") == 1
