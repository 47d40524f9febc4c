"""The linkage groups of one species as arrays, and every animal's odds over them as the carriers engine leaves them."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pipeline.findings.pairs.looks import GroupLooks
from pipeline.genetics.breeders import breeder
from pipeline.genetics.carriers.odds import Carriers
from pipeline.genetics.carriers.solving import Solved
from pipeline.genetics.carriers.spaces import Kind, Space
from pipeline.genetics.collection import Animal, Collection
from pipeline.genetics.crosses import CrossError
from pipeline.genetics.genes import Catalogue, Sex
from pipeline.genetics.haplotypes import gametes, viable

Odds = tuple[np.ndarray, ...]
"""Of one animal: for each linkage group of its species the probability of each state (carriers/spaces.py)."""


@dataclass(frozen=True)
class Groups:
    """The linkage groups of one species, in the catalogue's order."""

    catalogue: Catalogue
    spaces: tuple[Space, ...]

    @classmethod
    def of(cls, catalogue: Catalogue) -> "Groups":
        """The spaces of a catalogue's linkage groups, in its order."""
        return cls(catalogue, tuple(Space(group, catalogue) for group in catalogue.groups))

    @cached_property
    def sexes(self) -> tuple[Sex | None, ...]:
        """The sexes whose young must be told apart: (None,) where no group lies on a sex chromosome."""
        return ("F", "M") if any(space.single_sex for space in self.spaces) else (None,)

    @cached_property
    def dead(self) -> Mapping[tuple[int, Sex | None], np.ndarray]:
        """By group and sex of the young, dam states x sire states: the share of zygotes that two lethal copies kill.

        Only groups where any can die.
        """
        found = {}
        for g, space in enumerate(self.spaces):
            for sex in self.sexes:
                share = _dead(space, space.kind(sex))
                if share.any():
                    found[g, sex] = share
        return found

    def looks(self, place: int, sex: Sex | None) -> GroupLooks:
        """What young of that sex can be called, of the linkage group at a place."""
        asked = place, self.spaces[place].kind(sex)
        if asked not in self._looks:
            self._looks[asked] = GroupLooks(self.spaces[place], asked[1])
        return self._looks[asked]

    @cached_property
    def _looks(self) -> dict[tuple[int, Kind], GroupLooks]:
        return {}


def _dead(space: Space, kind: Kind) -> np.ndarray:
    dams, sires = space.states[space.kind("F")], space.states[space.kind("M")]
    share = np.zeros((len(dams), len(sires)))
    for i, dam in enumerate(dams):
        for j, sire in enumerate(sires):
            for egg, p in gametes(dam, space.group).items():
                for sperm, q in gametes(sire, space.group).items():
                    one = (egg,) if space.single_sex == "M" else (sperm,)
                    young = one if kind is Kind.ONE else tuple(sorted((egg, sperm)))
                    share[i, j] += float(p * q) * (not viable(young, space.group))
    return share


def odds_by_animal(carriers: Carriers, collection: Collection) -> dict[str, Odds]:
    """The odds of every animal that has any, all its records weighed.

    Where a family was too tangled, what the labels of the animal and its parents say instead; an animal of which not
    even that is known is left out.
    """
    groups = {name: Groups.of(known) for name, known in collection.catalogues.items()}
    found: dict[str, Odds] = {}
    for solved in carriers.solved:
        own = groups[solved.family.species]
        order = in_order(solved, own) if solved.posterior else []
        for animal in solved.family.animals.values():
            if _told(solved, animal.id):
                states = solved.weighed.states[animal.id]
                found[animal.id] = tuple(states[part][place] for part, place in order)
            elif odds := _by_label(animal, own, collection):
                found[animal.id] = odds
    return found


def _told(solved: Solved, animal: str) -> bool:
    """Whether the animal's genotypes could be weighed, at every gene."""
    known = solved.posterior
    return known is not None and all(known.told(animal, i).all() for i in range(len(known.scores)))


def in_order(solved: Solved, groups: Groups) -> list[tuple[int, int]]:
    """Where the catalogue's groups stand in a family's posterior: in which of its Scores, and at which place there."""
    at = {
        space.group: (part, place)
        for part, scores in enumerate(solved.weighed.scores)
        for place, space in enumerate(scores.stack.spaces)
    }
    return [at[space.group] for space in groups.spaces]


def _by_label(animal: Animal, groups: Groups, collection: Collection) -> Odds | None:
    if animal.sex is None:
        return None
    try:
        weights = breeder(animal, animal.sex, collection).parent.groups
    except CrossError:
        return None
    return tuple(
        np.array([float(own.get(state, 0)) for state in space.states[space.kind(animal.sex)]])
        for space, own in zip(groups.spaces, weights, strict=True)
    )
