"""One column's cells as values: which parser a column takes, what its faults cost.

The same value is parsed once however often it stands in the column, so that reading costs little beyond the XML.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from pipeline.problems import Severity
from pipeline.workbook import cells, dates, money
from pipeline.workbook.cells import CellFault
from pipeline.workbook.headers import MONEY
from pipeline.workbook.sheets import Column, Kind
from pipeline.workbook.words import choice

Parser = Callable[[object], object]

UNSTORED = CellFault(
    "holds a formula without a stored value",
    "Open the book in Excel or LibreOffice and save it there, so that the values are stored.",
)

HARMLESS = frozenset(
    {"notes", "name", "scientific_name", "where", "welfare_note", "paid", "born", "date", "first_paired", "last_paired",
     "ovulated_or_laid", "status", "length", "age_class", "wanted_by", "priority", "typical_litter", "days_to_young",
     "female_breeding_weight", "male_breeding_weight", "female_breeding_age", "male_breeding_age", "rest_between_litters",
     "young", "misread", "sex"}
)  # fmt: skip
"""Fields whose faulty cell may be taken as blank, because a blank distorts no answer: it only leaves one out, or
falls back on a setting. A faulty cell of any other field leaves its row out."""

POSITIVE = frozenset({"price", "weight", "length"})
"""Fields of which zero is no value."""


def severity(column: Column) -> Severity:
    """What a faulty cell of the column costs: ERROR leaves the row out, WARNING blanks the cell."""
    return Severity.WARNING if column.field in HARMLESS and not column.required else Severity.ERROR


LEAST, LARGEST = 1e-6, 1e12
"""No weight, price or age comes near either; beyond them, ratios and powers leave what a float can hold."""


@dataclass
class Cells:
    """A column as read: a value or None for each row, and what is wrong, by index."""

    values: list
    faults: dict[int, CellFault] = field(default_factory=dict)


def convert(raw: Sequence, parse: Parser) -> Cells:
    """Every cell parsed; None stays None, and a cell at fault becomes None with its fault."""
    plain = bool not in set(map(type, raw))
    marked = raw if plain else [(type(value), value) for value in raw]
    parsed: dict[object, Any] = {None: None}
    wrong: dict[object, CellFault] = {}
    for mark in set(marked) - {None}:
        value = mark if plain else mark[1]
        try:
            parsed[mark] = None if value is None else parse(value)
        except CellFault as fault:
            parsed[mark], wrong[mark] = None, fault
    faults = {index: wrong[mark] for index, mark in enumerate(marked) if mark in wrong} if wrong else {}
    return Cells([parsed[mark] for mark in marked], faults)


def parser(column: Column, *, header_unit: str = "", epoch_1904: bool = False, home: str = "USD") -> Parser:
    """How the column's cells are read. `home` is the book's currency, `header_unit` the unit its header names."""
    match column.kind:
        case Kind.ID:
            return cells.identifier
        case Kind.IDS | Kind.NAMES:
            return cells.names
        case Kind.CHOICE:
            return partial(choice, choices=column.choices)
        case Kind.INTEGER:
            return partial(_bounded, column, cells.whole)
        case Kind.PERCENT:
            return partial(_bounded, column, cells.percentage)
        case Kind.NUMBER if column.field in MONEY:
            return partial(_price, column, header_unit or None, home)
        case Kind.NUMBER:
            return partial(_bounded, column, partial(cells.number, unit=column.unit, header_unit=header_unit))
        case Kind.DATE:
            return partial(dates.when, epoch_1904=epoch_1904)
        case Kind.YEAR:
            return partial(_bounded, column, partial(dates.year, epoch_1904=epoch_1904))
        case _ if column.field == "currency":
            return partial(money.currency, home=home)
        case Kind.GENES:
            return cells.label
        case _:
            return cells.text if column.required else cells.remark


def _bounded(column: Column, parse: Callable[[object], float | None], value: object) -> float | None:
    return check_bounds(parse(value), column)


def _price(column: Column, header_currency: str | None, home: str, value: object) -> tuple | None:
    found = money.price(value, home)
    if found is None or found[0] is None:
        return None
    check_bounds(found[0], column)
    return (found[0], found[1] or header_currency)


def check_bounds(number: float | None, column: Column) -> float | None:
    """The number itself; CellFault where it lies outside what the registry allows."""
    if number is None:
        return None
    low, high = column.minimum, column.maximum
    if abs(number) < LEAST and column.field in POSITIVE:
        raise CellFault("is zero, where something above it belongs", "Clear the cell if it was not measured.")
    if abs(number) > LARGEST:
        raise CellFault("lies beyond all that is counted or measured", "Check the value, and its unit.")
    if number != number or (low is not None and number < low) or (high is not None and number > high):
        raise CellFault(f"lies outside {_range(low, high)}", "Check the value, and its unit.")
    return number


def _range(low: float | None, high: float | None) -> str:
    if high is None:
        return f"what it can be, {low:g} or more"
    return f"{low:g} to {high:g}" if low is not None else f"what it can be, {high:g} or less"
