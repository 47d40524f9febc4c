"""The seasons of one species: how long from litter to litter and from birth to breeding, and when in a season things happen."""

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from statistics import median
from typing import Any

import pandas as pd

from pipeline.findings.growth.fitting import DAYS_A_YEAR
from pipeline.findings.growth.readiness import coming_season
from pipeline.findings.pairs.season import into_season, litter_size, usual_pairing
from pipeline.genetics.collection import Collection
from pipeline.genetics.genes import SEX_WORDS
from pipeline.genetics.routes.timing import Timing

_MONTH = DAYS_A_YEAR / 12
_LAID_AFTER, _TO_YOUNG, _LITTER = 90, 90, 10
"""Taken where the book tells nothing: days from a season's start to laying or ovulation, from there to young; young."""
_MONTHS = {"F": 36.0, "M": 24.0}


@dataclass(frozen=True)
class Seasons:
    """The calendar of one species. `first` is the coming season's year; `paired`, `born` are days from a season's start.

    An animal can be paired in a season if it is ready by the day on which pairing is usually over, as in next season's
    plan. `notes` say what was taken for want of a cell.
    """

    timing: Timing
    first: int
    starts: int
    paired: int
    born: int
    notes: tuple[str, ...]

    def ready_in(self, day: date) -> int:
        """The first season, the coming one or later, in which an animal ready on that day can be paired."""
        season = max(self.first, day.year - 1)
        while self._day(season, self.paired) < day:
            season += 1
        return season

    def birth(self, season: int) -> date:
        """The day on which young of a season are usually born or hatch."""
        return self._day(season, self.born)

    def _day(self, season: int, days: int) -> date:
        return date(season, self.starts, 1) + timedelta(days=days)


def seasons(collection: Collection, species: str, rule: dict[str, Any], as_of: date) -> Seasons:
    """The calendar of a species; `rule` is its row of the Species sheet (records), empty where it has none."""
    notes: list[str] = []
    starts = collection.settings.season_starts
    to_young = _number(rule, "days_to_young", _TO_YOUNG, f"{_TO_YOUNG} days to young", notes)
    months = {
        sex: _number(
            rule,
            f"{side}_breeding_age",
            _MONTHS[sex],
            f"a {side} breeding age of {_MONTHS[sex]:g} months",
            notes,
        )
        for sex, side in SEX_WORDS.items()
    }
    rest = _number(rule, "rest_between_litters", 0, "a litter every season", notes)
    live = rule.get("young") != "eggs"
    between = (to_young if live else 0) + rest * _MONTH
    typical = rule.get("typical_litter")
    litter = litter_size(collection, species, None if typical is None or pd.isna(typical) else float(typical))
    if litter is None:
        notes.append(f"The book tells no litter size: {_LITTER} young were taken.")
    born = _laid(collection, species, starts) + round(to_young)
    first, paired = coming_season(as_of, starts).year, usual_pairing(collection, species)
    growth = {
        sex: max(1, ceil((born - paired + own * _MONTH) / DAYS_A_YEAR - 1e-9)) for sex, own in months.items()
    }
    timing = Timing(float(litter or _LITTER), max(1, ceil(between / DAYS_A_YEAR - 1e-9)), growth)
    return Seasons(timing, first, starts, paired, born, tuple(notes))


def _laid(collection: Collection, species: str, starts: int) -> int:
    """Days from a season's start to laying or ovulation: the median of the book's pairings."""
    days = [
        into_season(pairing.ovulated_or_laid, starts)
        for pairing in collection.pairings.values()
        if pairing.species == species and pairing.ovulated_or_laid
    ]
    return round(median(days)) if days else _LAID_AFTER


def _number(rule: dict[str, Any], name: str, default: float, words: str, notes: list[str]) -> float:
    value = rule.get(name)
    if value is None or pd.isna(value):
        notes.append(
            f"{name.replace('_', ' ').capitalize()} is blank on the Species sheet: {words} was taken."
        )
        return float(default)
    return float(value)
