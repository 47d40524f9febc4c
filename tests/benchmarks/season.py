"""What a season costs against what can't be avoided: `python -m tests.benchmarks.season`.

One book (500 animals, 3,000 hatch rows, 5,000 weights, 3,000 prices) is gone through in four ways, in turn, each time by a
fresh process: by the libraries alone, which are imported and read every cell, once with openpyxl and once with calamine,
with which a season reads plain sheets; by a season of the first questions, RATIO; and by a season of all. Printed for each
are the least seconds on the clock and of computing, drawing included; the season of the first questions over the
libraries alone, which is to be at most 3 on the clock with openpyxl reading; and each step's share of the whole season.
The seasons have what an earlier run kept (report/kept.py), and so no need of Altair.
"""

import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median
from time import perf_counter

from pipeline.workbook.template import write_book
from tests.simulate.colony import AS_OF, colony

AT_MOST = 3.0
"""A season of RATIO takes at most so many times what importing the libraries and reading the file alone take."""
ALONE, QUICK = "importing and reading alone, openpyxl", "importing and reading alone, calamine"
FIRST, WHOLE = "season of ratios, growth, prices", "whole season"
RATIO = ("ratios", "growth", "prices")
SIZES = {"animals": 500, "hatch_rows": 3_000, "weights": 5_000, "prices": 3_000}
_ALONE = """
import sys
import altair, duckdb, jinja2, numpy, openpyxl, pandas, scipy.special, vl_convert, xlsxwriter
book = openpyxl.load_workbook(sys.argv[1], read_only=True, data_only=True)
cells = sum(len(row) for page in book for row in page.iter_rows(values_only=True))
"""
_QUICK = """
import sys
import altair, duckdb, jinja2, numpy, pandas, python_calamine, scipy.special, vl_convert, xlsxwriter
book = python_calamine.CalamineWorkbook.from_path(sys.argv[1])
cells = sum(len(row) for name in book.sheet_names for row in book.get_sheet_by_name(name).iter_rows())
"""
_SEASON = """
import sys
from datetime import date
from pathlib import Path
from time import process_time
from pipeline.resources import settle
settle()  # as the command line does
steps = [("Starting", 0.0)]
from pipeline.season import run_season
say = lambda step: steps.append((step, process_time()))
book, out, day, *questions = sys.argv[1:]
run_season([Path(book)], Path(out), as_of=date.fromisoformat(day), say=say, questions=questions or None)
say("")
for (step, start), (_, end) in zip(steps, steps[1:]):
    print(f"{step}:{end - start}")
"""


@dataclass(frozen=True)
class Taken:
    """What one run of a way took: seconds on the clock, and seconds of computing with the processes it started."""

    elapsed: float
    computing: float


@dataclass(frozen=True)
class Measured:
    """Every run of each way, in turn, and the seconds of computing of each step of the whole seasons."""

    runs: dict[str, list[Taken]]
    steps: dict[str, list[float]]

    def least(self, way: str) -> Taken:
        """The least that a way took on the clock, and of computing: what else the machine does can only add to both."""
        runs = self.runs[way]
        return Taken(min(run.elapsed for run in runs), min(run.computing for run in runs))

    def ratio(self, alone: str = ALONE) -> Taken:
        """A season of the first questions over reading alone, on the clock and of computing."""
        season, alone = self.least(FIRST), self.least(alone)
        return Taken(season.elapsed / alone.elapsed, season.computing / alone.computing)


def measure(folder: Path, repetitions: int, *, whole: bool = True) -> Measured:
    """Write the book to `folder` and time all ways on it; one run of each beforehand warms the disk."""
    book = big_book(folder)
    first, every = (
        [sys.executable, "-c", _SEASON, str(book), str(folder / name), AS_OF.isoformat()]
        for name in ("first", "whole")
    )
    ways = {
        ALONE: [sys.executable, "-c", _ALONE, str(book)],
        QUICK: [sys.executable, "-c", _QUICK, str(book)],
        FIRST: [*first, *RATIO],
        **({WHOLE: every} if whole else {}),
    }
    found = Measured({way: [] for way in ways}, {})
    for repetition in range(repetitions + 1):
        for way, command in ways.items():
            taken, said = _taken(command)
            if repetition:
                found.runs[way].append(taken)
            for step, seconds in (
                line.split(":") for line in said.splitlines() if repetition and way == WHOLE
            ):
                found.steps.setdefault(step, []).append(float(seconds))
    return found


def big_book(folder: Path, *, seed: int = 1) -> Path:
    """The book of the stated sizes."""
    path = folder / "big.xlsx"
    write_book(path, colony(**SIZES, seed=seed))
    return path


def _taken(command: list[str]) -> tuple[Taken, str]:
    """What a process and those it started took, and what it printed."""
    before, start = getrusage(RUSAGE_CHILDREN), perf_counter()
    said = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    elapsed, after = perf_counter() - start, getrusage(RUSAGE_CHILDREN)
    return Taken(elapsed, after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime), said


def report(say: Callable[[str], None] = print, repetitions: int = 9) -> None:
    """Measure, and print what came out."""
    with tempfile.TemporaryDirectory() as name:
        found = measure(Path(name), repetitions)
    for way, runs in found.runs.items():
        least, middle = found.least(way), median(run.computing for run in runs)
        say(
            f"{way:44} {least.elapsed:6.2f} s elapsed, {least.computing:6.2f} s of computing (median {middle:.2f})"
        )
    for alone in (ALONE, QUICK):
        ratio = found.ratio(alone)
        say(f"{FIRST} over {alone}: {ratio.elapsed:.2f} elapsed, {ratio.computing:.2f} of computing")
    say(f"At most {AT_MOST:g} elapsed is asked of the first.")
    steps = {step: median(times) for step, times in found.steps.items()}
    beside = median(run.computing for run in found.runs[WHOLE]) - sum(steps.values())
    steps["Drawing, in a process beside"] = max(beside, 0.0)
    for step, seconds in steps.items():
        say(f"  {step:30} {seconds:.2f} s  {seconds / sum(steps.values()):4.0%}")


if __name__ == "__main__":
    report(repetitions=int(sys.argv[1]) if len(sys.argv) > 1 else 9)
