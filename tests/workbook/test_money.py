"""Prices with a currency beside them."""

import pytest

from pipeline.workbook.cells import CellFault
from pipeline.workbook.money import currency, price


@pytest.mark.parametrize(
    ("typed", "amount", "money"),
    [
        (120, 120, None), ("120", 120, None), ("€ 1.200", 1200, "EUR"), ("1,200 EUR", 1200, "EUR"), ("1.234,56 €", 1234.56, "EUR"), ("£99.50", 99.5, "GBP"),
        ("$120", 120, "USD"), ("A$120", 120, "AUD"), ("USD 1 200", 1200, "USD"), ("chf 120,-", 120, "CHF"), ("120,-", 120, None), ("1'200 CHF", 1200, "CHF"), ("120 euros", 120, "EUR"),
    ],
)  # fmt: skip
def test_price__reads_amount_and_currency(typed, amount, money):
    assert price(typed) == (pytest.approx(amount), money)


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("120-150", "not one plain price"),
        ("120 or best", "no currency"),
        ("EUR 120 USD", "two currencies"),
        ("120 kr", "no currency with a single"),
        ("ca 100", "has .ca. beside the number"),
        ("#N/A", "error of Excel's"),
    ],
)
def test_price__says_what_is_wrong(typed, message):
    with pytest.raises(CellFault, match=message):
        price(typed)


def test_price__is_none_for_a_dash():
    assert price("-") is None


def test_currency__reads_a_dollar_by_the_books_own():
    assert currency("$", "CAD") == "CAD"
    with pytest.raises(CellFault, match="no currency with a single reading"):
        currency("$", "EUR")


def test_currency__is_three_letters():
    assert currency("usd") == "USD"
    assert currency("?") is None
