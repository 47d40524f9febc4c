"""How values are written on the page: one function a kind, from a column to its texts.

A missing value is an empty text, never 'nan'. Each kind also gives the keys by which the column sorts.
"""

import re
from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

import pandas as pd
from markupsafe import Markup, escape

from pipeline.findings.shares import halved, signed
from pipeline.report.verdicts import verdict_mark

Texts = list[str | Markup]
_HYPHENED = re.compile(r"(?<![\w-])(?=[\w-]{3,24}(?![\w-]))\w+(?:-\w+)*-\d\w*")
"""A date or an ID with a hyphen, short enough for a line of a phone: '2026-05-03', 'B26-4'."""


def words(column: pd.Series) -> Texts:
    """Text as it is."""
    return ["" if missing else str(value) for value, missing in _pairs(column)]


def brief(column: pd.Series) -> Texts:
    """A few words, which stay on one line where there is room for it."""
    return words(column)


def prose(column: pd.Series) -> Texts:
    """Sentences, which want room."""
    return words(column)


def genes(column: pd.Series) -> Texts:
    """Genes; a missing one means all genes jointly."""
    return ["all together" if missing else str(value) for value, missing in _pairs(column)]


def yes_no(column: pd.Series) -> Texts:
    """Truth as 'yes' and nothing: a column of noes would hide the yes."""
    return ["yes" if not missing and value else "" for value, missing in _pairs(column)]


def counts(column: pd.Series) -> Texts:
    """Whole numbers: 1,234."""
    return ["" if missing else f"{value:,.0f}" for value, missing in _pairs(column)]


def money(column: pd.Series) -> Texts:
    """Prices: 1,234; below ten two digits, so that none reads 0."""
    return ["" if missing else money_text(value) for value, missing in _pairs(column)]


def money_text(value: float) -> str:
    """One price: '1,234', '9.5', '0.42'."""
    return f"{value:,.0f}" if value == 0 or abs(value) >= 9.95 else f"{value:.2g}"


def years(column: pd.Series) -> Texts:
    """Years and clutch numbers: no separator."""
    return ["" if missing else f"{value:.0f}" for value, missing in _pairs(column)]


def numbers(column: pd.Series) -> Texts:
    """Statistics: two decimals."""
    return ["" if missing else f"{value:,.2f}" for value, missing in _pairs(column)]


def tenths(column: pd.Series) -> Texts:
    """Numbers that one decimal tells: 1.5."""
    return ["" if missing else f"{value:,.1f}" for value, missing in _pairs(column)]


def p_values(column: pd.Series) -> Texts:
    """p and q: two significant digits, and '< 0.0001' beyond."""
    return ["" if missing else p_text(value) for value, missing in _pairs(column)]


def p_text(value: float) -> str:
    """One p-value: '0.032', '< 0.0001'."""
    if value < 1e-4:
        return "<\u202f0.0001"
    return f"{value:.2f}" if value >= 0.1 else f"{value:.2g}"


def percents(column: pd.Series) -> Texts:
    """Shares of 0..1 as whole percentages; '0 %' and '100 %' are said of none and of all alone."""
    return ["" if missing else percent_text(value) for value, missing in _pairs(column)]


def percent_text(value: float) -> str:
    """One share: '66 %', '0 %' and '100 %' of none and all, '< 1 %' and '> 99 %' beside them."""
    return f"{100 * value:.0f}\u202f%" if min(value, 1 - value) < 1e-9 else odds_text(value)


def shares(column: pd.Series) -> Texts:
    """Shares of 0..1 as percentages with the decimals that halves of halves need: '12.5 %', '6.25 %'."""
    return ["" if missing else halved(value).replace(" ", "\u202f") for value, missing in _pairs(column)]


def odds(column: pd.Series) -> Texts:
    """Probabilities as percentages that never claim certainty: '< 1 %', '> 99 %'."""
    return ["" if missing else odds_text(value) for value, missing in _pairs(column)]


def odds_text(value: float) -> str:
    """One probability: '66 %', '< 1 %', '> 99 %'."""
    if value < 0.005:
        return "<\u202f1\u202f%"
    return ">\u202f99\u202f%" if value >= 0.995 else f"{100 * value:.0f}\u202f%"


def bars(column: pd.Series) -> Texts:
    """Probabilities as percentages behind a small bar."""
    return ["" if missing else _bar(value) for value, missing in _pairs(column)]


def _bar(value: float) -> Markup:
    return Markup('<span class="bar"><i style="width:{}%"></i></span>{}').format(
        f"{100 * value:.0f}", odds_text(value)
    )


def claims(column: pd.Series) -> Texts:
    """What a label says of a gene; where it says none, 'nothing'."""
    return [
        "nothing" if missing or value == "" else str(value).replace("% het", "%\u00a0het")
        for value, missing in _pairs(column)
    ]


def changes(column: pd.Series) -> Texts:
    """Signed shares: +12 %."""
    return ["" if missing else signed(value).replace(" ", "\u202f") for value, missing in _pairs(column)]


def dates(column: pd.Series) -> Texts:
    """ISO dates, which read the same in every country."""
    return ["" if missing else f"{value:%Y-%m-%d}" for value, missing in _pairs(column)]


def day_ranges(column: pd.Series) -> Texts:
    """Days from one to another, none of which ends a line at its hyphens."""
    return [unbroken(text) for text in words(column)]


def unbroken(text: str) -> Markup:
    """Text in which no line ends at the hyphen of a date or an ID."""
    return Markup(_HYPHENED.sub(r'<span class="line">\g<0></span>', str(escape(text))))


def verdicts(column: pd.Series) -> Texts:
    """Verdicts with their mark, linked to what they mean."""
    return ["" if missing else verdict_mark(str(value)) for value, missing in _pairs(column)]


def spans(low: Sequence[str], high: Sequence[str], *, open_end: str = "") -> Texts:
    """'low to high', or the one value where both ends are the same; `open_end` stands for a missing upper end."""
    return [_span(a, b or open_end) for a, b in zip(low, high, strict=True)]


def _span(low: str, high: str) -> str:
    return f"{low} to\u00a0{high}" if low and high and low != high else low or ""


def sort_keys(column: pd.Series) -> list[Any]:
    """Keys for sorting in the browser: numbers as they are, dates as ISO text, missing as empty."""
    return ["" if missing else _key(value) for value, missing in _pairs(column)]


def day(value: date) -> str:
    """A date in a sentence: '3 May 2026'."""
    return f"{value.day} {value:%B %Y}"


def _key(value: Any) -> Any:
    if hasattr(value, "isoformat"):
        return value.isoformat()[:10]
    return f"{value:.10g}" if isinstance(value, float) else value


def _pairs(column: pd.Series) -> Any:
    return zip(column.tolist(), column.isna().tolist(), strict=True)


Format = Callable[[pd.Series], Texts]
