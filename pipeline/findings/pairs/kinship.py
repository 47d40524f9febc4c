"""How far the two of each pair are kin: inbreeding of their young, and through whom."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.findings.kin import in_words
from pipeline.genetics.collection import Collection
from pipeline.genetics.pedigree import Pedigree


@dataclass(frozen=True)
class Kinship:
    """The pedigree of a book, asked for pairs."""

    pedigree: Pedigree

    @classmethod
    def of(cls, collection: Collection) -> "Kinship":
        return cls(Pedigree({animal.id: (animal.sire, animal.dam) for animal in collection.animals.values()}))

    def of_young(self, dams: Sequence[str], sires: Sequence[str]) -> np.ndarray:
        """Wright's F of the young of every dam with every sire, dam by dam."""
        found = np.zeros((len(dams), len(sires)))
        at, by, kinship = self.pedigree.kin(dams, sires)
        found[at, by] = kinship
        return found.ravel()

    def through(self, dam: str, sire: str) -> str:
        """Their common ancestors with each one's part, in words."""
        return in_words(self.pedigree.common_ancestors(dam, sire))
