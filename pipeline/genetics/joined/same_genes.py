"""Which genes of several books are one: those of a species with a name or an alias in common."""

from collections.abc import Iterable, Mapping

from pipeline.genetics.genes import Gene
from pipeline.genetics.label_words import fold

GeneKey = tuple[str, str]
"""Species and gene: one for all books and spellings."""


class GeneKeys:
    """Finds what stands for a gene in every book; made from the genes of each book by species."""

    def __init__(self, books: Iterable[Mapping[str, Iterable[Gene]]]) -> None:
        self._root: dict[GeneKey, GeneKey] = {}
        for genes in books:
            for species, own in genes.items():
                for gene in own:
                    first, *others = (
                        self._find((fold(species), fold(word))) for word in (gene.name, *gene.aliases)
                    )
                    for other in others:
                        one, other = self._find(first), self._find(other)
                        self._root[max(one, other)] = min(one, other)

    def of(self, species: str, name: str) -> GeneKey:
        """The key of the gene of that name or alias."""
        return self._find((fold(species), fold(name)))

    def _find(self, name: GeneKey) -> GeneKey:
        while (up := self._root.get(name, name)) != name:
            name = up
        return name
