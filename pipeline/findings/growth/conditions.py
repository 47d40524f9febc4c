"""What an animal's readiness waits for: weight, age and rest, as far as the book tells; and what is missing in it."""

from datetime import date

import numpy as np

from pipeline.findings.growth.animals import Animal
from pipeline.findings.growth.fitting import Fit
from pipeline.findings.growth.pooled import PooledFit
from pipeline.findings.growth.readiness import (
    Condition,
    add_months,
    met_between,
    met_by_growth,
    met_on,
    unknown,
)
from pipeline.findings.growth.weighings import Series
from pipeline.genetics.genes import SEX_WORDS

WEIGHT, AGE, REST = "weight", "age", "rest"


def conditions(
    animal: Animal, series: Series, fit: Fit | PooledFit | None
) -> tuple[list[Condition], list[str]]:
    """The conditions that apply, weight first, and notes on what limits or is missing."""
    found, notes = [], []
    for condition, note in (_weight(animal, series, fit), _age(animal, series), _rest(animal)):
        if condition:
            found.append(condition)
        if note:
            notes.append(note)
    return found, notes


def _weight(animal: Animal, series: Series, fit: Fit | PooledFit | None) -> tuple[Condition, str]:
    if animal.sex is None:
        return unknown(WEIGHT), "Fill Sex on the Animals sheet: the breeding weight depends on it."
    if animal.target is None:
        side = SEX_WORDS[animal.sex].capitalize()
        return unknown(WEIGHT), f"Fill {side} breeding weight for {animal.species} on the Species sheet."
    below = np.flatnonzero(series.grams < animal.target)
    if len(series.days) and (not len(below) or below[-1] < len(series.days) - 1):
        return met_on(WEIGHT, int(series.days[below[-1] + 1 if len(below) else 0])), ""
    if fit is None:
        return unknown(WEIGHT), "" if len(series.days) else "No plain weighing with a date yet."
    note = ""
    if not len(series.days):
        basis = "its length" if len(series.fit_days) else "the curve of its species and sex"
        note = f"No plain weighing yet: the date is by {basis} alone."
    return met_by_growth(WEIGHT, fit, animal.target), note


def _age(animal: Animal, series: Series) -> tuple[Condition | None, str]:
    if animal.sex is None:
        return None, ""
    if animal.months is None:
        side = SEX_WORDS[animal.sex]
        return None, f"The Species sheet gives {animal.species} no {side} breeding age, so age was not asked."
    if animal.born:
        return met_on(AGE, add_months(animal.born, animal.months).toordinal()), ""
    if animal.born_year:
        ends = (date(animal.born_year, 1, 1), date(animal.born_year, 12, 31))
        first, last = (add_months(day, animal.months).toordinal() for day in ends)
        return met_between(AGE, first, last), "Born is a bare year: any day of it was taken as alike."
    if series.first is not None:
        day = add_months(date.fromordinal(series.first), animal.months).toordinal()
        return met_on(
            AGE, day
        ), "Born is blank: age was counted from the first weighing, so it may be of age sooner."
    return unknown(AGE), "Fill Born on the Animals sheet: a bare year will do."


def _rest(animal: Animal) -> tuple[Condition | None, str]:
    if not animal.litters:
        return None, ""
    if animal.rested is None:
        return None, f"Fill Rest between litters for {animal.species} on the Species sheet."
    due = f"Young are due on {date.fromordinal(int(animal.due)).isoformat()}." if animal.due else ""
    return met_on(REST, int(animal.rested)), due
