"""Prices with a currency written beside them, and currencies by sign or name."""

import re

from pipeline.workbook.cells import BLANKS, CellFault, amount, number, text, tidy

_SIGNS = {
    "€": "EUR",
    "£": "GBP",
    "₹": "INR",
    "₩": "KRW",
    "zł": "PLN",
    "euro": "EUR",
    "euros": "EUR",
    "eu": "EUR",
    "fr.": "CHF",
    "sfr": "CHF",
}
_DOLLARS = frozenset({"USD", "AUD", "CAD", "NZD", "SGD", "HKD", "TWD"})
_SIGNED_DOLLARS = {
    "us$": "USD",
    "a$": "AUD",
    "au$": "AUD",
    "c$": "CAD",
    "ca$": "CAD",
    "nz$": "NZD",
    "s$": "SGD",
    "hk$": "HKD",
}
_CODE = re.compile(r"[A-Za-z]{3}")
_PRICE = re.compile(r"([^\d\s.,'+-][^\d.,'+-]*)?\s*([+-]?[\d.,][\d.,' ]*?)\s*([^\d\s.,'+-][^\d]*|,-|\.-|,–)?")


def currency(value: object, home: str = "USD") -> str | None:
    """A currency by its three letters; a sign is read where it stands for one only.

    '$' is the book's own currency (`home`) where that is a dollar; else a CellFault.
    """
    words = text(value)
    if words is None or words.lower() in BLANKS:
        return None
    known = _SIGNS.get(words.lower()) or _SIGNED_DOLLARS.get(words.lower())
    if known:
        return known
    if words in {"$", "dollar", "dollars"} and home in _DOLLARS:
        return home
    if not _CODE.fullmatch(words):
        raise CellFault(
            "is no currency with a single reading", "Write its three letters, such as USD, EUR or GBP."
        )
    return words.upper()


def price(value: object, home: str = "USD") -> tuple[float, str | None] | None:
    """The amount, and the currency where one is written with it: '€ 1.200' is (1200.0, 'EUR')."""
    if not isinstance(value, str):
        found = number(value)
        return None if found is None else (found, None)
    words = tidy(value).replace("−", "-")
    if words.lower() in BLANKS:
        return None
    text(words)
    match = _PRICE.fullmatch(words)
    if match is None:
        raise CellFault("is not one plain price", "Type one number; a range or a remark belongs in Notes.")
    before, after = (match[1] or "").strip(), (match[3] or "").strip(" ,.-–")
    if before and after:
        raise CellFault("names two currencies", "Type the number alone, and the currency in its own column.")
    return amount(match[2], "money"), _beside(before or after, home)


def _beside(words: str, home: str) -> str | None:
    """The currency written with a price; a word that is none is told as such."""
    try:
        return currency(words, home)
    except CellFault as fault:
        raise CellFault(
            f"has '{words}' beside the number, which is no currency with a single reading",
            "Type the number alone, or with three letters, such as 100 EUR.",
        ) from fault
