"""Today's animals as a goal sees them: which may be bred from, from which season on, and with what odds."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd

from pipeline.findings.growth.readiness import add_months
from pipeline.findings.pairs.season import KEPT
from pipeline.findings.pairs.spaces import Groups, Odds
from pipeline.findings.routes.timing import Seasons
from pipeline.genetics.carriers.odds import RULED_OUT
from pipeline.genetics.carriers.spaces import Kind
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
        at, carrying = self._carrying(gene)
        return float(self.odds[animal.id][at][carrying[self.groups.spaces[at].kind(animal.sex)]].sum())

    def _carrying(self, gene: Gene) -> tuple[int, Mapping[Kind, np.ndarray]]:
        """The place of a gene's linkage group, and by kind which of its states have the gene; kept once asked."""
        if gene.name not in self._known:
            locus = self.groups.catalogue.locus_of[gene.name]
            at, space = next((g, s) for g, s in enumerate(self.groups.spaces) if locus in s.group.loci)
            position, allele = space.group.loci.index(locus), locus.allele(gene.name)
            masks = {kind: space.copies(kind, position, allele) > 0 for kind in space.states}
            self._known[gene.name] = at, masks
        return self._known[gene.name]

    @cached_property
    def _known(self) -> dict[str, tuple[int, Mapping[Kind, np.ndarray]]]:
        return {}

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
    rows = dict(zip(growth["animal"], zip(growth["ready_on"], growth["p_ready"], strict=True), strict=True))
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
    animal: Animal, row: tuple[Any, float] | None, when: Seasons, rule: Mapping[str, Any]
) -> int | None:
    """The first season of an animal; by its age alone where the book gives no weights; None where it will not be ready.

    `row` is the day on which it is ready by its growth, and how likely it is ready by the season.
    """
    ready_on, p_ready = row or (None, np.nan)
    if not pd.isna(ready_on):
        return when.ready_in(pd.Timestamp(ready_on).date())
    if not np.isnan(float(p_ready)):
        return None
    months = rule.get("female_breeding_age" if animal.sex == "F" else "male_breeding_age")
    born = animal.born or (date(animal.born_year, 7, 1) if animal.born_year else None)
    if born is None or months is None or pd.isna(months):
        return when.first
    return when.ready_in(add_months(born, float(months)))
