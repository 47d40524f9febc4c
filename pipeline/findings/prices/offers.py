"""The Prices sheet as offers that can be compared: one label for one morph, one currency where the rates allow."""

from collections.abc import Mapping
from datetime import date

import numpy as np
import pandas as pd

from pipeline.findings.frames import ordinal_days
from pipeline.genetics.collection import Settings
from pipeline.genetics.genes import Catalogue
from pipeline.genetics.labels import LabelError, read_label, write_label

ASKED, SOLD, BOTH = "asked", "sold", "both"


def read_offers(
    prices: pd.DataFrame, catalogues: Mapping[str, Catalogue], settings: Settings, as_of: date
) -> pd.DataFrame:
    """Offers up to `as_of`, oldest first: species, morph, currency, offer (asked, sold), day (ordinal), price, sex,
    age_class ('' where not said), dated, row (of the sheet; 0 where not known).

    A bare year stands at its middle, and is not `dated`. A currency with a rate is turned into that of the Settings,
    another one kept.
    """
    own = settings.currency.upper()
    currency = (
        prices["currency"].astype(object).where(prices["currency"].notna(), own).astype(str).str.upper()
    )
    rate = currency.map({**settings.rates, own: 1.0})
    offers = pd.DataFrame(
        {
            "species": prices["species"].astype(object),
            "morph": _morphs(prices, catalogues),
            "currency": currency.where(rate.isna(), own),
            "offer": prices["kind"].astype(object).where(prices["kind"].notna(), ASKED),
            "day": _days(prices, as_of),
            "price": pd.to_numeric(prices["price"]).astype(float) * rate.fillna(1.0).astype(float),
            **{name: _texts(prices, name) for name in ("sex", "age_class")},
            "dated": prices["date"].notna(),
            "row": prices["row"].astype(int) if "row" in prices else 0,
        }
    )
    kept = offers[(offers["price"] > 0) & (offers["day"] <= as_of.toordinal())]
    order = ["species", "morph", "currency", "day", "offer", "price", "sex", "age_class"]
    return kept.sort_values(order, ignore_index=True, kind="stable")


def _texts(prices: pd.DataFrame, name: str) -> pd.Series | str:
    return prices[name].astype(object).where(prices[name].notna(), "") if name in prices else ""


def _days(prices: pd.DataFrame, as_of: date) -> pd.Series:
    """Ordinal days; a bare year counts from its first of July, or from today where that is still to come."""
    days = ordinal_days(prices["date"])
    years = prices["date_year"].astype(float)
    bare = days.isna() & years.notna()
    today = as_of.toordinal()
    middle = [min(date(int(y), 7, 1).toordinal(), today) if y <= as_of.year else np.nan for y in years[bare]]
    days[bare] = middle
    return days


def _morphs(prices: pd.DataFrame, catalogues: Mapping[str, Catalogue]) -> list[str]:
    """Each label in the one spelling of labels.py; a label that can't be read (and was reported) stands as typed."""
    pairs = list(zip(prices["species"].astype(object), prices["genes"].astype(object), strict=True))
    spelled = {pair: _spelled(catalogues.get(pair[0]), str(pair[1]).strip()) for pair in dict.fromkeys(pairs)}
    return [spelled[pair] for pair in pairs]


def _spelled(catalogue: Catalogue | None, text: str) -> str:
    if catalogue is None:
        return text
    try:
        return write_label(read_label(text, catalogue), catalogue)
    except LabelError:
        return text
