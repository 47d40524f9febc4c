"""What young of one linkage group can be called: their looks, and what hides in each look, as columns over states."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

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

    def claims(self, look: int, shares: np.ndarray) -> np.ndarray:
        """What may be claimed within a look, pairs x open genes: the steps that each gene's odds reach.

        `shares` (pairs x columns) are the odds of `columns`; every pair has young of the look.
        """
        known = self.looks[look]
        places = [column for _, column in (*known.hidden, *known.doubled)]
        if not places:
            return np.zeros((len(shares), 0), dtype=np.int64)
        return np.digitize(shares[:, places] / shares[:, [look]] + 1e-9, _LEAST)

    def statement(self, look: int, claims: Sequence[int]) -> Statement:
        """The label of a look with those claims."""
        known = self.looks[look]
        steps = dict(zip([gene for gene, _ in (*known.hidden, *known.doubled)], claims, strict=True))
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
