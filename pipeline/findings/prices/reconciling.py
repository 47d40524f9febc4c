"""What a sale fetches of the price asked, as the book itself shows it."""

import numpy as np
import pandas as pd

from pipeline.findings.prices.offers import ASKED, BOTH, SOLD
from pipeline.findings.prices.robust import Floats

NEAR = 183
"""Days between a sale and the adverts it is held against: half a year, so that a trend does not pass for a discount."""
FEWEST_SALES = 6
"""Of six sales the lowest and highest ratio hold the true median between them with 97 % confidence, 1 - 2 (1/2)^6."""


def with_kinds(offers: pd.DataFrame) -> tuple[pd.DataFrame, dict[tuple[str, str], tuple[float, int]]]:
    """The offers with the `kind` of trend they belong to and their `scaled` price; the ratios, by species and currency.

    Where a species shows a ratio its asking prices are multiplied by it, and a morph with any of them is of kind 'both'.
    Elsewhere asked and sold stay apart. A ratio comes with the number of sales it rests on.
    """
    offers = offers.assign(kind=offers["offer"], scaled=offers["price"])
    ratios = {}
    for key, group in offers.groupby(["species", "currency"], sort=True):
        ratio, sales = asked_to_sold(group)
        if np.isnan(ratio):
            continue
        ratios[key] = (ratio, sales)
        asked = group.index[group["offer"] == ASKED]
        offers.loc[asked, "scaled"] *= ratio
        mixed = group.index[group["morph"].isin(group.loc[asked, "morph"])]
        offers.loc[mixed, "kind"] = BOTH
    return offers, ratios


def asked_to_sold(offers: pd.DataFrame) -> tuple[float, int]:
    """The median ratio of a sale to the adverts of the same morph about that time, and the sales it rests on.

    `offers` are of one species and currency. NaN where fewer than six sales have an advert to be held against.
    """
    sold, days = (offers["offer"] == SOLD).to_numpy(), offers["day"].to_numpy()
    prices, gaps = np.log(offers["price"].to_numpy()), []
    for rows in offers.groupby("morph").indices.values():
        was_sold = sold[rows]
        if was_sold.any() and not was_sold.all():
            sales, asked = rows[was_sold], rows[~was_sold]
            gaps += _against(days[sales], prices[sales], days[asked], prices[asked])
    return (float(np.exp(np.median(gaps))) if len(gaps) >= FEWEST_SALES else np.nan), len(gaps)


def _against(sold_on: Floats, sold: Floats, asked_on: Floats, asked: Floats) -> list[float]:
    """Log price of each sale less the median log price asked near it; sales without an advert near are passed over."""
    near = np.abs(asked_on - sold_on[:, None]) <= NEAR
    held = near.any(axis=1)
    if not held.any():
        return []
    beside = np.nanmedian(np.where(near[held], asked, np.nan), axis=1)
    return [float(gap) for gap in sold[held] - beside]
