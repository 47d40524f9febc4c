"""Dates as keepers type them."""

from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.workbook.cells import CellFault
from pipeline.workbook.dates import Day, when, year

DAYS = st.dates(date(1907, 1, 1), date(2100, 12, 31))
JUNE = Day(2021, date(2021, 6, 14))


@pytest.mark.parametrize(
    "typed",
    [
        datetime(2021, 6, 14), datetime(2021, 6, 14, 13, 30), date(2021, 6, 14), "2021-06-14", "2021/06/14", "2021.6.14", "20210614", 20210614,
        "2021-06-14T13:30:00Z", "2021-06-14 13:30", "14.6.2021", "14.06.2021", "14. 6. 2021", "14/6/2021", "6/14/2021", "14-06-2021",
        "14 Jun 2021", "14-Jun-2021", "14th June 2021", "14. June 2021", "June 14, 2021", "Jun 14 2021", " 14\u00a0jun. 2021 ", 44361, 44361.75,
    ],
)  # fmt: skip
def test_when__reads_what_has_one_reading(typed):
    assert when(typed) == JUNE


@pytest.mark.parametrize("typed", [2021, 2021.0, "2021", " 2021 ", datetime(1905, 7, 13)])
def test_when__keeps_a_bare_year_a_year(typed):
    """Excel shows the number 2021 in a date cell as 13 July 1905 (day 1 is 1 January 1900, and 1900 is taken as a leap year)."""
    assert when(typed) == Day(2021)


def test_when__finds_the_year_in_a_date_cell_of_a_1904_book():
    """Day 0 of the 1904 system is 1 January 1904."""
    assert when(datetime(1904, 1, 1) + timedelta(days=2021), epoch_1904=True) == Day(2021)
    assert when(42899, epoch_1904=True) == JUNE


def test_when__reads_equal_day_and_month_and_dotted_dates():
    assert when("04/04/2021") == Day(2021, date(2021, 4, 4))
    assert when("03.04.2021") == Day(2021, date(2021, 4, 3))


def test_when__names_both_readings_of_an_ambiguous_date():
    with pytest.raises(CellFault, match="may mean 3 April or 4 March 2021") as caught:
        when("03/04/2021")
    assert caught.value.hint == "Write 2021-04-03 or 2021-03-04."


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("1899-12-31", "outside 1900 to 2100"), ("2101", "outside 1900 to 2100"), (datetime(2345, 1, 1), "outside 1900 to 2100"), ("31.2.2021", "no calendar has"),
        ("summer 2021", "single reading"), ("14.6.21", "single reading"), ("Jun 2021", "single reading"), ("2021-06", "single reading"),
        ("14 Foo 2021", "single reading"), (12, "is no date"), (True, "is no date"), (time(0), "is no date"), (timedelta(1), "is no date"),
        (0.5, "is no date"), ("#VALUE!", "error of Excel's"),
    ],
)  # fmt: skip
def test_when__says_what_is_wrong(typed, message):
    with pytest.raises(CellFault, match=message):
        when(typed)


def test_when__takes_words_for_nothing_as_blank():
    assert when("?") is None
    assert when("  ") is None


@given(DAYS)
def test_when__reads_any_day_in_any_plain_writing(day):
    plain = (
        f"{day:%Y-%m-%d}",
        f"{day.day}.{day.month}.{day.year}",
        f"{day:%d %B %Y}",
        f"{day:%b} {day.day}, {day.year}",
        f"{day:%Y/%m/%d} 08:15",
    )
    assert {when(words) for words in plain} == {Day(day.year, day)}


@given(DAYS)
def test_when__never_picks_a_side_between_day_and_month(day):
    typed = f"{day.day:02}/{day.month:02}/{day.year}"
    if day.day <= 12 and day.day != day.month:
        with pytest.raises(CellFault, match="may mean"):
            when(typed)
    else:
        assert when(typed) == Day(day.year, day)


@given(st.text(alphabet="0123456789-/. JunMay:T", max_size=20))
def test_when__never_fails_but_by_a_cell_fault(typed):
    try:
        found = when(typed)
    except CellFault:
        return
    assert found is None or 1900 <= found.year <= 2100


def test_year__wants_the_year_alone():
    assert year("2024") == year(2024.0) == year(datetime(1905, 7, 16)) == 2024
    assert year("-") is None
    with pytest.raises(CellFault, match="is a date, where a year belongs"):
        year("2024-03-01")


@pytest.mark.parametrize(("typed", "why"), [("2021/22", "is no year"), ("1850", "lies outside 1900 to 2100")])
def test_year__asks_for_one_year(typed, why):
    with pytest.raises(CellFault, match=why) as found:
        year(typed)
    assert found.value.hint == "Write one year alone, such as 2021."
