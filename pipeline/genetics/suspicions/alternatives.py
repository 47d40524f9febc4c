"""What else each row of the Genes sheet could be: the alternatives that a suspicion of it weighs.

A record is wrong with the setting `Wrong gene record`, spread evenly over its alternatives; every other gene it might
be allelic to or linked with is one of them, so that a fault of two genes has a share from each. Dominant and
incomplete dominant differ only in how two copies look; where a book was written as if there were no difference no
record can tell them apart, so that both shares go to one alternative.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import combinations
from typing import Any

from pipeline.genetics.carriers.evidence import misread_at
from pipeline.genetics.genes import Catalogue, Gene, Inheritance, Locus

SHARES_ALIVE = (0.1, 0.3, 0.5, 0.7)
"""Survival or penetrance tried for a class that is short, each as likely as the others."""
FRACTIONS = (0.02, 0.08, 0.18, 0.32)
"""Recombination fractions tried for two genes recorded as unlinked, each as likely as the others."""
WIDEST = 4
"""Haplotypes that a pair of linked loci may have at most; beyond, the pair's linkage is not weighed."""

Changes = Mapping[str, Mapping[str, Any]]
"""By gene, fields of its record that are otherwise."""


class Fault(StrEnum):
    """How a gene record can be wrong."""

    NOT_ALLELES = "not alleles"
    ALLELES = "alleles"
    INHERITANCE = "inheritance"
    LETHAL = "two copies die"
    VIABLE = "two copies live"
    LINKED = "linked"
    SURVIVAL = "few survive"
    PENETRANCE = "few show it"


@dataclass(frozen=True, eq=False)
class Variant:
    """One way in which an alternative can be so; `share` of its prior. `value` is the fraction tried, if any."""

    changes: Changes
    share: float = 1.0
    value: float | None = None


@dataclass(frozen=True, eq=False)
class Alternative:
    """`genes` are the records at fault, `prior` the probability before the young are seen, `says` the truth in words."""

    fault: Fault
    genes: tuple[str, ...]
    says: str
    prior: float
    variants: tuple[Variant, ...]


def alternatives(catalogue: Catalogue, wrong: float, misread: float) -> tuple[Alternative, ...]:
    """Every alternative of a catalogue's records. `wrong`: the probability that one record is wrong."""
    genes = [gene for locus in catalogue.loci for gene in locus.genes]
    found = [*_pairs(catalogue, misread)]
    for gene in genes:
        locus = catalogue.locus_of[gene.name]
        found += _alone(gene)
        if len(locus.genes) > 2 and not _travel(catalogue, locus):
            found.append((1, _one_apart(gene, locus, misread)))
    shares = {gene.name: sum(weight for weight, own in found if gene.name in own.genes) for gene in genes}
    return tuple(
        replace(own, prior=sum(wrong * weight / shares[name] for name in own.genes)) for weight, own in found
    )


def changed(catalogue: Catalogue, changes: Changes) -> Catalogue:
    """The catalogue with some fields of some genes otherwise."""
    if not changes:
        return catalogue
    genes = tuple(replace(gene, **changes.get(gene.name, {})) for gene in catalogue.genes)
    return replace(catalogue, genes=genes)


def part_of(catalogue: Catalogue, genes: Iterable[str]) -> Catalogue:
    """The catalogue of only the linkage groups in which the genes lie."""
    wanted = set(genes)
    kept: set[str] = set()
    for group in catalogue.groups:
        names = {gene.name for locus in group.loci for gene in locus.genes}
        if names & wanted:
            kept |= names
    return replace(catalogue, genes=tuple(gene for gene in catalogue.genes if gene.name in kept))


def touched(catalogue: Catalogue, changes: Changes) -> frozenset[str]:
    """Genes of every linkage group that the changes concern, as recorded and as changed."""
    names = set(changes)
    names |= {str(c["linked_locus"]) for c in changes.values() if c.get("linked_locus")}
    before = part_of(catalogue, names)
    after = part_of(changed(catalogue, changes), names)
    return frozenset(gene.name for part in (before, after) for gene in part.genes)


