"""The curves of a whole book: drawn together within a species where there are animals enough, each for itself where not."""

from collections.abc import Mapping, Sequence
from itertools import groupby

import numpy as np

from pipeline.findings.growth.animals import Animal
from pipeline.findings.growth.fitting import Fit, fit_curves
from pipeline.findings.growth.members import members
from pipeline.findings.growth.pooled import PooledFit, pooled_fits
from pipeline.findings.growth.population import Population, population_of
from pipeline.findings.growth.weighings import NEVER_WEIGHED, Series

FEWEST_ANIMALS, DAYS_EACH = 5, 3
"""A species is a population from five animals that were weighed on three days each; with fewer, spread among animals
can't be told from scatter, and each keeps the curve of its own weighings."""


def fits_by_animal(
    animals: Sequence[Animal], series: Mapping[str, Series]
) -> tuple[dict[str, Fit | PooledFit | None], dict[str, Population]]:
    """The fit of each animal (None where nothing can be said) and the population of each species that has one.

    `animals` are sorted by species and ID; those without a birth and a weighing have no fit.
    """
    fits: dict[str, Fit | PooledFit | None] = {}
    populations: dict[str, Population] = {}
    alone: list[str] = []
    for species, group in groupby(animals, key=lambda animal: animal.species):
        own = [(animal, series.get(animal.id, NEVER_WEIGHED)) for animal in group]
        if sum(len(np.unique(weighed.days)) >= DAYS_EACH for _, weighed in own) < FEWEST_ANIMALS:
            alone += [animal.id for animal, weighed in own if len(weighed.days)]
            continue
        placed = [(animal, weighed) for animal, weighed in own if _has_place(animal, weighed)]
        rows = members([animal for animal, _ in placed], [weighed for _, weighed in placed])
        populations[species] = population_of(rows)
        found = pooled_fits(populations[species], rows)
        fits |= {animal.id: fit for (animal, _), fit in zip(placed, found, strict=True)}
    fits |= dict(
        zip(alone, fit_curves([(series[name].days, series[name].grams) for name in alone]), strict=True)
    )
    return fits, populations


def _has_place(animal: Animal, weighed: Series) -> bool:
    return bool(len(weighed.fit_days) or animal.born or animal.born_year)
