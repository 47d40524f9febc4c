"""What each stage costs beside a named library, size by size: `python -m tests.benchmarks`, or some stages by name."""

import importlib
import sys
from collections.abc import Iterator
from typing import Any

from tests.benchmarks.measuring import HEAD, Row, lines

STAGES = ("reading", "counting", "testing", "growing", "kinship", "drawing", "carriers")


def measured(stage: str, **how: Any) -> Iterator[Row]:
    """The rows of a stage, a module of this package, at its own sizes where no others are given."""
    yield from importlib.import_module(f"tests.benchmarks.{stage}").rows(**how)


if __name__ == "__main__":
    print(HEAD)
    for name in sys.argv[1:] or STAGES:
        print("\n".join(lines(list(measured(name)))), flush=True)
