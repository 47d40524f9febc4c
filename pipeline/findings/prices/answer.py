"""The price question for a whole book: what each morph fetches, where that is going, and what its genes are worth."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import pandas as pd

from pipeline.findings.frames import as_dates, findings_frame, own_names
from pipeline.findings.prices.directions import direction_of
from pipeline.findings.prices.model import PriceModel, price_model
from pipeline.findings.prices.offers import BOTH, read_offers
from pipeline.findings.prices.premiums import factor_rows, outlier_rows, premium_rows
from pipeline.findings.prices.reconciling import with_kinds
from pipeline.findings.prices.robust import Floats
from pipeline.findings.prices.seasonal import season_rows
from pipeline.findings.prices.typical import FEWEST, Typical, typical_price
from pipeline.genetics.collection import Settings
from pipeline.genetics.genes import Catalogue
from pipeline.store.tables import (
    GENE_PREMIUMS,
    PRICE_BANDS,
    PRICE_FACTORS,
    PRICE_OUTLIERS,
    PRICE_POINTS,
    PRICE_TRENDS,
)

PriceModels = Mapping[tuple[str, str], PriceModel]
"""The price models of a book by species and currency; those with too few offers are not there."""


@dataclass(frozen=True)
class PriceFindings:
    """Findings tables price_trends, price_points, price_bands, gene_premiums, price_factors and price_outliers, without
    the column `book`; and the models behind the last three, which price any label (pricing.py)."""

    trends: pd.DataFrame
    points: pd.DataFrame
    bands: pd.DataFrame
    premiums: pd.DataFrame
    factors: pd.DataFrame
    outliers: pd.DataFrame
    models: PriceModels


def price_findings(
    prices: pd.DataFrame, catalogues: Mapping[str, Catalogue], settings: Settings, as_of: date
) -> PriceFindings:
    """Typical prices and trends of one book, a row for each species, morph, currency and kind; premiums by gene.

    `prices` are its records, `catalogues` the genes of its species (to spell a morph one way). Prices after `as_of` are
    not looked at.
    """
    offers, ratios = with_kinds(read_offers(prices, catalogues, settings, as_of))
    trends, bands = _trends(offers, ratios, as_of)
    models = price_models(offers, catalogues, as_of)
    each = list(models.values())
    factors = [row for model in each for row in factor_rows(model)] + list(season_rows(models))
    return PriceFindings(
        trends,
        offers.assign(on=as_dates(offers["day"]))[own_names(PRICE_POINTS)],
        bands,
        findings_frame(GENE_PREMIUMS, [row for model in each for row in premium_rows(model)]),
        findings_frame(PRICE_FACTORS, factors),
        findings_frame(PRICE_OUTLIERS, [row for model in each for row in outlier_rows(model)]),
        models,
    )


def price_models(
    offers: pd.DataFrame, catalogues: Mapping[str, Catalogue], as_of: date
) -> dict[tuple[str, str], PriceModel]:
    """A price model for each species and currency with offers (offers.py) enough."""
    models = {}
    for (species, currency), group in offers.groupby(["species", "currency"], sort=True):
        catalogue = catalogues.get(species)
        model = price_model(group, species, currency, catalogue, as_of) if catalogue else None
        if model:
            models[species, currency] = model
    return models


def _trends(
    offers: pd.DataFrame, ratios: Mapping[tuple[str, str], tuple[float, int]], as_of: date
) -> tuple[pd.DataFrame, pd.DataFrame]:
    keys = ["species", "morph", "currency", "kind"]
    rows, bands = [], []
    all_days, all_scaled = offers["day"].to_numpy(), offers["scaled"].to_numpy()
    for key, own in sorted(offers.groupby(keys).indices.items()):
        named = dict(zip(keys, key, strict=True))
        days, scaled = all_days[own], all_scaled[own]
        found = direction_of(days, scaled)
        typical = typical_price(days, scaled, as_of.toordinal())
        scale, sales = ratios[named["species"], named["currency"]] if named["kind"] == BOTH else (None, 0)
        notes = [_scale_note(scale, sales), _typical_note(typical, days), found.row["note"]]
        rows.append(
            {
                **named, "asked_scale": scale, "n_last_year": typical.n, "typical": typical.price,
                "low": typical.low, "high": typical.high, **found.row, "note": " ".join(filter(None, notes)),
            }
        )  # fmt: skip
        bands += [{**named, **point} for point in found.band]
    return findings_frame(PRICE_TRENDS, rows), findings_frame(PRICE_BANDS, bands)


def _scale_note(scale: float | None, sales: int) -> str:
    return f"Asking prices times {scale:.2f}, as {sales} sales of this species show." if scale else ""


def _typical_note(typical: Typical, days: Floats) -> str:
    if typical.n >= FEWEST:
        return ""
    latest = date.fromordinal(int(days.max())).isoformat()
    many = {0: "no price", 1: "1 price"}.get(typical.n, f"{typical.n} prices")
    return f"Too few to tell what is typical: {many} in the last year, the latest on {latest}."