def _alone(gene: Gene) -> Iterator[tuple[int, Alternative]]:
    """Alternatives of one record, each with the number of even shares it has."""

    def one(fault: Fault, says: str, *variants: Variant, shares: int = 1) -> tuple[int, Alternative]:
        return shares, Alternative(fault, (gene.name,), says, 0.0, variants)

    def otherwise(**fields: object) -> Variant:
        return Variant({gene.name: fields})

    name, dominant = gene.name, otherwise(inheritance=Inheritance.DOMINANT)
    recessive = otherwise(inheritance=Inheritance.RECESSIVE)
    if gene.inheritance is Inheritance.RECESSIVE:
        says = f"{name} shows in one copy (dominant or incomplete dominant)"
        yield one(Fault.INHERITANCE, says, dominant, shares=2)
    else:
        yield one(Fault.INHERITANCE, f"{name} is recessive: it shows in two copies only", recessive)
    if gene.inheritance is Inheritance.INCOMPLETE:
        yield one(Fault.INHERITANCE, f"{name} is dominant: one and two copies look alike", dominant)
    if gene.lethal:
        yield one(Fault.VIABLE, f"young with two copies of {name} live", otherwise(lethal=False))
    else:
        yield one(Fault.LETHAL, f"young with two copies of {name} die", otherwise(lethal=True))
        yield one(Fault.SURVIVAL, f"few young with two copies of {name} live", *_grid(name, "survival"))
    yield one(Fault.PENETRANCE, f"{name} does not always show", *_grid(name, "penetrance"))


def _grid(name: str, field: str) -> tuple[Variant, ...]:
    share = 1 / len(SHARES_ALIVE)
    return tuple(Variant({name: {field: value}}, share, value) for value in SHARES_ALIVE)


def _pairs(catalogue: Catalogue, misread: float) -> Iterator[tuple[int, Alternative]]:
    for one, other in combinations(catalogue.loci, 2):
        if one.sex_linked == other.sex_linked and not _travel(catalogue, one, other):
            yield from _linkage(one, other)
            yield 1, _alleles(one, other, misread)
    for locus in catalogue.loci:
        if len(locus.genes) == 2 and not _travel(catalogue, locus):
            yield 1, _both_apart(locus, misread)


def _travel(catalogue: Catalogue, *loci: Locus) -> bool:
    """Whether one of the loci has recorded links, which an alternative would break."""
    return any(locus in group.loci for group in catalogue.groups if group.links for locus in loci)


def _linkage(one: Locus, other: Locus) -> Iterator[tuple[int, Alternative]]:
    if (1 + len(one.genes)) * (1 + len(other.genes)) > WIDEST:
        return
    a, b = one.genes[0].name, other.genes[0].name
    share = 1 / len(FRACTIONS)
    variants = tuple(
        Variant({b: {"linked_locus": one.name, "recombination": r}}, share, r) for r in FRACTIONS
    )
    yield 1, Alternative(Fault.LINKED, (a, b), f"{a} and {b} are linked", 0.0, variants)


def _alleles(one: Locus, other: Locus, misread: float) -> Alternative:
    """All genes of two loci at one; which of two different ones shows is not known.

    The one locus is misread as often as the two together, so that merging explains no young by itself.
    """
    both = 1 - (1 - misread_at(one, misread)) * (1 - misread_at(other, misread))
    names = tuple(gene.name for gene in (*one.genes, *other.genes))
    orders = ((1, 2), (2, 1), (None, None)) if len(names) == 2 else ((None,) * len(names),)
    variants = tuple(
        Variant(
            {n: {"locus": one.name, "rank": r, "misread": both} for n, r in zip(names, ranks, strict=True)},
            1 / len(orders),
        )
        for ranks in orders
    )
    return Alternative(Fault.ALLELES, names, f"{' and '.join(names)} are alleles of one locus", 0.0, variants)


def _both_apart(locus: Locus, misread: float) -> Alternative:
    names = tuple(gene.name for gene in locus.genes)
    changes = {name: _own_locus(name, locus, misread) for name in names}
    says = f"{' and '.join(names)} are no alleles of one locus"
    return Alternative(Fault.NOT_ALLELES, names, says, 0.0, (Variant(changes),))


def _one_apart(gene: Gene, locus: Locus, misread: float) -> Alternative:
    others = tuple(other for other in locus.genes if other is not gene)
    changes = {gene.name: _own_locus(gene.name, locus, misread)}
    share = changes[gene.name]["misread"]
    changes |= {other.name: {"misread": share} for other in others}
    says = f"{gene.name} is no allele of {', '.join(other.name for other in others)}"
    return Alternative(Fault.NOT_ALLELES, (gene.name,), says, 0.0, (Variant(changes),))


def _own_locus(name: str, locus: Locus, misread: float) -> dict[str, object]:
    """A locus of its own; the two that come of one are misread as often as that was."""
    half = 1 - (1 - misread_at(locus, misread)) ** 0.5
    return {"locus": f"{name} (apart)", "rank": None, "misread": half}
