"""A clock that was set back: earlier results of a later day, files of the future."""

import os
import time
from datetime import timedelta

from pipeline.season import run_season
from tests.endtoend.small import AS_OF
from tests.faults.standing import beside

YEAR = 365 * 24 * 3600


def test_run_season__an_earlier_run_of_a_later_day_is_said(book, earlier):
    run_season([book], earlier, as_of=AS_OF + timedelta(days=40))
    again = run_season([book], earlier, as_of=AS_OF)
    said = f"The earlier run speaks of {AS_OF + timedelta(days=40)}, a later day than this one; if that is not meant"
    assert any(said in line for line in again.headlines)
    assert said in again.page.read_text(encoding="utf-8")
    once_more = run_season([book], earlier, as_of=AS_OF)
    assert once_more.page.read_bytes() == again.page.read_bytes()
    later = run_season([book], earlier, as_of=AS_OF + timedelta(days=50))
    assert not any("a later day than this one" in line for line in later.headlines)


def test_run_season__files_of_the_future_are_read_and_left_ones_swept(book, earlier):
    litter = earlier.with_name(".season.making-abc")
    litter.mkdir()
    (litter / ".unfinished").touch()
    (litter / "season.duckdb").write_text("half")
    future = time.time() + YEAR
    for path in (book, earlier, litter, *earlier.rglob("*")):
        os.utime(path, (future, future))
    run_season([book], earlier, as_of=AS_OF)
    assert beside(earlier) == []
    assert (earlier / "my notes.txt").read_text() == "keep me"
