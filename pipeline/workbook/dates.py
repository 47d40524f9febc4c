"""Dates as keepers type them: real Excel dates, ISO text, other text with one reading only, or a bare year."""

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from math import isfinite
from typing import Literal

from pipeline.workbook.cells import BLANKS, CellFault, text, tidy

FIRST_YEAR, LAST_YEAR = 1900, 2100
_EPOCH_1900, _EPOCH_1904 = date(1899, 12, 30), date(1904, 1, 1)
_SERIALS = range(20_000, 73_415)
"""Bare day numbers taken for dates that lost their format: 1954 to 2100 in Excel's 1900 system."""

_MONTHS = {
    name: number
    for number, names in enumerate(
        ("january jan", "february feb", "march mar", "april apr", "may", "june jun", "july jul", "august aug",
         "september sep sept", "october oct", "november nov", "december dec"), start=1,
    )
    for name in names.split()
}  # fmt: skip
_TIME = r"(?:[T ,]+\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?(?: ?[ap]m)?(?:Z| ?[+-]\d{2}:?\d{2})?)?"
_YEAR = re.compile(r"\d{4}")
_YEAR_FIRST = re.compile(rf"(\d{{4}})([-/.])(\d{{1,2}})\2(\d{{1,2}})\.?{_TIME}", re.IGNORECASE)
_COMPACT = re.compile(r"((?:19|20)\d{2})(\d{2})(\d{2})")
_YEAR_LAST = re.compile(rf"(\d{{1,2}})([-/.]) ?(\d{{1,2}})\2 ?(\d{{4}}){_TIME}", re.IGNORECASE)
_ORDERED = re.compile(
    rf"(\d{{1,2}})(?:([-/.]) ?(\d{{1,2}})\2 ?(\d{{4}})|([/.])(\d{{1,2}})\5(\d{{2}})){_TIME}", re.IGNORECASE
)
"""The same, or with a year of two digits after dots or slashes; codes have hyphens."""
_THIS_CENTURY = 69
"""Two digits below are of the 2000s, others of the 1900s, as POSIX reads them."""
_DAY_MONTH = re.compile(
    rf"(\d{{1,2}})(?:st|nd|rd|th|\.)?[- /]?([a-z]+)\.?,?[- /]?(\d{{4}}){_TIME}", re.IGNORECASE
)
_MONTH_DAY = re.compile(
    rf"([a-z]+)\.?[- /]?(\d{{1,2}})(?:st|nd|rd|th)?,?[- /](\d{{4}}){_TIME}", re.IGNORECASE
)
_HINT = "Write it as year-month-day, such as 2021-06-14, or as a bare year."


@dataclass(frozen=True)
class Day:
    """A date, or only a year: `day` is None for a bare year."""

    year: int
    day: date | None = None


def when(value: object, *, epoch_1904: bool = False) -> Day | None:
    """The day or bare year of a cell; None for a blank one.

    A day number from 1900 to 2100 in a date format is a bare year typed into a date cell: Excel shows 2021 as
    13 July 1905. CellFault for what can be read in two ways, is no date, or lies outside 1900 to 2100.
    """
    epoch = _EPOCH_1904 if epoch_1904 else _EPOCH_1900
    if isinstance(value, datetime):
        value = value.date()
    if isinstance(value, date):
        serial = (value - epoch).days
        return (
            _year(serial) if FIRST_YEAR <= serial <= LAST_YEAR else _day(value.year, value.month, value.day)
        )
    if isinstance(value, (bool, time, timedelta)):
        raise CellFault("is no date", _HINT)
    if isinstance(value, (int, float)):
        return _from_number(value, epoch)
    words = text(value)
    return None if words is None or words.lower() in BLANKS else _from_text(words)


