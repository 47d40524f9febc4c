"""Earlier results beside the keeper's book, and what must still be true of them."""

import shutil

import pytest

from pipeline.season import run_season
from tests.endtoend.small import AS_OF
from tests.faults.standing import answers_readable, beside, fingerprint


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
