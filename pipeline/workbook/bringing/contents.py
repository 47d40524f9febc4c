"""What a column's cells look like, whatever its header says."""

import re
from collections.abc import Collection, Sequence

from pipeline.genetics.label_words import HET, POSSIBLE, folded, words_of
from pipeline.workbook.bringing.wording import words_of as as_text
from pipeline.workbook.cells import GRAM, CellFault, number
from pipeline.workbook.columns import convert, parser
from pipeline.workbook.dates import day_with_order
from pipeline.workbook.money import price
from pipeline.workbook.sheets import Column, Kind
from pipeline.workbook.words import choice

_SEXES = ("M", "F")
_LABEL_WORDS = HET | POSSIBLE | {"super", "normal", "ph", "%"}
_CODE = re.compile(r"([^\W\d]{1,2} )?(?=\S*\d)\S+")
_MEASURED = re.compile(r"[\d.,'\s]*(k?g|mg|cm|mm|m|lbs?|oz|in|ft)\.?", re.IGNORECASE)
"""A number with a unit that no money has."""


def readable(values: Sequence, column: Column, unit: str = "") -> float:
    """The share of filled cells that our reading takes for such a column, 0 to 1; 1 where none is filled."""
    filled = [value for value in values if value is not None]
    if not filled:
        return 1.0
    if column.kind is Kind.GENES:
        return sum(map(_wordy, filled)) / len(filled)
    faults = convert(filled, parser(column, header_unit=unit)).faults
    mended = sum(_is_day(filled[n]) for n in faults) if column.kind is Kind.DATE else 0
    return 1 - (len(faults) - mended) / len(filled)


def _is_day(value: object) -> bool:
    """Whether a text is a day, if only one knew which of its numbers is the month."""
    return isinstance(value, str) and any(day_with_order(value, first) for first in (True, False))


def distinct(values: Sequence) -> float:
    """The share of filled cells that differ from all before them; 1 where none is filled."""
    filled = [as_text(value) for value in values if value is not None]
    return len(set(filled)) / len(filled) if filled else 1.0


def _wordy(value: object) -> bool:
    return isinstance(value, str) and sum(map(str.isalpha, value)) > sum(map(str.isdigit, value))


def looks_like_dates(values: Sequence, column: Column) -> bool:
    """Nearly all can be read as days; bare numbers don't count, since a weight may pass for a year."""
    days = [value for value in values if not isinstance(value, (int, float))]
    return (
        len(days) >= 2
        and len(days) == len(values)
        and readable(values, column) >= 0.9
        and any(map(_dated, days))
    )


def _dated(value: object) -> bool:
    return not isinstance(value, str) or len(re.findall(r"\d+|[a-z]{3,}", value.lower())) > 1


def looks_like_sexes(values: Sequence) -> bool:
    """Nearly all are words for a sex."""
    return len(values) >= 2 and sum(_is_sex(value) for value in values) >= 0.9 * len(values)


def _is_sex(value: object) -> bool:
    try:
        return choice(value, _SEXES) is not None
    except CellFault:
        return False


def looks_like_labels(values: Sequence, genes: Collection[str]) -> bool:
    """Half of them speak as labels do ('het', 'super', '66%') or name a gene of the list (folded)."""
    hits = sum(
        bool({word.text for word in words_of(folded(str(value)))} & (_LABEL_WORDS | set(genes)))
        for value in values
    )
    return hits >= 2 and hits >= 0.5 * len(values)


def looks_like_codes(values: Sequence, rows: int) -> bool:
    """One in each row, none twice, each a single word with a digit, or two such as 'B 01'."""
    words = [as_text(value) for value in values]
    single = all(_CODE.fullmatch(word) for word in words) and not any(map(_is_day, words))
    return len(words) == rows >= 2 and len(set(words)) == rows and single


def refer_to(values: Sequence, known: Collection[str]) -> bool:
    """Nearly all repeat one of the known IDs."""
    return len(values) > 0 and sum(as_text(value) in known for value in values) >= 0.8 * len(values)


def looks_like_weights(values: Sequence) -> bool:
    """Nearly all are texts with a unit of weight."""
    return len(values) >= 2 and sum(_has_unit(value) for value in values) >= 0.8 * len(values)


def _has_unit(value: object) -> bool:
    if not isinstance(value, str) or not any(value.lower().rstrip(".").endswith(unit) for unit in GRAM):
        return False
    try:
        return number(value, "g") is not None
    except CellFault:
        return False


def looks_like_prices(values: Sequence) -> bool:
    """Nearly all are texts with a currency beside a number."""
    return len(values) >= 2 and sum(_has_currency(value) for value in values) >= 0.8 * len(values)


def _has_currency(value: object) -> bool:
    if not isinstance(value, str) or _MEASURED.fullmatch(value.strip()):
        return False
    try:
        found = price(value)
    except CellFault:
        return False
    return found is not None and found[1] is not None