def year(value: object, *, epoch_1904: bool = False) -> int | None:
    """A year alone; CellFault for a full date, since the season of a date is not always its year."""
    try:
        found = when(value, epoch_1904=epoch_1904)
    except CellFault as fault:
        message = fault.message if fault.message.startswith("lies outside") else "is no year"
        raise CellFault(message, "Write one year alone, such as 2021.") from fault
    if found is not None and found.day is not None:
        raise CellFault("is a date, where a year belongs", f"Write the year alone, such as {found.year}.")
    return None if found is None else found.year


def spelled_order(words: str) -> Literal["day first", "month first"] | None:
    """Where the day stands in '25/06/2021' or '06/25/2021'; None where both readings will do, or it is no such date."""
    match = _YEAR_LAST.fullmatch(tidy(words))
    if match is None or match[2] == ".":
        return None
    first, second = int(match[1]), int(match[3])
    if first > 12 >= second:
        return "day first"
    return "month first" if second > 12 >= first else None


def day_with_order(words: str, day_first: bool) -> date | None:
    """The day that '05/06/2021' or '5.6.21' means where the order of its numbers is known; None for other texts."""
    match = _ORDERED.fullmatch(tidy(words))
    if match is None:
        return None
    first, second, year = int(match[1]), int(match[3] or match[6]), int(match[4] or match[7])
    if match[7]:
        year += 2000 if year < _THIS_CENTURY else 1900
    day, month = (first, second) if day_first else (second, first)
    try:
        return _day(year, month, day).day
    except CellFault:
        return None


def _from_number(value: float, epoch: date) -> Day:
    if not isfinite(value):
        raise CellFault("is no date", _HINT)
    if value == int(value) and FIRST_YEAR <= value <= LAST_YEAR:
        return _year(int(value))
    if compact := _COMPACT.fullmatch(str(int(value))):
        return _day(*map(int, compact.groups()))
    if int(value) in _SERIALS:
        found = epoch + timedelta(days=int(value))
        return _day(found.year, found.month, found.day)
    raise CellFault("is no date", _HINT)


def _from_text(words: str) -> Day:
    if _YEAR.fullmatch(words):
        return _year(int(words))
    if match := _YEAR_FIRST.fullmatch(words):
        return _day(int(match[1]), int(match[3]), int(match[4]))
    if match := _COMPACT.fullmatch(words):
        return _day(*map(int, match.groups()))
    if match := _YEAR_LAST.fullmatch(words):
        return _two_numbers(int(match[1]), int(match[3]), int(match[4]), dotted=match[2] == ".")
    if (match := _DAY_MONTH.fullmatch(words)) and match[2].lower() in _MONTHS:
        return _day(int(match[3]), _MONTHS[match[2].lower()], int(match[1]))
    if (match := _MONTH_DAY.fullmatch(words)) and match[1].lower() in _MONTHS:
        return _day(int(match[3]), _MONTHS[match[1].lower()], int(match[2]))
    raise CellFault("is no date with a single reading", _HINT)


def _two_numbers(first: int, second: int, year_: int, *, dotted: bool) -> Day:
    """Dots put the day first wherever they are used; slashes and dashes only tell where one number is above 12."""
    if dotted or first > 12 or first == second:
        return _day(year_, second, first)
    if second > 12:
        return _day(year_, first, second)
    one, other = date(year_, second, first), date(year_, first, second)
    raise CellFault(
        f"may mean {one.day} {one:%B} or {other.day} {other:%B} {year_}",
        f"Write {one.isoformat()} or {other.isoformat()}.",
    )


def _year(number: int) -> Day:
    if not FIRST_YEAR <= number <= LAST_YEAR:
        raise CellFault(f"lies outside {FIRST_YEAR} to {LAST_YEAR}", _HINT)
    return Day(number)


def _day(year_: int, month: int, day: int) -> Day:
    try:
        found = date(year_, month, day)
    except ValueError:
        raise CellFault("is a day that no calendar has", _HINT) from None
    return Day(_year(year_).year, found)
