"""The price question for a whole book: what each morph fetches and where that is going."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
import pandas as pd

from pipeline.findings.frames import as_dates, findings_frame, own_names
from pipeline.findings.prices.offers import BOTH, read_offers
from pipeline.findings.prices.reconciling import with_kinds
from pipeline.findings.prices.trends import Floats, Slope, mann_kendall, theil_sen
from pipeline.findings.prices.typical import FEWEST, Typical, typical_price
from pipeline.genetics.collection import Settings
from pipeline.genetics.genes import Catalogue
from pipeline.store.tables import PRICE_BANDS, PRICE_POINTS, PRICE_TRENDS

DAYS_A_YEAR = 365.25
FEWEST_FOR_TREND = 5
"""Four prices in perfect order have a two-sided p of 0.083 at best; five, 0.017."""
SHORTEST_FOR_TREND = 365
"""Days from first to last price: a change a year can't be seen in less than a year, least of all across seasons."""
LEVEL = 0.05
"""Goes with the 95 % interval of the slope."""
FLAT_WITHIN = 0.2
"""A price is called flat where its interval keeps within a fifth a year either way; wider says only 'too few'."""
BAND_POINTS = 40
MAD_TO_SD, MEDIAN_LOSS = 1.4826, 1.2533
"""For normal scatter: standard deviation by median absolute deviation; standard error of a median by that of a mean."""


@dataclass(frozen=True)
class PriceFindings:
    """Findings tables price_trends, price_points and price_bands, without the column `book`."""

    trends: pd.DataFrame
    points: pd.DataFrame
    bands: pd.DataFrame


def price_findings(
    prices: pd.DataFrame, catalogues: Mapping[str, Catalogue], settings: Settings, as_of: date
) -> PriceFindings:
    """Typical prices and trends of one book, a row for each species, morph, currency and kind.

    `prices` are its records, `catalogues` the genes of its species (to spell a morph one way). Prices after `as_of` are
    not looked at.
    """
    offers, ratios = with_kinds(read_offers(prices, catalogues, settings, as_of))
    keys = ["species", "morph", "currency", "kind"]
    rows, bands = [], []
    for key, group in offers.groupby(keys, sort=True):
        named = dict(zip(keys, key, strict=True))
        days, scaled = group["day"].to_numpy(), group["scaled"].to_numpy()
        row, slope = _trend(days, scaled)
        typical = typical_price(days, scaled, as_of.toordinal())
        scale, sales = ratios[named["species"], named["currency"]] if named["kind"] == BOTH else (None, 0)
        notes = [_scale_note(scale, sales), _typical_note(typical, days), row.pop("note")]
        rows.append(
            {
                **named, "asked_scale": scale, "n_last_year": typical.n, "typical": typical.price,
                "low": typical.low, "high": typical.high, **row, "note": " ".join(filter(None, notes)),
            }
        )  # fmt: skip
        if slope and row["direction"] != "too few":
            bands += [{**named, **point} for point in _band(slope, days, np.log(scaled))]
    points = offers.assign(on=as_dates(offers["day"]))[own_names(PRICE_POINTS)]
    return PriceFindings(findings_frame(PRICE_TRENDS, rows), points, findings_frame(PRICE_BANDS, bands))


def _trend(days: Floats, prices: Floats) -> tuple[dict[str, Any], Slope | None]:
    """The trend's part of a row of price_trends, with its note; the slope where there are prices enough."""
    row: dict[str, Any] = {"n": len(days), "first_on": days.min(), "last_on": days.max()}
    span = days.max() - days.min()
    if len(days) < FEWEST_FOR_TREND or span < SHORTEST_FOR_TREND:
        note = (
            f"Too few to tell a trend: {len(days)} price(s) within {span / DAYS_A_YEAR:.1f} years; "
            f"it takes {FEWEST_FOR_TREND} over a year."
        )
        return row | {"direction": "too few", "note": note}, None
    logs = np.log(prices)
    slope = theil_sen(days / DAYS_A_YEAR, logs)
    test = mann_kendall(days, logs)
    change, low, high = np.expm1([slope.slope, slope.low, slope.high])
    row |= {"change_per_year": change, "change_low": low, "change_high": high, "p": test.p}
    direction = _direction(change, low, high, test.p)
    wide = (
        f"No clear trend: anything from {low:+.0%} to {high:+.0%} a year fits."
        if direction == "too few"
        else ""
    )
    return row | {"direction": direction, "note": wide}, slope


def _direction(change: float, low: float, high: float, p: float) -> str:
    if p < LEVEL and change:
        return "rising" if change > 0 else "falling"
    return "flat" if low >= -FLAT_WITHIN and high <= FLAT_WITHIN else "too few"


def _scale_note(scale: float | None, sales: int) -> str:
    return f"Asking prices times {scale:.2f}, as {sales} sales of this species show." if scale else ""


def _typical_note(typical: Typical, days: Floats) -> str:
    if typical.n >= FEWEST:
        return ""
    latest = date.fromordinal(int(days.max())).isoformat()
    return f"Too few to tell what is typical: {typical.n} price(s) in the last year, the latest on {latest}."


def _band(slope: Slope, days: Floats, logs: Floats) -> list[dict[str, Any]]:
    """The trend line with a 95 % band: the uncertainty of its slope about the median day, and of its height there."""
    years = days / DAYS_A_YEAR
    residual = logs - slope.y0 - slope.slope * (years - slope.x0)
    height = slope.y0 + np.median(residual)
    scatter = MAD_TO_SD * np.median(np.abs(residual - np.median(residual)))
    sway = 1.96 * MEDIAN_LOSS * scatter / np.sqrt(len(days))
    drawn = np.unique(np.linspace(days.min(), days.max(), BAND_POINTS).round())
    away = drawn / DAYS_A_YEAR - slope.x0
    ends = np.stack([(slope.low - slope.slope) * away, (slope.high - slope.slope) * away])
    line = height + slope.slope * away
    low, high = line - np.hypot(ends.min(axis=0), sway), line + np.hypot(ends.max(axis=0), sway)
    columns = zip(drawn, np.exp(line), np.exp(low), np.exp(high), strict=True)
    return [dict(zip(("on", "price", "low", "high"), values, strict=True)) for values in columns]
