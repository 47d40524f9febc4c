"""Today's animals as a goal sees them: which may be bred from, from which season on, and with what odds."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
import pandas as pd

from pipeline.findings.growth.readiness import add_months
from pipeline.findings.pairs.season import KEPT
from pipeline.findings.pairs.spaces import Groups, Odds
from pipeline.findings.routes.timing import Seasons
from pipeline.genetics.carriers.odds import RULED_OUT
from pipeline.genetics.collection import Animal, Collection
from pipeline.genetics.genes import Gene
from pipeline.genetics.routes.search import Stock
from pipeline.genetics.routes.space import GoalSpace


@dataclass(frozen=True)
class Herd:
    """The animals of one species that may be bred from (kept or on loan, of a known sex), by readiness and ID.

    `ready` is the first season each can be paired in; `odds` those at each linkage group of the species; `elsewhere`
    are animals for sale, which no way counts on.
    """

    groups: Groups
    animals: tuple[Animal, ...]
    ready: Mapping[str, int]
    odds: Mapping[str, Odds]
    elsewhere: tuple[Animal, ...]
    least: float

    def carriers_of(self, gene: Gene, animals: tuple[Animal, ...]) -> list[str]:
        """Those of the animals that may carry a gene, so far as it is not ruled out."""
        return [animal.id for animal in animals if self.chance(animal, gene) > self.least]

    def chance(self, animal: Animal, gene: Gene) -> float:
        """The probability that an animal carries a gene."""
        locus = self.groups.catalogue.locus_of[gene.name]
        for space, own in zip(self.groups.spaces, self.odds[animal.id], strict=True):
            if locus in space.group.loci:
                copies = space.copies(
                    space.kind(animal.sex), space.group.loci.index(locus), locus.allele(gene.name)
                )
                return float(own[copies > 0].sum())
        return 0.0

    def placed(self, space: GoalSpace) -> tuple[list[Stock], dict[str, Odds]]:
        """The animals in a goal's space: as the search takes them, and their full odds there."""
        stock, odds = [], {}
        for animal in self.animals:
            own = odds[animal.id] = self.at(space, animal)
            parts = space.parts(space.settled(own, self.least))
            stock.append(Stock(animal.id, animal.known_sex, self.ready[animal.id], parts))
        return stock, odds

    def at(self, space: GoalSpace, animal: Animal) -> Odds:
        """One animal's odds in a goal's space."""
        groups = [
            {state: float(p) for state, p in zip(g.states[g.kind(animal.sex)], own, strict=True) if p > 0}
            for g, own in zip(self.groups.spaces, self.odds[animal.id], strict=True)
        ]
        return space.odds(groups, animal.known_sex)


def herd(
    collection: Collection,
    species: str,
    odds: Mapping[str, Odds],
    growth: pd.DataFrame,
    when: Seasons,
    rule: Mapping[str, Any],
) -> Herd:
    """The herd of one species. `growth` is the findings table, `rule` the species' row of the Species sheet."""
    rows = {row["animal"]: row for row in growth.to_dict("records")}
    ready: dict[str, int] = {}
    known = [
        animal
        for animal in sorted(collection.animals.values(), key=lambda one: one.id)
        if animal.species == species and animal.sex and animal.id in odds
    ]
    for animal in known:
        if animal.status in KEPT:
            season = _ready(animal, rows.get(animal.id), when, rule)
            if season is not None:
                ready[animal.id] = season
    own = sorted((a for a in known if a.id in ready), key=lambda one: (ready[one.id], one.id))
    background = collection.settings.background_carrier
    return Herd(
        Groups.of(collection.catalogues[species]),
        tuple(own),
        ready,
        odds,
        tuple(a for a in known if a.status == "for sale"),
        max(RULED_OUT, 2 * background),
    )


def _ready(
    animal: Animal, row: Mapping[str, Any] | None, when: Seasons, rule: Mapping[str, Any]
) -> int | None:
    """The first season of an animal; by its age alone where the book gives no weights; None where it will not be ready."""
    if row is not None and not pd.isna(row["ready_on"]):
        return when.ready_in(pd.Timestamp(row["ready_on"]).date())
    if row is not None and not np.isnan(float(row["p_ready"])):
        return None
    months = rule.get("female_breeding_age" if animal.sex == "F" else "male_breeding_age")
    born = animal.born or (date(animal.born_year, 7, 1) if animal.born_year else None)
    if born is None or months is None or pd.isna(months):
        return when.first
    return when.ready_in(add_months(born, float(months)))
