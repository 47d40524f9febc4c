"""How far the two of each pair are kin: inbreeding of their young, and through whom."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

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
        """The kin of a whole book, by the parents as recorded."""
        return cls(Pedigree({animal.id: (animal.sire, animal.dam) for animal in collection.animals.values()}))

    def of_young(self, dams: Sequence[str], sires: Sequence[str]) -> np.ndarray:
        """Wright's F (0..1) of the young of every dam with every sire, in one row: the first dam's with each sire, and so on."""
        return self.pedigree.matrix(dams, sires).ravel()

    def through(self, dam: str, sire: str) -> str:
        """Their common ancestors with each one's part, in words.

        Childless full sibs share them with everybody alike, so it is reckoned once of all of a sex.
        """
        asked = self._alike.get(dam, dam), self._alike.get(sire, sire)
        if asked not in self._words:
            self._words[asked] = in_words(self.pedigree.common_ancestors(dam, sire))
        return self._words[asked]

    @cached_property
    def _words(self) -> dict[tuple[object, object], str]:
        return {}

    @cached_property
    def _alike(self) -> dict[str, tuple[str, str]]:
        """The parents of each childless animal of which both are known."""
        pedigree = self.pedigree
        parents = {*pedigree.sire, *pedigree.dam}
        return {
            animal: (pedigree.ids[sire], pedigree.ids[dam])
            for at, (animal, sire, dam) in enumerate(
                zip(pedigree.ids, pedigree.sire, pedigree.dam, strict=True)
            )
            if at not in parents and sire >= 0 and dam >= 0
        }
