"""Who may have sired a clutch, and how likely before its young are looked at."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache

from pipeline.genetics.collection import Animal, Collection

GROWN_DAYS = 180
"""A male younger than this when a clutch was born is no candidate for its sire, where the book gives no breeding age."""
MONTH_DAYS = 365.25 / 12
CROWD_FROM = 2000
"""Males of a species from which on those of other families are no longer weighed one by one."""
CROWD = "\0crowd"
"""Begins the name of a crowd: all males of a species born before a year, as one candidate."""


@dataclass(frozen=True)
class Candidate:
    """A possible sire of a clutch: an animal, a crowd (see CROWD), or None for a male unknown.

    `recorded`: named in the pairing.
    """

    male: str | None
    prior: float
    recorded: bool


class Males:
    """The keeper's males, and which of them were old enough when a clutch was born."""

    def __init__(self, collection: Collection) -> None:
        self._collection = collection
        self._males: dict[str, list[Animal]] = defaultdict(list)
        self._young_of: dict[str | None, list[str]] = defaultdict(list)
        self._other = cache(Candidate)  # clutches with as many other males share them
        for animal in collection.animals.values():
            if animal.sex == "M":
                self._males[animal.species].append(animal)
            self._young_of[animal.dam].append(animal.id)
            self._young_of[animal.sire].append(animal.id)
        for young in collection.young:
            pairing = collection.pairings.get(young.pairing)
            if pairing and young.animal is not None and young.animal in collection.animals:
                for parent in (pairing.dam, pairing.sire, *pairing.other_sires):
                    self._young_of[parent].append(young.animal)
        self._years = {
            species: sorted(_sortable_year(male) for male in males) for species, males in self._males.items()
        }

    def candidates(
        self,
        dam: str,
        sires: tuple[str, ...],
        children: Iterable[str],
        born: date | None,
        year: int | None,
        family: Mapping[str, Animal],
    ) -> tuple[Candidate, ...]:
        """Recorded sires with 1 - w evenly; a male unknown with w/2; other males old enough with w/2 evenly.

        Where there are no others the unknown has all of w. In a species of many males those of other families are one
        crowd, which has their shares together.
        """
        wrong = self._collection.settings.wrong_sire
        species = self._collection.animals[dam].species
        younger = self._descendants(children)
        sires = tuple(sire for sire in sires if sire not in younger) or sires
        barred = younger | set(sires)
        males = self._males.get(species, [])
        months = self._collection.breeding_months.get((species, "M"))
        grown = GROWN_DAYS if months is None else months * MONTH_DAYS
        crowded = len(males) > CROWD_FROM
        pool = [male for male in family.values() if male.sex == "M"] if crowded else males
        others = [m.id for m in pool if m.id not in barred and _old_enough(m, born, year, grown)]
        crowd = max(0, self._older(species, year) - len(pool)) if crowded else 0
        found = [Candidate(sire, (1 - wrong) / len(sires), True) for sire in sires]
        count = len(others) + crowd
        found.append(Candidate(None, wrong / 2 if count else wrong, False))
        found += [self._other(male, wrong / 2 / count, False) for male in others]
        if crowd:
            found.append(Candidate(f"{CROWD} {species} {year or ''}", wrong / 2 * crowd / count, False))
        return tuple(c for c in found if c.prior > 0)

    def descend(self, animal: str, *others: str) -> bool:
        """Whether any of the others descends from the animal, which they then can't have as their young."""
        return not self._descendants([animal]).isdisjoint(others)

    def _older(self, species: str, year: int | None) -> int:
        years = self._years.get(species, [])
        return len(years) if year is None else bisect_left(years, year)

    def _descendants(self, children: Iterable[str]) -> set[str]:
        reached, waiting = set(), list(children)
        while waiting:
            animal = waiting.pop()
            if animal not in reached:
                reached.add(animal)
                waiting += self._young_of.get(animal, [])
        return reached


def crowd_of(name: str, animals: Iterable[Animal]) -> list[str]:
    """The males that a crowd's name stands for: all of the species born before its year, or of unknown age."""
    species, _, year = name.removeprefix(f"{CROWD} ").rpartition(" ")
    return [
        animal.id
        for animal in animals
        if animal.sex == "M"
        and animal.species == species
        and (not year or _sortable_year(animal) < int(year))
    ]


def birth_year(animal: Animal) -> int | None:
    """The year an animal was born, as far as it is known."""
    return animal.born.year if animal.born else animal.born_year


def _sortable_year(animal: Animal) -> int:
    return birth_year(animal) or 0


def _old_enough(male: Animal, born: date | None, year: int | None, grown: float) -> bool:
    """Whether a male had so many days when young were born; where dates are unknown he is given the benefit."""
    if male.born and born:
        return (born - male.born).days >= grown
    own, when = birth_year(male), born.year if born else year
    return own is None or when is None or own < when
