"""The gene lists of several books as one, and each book's words for what is in it."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from pipeline.genetics.collection import Collection
from pipeline.genetics.genes import Catalogue, Gene, Inheritance, SexChromosomes
from pipeline.genetics.joined.same_genes import GeneKey, GeneKeys
from pipeline.genetics.label_words import fold
from pipeline.genetics.statements import Carried, Shown, Statement


@dataclass(frozen=True)
class Translation:
    """One book's species and genes as the whole names them: `species[own]`, `genes[own species, own gene]`."""

    species: Mapping[str, str]
    genes: Mapping[tuple[str, str], str]

    def gene(self, species: str, name: str) -> str:
        """The whole's name of a gene of the book."""
        return self.genes.get((species, name), name)

    def statement(self, species: str, label: Statement | None) -> Statement | None:
        """A label in the whole's names."""
        if label is None:
            return None
        return Statement(
            tuple(Shown(self.gene(species, one.gene), one.copies) for one in label.shows),
            tuple(Carried(self.gene(species, one.gene), one.probability) for one in label.carries),
            tuple(self.gene(species, name) for name in label.lacks),
            label.lines,
        )


@dataclass
class _Whole:
    """One species of the whole while it is put together: the first book's names, every book's genes."""

    name: str
    chromosomes: SexChromosomes = SexChromosomes.UNKNOWN
    genes: dict[GeneKey, list[tuple[Gene, Catalogue]]] = field(default_factory=dict)


def joined_catalogues(
    books: Mapping[str, Collection], keys: GeneKeys
) -> tuple[dict[str, Catalogue], dict[str, Translation]]:
    """Catalogues by species, without morph names, and each book's words. `books` are collections by name.

    They must not clash (see workbook/pooling). Names are those of the first book that has the gene; a blank gives way.
    """
    wholes: dict[str, _Whole] = {}
    for one in books.values():
        for species, catalogue in one.catalogues.items():
            whole = wholes.setdefault(fold(species), _Whole(species))
            if whole.chromosomes is SexChromosomes.UNKNOWN:
                whole.chromosomes = catalogue.sex_chromosomes
            for gene in catalogue.genes:
                whole.genes.setdefault(keys.of(species, gene.name), []).append((gene, catalogue))
    catalogues = {whole.name: _catalogue(whole, keys) for whole in wholes.values()}
    words = {
        book: Translation(
            {species: wholes[fold(species)].name for species in one.catalogues},
            {
                (species, gene.name): wholes[fold(species)].genes[keys.of(species, gene.name)][0][0].name
                for species, catalogue in one.catalogues.items()
                for gene in catalogue.genes
            },
        )
        for book, one in books.items()
    }
    return catalogues, words


def _catalogue(whole: _Whole, keys: GeneKeys) -> Catalogue:
    locus_of = _loci(whole, keys)
    genes = [_gene(key, whole, locus_of, keys) for key in whole.genes]
    return Catalogue(whole.name, tuple(sorted(genes, key=lambda gene: gene.name)), whole.chromosomes)


def _loci(whole: _Whole, keys: GeneKeys) -> dict[GeneKey, str]:
    """The locus of each gene: genes that any book puts at one locus are alleles of it; it has its first gene's name."""
    locus: dict[GeneKey, GeneKey] = {key: key for key in whole.genes}

    def find(key: GeneKey) -> GeneKey:
        """The gene that stands for the locus."""
        while locus[key] != key:
            key = locus[key]
        return key

    for records in whole.genes.values():
        for gene, catalogue in records:
            for other in catalogue.locus_of[gene.name].genes if gene.name in catalogue.locus_of else ():
                one, two = find(keys.of(whole.name, gene.name)), find(keys.of(whole.name, other.name))
                locus[max(one, two)] = min(one, two)
    return {key: whole.genes[find(key)][0][0].locus for key in whole.genes}


def _gene(key: GeneKey, whole: _Whole, locus_of: Mapping[GeneKey, str], keys: GeneKeys) -> Gene:
    """One gene of all its records: the first book's, and what that leaves blank from the others."""
    records = whole.genes[key]
    first = records[0][0]
    names = dict.fromkeys(
        name for gene, _ in records for name in (gene.name, *gene.aliases) if name != first.name
    )
    if first.inheritance is Inheritance.LINE_BRED:
        return replace(first, aliases=tuple(names))
    linked = next(((gene, c) for gene, c in records if gene.recombination is not None), None)
    return replace(
        first,
        locus=locus_of[key],
        aliases=tuple(names),
        rank=next((gene.rank for gene, _ in records if gene.rank is not None), None),
        two_copies_name=next((gene.two_copies_name for gene, _ in records if gene.two_copies_name), ""),
        linked_locus=_linked(*linked, locus_of, whole, keys) if linked else None,
        recombination=linked[0].recombination if linked else None,
        later=any(gene.later for gene, _ in records),
        misread=max((gene.misread for gene, _ in records if gene.misread is not None), default=None),
    )


def _linked(
    gene: Gene, catalogue: Catalogue, locus_of: Mapping[GeneKey, str], whole: _Whole, keys: GeneKeys
) -> str | None:
    """The locus that a book links a gene with, by the whole's name of it."""
    for locus in catalogue.loci:
        names = {locus.name, *(one.name for one in locus.genes)}
        if gene.linked_locus in names:
            return locus_of[keys.of(whole.name, locus.genes[0].name)]
    return None
