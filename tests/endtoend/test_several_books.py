"""Several books in one season: each once, and told apart by its name."""

import shutil
from datetime import date

import pytest

from pipeline.errors import RequestError
from pipeline.season import run_season
from pipeline.workbook.template import write_book
from tests.endtoend.small import SMALL


@pytest.mark.parametrize(
    ("second", "said"),
    [("boas.xlsx", "is given twice; name every book once"), ("old/boas.xlsx", "have the same name")],
)
def test_run_season__books_of_one_name_are_refused(tmp_path, second, said):
    (tmp_path / "old").mkdir()
    write_book(tmp_path / "boas.xlsx", SMALL)
    shutil.copy(tmp_path / "boas.xlsx", tmp_path / "old" / "boas.xlsx")
    with pytest.raises(RequestError, match=said):
        run_season([tmp_path / "boas.xlsx", tmp_path / second], tmp_path / "season", as_of=date(2025, 11, 1))
    assert not (tmp_path / "season").exists()
