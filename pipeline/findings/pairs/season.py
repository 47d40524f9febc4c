"""The coming season: when it begins, when each species is usually paired, and who can be by then."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import median

import numpy as np
import pandas as pd

from pipeline.findings.growth.readiness import coming_season
from pipeline.findings.pairs.spaces import Odds
from pipeline.genetics.collection import Animal, Collection, Outcome
from pipeline.genetics.genes import Sex

KEPT = frozenset({"keeping", "on loan"})
"""Statuses of animals that may be paired here; one for sale may be gone."""
LIKELY = 0.5
"""An animal is offered for pairing where it is ready by then at least as likely as not."""
YOUNGEST = 365
"""Days: an animal of which nothing says when it is ready is not offered in its first year."""
_READY = ("ready_on", "ready_early", "ready_late", "p_ready", "latest_g", "blocked_by")
"""What the table growth says of an animal's readiness."""
_BEFORE = 92
"""Days before its first day in which animals put together count for the season already."""


@dataclass(frozen=True)
class Coming:
    """The coming season: its first day, its year, and by species the day on which its pairing is usually over."""

    starts: date
    year: int
    pairing_days: Mapping[str, date]


@dataclass(frozen=True)
class Candidate:
    """An animal and how ready it is by the pairing day: `p_ready` is NaN where the book doesn't tell; `ready_on` from when."""

    animal: Animal
    p_ready: float
    ready_on: date | None
    grams: float
    waits_for: str

    @property
    def able(self) -> bool:
        """More likely ready than not, or nobody can tell."""
        return np.isnan(self.p_ready) or self.p_ready >= LIKELY

    @property
    def likely(self) -> float:
        """The probability to reckon with: one half where nothing is known."""
        return 0.5 if np.isnan(self.p_ready) else self.p_ready


def coming(collection: Collection, as_of: date) -> Coming:
    """The season that begins next, with each species' usual pairing day in it."""
    starts = coming_season(as_of, collection.settings.season_starts)
    days = {name: starts + timedelta(days=usual_pairing(collection, name)) for name in collection.catalogues}
    return Coming(starts, starts.year, days)


def usual_pairing(collection: Collection, species: str) -> int:
    """Days from a season's first day to the one on which the species' pairing is usually over: who is ready by then is paired.

    The median of the book's Last paired, where that is blank First paired, then Ovulated or laid; 0 where it has none.
    """
    found = [
        into_season(on, collection.settings.season_starts)
        for pairing in collection.pairings.values()
        if pairing.species == species
        and (on := pairing.last_paired or pairing.first_paired or pairing.ovulated_or_laid)
    ]
    return round(median(found)) if found else 0


def into_season(on: date, starts: int) -> int:
    """Days from the first day of its season; 0 for the last _BEFORE days of a season, which count for the next.

    The year that a pairing's season is named for says nothing: of a season that starts in July it may be either.
    """
    late = on + timedelta(days=_BEFORE)
    season = coming_season(late, starts)
    begun = season.replace(year=season.year - (season > late))
    return max((on - begun).days, 0)


def candidates(
    collection: Collection, growth: pd.DataFrame, odds: Mapping[str, Odds], when: Coming
) -> dict[str, Candidate]:
    """Every animal of a known sex that is kept or on loan and of whose genes something is known, by ID.

    `growth` is the findings table. Readiness of all of them, so that those not yet ready can be named.
    """
    rows = dict(zip(growth["animal"], zip(*(growth[name] for name in _READY), strict=True), strict=True))
    found = {}
    for animal in sorted(collection.animals.values(), key=lambda a: (a.species, a.id)):
        if animal.sex and animal.status in KEPT and animal.id in odds:
            found[animal.id] = _candidate(animal, rows.get(animal.id), when.pairing_days[animal.species])
    return found


def able(found: Mapping[str, Candidate], species: str, sex: Sex) -> list[Candidate]:
    """The candidates of a species and sex that are more likely ready than not, or of whom nobody can tell."""
    own = (c for c in found.values() if c.animal.species == species and c.animal.sex == sex)
    return [c for c in own if c.able]


def litter_size(collection: Collection, species: str, typical: float | None) -> int | None:
    """Young of a typical litter: the Species sheet's, else the median of live young in the book's; None where it has neither."""
    if typical is not None and not pd.isna(typical) and typical >= 1:
        return round(typical)
    litters: dict[tuple[str, int], int] = {}
    for young in collection.young:
        pairing = collection.pairings.get(young.pairing)
        if pairing and pairing.species == species and young.outcome is Outcome.LIVE:
            key = (young.pairing, young.clutch)
            litters[key] = litters.get(key, 0) + young.count
    return max(round(median(litters.values())), 1) if litters else None


def _candidate(animal: Animal, row: tuple | None, on: date) -> Candidate:
    """`row` has the values of _READY."""
    if row is None:
        return Candidate(animal, np.nan, None, np.nan, "")
    *days, at_start, grams, waits = row
    ready, early, late = map(_day, days)
    chance = _chance(on, at_start, ready, early, late)
    if np.isnan(chance) and animal.born and (on - animal.born).days < YOUNGEST:
        chance = 0.0
    return Candidate(animal, chance, ready, grams, waits if isinstance(waits, str) else "")


def _day(value: object) -> date | None:
    return None if pd.isna(value) else pd.Timestamp(value).date()


def _chance(on: date, at_start: float, ready: date | None, early: date | None, late: date | None) -> float:
    """The chance of being ready by a day: between the ends of the 80 % interval it is drawn straight."""
    if ready is None or pd.isna(at_start):
        return float(at_start)
    known = [(day.toordinal(), p) for day, p in ((early, 0.1), (ready, 0.5), (late, 0.9)) if day]
    days, chances = zip(*known, strict=True)
    if late and on > late:
        reach = max(late.toordinal() - ready.toordinal(), 0)
        later = 1.0 if not reach else min(0.9 + 0.1 * (on.toordinal() - late.toordinal()) / reach, 1.0)
        return max(later, float(at_start))
    if late and late == ready == early:
        return 1.0 if on >= ready else float(at_start)
    return max(float(np.interp(on.toordinal(), days, chances, left=0.0)), float(at_start))
