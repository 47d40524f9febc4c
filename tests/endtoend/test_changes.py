"""What the page says of the run before: nothing at first, the same after the same run, what changed after another."""

import shutil
from datetime import timedelta

import pytest

from pipeline.season import run_season
from pipeline.store.earlier import earlier_findings
from pipeline.workbook.template import write_book
from tests.endtoend.small import AS_OF, SMALL

FIRST = "This is the first run in this folder"


@pytest.fixture
def ran(book, finished):
    """The book with its season beside it."""
    shutil.copytree(finished, book.with_name("small-season"))
    return book


def page_of(book, as_of=AS_OF):
    return run_season([book], as_of=as_of).page.read_text(encoding="utf-8")


def test_run_season__the_first_run_says_so_and_its_rerun_is_the_same_to_the_byte(book):
    first = page_of(book)
    assert FIRST in first and page_of(book) == first


def test_run_season__on_a_later_day_says_that_nothing_changed(ran):
    later = page_of(ran, AS_OF + timedelta(days=1))
    assert "changed since the run as of 1 November 2025" in later and FIRST not in later


def test_run_season__names_a_problem_that_came_and_the_one_that_was_mended(ran, kept):
    first, *others = SMALL["Animals"]
    ran.unlink()
    write_book(ran, {**SMALL, "Animals": [{**first, "Genes": "het Nosuchgene"}, *others]})
    assert "problem new" in page_of(ran)
    shutil.copy(kept, ran)
    assert "problem mended" in page_of(ran)


def test_earlier_findings__a_broken_file_counts_as_none(tmp_path):
    path = tmp_path / "season.duckdb"
    assert earlier_findings(path, "boas.xlsx") is None
    path.write_bytes(b"no database at all" * 1000)
    assert earlier_findings(path, "boas.xlsx") is None
