"""What a whole season costs against what can't be avoided: `python -m tests.benchmarks.season`.

One book (500 animals, 3,000 hatch rows, 5,000 weights, 3,000 prices) is read in two ways, in turn, each time by a fresh
process: by the libraries alone, which are imported and read every cell; and by `season`, start to finish. The two
are run alternately, so that whatever else the machine does falls on both. Printed: the ratio of the medians, which
is to be at most 3, the ratios of neighbouring runs, and each step's share of a season.
"""

import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from time import perf_counter

from pipeline.workbook.template import write_book
from tests.simulate.colony import AS_OF, colony

AT_MOST = 3.0
"""A season takes at most so many times what importing the libraries and reading the file alone take."""
SIZES = {"animals": 500, "hatch_rows": 3_000, "weights": 5_000, "prices": 3_000}
_ALONE = """
import sys
import altair, duckdb, jinja2, numpy, openpyxl, pandas, scipy.special, vl_convert, xlsxwriter
book = openpyxl.load_workbook(sys.argv[1], read_only=True, data_only=True)
cells = sum(len(row) for page in book for row in page.iter_rows(values_only=True))
"""
_STEPS = """
import sys
from datetime import date
from pathlib import Path
from time import perf_counter
steps = [("Starting", perf_counter())]
from pipeline.season import run_season
say = lambda step: steps.append((step, perf_counter()))
run_season([Path(sys.argv[1])], Path(sys.argv[2]), as_of=date.fromisoformat(sys.argv[3]), say=say)
say("")
for (step, start), (_, end) in zip(steps, steps[1:]):
    print(f"{step}:{end - start}")
"""


@dataclass(frozen=True)
class Measured:
    """Seconds of each repetition, in turn."""

    alone: list[float]
    season: list[float]

    @property
    def ratio(self) -> float:
        """Median season over median reading alone."""
        return median(self.season) / median(self.alone)

    @property
    def ratios(self) -> list[float]:
        """Season over reading alone, run by run."""
        return [season / alone for season, alone in zip(self.season, self.alone, strict=True)]


def measure(folder: Path, repetitions: int) -> Measured:
    """Write the book to `folder` and time both ways on it; one run of each beforehand warms the disk."""
    book = big_book(folder)
    alone = [sys.executable, "-c", _ALONE, str(book)]
    season = [sys.executable, "-m", "pipeline", "season", str(book), "--out", str(folder / "season")]
    season += ["--as-of", AS_OF.isoformat()]
    times = [(_seconds(alone), _seconds(season)) for _ in range(repetitions + 1)][1:]
    return Measured([a for a, _ in times], [s for _, s in times])


def big_book(folder: Path, *, seed: int = 1) -> Path:
    """The book of the stated sizes."""
    path = folder / "big.xlsx"
    write_book(path, colony(**SIZES, seed=seed))
    return path


def _seconds(command: list[str]) -> float:
    start = perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    return perf_counter() - start


def steps(folder: Path, repetitions: int) -> dict[str, float]:
    """Median seconds of each step of a season on the book that `measure` wrote."""
    command = [
        sys.executable,
        "-c",
        _STEPS,
        str(folder / "big.xlsx"),
        str(folder / "steps"),
        AS_OF.isoformat(),
    ]
    found: dict[str, list[float]] = {}
    for _ in range(repetitions):
        lines = subprocess.run(command, check=True, capture_output=True, text=True).stdout.splitlines()
        for step, seconds in (line.split(":") for line in lines):
            found.setdefault(step, []).append(float(seconds))
    return {step: median(times) for step, times in found.items()}


def report(say: Callable[[str], None] = print, repetitions: int = 9) -> None:
    """Measure, and print what came out."""
    with tempfile.TemporaryDirectory() as name:
        measured, shares = measure(Path(name), repetitions), steps(Path(name), 3)
    for title, times in (("importing and reading alone", measured.alone), ("season", measured.season)):
        say(f"{title:28} median {median(times):.2f} s  ({min(times):.2f} to {max(times):.2f})")
    ratios = measured.ratios
    say(
        f"ratio of medians {measured.ratio:.2f}, at most {AT_MOST:g}  ({min(ratios):.2f} to {max(ratios):.2f} run by run)"
    )
    for step, seconds in shares.items():
        say(f"  {step:24} {seconds:.2f} s  {seconds / sum(shares.values()):4.0%}")


if __name__ == "__main__":
    report(repetitions=int(sys.argv[1]) if len(sys.argv) > 1 else 9)
