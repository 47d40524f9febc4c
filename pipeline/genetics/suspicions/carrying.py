"""Carrier odds averaged over the structures: gene records that may be otherwise, clutches that may have had no sire.

The weights are those of the search, the odds within each structure those of the same exact engine. Options of one place
exclude each other; places are taken one at a time around the best found, as the suspicions are. Options left out weigh
LOSS in all at most, besides those that the search itself does not think worth weighing (see search.PLAUSIBLE): in the
demo collection these would move no odds by more than 0.0003.
"""

from collections import defaultdict
from collections.abc import Iterable

import numpy as np

from pipeline.genetics.carriers.odds import Carriers, Numbers, Told, carriers, copies_of
from pipeline.genetics.carriers.solving import Solved
from pipeline.genetics.collection import Collection, Settings
from pipeline.genetics.suspicions.faults import GeneFault, NoSire, Option, Structures

LOSS = 1e-4
"""Options of a family that weigh less than this together are left out: no odds change by more."""
MOVED = 0.05
"""From this difference to the odds with every record of genes and sires right it is told which may be wrong."""
DOUBTFUL = 0.05
"""From this probability on such a record is named."""


def averaged_carriers(
    collection: Collection, found: Iterable[Structures], solved: tuple[Solved, ...] | None = None
) -> Carriers:
    """Carrier odds of every animal and gene, averaged over `found`, the structures of each species.

    `solved` is what `solve` gave, where it is known already. Time: that of `carriers`, and as much as telling a family's odds once more for each option that concerns it.
    """
    home = {next(iter(family.animals)): (own, i) for own in found for i, family in enumerate(own.families)}

    def told(solved: Solved) -> Told:
        """One family's odds, and what makes them doubtful."""
        own, i = home[next(iter(solved.family.animals))]
        recorded = copies_of(solved, collection.settings, tuple(own.families[i].animals))
        if own.best[i].solved is solved and not _weighty(own, i):
            return Told(recorded)
        averaged = averaged_copies(own, i, collection.settings)
        return Told(averaged, _Doubts(own, i, averaged, recorded).words)

    return carriers(collection, told, solved)


def averaged_copies(own: Structures, i: int, settings: Settings) -> Numbers:
    """`copies_of` one family by position, averaged over the structures."""
    animals = tuple(own.families[i].animals)
    best = copies_of(own.best[i].solved, settings, animals)
    total = {gene: table.copy() for gene, table in best.items()}
    for option in _weighty(own, i):
        there = copies_of(option.weighed[i].solved, settings, animals)
        for gene, table in there.items():
            total[gene] += option.probability * np.nan_to_num(table - best[gene])
    return {gene: _proper(table) for gene, table in total.items()}


def _weighty(own: Structures, i: int) -> list[Option]:
    """Options besides the best found that concern a family, without the least likely ones, LOSS in all."""
    found = [
        option
        for place in own.places
        for option in place.options
        if i in option.weighed and option.weighed[i].solved.posterior is not None
    ]
    found.sort(key=lambda option: option.probability)
    light = np.searchsorted(np.cumsum([option.probability for option in found]), LOSS)
    return found[light:]


def _proper(table: np.ndarray) -> np.ndarray:
    """Probabilities: several places moved at once may overshoot."""
    table = np.clip(table, 0.0, 1.0)
    table[:, 1:4] /= table[:, 1:4].sum(axis=1, keepdims=True)
    return table


# --- what makes odds doubtful, in words ---


class _Doubts:
    """Of one family: where its odds are not what they would be with every gene record right and every clutch sired."""

    def __init__(self, own: Structures, i: int, averaged: Numbers, recorded: Numbers) -> None:
        self._row = {animal: row for row, animal in enumerate(own.families[i].animals)}
        self._moved = {
            gene: (np.abs(np.nan_to_num(table - recorded[gene]))[:, :4] >= MOVED).any(axis=1)
            for gene, table in averaged.items()
        }
        self._genes: dict[str, float] = defaultdict(float)
        self._unsired: dict[str, float] = {}
        for option in (option for place in own.places for option in place.options):
            fault = option.fault
            if isinstance(fault, NoSire) and fault.family == i:
                children = own.families[i].clutches[fault.clutch].children
                self._unsired |= dict.fromkeys(children, option.probability)
            if isinstance(fault, GeneFault):
                for gene in fault.genes:
                    self._genes[gene] += option.probability

    def words(self, animal: str, gene: str) -> str:
        """Which record may be wrong, with its probability; '' where that makes no difference to these odds."""
        if not self._moved[gene][self._row[animal]]:
            return ""
        reasons = (
            (f"the record of {gene} may be wrong", self._genes.get(gene, 0.0)),
            ("its clutch may have had no sire", self._unsired.get(animal, 0.0)),
        )
        told = [f"{words} ({_percent(chance)})" for words, chance in reasons if chance >= DOUBTFUL]
        return "; ".join(told) or "records that it rests on may be wrong, see the suspicions"


def _percent(chance: float) -> str:
    return "over 99 %" if chance > 0.99 else f"{100 * chance:.0f} %"
