"""Killed or failing: at every step of a season, and at every move that replaces the folder of results."""

import json
import os
import shutil
import signal
import subprocess
import sys
import textwrap

import pytest

from pipeline.errors import RequestError
from pipeline.season import run_season
from pipeline.store.swap import swapped_in
from tests.endtoend.small import AS_OF
from tests.faults.standing import ROOT, STEPS, beside, fingerprint

FORKS = pytest.mark.skipif(sys.platform == "win32", reason="a process can't fork on Windows")


class Broken(Exception):
    """A fault of our own, at some step."""


@pytest.mark.parametrize("step", STEPS)
def test_run_season__a_failed_run_leaves_the_earlier_results(book, earlier, step):
    files = fingerprint(earlier)

    def fail(said):
        if said == step:
            raise Broken

    with pytest.raises(Broken):
        run_season([book], earlier, as_of=AS_OF, say=fail)
    assert fingerprint(earlier) == files
    assert beside(earlier) == []


KILLED = """
    import os, signal, sys
    from datetime import date
    from pathlib import Path

    from pipeline.season import run_season

    books, folder, as_of, *steps = sys.argv[1:]
    for step in steps:
        if (child := os.fork()) == 0:
            die = lambda said: said == step and os.kill(os.getpid(), signal.SIGKILL)
            paths = [Path(book) for book in books.split(os.pathsep)]
            run_season(paths, Path(folder), as_of=date.fromisoformat(as_of), say=die)
            os._exit(0)
        print(step, os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), sep=":")
"""


CLUB_STEPS = ("Reading, 1 of 2 books", "Reading, 2 of 2 books", "Answering, 1 of 2 books", "Writing the report")


@FORKS
@pytest.mark.parametrize("steps", [STEPS, CLUB_STEPS], ids=["of one book", "of two"])
def test_run_season__killed_at_any_step_leaves_the_earlier_results(book, earlier, survives, steps):
    books = [book, shutil.copy(book, earlier.with_name("other.xlsx"))] if steps is CLUB_STEPS else [book]
    given = os.pathsep.join(map(str, books))
    command = [sys.executable, "-c", textwrap.dedent(KILLED), given, earlier, AS_OF.isoformat(), *steps]
    done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT)
    assert done.stdout.split("\n")[:-1] == [f"{step}:{-signal.SIGKILL}" for step in steps]
    survives()


SWAPPED = """
    import json, os, signal, sys
    from pathlib import Path

    from pipeline.store import swap

    folder, way, ending = Path(sys.argv[1]), sys.argv[2], sys.argv[3]
    if way == "renames":
        swap._exchanged = lambda one, other: False

    class Stopped(Exception):
        pass

    def fill(target, text):
        with swap.swapped_in(target) as making:
            (making / "charts").mkdir()
            for name in ("season.duckdb", "report.html", "charts/one.svg"):
                (making / name).write_text(text)

    def stop():
        if ending == "killed":
            os.kill(os.getpid(), signal.SIGKILL)
        raise Stopped

    def cut_off(target, after):
        # every touch of the file system announces itself; the last one allowed is number `after`
        left = [after]
        def count(event, arguments):
            if left[0] > -1 and event.split(".")[0] in ("os", "shutil", "tempfile", "ctypes", "fcntl", "open"):
                left[0] -= 1
                if left[0] < 0:
                    stop()
        sys.addaudithook(count)
        fill(target, "new")
        os._exit(7)

    def texts(place):
        return {str(p.relative_to(place)): p.read_text() for p in sorted(place.rglob("*")) if p.is_file()}

    for after in range(10_000):
        home = folder / str(after)
        home.mkdir()
        fill(home / "out", "old")
        (home / "out" / "mine.txt").write_text("mine")
        (home / "out" / "my folder").mkdir()
        (home / "out" / "my folder" / "deep.txt").write_text("mine")
        if (child := os.fork()) == 0:
            try:
                cut_off(home / "out", after)
            finally:
                os._exit(3)
        code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        found = texts(home)
        fill(home / "out", "next")
        left = sorted(p.name for p in home.iterdir())
        print(json.dumps({"code": code, "found": found, "then": texts(home / "out"), "left": left}))
        if code == 7:
            break
"""
MINE = {"mine.txt": "mine", "my folder/deep.txt": "mine"}
RESULTS = ("charts/one.svg", "report.html", "season.duckdb")


@FORKS
@pytest.mark.parametrize("ending", ["killed", "failed"])
@pytest.mark.parametrize("way", ["exchange", "renames"])
def test_swapped_in__cut_off_at_any_move_loses_nothing(tmp_path, way, ending):
    command = [sys.executable, "-c", textwrap.dedent(SWAPPED), tmp_path, way, ending]
    done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT)
    cuts = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(cuts) > 20 and cuts[-1]["code"] == 7
    for cut in cuts:
        whole = [name.split("/")[0] for name in cut["found"] if name.endswith("season.duckdb")]
        kept = [_results(cut["found"], place) for place in whole]
        assert any(found in (dict.fromkeys(RESULTS, "old"), dict.fromkeys(RESULTS, "new")) for found in kept)
        assert sorted(text for text in cut["found"].values() if text == "mine") == ["mine", "mine"]
        assert cut["then"] == {**dict.fromkeys(RESULTS, "next"), **MINE}
        assert cut["left"] == ["out"]
        if way == "exchange":
            assert _results(cut["found"], "out") in (
                dict.fromkeys(RESULTS, "old"),
                dict.fromkeys(RESULTS, "new"),
            )


def _results(found, place):
    return {name: found.get(f"{place}/{name}") for name in RESULTS}


def test_swapped_in__a_first_run_that_fails_leaves_no_folder(book, tmp_path):
    with pytest.raises(Broken):
        run_season([book], tmp_path / "season", as_of=AS_OF, say=_broken)
    assert beside(tmp_path / "season") == [] and not (tmp_path / "season").exists()


def _broken(said):
    raise Broken


def test_swapped_in__a_second_run_at_the_same_time_is_refused(earlier):
    with swapped_in(earlier) as one:
        (one / "season.duckdb").write_text("one")
        with (
            pytest.raises(RequestError, match="Another run is writing .*season; wait until it is done"),
            swapped_in(earlier),
        ):
            pass
    assert (earlier / "season.duckdb").read_text() == "one"
    assert beside(earlier) == []
