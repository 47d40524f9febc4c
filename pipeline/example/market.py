"""Adverts and sales of the demo collection: prices that fall for years, and one that turns."""

from datetime import date, timedelta
from math import exp
from random import Random
from typing import Any

from pipeline.example.genes import BOA, CORN

Row = dict[str, Any]

# label, price at the start of 2021, change a year (log), and from 2024 on
_PATHS = (
    (BOA, "Normal", 70, -0.03, -0.03),
    (BOA, "Hypo", 180, -0.12, -0.12),
    (BOA, "Anery", 220, -0.15, -0.15),
    (BOA, "Ghost", 650, -0.20, -0.20),
    (BOA, "Motley", 240, -0.08, -0.08),
    (BOA, "Leopard", 520, -0.22, 0.16),
    (BOA, "Albino Amber", 380, -0.10, -0.10),
    (BOA, "Hypo, het Anery", 260, -0.16, -0.16),
    (CORN, "Amel", 55, -0.05, -0.05),
    (CORN, "Anery", 60, -0.06, -0.06),
    (CORN, "Snow", 95, -0.09, -0.09),
    (CORN, "Heather Flint", 240, -0.25, -0.02),
    (CORN, "Ember", 120, 0.06, 0.06),
)
_ASKED_OVER_SOLD = 1.18
_FIRST = date(2021, 1, 15)


def price_rows(until: date, rng: Random) -> list[Row]:
    """Adverts through the years, two thirds asked and a third sold, some of them in euros."""
    rows: list[Row] = []
    for species, label, start, early, late in _PATHS:
        day = _FIRST + timedelta(days=rng.randrange(60))
        while day < until:
            years = (day - _FIRST).days / 365.25
            level = start * exp(early * min(years, 3) + late * max(years - 3, 0) + rng.gauss(0, 0.14))
            rows.append(_advert(species, label, day, level, rng))
            day += timedelta(days=45 + rng.randrange(85))
    return sorted(rows, key=lambda row: (row["Date"], row["Genes"]))


def _advert(species: str, label: str, day: date, level: float, rng: Random) -> Row:
    kind = "sold" if rng.random() < 0.36 else "asked"
    price = level * (_ASKED_OVER_SOLD if kind == "asked" else 1)
    currency = "EUR" if rng.random() < 0.12 else "USD"
    return {
        "Date": day,
        "Species": species,
        "Genes": label,
        "Sex": rng.choice(["M", "F", None]),
        "Age class": "hatchling" if rng.random() < 0.8 else "juvenile",
        "Price": round(price / (1.08 if currency == "EUR" else 1) / 5) * 5,
        "Currency": currency,
        "Kind": kind,
    }
