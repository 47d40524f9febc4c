"""One cell's value as the new book holds it: read where our reading can, else the text as it stood."""

from collections.abc import Sequence
from datetime import date
from typing import Literal

from pipeline.workbook.bringing.wording import words_of
from pipeline.workbook.cells import CellFault
from pipeline.workbook.columns import Parser, parser
from pipeline.workbook.dates import Day, day_with_order, spelled_order
from pipeline.workbook.headers import MONEY
from pipeline.workbook.sheets import Column, Kind

Order = Literal["day first", "month first"] | None
ORDERS: dict[str | None, Order] = {"day-first": "day first", "month-first": "month first"}
"""What a keeper may say of the dates of a list, and what it means."""
_AS_TEXT = frozenset({Kind.TEXT, Kind.ID, Kind.IDS, Kind.NAMES, Kind.GENES})


class Carrier:
    """Carries the cells of one old column into one of ours.

    Days, numbers and words of a list become what they are read as, in our unit. Names, IDs and labels stay as typed,
    and so does what can't be read: the check points at it. Where some dates of the column can have the day in one place
    only, the others are read the same way (`order`); where none tells, as `dates` says.
    """

    def __init__(self, column: Column, unit: str, values: Sequence, dates: Order = None) -> None:
        self.column = column
        self.order: Order = (date_order(values) or dates) if column.kind is Kind.DATE else None
        self._parse: Parser = parser(column, header_unit=unit)

    def carry(self, value: object) -> object:
        """The cell of the new book; text is never empty."""
        if self.column.kind in _AS_TEXT:
            return words_of(value)
        try:
            found = self._parse(value)
        except CellFault:
            return self._kept(value)
        if found is None:
            return words_of(value)
        if isinstance(found, Day):
            return found.day or found.year
        if self.column.field in MONEY and isinstance(found, tuple):
            return _money(found, value)
        return _plain(found) if isinstance(found, float) else found

    def _kept(self, value: object) -> object:
        day = (
            day_with_order(value, self.order == "day first")
            if self.order and isinstance(value, str)
            else None
        )
        if day is not None:
            return day
        return (
            value
            if isinstance(value, (int, float, date)) and not isinstance(value, bool)
            else words_of(value)
        )


def _money(found: tuple, value: object) -> object:
    """The amount; with a currency beside it, the text, which the reading takes apart."""
    number, currency = found
    return _plain(number) if currency is None or not isinstance(value, str) else words_of(value)


def _plain(number: float) -> float | int:
    """In units of a millionth, so that 1.2 kg is 1200 g and no 1199.9999999999998."""
    rounded = round(number, 6)
    return int(rounded) if rounded.is_integer() else rounded


def is_open(column: Column, value: object) -> bool:
    """Whether a cell of the new book is a date yet to be read: in two ways, or with a year of two digits."""
    dated = column.kind is Kind.DATE and isinstance(value, str)
    return dated and any(day_with_order(str(value), first) for first in (True, False))


def date_order(values: Sequence) -> Order:
    """Which number is the day in '05/06/2021', as the dates of the column tell that can be read one way only."""
    orders = {spelled_order(value) for value in values if isinstance(value, str)} - {None}
    return orders.pop() if len(orders) == 1 else None
