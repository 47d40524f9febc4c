"""What befalls a run of several books from outside: one sentence, the right one, and the earlier results as they were."""

import errno
import os
import shutil

import pytest

from pipeline import season
from pipeline.club import reading
from pipeline.errors import RequestError
from pipeline.season import run_season
from tests.endtoend.small import AS_OF
from tests.faults.standing import beside, fingerprint, one_sentence, season_command
from tests.faults.test_room import limited


@pytest.fixture
def club(book, tmp_path):
    """Two keepers' books."""
    return [tmp_path / "small.xlsx", shutil.copy(book, tmp_path / "cleo.xlsx")]


@pytest.mark.parametrize("jobs", [1, 2])
def test_season__says_that_there_is_no_room_to_put_books_by(club, earlier, survives, jobs):
    done = season_command(club[0], earlier, club[1], "--jobs", str(jobs), preexec_fn=limited(4_000))
    said = one_sentence(done)
    assert str(earlier) in said and "make room on that disk, or name another with --out" in said
    survives()


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EACCES])
@pytest.mark.parametrize(("module", "step"), [(reading, "_put_by"), (season, "fetched")])
def test_run_season__what_a_disk_refuses_is_no_fault_of_ours(club, earlier, monkeypatch, module, step, code):
    def refuse(*_):
        raise OSError(code, os.strerror(code), "a file")

    files = fingerprint(earlier)
    monkeypatch.setattr(module, step, refuse)
    with pytest.raises(RequestError, match=f"can't be written .{os.strerror(code).lower()}.; .* with --out;"):
        run_season(club, earlier, as_of=AS_OF, jobs=1)
    assert fingerprint(earlier) == files and beside(earlier) == []


@pytest.mark.parametrize(("module", "step"), [(reading, "checked"), (season, "told_more")])
def test_run_season__a_book_too_large_for_the_memory_costs_no_other(
    club, tmp_path, monkeypatch, module, step
):
    sound = getattr(module, step)

    def exhaust(book, asked):
        if getattr(book, "book", book).name == "cleo.xlsx":
            raise MemoryError
        return sound(book, asked)

    monkeypatch.setattr(module, step, exhaust)
    (trouble,) = run_season(club, tmp_path / "all", as_of=AS_OF, jobs=1).troubles
    assert (trouble.book, trouble.traceback) == ("cleo.xlsx", "")
    assert "not enough memory; close other programs and run again, with --jobs 1" in trouble.sentence


def test_run_season__a_lone_book_too_large_for_the_memory(book, earlier, survives, monkeypatch):
    def exhaust(*_):
        raise MemoryError

    with monkeypatch.context() as small, pytest.raises(RequestError, match="not enough memory; close other"):
        small.setattr(reading, "checked", exhaust)
        run_season([book], earlier, as_of=AS_OF)
    survives()
