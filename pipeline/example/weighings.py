"""Weighings of the demo collection: logistic growth on a log scale with scatter, and what breeding does to a female."""

from collections.abc import Sequence
from datetime import date, timedelta
from math import exp
from random import Random

from pipeline.example.genes import BOA

Row = dict[str, object]

_GROWN = {(BOA, "F"): 3400.0, (BOA, "M"): 1500.0, ("Corn snake", "F"): 520.0, ("Corn snake", "M"): 430.0}
_BIRTH = {BOA: 55.0, "Corn snake": 7.0}
_MIDDLE_MONTHS = {BOA: 26.0, "Corn snake": 17.0}
_PACE_MONTHS = {BOA: 10.5, "Corn snake": 6.5}
_SCATTER = 0.035


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
    return rows


def _plain(animal: Row, born: date, grown: float, day: date, rng: Random) -> Row:
    months = (day - born).days / 30.44
    species = animal["Species"]
    share = 1 / (1 + exp((_MIDDLE_MONTHS[species] - months) / _PACE_MONTHS[species]))
    start = 1 / (1 + exp(_MIDDLE_MONTHS[species] / _PACE_MONTHS[species]))
    weight = _BIRTH[species] + (grown - _BIRTH[species]) * (share - start) / (1 - start)
    return {"Animal": animal["ID"], "Date": day, "Weight": round(weight * exp(rng.gauss(0, _SCATTER)), 1)}


def _breeding(animal: Row, pairings: Sequence[Row], grown: float, rng: Random) -> list[Row]:
    rows: list[Row] = []
    for pairing in pairings:
        if pairing["Dam"] != animal["ID"]:
            continue
        laid = pairing["Ovulated or laid"]
        rows.append({"Animal": animal["ID"], "Date": laid - timedelta(days=3), "Weight": round(grown * 1.22), "State": "gravid"})
        after = timedelta(days=125 if animal["Species"] == BOA else 5)
        spent = round(grown * rng.uniform(0.74, 0.8))
        rows.append({"Animal": animal["ID"], "Date": laid + after, "Weight": spent, "State": "spent"})
    return rows
