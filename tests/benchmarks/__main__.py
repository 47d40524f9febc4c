"""What each stage costs beside a named library, size by size: `python -m tests.benchmarks`, or some stages by name."""

import importlib
import sys
from collections.abc import Iterator, Sequence

from tests.benchmarks.measuring import Row, table

STAGES = ("reading", "counting", "testing", "growing", "carriers", "kinship", "drawing")


def measured(stages: Sequence[str] = STAGES) -> Iterator[Row]:
    """The rows of each stage, each a module of this package."""
    for stage in stages:
        yield from importlib.import_module(f"tests.benchmarks.{stage}").rows()


if __name__ == "__main__":
    print(table(list(measured(sys.argv[1:] or STAGES))))
