"""What a season costs against what can't be avoided: `python -m tests.benchmarks.season`.

One book (500 animals, 3,000 hatch rows, 5,000 weights, 3,000 prices) is gone through in three ways, in turn, each time by
a fresh process: by the libraries alone, which are imported and read every cell; by a season of the first questions, RATIO;
and by a season of all. Printed: the seconds of computing of each, its drawing included, so that what else the machine
does matters little; the season of the first questions over the libraries alone, which is to be at most 3; and each step's
share of the whole season.
"""

import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median

from pipeline.workbook.template import write_book
from tests.simulate.colony import AS_OF, colony

AT_MOST = 3.0
"""A season of RATIO takes at most so many times what importing the libraries and reading the file alone take."""
RATIO = ("ratios", "growth", "prices")
SIZES = {"animals": 500, "hatch_rows": 3_000, "weights": 5_000, "prices": 3_000}
_ALONE = """
import sys
import altair, duckdb, jinja2, numpy, openpyxl, pandas, scipy.special, vl_convert, xlsxwriter
book = openpyxl.load_workbook(sys.argv[1], read_only=True, data_only=True)
cells = sum(len(row) for page in book for row in page.iter_rows(values_only=True))
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
class Measured:
    """Seconds of computing of each repetition, in turn, and of each step of the whole seasons."""

    alone: list[float]
    first: list[float]
    whole: list[float]
    steps: dict[str, list[float]]

    @property
    def ratio(self) -> float:
        """Median season of the first questions over median reading alone."""
        return median(self.first) / median(self.alone)

    @property
    def ratios(self) -> list[float]:
        """Season of the first questions over reading alone, run by run."""
        return [first / alone for first, alone in zip(self.first, self.alone, strict=True)]


def measure(folder: Path, repetitions: int, *, whole: bool = True) -> Measured:
    """Write the book to `folder` and time all ways on it; one run of each beforehand warms the disk."""
    book = big_book(folder)
    alone = [sys.executable, "-c", _ALONE, str(book)]
    first, every = (
        [sys.executable, "-c", _SEASON, str(book), str(folder / name), AS_OF.isoformat()]
        for name in ("first", "whole")
    )
    found = Measured([], [], [], {})
    for repetition in range(repetitions + 1):
        times = [_seconds(alone), _seconds([*first, *RATIO]), _seconds(every) if whole else (0.0, "")]
        if repetition:
            for kept, (seconds, _) in zip((found.alone, found.first, found.whole), times, strict=True):
                kept.append(seconds)
            for step, seconds in (line.split(":") for line in times[-1][1].splitlines()):
                found.steps.setdefault(step, []).append(float(seconds))
    return found


def big_book(folder: Path, *, seed: int = 1) -> Path:
    """The book of the stated sizes."""
    path = folder / "big.xlsx"
    write_book(path, colony(**SIZES, seed=seed))
    return path


def _seconds(command: list[str]) -> tuple[float, str]:
    """Seconds of computing of a process and of those it started, and what it printed."""
    before = getrusage(RUSAGE_CHILDREN)
    said = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    after = getrusage(RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime, said


def report(say: Callable[[str], None] = print, repetitions: int = 9) -> None:
    """Measure, and print what came out."""
    with tempfile.TemporaryDirectory() as name:
        found = measure(Path(name), repetitions)
    ways = {
        "importing and reading alone": found.alone,
        f"season of {', '.join(RATIO)}": found.first,
        "whole season": found.whole,
    }
    for title, times in ways.items():
        say(f"{title:32} median {median(times):.2f} s  ({min(times):.2f} to {max(times):.2f})")
    ratios = found.ratios
    say(
        f"{', '.join(RATIO)} over importing and reading: ratio of medians {found.ratio:.2f}, at most {AT_MOST:g}  "
        f"({min(ratios):.2f} to {max(ratios):.2f} run by run)"
    )
    steps = {step: median(times) for step, times in found.steps.items()}
    steps["Drawing, in a process beside"] = max(median(found.whole) - sum(steps.values()), 0.0)
    for step, seconds in steps.items():
        say(f"  {step:30} {seconds:.2f} s  {seconds / sum(steps.values()):4.0%}")


if __name__ == "__main__":
    report(repetitions=int(sys.argv[1]) if len(sys.argv) > 1 else 9)
