"""What each stage costs beside a named library, size by size: `python -m tests.benchmarks`, or some stages by name."""

import importlib
import sys
from collections.abc import Iterator

from tests.benchmarks.measuring import HEAD, Row, lines

STAGES = ("reading", "counting", "testing", "growing", "kinship", "drawing", "carriers")


def measured(stage: str) -> Iterator[Row]:
    """The rows of a stage, a module of this package."""
    yield from importlib.import_module(f"tests.benchmarks.{stage}").rows()


if __name__ == "__main__":
    print(HEAD)
    for name in sys.argv[1:] or STAGES:
        print("\n".join(lines(list(measured(name)))), flush=True)
