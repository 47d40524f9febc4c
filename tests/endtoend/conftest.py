"""The demo season, run once for all tests that only read it."""

from dataclasses import dataclass
from pathlib import Path

import pytest

from pipeline.example.collection import AS_OF, write_example
from pipeline.example.planted import Planted
from pipeline.season import SeasonResult, run_season
from tests.endtoend.running import Findings, findings_of


@dataclass(frozen=True)
class Demo:
    """The demo book, what was planted in it, and its season."""

    book: Path
    planted: tuple[Planted, ...]
    season: SeasonResult
    findings: Findings


@pytest.fixture(scope="session")
def demo(tmp_path_factory) -> Demo:
    """Not to be changed: shared by all tests."""
    folder = tmp_path_factory.mktemp("demo")
    book = folder / "demo.xlsx"
    planted = write_example(book)
    season = run_season([book], folder / "season", as_of=AS_OF)
    return Demo(book, planted, season, findings_of(book, AS_OF))
