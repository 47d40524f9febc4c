"""Dates that may be bare years, as the first and the last day they can mean."""

from datetime import date, timedelta
from typing import NamedTuple

MONTH = 30.4375
"""Mean days of a month in the Gregorian calendar (365.25 / 12)."""


class Span(NamedTuple):
    """The first and the last day a record can mean; one and the same for a full date."""

    first: date
    last: date


def span(day: date | None, year: int | None) -> Span | None:
    """The span of a date cell and its year twin; None where both are blank."""
    if day is not None:
        return Span(day, day)
    return None if year is None else Span(date(year, 1, 1), date(year, 12, 31))


def in_words(when: Span | None) -> str:
    """The day, or the year where no day is known."""
    if when is None:
        return "on a day not recorded"
    return str(when.first) if when.first == when.last else str(when.first.year)


def surely_before(one: Span | None, other: Span | None) -> bool:
    """Whether the first lies before the second whatever day a bare year means; False where either is unknown."""
    return one is not None and other is not None and one.last < other.first


def not_before(one: Span, other: Span) -> bool:
    """Whether the first surely lies after the second, or both are one and the same day."""
    return surely_before(other, one) or (one == other and one.first == one.last)


def most_days_between(earlier: Span, later: Span) -> int:
    """The most days that can lie from one to the other; negative where the order is surely reversed."""
    return (later.last - earlier.first).days


def days_after(day: date, days: float) -> date:
    """The day so many days later."""
    return day + timedelta(days=round(days))
