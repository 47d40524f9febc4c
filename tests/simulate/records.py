"""Weighings and prices of an invented collection, as rows by header."""

from collections.abc import Sequence
from datetime import date, timedelta
from math import exp
from random import Random

Row = dict[str, object]
MORPHS = (
    "normal",
    "Anery",
    "Leopard",
    "Albino",
    "Motley",
    "Hypo",
    "Arrow",
    "Motley Hypo",
    "Anery Motley",
    "Hypo Anery",
)


def weighings(rng: Random, animals: Sequence[Row], number: int, as_of: date) -> list[Row]:
    """Weighings that follow a logistic curve with scatter, evenly over the animals."""
    rows: list[Row] = []
    full = {a["ID"]: (3400 if a["Sex"] == "F" else 1500) * rng.lognormvariate(0, 0.1) for a in animals}
    while len(rows) < number:
        for animal in animals:
            months = rng.uniform(1, 60)
            day = animal["Born"] + timedelta(days=int(months * 30.4))
            if day <= as_of:
                weight = full[animal["ID"]] / (1 + exp((26 - months) / 10.5)) * rng.lognormvariate(0, 0.04)
                rows.append({"Animal": animal["ID"], "Date": day, "Weight": round(weight, 1)})
    return sorted(rows[:number], key=lambda row: (row["Date"], row["Animal"]))


def advertised(rng: Random, species: str, number: int, morphs: Sequence[str]) -> list[Row]:
    """Adverts of ten years, a third of them sales; some morphs fall in price and some rise."""
    rows: list[Row] = []
    for i in range(number):
        morph = rng.randrange(len(morphs))
        day = date(2016, 1, 10) + timedelta(days=rng.randrange(3600))
        drift = exp(-0.06 * (morph - 4) * (day.year - 2016) / 5)
        rows.append(
            {
                "Date": day,
                "Species": species,
                "Genes": morphs[morph],
                "Price": round(80 * (1 + morph) * drift * rng.lognormvariate(0, 0.2)),
                "Currency": "USD",
                "Kind": "sold" if i % 3 == 0 else "asked",
            }
        )
    return sorted(rows, key=lambda row: row["Date"])
