"""What young of one linkage group can be called: their looks, and what hides in each look, as columns over states."""

from bisect import bisect_right
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

import numpy as np

from pipeline.genetics.carriers.odds import STEPS
from pipeline.genetics.carriers.spaces import Kind, Space
from pipeline.genetics.genes import Inheritance, Locus
from pipeline.genetics.haplotypes import genotype
from pipeline.genetics.statements import Carried, Shown, Statement

CLAIMS = (None, Fraction(1, 2), Fraction(2, 3), Fraction(1))
"""What may be claimed of a hidden gene, by the number of STEPS its odds reach: nothing, 50 %, 66 %, 100 % het."""
_LEAST = tuple(sorted(least for _, least in STEPS))


@dataclass(frozen=True)
class _Look:
    """One look: the genes that show with their copies, and the columns of what is open in it.

    `hidden` are (gene, column), `doubled` (dominant gene that shows, column of its two copies).
    """

    shows: tuple[Shown, ...]
    hidden: tuple[tuple[str, int], ...]
    doubled: tuple[tuple[str, int], ...]

    @property
    def open(self) -> list[int]:
        """The columns of what is open in it."""
        return [column for _, column in (*self.hidden, *self.doubled)]


class GroupLooks:
    """The looks of one linkage group in young of one kind.

    `columns` (states x columns): one column for each look, then one for each gene open in a look; a state is in the column
    of its look, and in that of each gene which it carries there.
    """

    def __init__(self, space: Space, kind: Kind) -> None:
        self.looks: list[_Look] = []
        states = space.states[kind]
        keys = [
            tuple(locus.appearance(genotype(state, i)) for i, locus in enumerate(space.group.loci))
            for state in states
        ]
        distinct = list(dict.fromkeys(keys))
        columns = [np.array([key == look for key in keys], dtype=float) for look in distinct]
        for look in distinct:
            members = np.array([key == look for key in keys])
            shows, hidden, doubled = [], [], []
            for position, locus in enumerate(space.group.loci):
                for allele, gene in enumerate(locus.genes, start=1):
                    count = np.array([genotype(state, position).count(allele) for state in states]) * members
                    if gene.name in look[position] or gene.super_name in look[position]:
                        shows.append(_shown(locus, allele, look[position]))
                        if gene.inheritance is Inheritance.DOMINANT and (count == 2).any():
                            doubled.append((gene.name, len(columns)))
                            columns.append((count == 2).astype(float))
                    elif count.any():
                        hidden.append((gene.name, len(columns)))
                        columns.append((count > 0).astype(float))
            self.looks.append(_Look(tuple(shows), tuple(hidden), tuple(doubled)))
        self.columns = np.stack(columns, axis=1)
        many = [len(CLAIMS) ** len(look.open) for look in self.looks]
        self._starts = list(accumulate(many, initial=0))

    def words(self, shares: np.ndarray) -> np.ndarray:
        """Pairs x looks: a number for what may be written of young of the look, by the steps that the odds of each gene open
        in it reach; `said` tells what. `shares` (pairs x columns) are the odds of `columns`.
        """
        found = np.empty((len(shares), len(self.looks)), dtype=np.int64)
        for look, known in enumerate(self.looks):
            found[:, look] = 0
            for column in known.open:
                odds = np.zeros(len(shares))
                np.divide(shares[:, column], shares[:, look], out=odds, where=shares[:, look] > 0)
                found[:, look] = found[:, look] * len(CLAIMS) + np.digitize(odds + 1e-9, _LEAST)
            found[:, look] += self._starts[look]
        return found

    def said(self, words: int) -> Statement:
        """The label of that number."""
        look = bisect_right(self._starts, words) - 1
        known, left, steps = self.looks[look], words - self._starts[look], {}
        for gene, _ in reversed((*known.hidden, *known.doubled)):
            left, steps[gene] = divmod(left, len(CLAIMS))
        sure = len(CLAIMS) - 1
        double = {gene for gene, _ in known.doubled if steps[gene] == sure}
        shows = tuple(Shown(s.gene, 2) if s.gene in double else s for s in known.shows)
        carries = tuple(Carried(gene, CLAIMS[steps[gene]]) for gene, _ in known.hidden if steps[gene])
        return Statement(shows, carries)


def _shown(locus: Locus, allele: int, look: tuple[str, ...]) -> Shown:
    gene = locus.genes[allele - 1]
    if gene.inheritance is not Inheritance.INCOMPLETE:
        return Shown(gene.name)
    return Shown(gene.name, 1 if gene.name in look else 2)
