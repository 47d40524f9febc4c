"""Headers as words: case, marks and units set aside."""

import re
from datetime import date, datetime
from functools import cache

from pipeline.workbook.cells import BLANKS, CellFault, shown, text, tidy, unit_of_header
from pipeline.workbook.dates import when
from pipeline.workbook.headers import MONEY
from pipeline.workbook.money import currency
from pipeline.workbook.sheets import Column

_BRACKET = re.compile(r"[(\[]([^()\[\]]*)[)\]]")
_UNIT_WORDS = frozenset(
    ["g", "gr", "gram", "grams", "kg", "lb", "lbs", "oz", "cm", "mm", "m", "in", "inch", "inches", "ft"]
)
_CURRENCY_WORDS = frozenset(["usd", "eur", "gbp", "chf", "cad", "aud", "nzd", "$", "€", "£"])


def words_of(value: object) -> str:
    """A cell as text, nothing lost: 12.0 is '12', a day is ISO text, an error of Excel's its sign."""
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, datetime):
        return value.isoformat(" ")
    try:
        return text(value) or ""
    except CellFault:
        return str(value)


@cache
def plain(header: str) -> str:
    """A header's words in lower case, without brackets, marks, a unit at the end: 'Wt. (kg)' is 'wt', '# slugs' is 'slugs'."""
    words = re.findall(r"[^\W_]+|[#♀♂%$€£]", _BRACKET.sub(" ", header).casefold())
    while len(words) > 1 and words[-1] in _UNIT_WORDS | _CURRENCY_WORDS:
        words = words[: -2 if words[-2] == "in" and len(words) > 2 else -1]
    return " ".join(words[1:] if words[:1] == ["#"] and len(words) > 1 else words)


def unit_of(header: str, column: Column) -> str:
    """The unit, or for money the currency, that an old header names; '' where it names none that the column knows."""
    spelled = [tidy(words) for words in _BRACKET.findall(header)]
    spelled += re.findall(r"[^\W\d_]+|[$€£]", header)[-1:]
    for words in spelled:
        try:
            if column.field in MONEY:
                found = currency(words) if words.casefold() in _CURRENCY_WORDS else ""
            else:
                found = unit_of_header(words, column.unit)
        except CellFault:
            continue
        if found:
            return found
    return ""


def day_of_header(header: object) -> date | None:
    """The day that a header is, where weighings stand under their dates; None for any other header."""
    if not isinstance(header, (str, date)) or (isinstance(header, str) and header.lower() in BLANKS):
        return None
    try:
        found = when(header)
    except CellFault:
        return None
    return found.day if found else None


def title(header: object, letter: str) -> str:
    """What a column is called: its header, or its place where it has none."""
    return shown(header) if header is not None else f"column {letter}"
