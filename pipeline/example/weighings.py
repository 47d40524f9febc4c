"""Weighings of the demo collection: Gompertz growth with scatter, what breeding does to a female, and two mishaps."""

from collections.abc import Sequence
from datetime import date, timedelta
from math import exp, log
from random import Random
from typing import Any

from pipeline.example.genes import BOA, CORN

Row = dict[str, Any]

_GROWN = {(BOA, "F"): 3400.0, (BOA, "M"): 1500.0, (CORN, "F"): 520.0, (CORN, "M"): 430.0}
_BIRTH = {BOA: 55.0, CORN: 7.0}
_PACE = {(BOA, "F"): 0.057, (BOA, "M"): 0.070, (CORN, "F"): 0.080, (CORN, "M"): 0.085}
"""Gompertz rate a month."""
_SCATTER = 0.035
MISHAPS = (
    "a decimal slipped in one weighing of the first young female boa",
    "the first young male corn snake lost a sixth of his weight at his latest weighing",
)


def weighing_rows(animals: Sequence[Row], pairings: Sequence[Row], until: date, rng: Random) -> list[Row]:
    """Four weighings a year while an animal grows up here, one a year afterwards; founders from 2021 on."""
    rows: list[Row] = []
    for animal in animals:
        if animal.get("Status") == "sold":
            continue
        bred_here = isinstance(animal["Born"], date)
        born = animal["Born"] if bred_here else date(int(animal["Born"]), 7, 1)
        grown = _GROWN[animal["Species"], animal["Sex"]] * rng.lognormvariate(0, 0.10)
        bought = max(date(2021, 3, 1), born + timedelta(days=240))
        day = born + timedelta(days=20) if bred_here else bought + timedelta(days=rng.randrange(40))
        while day < until:
            rows.append(_plain(animal, born, grown, day, rng))
            growing = bred_here and (day - born).days < 1200
            day += timedelta(days=(75 if growing else 330) + rng.randrange(40))
        rows += _breeding(animal, pairings, grown, rng)
    _mishaps(animals, rows)
    return rows


def _plain(animal: Row, born: date, grown: float, day: date, rng: Random) -> Row:
    months = (day - born).days / 30.44
    species = animal["Species"]
    size = grown * exp(-log(grown / _BIRTH[species]) * exp(-_PACE[species, animal["Sex"]] * months))
    return {"Animal": animal["ID"], "Date": day, "Weight": round(size * exp(rng.gauss(0, _SCATTER)), 1)}


def _breeding(animal: Row, pairings: Sequence[Row], grown: float, rng: Random) -> list[Row]:
    rows: list[Row] = []
    for pairing in pairings:
        if pairing["Dam"] != animal["ID"]:
            continue
        laid = pairing["Ovulated or laid"]
        gravid, spent = round(grown * 1.22), round(grown * rng.uniform(0.74, 0.8))
        after = timedelta(days=125 if animal["Species"] == BOA else 5)
        rows.append(
            {"Animal": animal["ID"], "Date": laid - timedelta(days=3), "Weight": gravid, "State": "gravid"}
        )
        rows.append({"Animal": animal["ID"], "Date": laid + after, "Weight": spent, "State": "spent"})
    return rows


def _mishaps(animals: Sequence[Row], rows: list[Row]) -> None:
    """What MISHAPS says, for the alerts to find: each befalls the first such young weighed five times."""
    for species, sex, index, factor in ((BOA, "F", 3, 10.0), (CORN, "M", -1, 5 / 6)):
        for animal in animals:
            own = [row for row in rows if row["Animal"] == animal["ID"] and "State" not in row]
            if (
                (animal["Species"], animal["Sex"]) == (species, sex)
                and isinstance(animal["Born"], date)
                and len(own) >= 5
            ):
                own[index]["Weight"] = round(own[index]["Weight"] * factor, 1)
                break
