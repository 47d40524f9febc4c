"""What books say of the same gene, and of what its inheritance rests on in a species: where two of them say otherwise, each
is told, and neither's records are touched."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from pipeline.genetics.genes import Gene, Inheritance
from pipeline.genetics.joined.same_genes import GeneKey, GeneKeys
from pipeline.problems import Place, Problem, Severity
from pipeline.workbook.checks.wording import fold
from pipeline.workbook.pooling.offer import Offer

_HINT = (
    "Each book is answered as it stands. Agree on one and correct the other; until then animals that the two books share "
    "are not weighed together."
)


@dataclass(frozen=True)
class Claim:
    """What one book says of a gene in one column of its row; `gene` blank: of the species."""

    offer: Offer
    species: str
    gene: str
    row: int | None
    field: str
    said: str

    @property
    def subject(self) -> str:
        """The beginning of a sentence that ends with `said`."""
        return f"{self.gene} ({self.species}) is" if self.gene else f"{self.species} has the sex chromosomes"

    @property
    def place(self) -> Place:
        """The cell that makes it."""
        return self.offer.place("genes" if self.gene else "species", self.row, self.field)


@dataclass(frozen=True)
class Clash:
    """Claims about one thing that can't all hold, by what they say."""

    sides: Mapping[str, tuple[Claim, ...]]

    @property
    def about(self) -> str:
        """What the claims are about, and where they stand."""
        claim = next(iter(self.sides.values()))[0]
        return "a gene (see Genes)" if claim.gene else "sex chromosomes (see Species)"

    def parts(self, books: Collection[str]) -> bool:
        """Whether these books stand on different sides."""
        return sum(any(c.offer.book in books for c in claims) for claims in self.sides.values()) > 1


def gene_clashes(offers: Sequence[Offer]) -> tuple[Clash, ...]:
    """Every gene, in every respect, and every species' sex chromosomes, of which two of the books say otherwise."""
    keys = gene_keys(offers)
    about: dict[tuple[object, ...], dict[str, list[Claim]]] = {}
    allelic = {pair for offer in offers for pair in _alleles(offer, keys)}
    for offer in offers:
        claims = (*_chromosome_claims(offer), *_claims(offer, keys), *_locus_claims(offer, keys, allelic))
        for thing, claim in claims:
            about.setdefault(thing, {}).setdefault(claim.said, []).append(claim)
    return tuple(
        Clash({said: tuple(claims) for said, claims in sides.items()})
        for _, sides in sorted(about.items(), key=lambda entry: str(entry[0]))
        if len(sides) > 1
    )


def gene_keys(offers: Sequence[Offer]) -> GeneKeys:
    """What stands for each gene in all of the books."""
    return GeneKeys({s: [g for g, _ in own] for s, own in offer.genes.items()} for offer in offers)


def clash_problems(clashes: Iterable[Clash]) -> dict[str, list[Problem]]:
    """A problem in each book of each clash, naming the other."""
    found: dict[str, list[Problem]] = {}
    for clash in clashes:
        for said, claims in clash.sides.items():
            others = [c for other, own in clash.sides.items() if other != said for c in own]
            for claim in claims:
                found.setdefault(claim.offer.book, []).append(_problem(claim, others))
    return found


def _problem(claim: Claim, others: Sequence[Claim]) -> Problem:
    first, where = elsewhere(others)
    told = first.said if first.gene == claim.gene else f"{first.gene} is {first.said}"
    return Problem(
        Severity.WARNING,
        claim.place,
        f"{claim.subject} {claim.said} here, but {told} in {where}.",
        _HINT,
        claim.said,
    )


def elsewhere(claims: Sequence[Claim]) -> tuple[Claim, str]:
    """The claim of the first book, and the books of all in words."""
    first = min(claims, key=lambda claim: claim.offer.book)
    more = len({claim.offer.book for claim in claims}) - 1
    also = f" (and {more} more {'book' if more == 1 else 'books'})" if more else ""
    return first, f"{first.offer.book}{also}"


def _chromosome_claims(offer: Offer) -> Iterator[tuple[tuple[object, ...], Claim]]:
    """What a book says of each species' sex chromosomes, where it knows them: a sex-linked gene goes by them."""
    for species, (chromosomes, row) in offer.chromosomes.items():
        yield (
            (fold(species), "sex_chromosomes"),
            Claim(offer, species, "", row, "sex_chromosomes", chromosomes.value),
        )


def _claims(offer: Offer, keys: GeneKeys) -> Iterator[tuple[tuple[object, ...], Claim]]:
    """What a book says of each gene by itself; a blank cell says nothing, unless a blank has a meaning."""
    for species, genes in offer.genes.items():
        for gene, row in genes:
            said = {"inheritance": gene.inheritance.value if row else "at fault"}
            if gene.inheritance is not Inheritance.LINE_BRED:
                said["two_copies"] = f"{'lethal' if gene.lethal else 'viable'} with two copies"
                said["sex_linked"] = "sex-linked" if gene.sex_linked else "not sex-linked"
            if gene.recombination is not None:
                said["recombination"] = f"parted from its linked locus in {gene.recombination:.3g} of gametes"
            if gene.rank is not None:
                said["dominance_rank"] = f"of dominance rank {gene.rank:g}"
            for field, words in said.items():
                yield (
                    (keys.of(species, gene.name), field),
                    Claim(offer, species, gene.name, row, field, words),
                )


def _alleles(offer: Offer, keys: GeneKeys) -> Iterator[tuple[GeneKey, GeneKey]]:
    """Pairs of different genes that the book puts at one locus."""
    for species, genes in offer.genes.items():
        by_locus: dict[str, set[GeneKey]] = {}
        for gene, _ in genes:
            if gene.inheritance is not Inheritance.LINE_BRED:
                by_locus.setdefault(fold(gene.locus), set()).add(keys.of(species, gene.name))
        for alleles in by_locus.values():
            yield from combinations(sorted(alleles), 2)


def _locus_claims(
    offer: Offer, keys: GeneKeys, allelic: Collection[tuple[GeneKey, GeneKey]]
) -> Iterator[tuple[tuple[object, ...], Claim]]:
    """What a book says of pairs that some book calls alleles, and of two genes that another has under one name."""
    own = set(_alleles(offer, keys))
    for species, genes in offer.genes.items():
        named: dict[GeneKey, list[tuple[Gene, int | None]]] = {}
        for gene, row in genes:
            named.setdefault(keys.of(species, gene.name), []).append((gene, row))
        for key, same in named.items():
            if len(same) > 1 or same[0][0].aliases:
                said = "one of two genes" if len(same) > 1 else "one gene under all its names"
                gene, row = same[0]
                yield (key, "also_written"), Claim(offer, species, gene.name, row, "also_written", said)
        for one, other in allelic:
            if one in named and other in named:
                gene, row = named[one][0]
                said = f"{'an' if (one, other) in own else 'no'} allele of {other[1]}"
                yield (one, other, "locus"), Claim(offer, species, gene.name, row, "locus", said)
