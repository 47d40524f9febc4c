"""The parents of many pairs: how likely each couple of their genotypes is, as one family's records leave it or two families'.

Of animals from different families the odds are independent, group by group, and a couple's chance is a product. Kin of one
family are alike beyond what each's own odds say: two full siblings of a possible het are more often both hets than their
odds multiplied. For a grid of all females with all males the product is taken throughout (`Grid`); pairs told of in full
whose parents are of one family are worked out again with their joint odds (`Joint`, from kin.py). Linkage groups are
taken as independent of one another in both; a doubtful sire, which would tie them, is averaged over in each.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from pipeline.findings.pairs.mixtures import distinct
from pipeline.findings.pairs.spaces import Odds


class Couples(Protocol):
    """Pairs of a dam and a sire of one species."""

    @property
    def size(self) -> int:
        """How many they are."""
        ...

    def weigh(self, group: int, table: np.ndarray) -> np.ndarray:
        """The expectation of a table (dam states x sire states x k) at a linkage group: pairs x k."""
        ...

    def likeliest(self, group: int) -> tuple[np.ndarray, np.ndarray]:
        """By pair the likeliest state of the dam and of the sire."""
        ...

    def weigh_once(self, group: int, table: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """As `weigh`, once for all pairs whose parents have the same odds: distinct rows, and each pair's place in them."""
        ...


@dataclass(frozen=True)
class Side:
    """The animals of one side: their IDs, and per group their odds (animals x states)."""

    ids: tuple[str, ...]
    odds: Odds

    @classmethod
    def of(cls, ids: Sequence[str], odds: Mapping[str, Odds], groups: int) -> "Side":
        """`groups`: how many linkage groups the species has."""
        return cls(tuple(ids), tuple(np.array([odds[i][g] for i in ids]) for g in range(groups)))


@dataclass(frozen=True)
class Grid:
    """Every dam with every sire, dam by dam, their odds independent."""

    dams: Side
    sires: Side

    @property
    def size(self) -> int:
        """The number of pairs: every dam with every sire."""
        return len(self.dams.ids) * len(self.sires.ids)

    def weigh(self, group: int, table: np.ndarray) -> np.ndarray:
        """See Couples."""
        own, theirs = self.dams.odds[group], self.sires.odds[group]
        return np.einsum("da,sb,abk->dsk", own, theirs, table, optimize=True).reshape(self.size, -1)

    def weigh_once(self, group: int, table: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """See Couples."""
        (own, dam), (theirs, sire) = (distinct(side.odds[group]) for side in (self.dams, self.sires))
        rows = np.einsum("da,sb,abk->dsk", own, theirs, table, optimize=True)
        return rows.reshape(-1, rows.shape[-1]), (dam[:, None] * len(theirs) + sire[None, :]).ravel()

    def likeliest(self, group: int) -> tuple[np.ndarray, np.ndarray]:
        """See Couples."""
        own, theirs = self.dams.odds[group].argmax(axis=1), self.sires.odds[group].argmax(axis=1)
        return np.repeat(own, len(theirs)), np.tile(theirs, len(own))


@dataclass(frozen=True)
class Joint:
    """Pairs whose couples are given: per group pairs x dam states x sire states, each pair's summing to 1."""

    tables: tuple[np.ndarray, ...]
    size: int

    def weigh(self, group: int, table: np.ndarray) -> np.ndarray:
        """See Couples."""
        return np.einsum("pab,abk->pk", self.tables[group], table)

    def weigh_once(self, group: int, table: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """See Couples."""
        return self.weigh(group, table), np.arange(self.size)

    def likeliest(self, group: int) -> tuple[np.ndarray, np.ndarray]:
        """See Couples."""
        own = self.tables[group]
        return own.sum(axis=2).argmax(axis=1), own.sum(axis=1).argmax(axis=1)
