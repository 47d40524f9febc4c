"""The charts of a page: one specification a kind and rows for each chart, beside altair asked for every chart."""

from collections.abc import Iterator, Sequence

from charts import growth
from pipeline.report.figures import Figures, Picture
from tests.benchmarks.measuring import Row, seconds
from tests.charts.growth_tables import growth_tables

SIZES = (20, 80, 320)


def rows(sizes: Sequence[int] = SIZES) -> Iterator[Row]:
    """Growth charts of one animal, as JSON for the page."""
    for size in sizes:
        ours, theirs = seconds(lambda n=size: _page(n)), seconds(lambda n=size: _by_altair(n), times=1)
        yield Row("charts of a page", size, "charts", ours, "altair, chart by chart", theirs)


def _page(number: int) -> str:
    figures = Figures()
    for _ in range(number):
        figures.add(Picture(growth, growth_tables()))
    return figures.payload()


def _by_altair(number: int) -> list[str]:
    return [growth.growth(*growth_tables()).to_json() for _ in range(number)]
