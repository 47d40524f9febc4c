"""Whether adverts of a species are dearer in one quarter of the year than in another.

Asked of what the price model leaves unexplained, so that neither trend nor mixture of labels passes for a season. Years
are the blocks: Friedman's test (1937, J. Am. Stat. Assoc. 32:675-701, from memory) ranks the quarters within each year,
so that one hot market counts once however many adverts it brought.
"""

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
import pandas as pd

from pipeline.findings.prices.model import PriceModel
from pipeline.findings.prices.robust import Floats

FEWEST_YEARS = 4
"""Years with prices in all four quarters. Fewer, and Friedman's test has hardly an order left to call rare."""
LEVEL = 0.05
QUARTERS = ("January to March", "April to June", "July to September", "October to December")


def season_rows(models: Mapping[Any, PriceModel]) -> Iterator[dict[str, Any]]:
    """Rows of price_factors for the quarters, where the test finds a season; the level is shared among the models.

    A price of which only the year is known says nothing of quarters.
    """
    tables = {key: quarter_table(model) for key, model in models.items()}
    tables = {key: table for key, table in tables.items() if len(table) >= FEWEST_YEARS}
    for key, table in tables.items():
        p = friedman(table)
        if p < LEVEL / len(tables):
            yield from _rows(models[key], table, p)


def quarter_table(model: PriceModel) -> Floats:
    """Median unexplained log price (years, 4 quarters) of the years that have prices in all four."""
    offers = model.offers
    kept = offers["dated"].to_numpy(dtype=bool)
    on = pd.to_datetime(offers["day"][kept] - pd.Timestamp(0).toordinal(), unit="D")
    rest = pd.Series(model.fit.residuals[kept])
    medians = rest.groupby([on.dt.year.to_numpy(), on.dt.quarter.to_numpy()]).median().unstack()
    return medians.dropna().to_numpy(dtype=float) if medians.shape[1] == len(QUARTERS) else np.empty((0, 4))


def friedman(table: Floats) -> float:
    """The p-value by chi-square that the columns of (blocks, treatments) are alike; ties share their ranks."""
    from scipy.special import chdtrc

    blocks, k = table.shape
    below = (table[:, :, None] > table[:, None, :]).sum(axis=2)
    level = (table[:, :, None] == table[:, None, :]).sum(axis=2)
    ranks = below + (level + 1) / 2
    spread = np.sum((ranks - (k + 1) / 2) ** 2)
    if spread == 0:
        return 1.0
    between = np.sum((ranks.sum(axis=0) - blocks * (k + 1) / 2) ** 2)
    return float(chdtrc(k - 1, (k - 1) * between / spread))


def _rows(model: PriceModel, table: Floats, p: float) -> Iterator[dict[str, Any]]:
    from scipy.special import stdtrit

    apart = table - table.mean(axis=1, keepdims=True)
    years = len(table)
    half = stdtrit(years - 1, 0.975) * apart.std(axis=0, ddof=1) / np.sqrt(years)
    for quarter, middle, reach in zip(QUARTERS, apart.mean(axis=0), half, strict=True):
        low, factor, high = np.exp([middle - reach, middle, middle + reach])
        yield {
            "species": model.species, "currency": model.currency, "what": f"{quarter} against the year", "n": years,
            "factor": float(factor), "factor_low": float(low), "factor_high": float(high), "p": p,
        }  # fmt: skip
