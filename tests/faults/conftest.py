"""A small book, and a complete season of it to be left alone."""

import shutil

import pytest

from pipeline.season import run_season
from pipeline.workbook.template import write_book
from tests.endtoend.small import AS_OF, SMALL
from tests.faults.standing import answers_readable, beside, fingerprint


@pytest.fixture(scope="session")
def small_book(tmp_path_factory):
    """Not to be changed: shared by all tests."""
    path = tmp_path_factory.mktemp("small") / "small.xlsx"
    write_book(path, SMALL)
    return path


@pytest.fixture(scope="session")
def finished(small_book, tmp_path_factory):
    """A complete season of the small book; not to be changed."""
    return run_season([small_book], tmp_path_factory.mktemp("finished") / "season", as_of=AS_OF).folder


@pytest.fixture
def book(small_book, tmp_path):
    """The keeper's book in a folder of its own."""
    return shutil.copy(small_book, tmp_path / "small.xlsx")


@pytest.fixture
def earlier(finished, tmp_path):
    """Earlier results beside the book, with a file of the keeper's own among them."""
    folder = shutil.copytree(finished, tmp_path / "season")
    (folder / "my notes.txt").write_text("keep me")
    return folder


@pytest.fixture
def survives(book, earlier):
    """survives(): the earlier results are whole, nothing lies beside them, and the next run is clean."""
    files = fingerprint(earlier)

    def check() -> None:
        assert fingerprint(earlier) == files and answers_readable(earlier)
        run_season([book], earlier, as_of=AS_OF)
        assert fingerprint(earlier).keys() == files.keys() and answers_readable(earlier)
        assert (earlier / "my notes.txt").read_text() == "keep me"
        assert beside(earlier) == []

    return check
