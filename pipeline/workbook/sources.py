"""Where a sheet's rows come from: calamine where it may read them, else openpyxl, opened only then."""

import warnings
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from functools import cached_property
from io import BytesIO

import openpyxl

from pipeline.workbook.package import Package, SheetPart
from pipeline.workbook.quick import Grid, QuickBook
from pipeline.workbook.tab import Source
from pipeline.workbook.xstring import decoded_row


class Sources:
    """The rows of a book's sheets. A context: what was opened to read them is closed when it ends."""

    def __init__(self, package: Package, parts: Sequence[SheetPart]) -> None:
        self._package = package
        self._quick = QuickBook(package, parts)
        self._opened = ExitStack()

    def __enter__(self) -> "Sources":
        return self

    def __exit__(self, *_: object) -> None:
        self._opened.close()

    def of(self, part: SheetPart) -> Source:
        """A sheet's rows as plain values, None or '' for a blank cell. The size that the file states is often wrong and is not asked."""
        grid = self._quick.grid(part)
        return self._streamed(part.name) if grid is None else _from_grid(grid)

    @cached_property
    def _workbook(self) -> openpyxl.Workbook:
        """The book opened for streaming, stored values in place of formulas; its remarks about lost extras are muted."""
        if not openpyxl.DEFUSEDXML:
            raise RuntimeError("openpyxl does not use defusedxml; install defusedxml beside it")
        self._opened.enter_context(warnings.catch_warnings())
        warnings.filterwarnings("ignore", module="openpyxl")
        with self._package.guarded():
            workbook = openpyxl.load_workbook(
                BytesIO(self._package.data), read_only=True, data_only=True, keep_links=False
            )
        self._opened.callback(workbook.close)
        return workbook

    def _streamed(self, title: str) -> Source:
        def rows(first: int, last: int, width: int | None) -> Iterator[Sequence]:
            workbook = self._workbook
            with self._package.guarded():
                worksheet = workbook[title]
                worksheet.reset_dimensions()
                if last >= first:
                    lines = worksheet.iter_rows(
                        min_row=first, max_row=last, max_col=width, values_only=True
                    )
                    yield from map(decoded_row, lines)

        return rows


def _from_grid(grid: Grid) -> Source:
    def rows(first: int, last: int, width: int | None) -> Iterator[Sequence]:
        chosen = grid[first - 1 : last]
        if not chosen or width is None or width == len(chosen[0]):
            return iter(chosen)
        if width < len(chosen[0]):
            return (row[:width] for row in chosen)
        filling = [""] * (width - len(chosen[0]))
        return (row + filling for row in chosen)

    return rows
