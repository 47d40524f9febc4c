"""Ctrl+C at any moment: one sentence, exit 130, the earlier results as they were, nothing left behind."""

import os
import random
import shutil
import signal
import subprocess
import sys
import textwrap
import time

import pytest

import pipeline
from tests.endtoend.small import AS_OF
from tests.faults.standing import ROOT, season_command

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="signals of Unix")
STOPPED = f"{pipeline.STOPPED}\n"
MOMENTS = 12

AGAIN_AND_AGAIN = """
    import os, signal, sys, time
    from pathlib import Path

    import pipeline.season  # so that a run is about the books, not about importing
    from pipeline.cli import main

    book, folder, as_of, *moments = sys.argv[1:]
    for moment in map(float, moments):
        if (child := os.fork()) == 0:
            signal.setitimer(signal.ITIMER_PROF, moment)
            signal.signal(signal.SIGPROF, lambda *_: os.kill(os.getpid(), signal.SIGINT))
            main(["season", book, "--out", folder, "--as-of", as_of])
        print(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), flush=True)
"""


def test_season__interrupted_at_random_moments(book, earlier, survives):
    """Moments of computing, so that they fall all over the run however busy the machine is."""
    moments = [f"{random.Random(3 + at).uniform(0.01, 0.9):.3f}" for at in range(MOMENTS)]
    command = [
        sys.executable,
        "-c",
        textwrap.dedent(AGAIN_AND_AGAIN),
        book,
        earlier,
        AS_OF.isoformat(),
        *moments,
    ]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT)
    codes = done.stdout.split()
    stopped = [line for line in codes if line == "130"]
    assert done.stderr == STOPPED * len(stopped)
    assert len(stopped) >= MOMENTS // 2 and set(codes) <= {"0", "130"}
    survives()


WHILE_LOADING = """
    import os, signal, sys

    class Keyboard:
        def find_spec(self, name, path=None, target=None):
            if name == os.environ["MOMENT"] and os.environ["AMONG"] in " ".join(sys.orig_argv):
                sys.meta_path.remove(self)
                exec("os.kill(os.getpid(), signal.SIGINT)")  # a text, as the code that makes a dataclass

    sys.meta_path.insert(0, Keyboard())
"""


def hooked(folder, moment, among=""):
    """The environment in which Ctrl+C meets processes with the words `among` while they import the module `moment`."""
    (folder / "hook").mkdir()
    (folder / "hook" / "sitecustomize.py").write_text(textwrap.dedent(WHILE_LOADING))
    path = os.pathsep.join([str(folder / "hook"), *filter(None, [os.environ.get("PYTHONPATH")])])
    return {**os.environ, "MOMENT": moment, "AMONG": among, "PYTHONPATH": path}


@pytest.mark.parametrize("moment", ["pipeline.cli", "click", "pipeline.season", "pandas", "xlsxwriter"])
def test_season__interrupted_while_it_is_loaded(book, earlier, survives, tmp_path, moment):
    done = season_command(book, earlier, env=hooked(tmp_path, moment))
    assert (done.returncode, done.stdout, done.stderr) == (130, "", STOPPED)
    shutil.rmtree(tmp_path / "hook")
    survives()


def test_season__processes_of_a_club_leave_the_keyboard_to_the_run(book, tmp_path):
    """A terminal sends Ctrl+C to them too, perhaps while they are loaded; how the run ends is for it alone to say."""
    other = shutil.copy(book, tmp_path / "other.xlsx")
    met = hooked(tmp_path, "pipeline.club.processes", among="--multiprocessing-fork")
    done = season_command(book, tmp_path / "club", other, "--jobs", "2", env=met)
    assert (done.returncode, done.stderr) == (0, "")


STARTED = "import sys, pipeline.cli; print('ready', flush=True); pipeline.cli.main(sys.argv[1:])"


@pytest.mark.parametrize(("seconds", "jobs"), [(0.6, 1), (1.5, 1), (1.0, 2), (2.5, 2)])
def test_season__interrupted_from_the_keyboard(book, earlier, survives, seconds, jobs):
    """The whole group of processes gets the signal, as from a terminal."""
    books = [book, *(shutil.copy(book, book.with_name(f"{number}.xlsx")) for number in range(1, 2 * jobs - 1))]
    words = ["season", *books, "--out", earlier, "--as-of", AS_OF.isoformat(), "--jobs", f"{jobs}"]
    pipe = subprocess.PIPE
    with subprocess.Popen(
        [sys.executable, "-c", STARTED, *words],
        stdout=pipe,
        stderr=pipe,
        text=True,
        cwd=ROOT,
        start_new_session=True,
    ) as running:
        running.stdout.readline()
        time.sleep(seconds)
        os.killpg(running.pid, signal.SIGINT)
        _, said = running.communicate(timeout=120)
    assert (running.returncode, said) in ((130, STOPPED), (0, ""))
    if running.returncode:
        survives()
