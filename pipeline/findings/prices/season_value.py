"""What a season's young are worth at today's prices, beside the sales the book records and what their parents cost."""

from collections.abc import Iterator
from math import hypot
from typing import Any

import pandas as pd

from pipeline.findings.frames import findings_frame
from pipeline.findings.prices.answer import PriceFindings
from pipeline.findings.prices.offers import SOLD
from pipeline.findings.prices.worth import LabelPrices
from pipeline.genetics.collection import Collection, Outcome, Young
from pipeline.genetics.labels import write_label
from pipeline.genetics.statements import Statement
from pipeline.store.tables import SEASON_VALUE

NOT_LOOKED_AT = "not looked at"
_Sales = dict[tuple[int, str, str], list[float]]
"""Prices by season, species and label."""


def season_value(collection: Collection, animals: pd.DataFrame, prices: PriceFindings) -> pd.DataFrame:
    """Findings table season_value of one book, without `book`: a row for each season, species and label, then their sum.

    `animals` are its records, for Paid; `prices` its price findings. Prices are today's, in the keeper's currency, for
    every season. Young of one label are taken to rise and fall together, labels each for itself.
    """
    paid = dict(zip(animals["id"], animals["paid"], strict=True)) if "paid" in animals else {}
    currency = collection.settings.currency.upper()
    lists = {name: LabelPrices(known, currency, prices) for name, known in collection.catalogues.items()}
    sales = _sales(prices.points, currency, collection.settings.season_starts)
    rows: list[dict[str, Any]] = []
    for (season, species), young in _by_season(collection).items():
        own = list(_labels(collection, season, young, lists[species], sales))
        parents = _parents(collection, young)
        known = [paid[parent] for parent in parents if pd.notna(paid.get(parent))]
        rows += own
        rows.append(
            _sum(own)
            | {"paid": sum(known) if known else None, "paid_known": len(known), "parents": len(parents)}
        )
    return findings_frame(SEASON_VALUE, rows)


def _by_season(collection: Collection) -> dict[tuple[int, str], list[Young]]:
    """Live young by season and species, in that order."""
    found: dict[tuple[int, str], list[Young]] = {}
    for young in collection.young:
        pairing = collection.pairings.get(young.pairing)
        if pairing and young.outcome is Outcome.LIVE:
            found.setdefault((pairing.season, pairing.species), []).append(young)
    return dict(sorted(found.items()))


def _labels(
    collection: Collection, season: int, young: list[Young], prices: LabelPrices, sales: _Sales
) -> Iterator[dict[str, Any]]:
    counts: dict[Statement | None, int] = {}
    for one in young:
        label = _label(collection, one)
        counts[label] = counts.get(label, 0) + one.count
    catalogue, species, currency = prices.catalogue, prices.catalogue.species, prices.currency
    named = {write_label(label, catalogue) if label else NOT_LOOKED_AT: label for label in counts}
    ordered = sorted(named.items())
    worths = prices.worths([label for _, label in ordered])
    for (name, label), worth in zip(ordered, worths, strict=True):
        count = counts[label]
        sold = sales.get((season, species, name), [])
        yield {
            "season": season, "species": species, "label": name, "currency": currency, "young": count,
            "priced": count if worth.price is not None else 0, "source": worth.source,
            "price": worth.price, "low": worth.low, "high": worth.high,
            "value": _times(worth.price, count), "value_low": _times(worth.low, count),
            "value_high": _times(worth.high, count),
            "sold": len(sold), "sold_for": sum(sold) if sold else None, "note": worth.note,
        }  # fmt: skip


def _label(collection: Collection, young: Young) -> Statement | None:
    """What the animal's own row says of it, once it has one; else what its hatch row says."""
    animal = collection.animals.get(young.animal or "")
    return animal.label if animal and animal.label else young.label


def _sales(points: pd.DataFrame, currency: str, starts: int) -> _Sales:
    """Prices of the sales in one currency; `starts` is the month whose first day begins a season."""
    sold = points[(points["offer"] == SOLD) & (points["currency"] == currency)]
    seasons = sold["on"].dt.year - (sold["on"].dt.month < starts)
    found: _Sales = {}
    for *key, price in zip(seasons, sold["species"], sold["morph"], sold["price"], strict=True):
        found.setdefault(tuple(key), []).append(price)
    return found


def _parents(collection: Collection, young: list[Young]) -> list[str]:
    pairings = [collection.pairings[name] for name in dict.fromkeys(one.pairing for one in young)]
    return list(dict.fromkeys(parent for pairing in pairings for parent in (pairing.dam, pairing.sire)))


def _sum(rows: list[dict[str, Any]]) -> dict[str, Any]:
    """All young of a season and species; the ends of the range by the root of summed squares over the labels."""
    priced = [row for row in rows if row["priced"]]
    value = sum(row["value"] for row in priced)
    down = hypot(*(row["value"] - row["value_low"] for row in priced))
    up = hypot(*(row["value_high"] - row["value"] for row in priced))
    young, known = (sum(row[name] for row in rows) for name in ("young", "priced"))
    notes = [f"No price known of {young - known} young: they are not in the value."] if known < young else []
    return {
        **{name: rows[0][name] for name in ("season", "species", "currency")}, "young": young, "priced": known,
        "source": None, "value": value if priced else None, "value_low": value - down if priced else None,
        "value_high": value + up if priced else None, "sold": sum(row["sold"] for row in rows),
        "sold_for": sum(row["sold_for"] or 0 for row in rows) or None, "note": " ".join(notes),
    }  # fmt: skip


def _times(price: float | None, count: int) -> float | None:
    return None if price is None else price * count
