"""An animal as a parent of a cross: its label, and what the label leaves open from its recorded parents' labels.

A label says nothing about hets that it doesn't name; those follow from the recorded parents, one generation up. What
it does say holds: looks, certain hets, 'not', and stated odds, which replace what the parents would give.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from pipeline.genetics.collection import Animal, Collection
from pipeline.genetics.crosses import CrossError, Parent, parent_from
from pipeline.genetics.genes import WILD, Catalogue, LinkageGroup, Locus, Sex
from pipeline.genetics.haplotypes import Diplotype, Haplotype, Weights, genotype, pooled_gametes, viable
from pipeline.genetics.label_claims import canonical
from pipeline.genetics.looks import group_looks
from pipeline.genetics.possible import agrees, named_haplotypes
from pipeline.genetics.statements import Carried, Statement

ONE_COPY = Fraction(0)
"""The background of a dominant gene whose copies nobody stated: taken as one copy, and said so."""


@dataclass(frozen=True)
class Breeder:
    """A parent, and how it came by its odds.

    `taken_as` states what is used, None where it has no one look. `from_parents`: the recorded parents settle what the
    label leaves open, or move its odds. `against_parents` are linkage groups at which the
    label does not follow from the recorded parents' labels, so that the label alone was used.
    """

    parent: Parent
    taken_as: Statement | None
    from_parents: bool = False
    against_parents: tuple[str, ...] = ()


def labelled_breeder(statement: Statement, sex: Sex, catalogue: Catalogue) -> Breeder:
    """A parent known by its label alone. Raises CrossError where no genotype of that sex fits it."""
    parent = parent_from(statement, sex, catalogue, background=ONE_COPY)
    return Breeder(parent, statement)


def breeder(animal: Animal, sex: Sex, collection: Collection) -> Breeder:
    """A recorded animal as a parent of that sex.

    Raises CrossError where its label fits no genotype of the sex, or where nobody looked at it and no recorded parent
    has a label.
    """
    catalogue = collection.catalogues[animal.species]
    dam = _by_label(collection.animals.get(animal.dam or ""), "F", catalogue)
    sire = _by_label(collection.animals.get(animal.sire or ""), "M", catalogue)
    if animal.label is not None and dam is None and sire is None:
        return labelled_breeder(animal.label, sex, catalogue)
    if dam is None and sire is None:
        raise CrossError(
            "it has no readable label in the book, and neither have its parents; fill or correct its Genes"
        )
    given = [
        _from_parents(group, from_dam, from_sire, animal.label, sex, catalogue)
        for group, from_dam, from_sire in zip(
            catalogue.groups, _groups(dam, catalogue), _groups(sire, catalogue), strict=True
        )
    ]
    against = tuple(group.name for group, own in zip(catalogue.groups, given, strict=True) if not own)
    if animal.label is None:
        if against:
            raise CrossError(
                f"it has no label, and its parents' labels leave no living young at {against[0]}"
            )
        parent = Parent(sex, tuple(given))
        return Breeder(parent, _taken_as(parent, None, catalogue), True)
    alone = parent_from(animal.label, sex, catalogue, background=ONE_COPY)
    parent = Parent(sex, tuple(own or word for own, word in zip(given, alone.groups, strict=True)))
    return Breeder(parent, _taken_as(parent, animal.label, catalogue), parent.groups != alone.groups, against)


def _groups(parent: Parent | None, catalogue: Catalogue) -> tuple[Weights | None, ...]:
    return (None,) * len(catalogue.groups) if parent is None else parent.groups


def _by_label(animal: Animal | None, sex: Sex, catalogue: Catalogue) -> Parent | None:
    """A recorded parent by its own label; None where it has none, or one that fits no genotype."""
    if animal is None or animal.label is None:
        return None
    try:
        return parent_from(animal.label, sex, catalogue, background=ONE_COPY)
    except CrossError:
        return None


def _from_parents(
    group: LinkageGroup,
    dam: Weights | None,
    sire: Weights | None,
    label: Statement | None,
    sex: Sex,
    catalogue: Catalogue,
) -> dict[Diplotype, Fraction]:
    """What the parents give and the label allows; empty where that is nothing.

    A parent not recorded gives wild type, and where that can't be, what the label names.
    """
    named = label.genes() if label else frozenset()
    for unknown in ({_wild(group): Fraction(1)}, _evenly(named_haplotypes(group, named))):
        from_dam, from_sire = (
            unknown if given is None else pooled_gametes(given, group) for given in (dam, sire)
        )
        young = _young(group, from_dam, from_sire, sex, catalogue)
        fitting = {d: w for d, w in young.items() if _fits(d, label, group, len(d) == 1)}
        if fitting and all(
            _given(fitting, position, locus, claim) for position, locus, claim in _unsure(label, group)
        ):
            return _with_stated_odds(_scaled(fitting), label, group)
    return {}


def _unsure(label: Statement | None, group: LinkageGroup) -> list[tuple[int, Locus, Carried]]:
    """The label's unsure hets at the loci of a group, with their places."""
    claims = [claim for claim in label.carries if claim.probability != 1] if label else []
    return [
        (position, locus, claim)
        for position, locus in enumerate(group.loci)
        for claim in claims
        if claim.gene in {gene.name for gene in locus.genes}
    ]


def _given(weights: Weights, position: int, locus: Locus, claim: Carried) -> bool:
    """Whether the parents can give the gene at all."""
    return any(locus.allele(claim.gene) in genotype(diplotype, position) for diplotype in weights)


def _wild(group: LinkageGroup) -> Haplotype:
    return (WILD,) * len(group.loci)


def _evenly(haplotypes: frozenset[Haplotype]) -> dict[Haplotype, Fraction]:
    return {haplotype: Fraction(1, len(haplotypes)) for haplotype in sorted(haplotypes)}


def _young(
    group: LinkageGroup,
    dam: Mapping[Haplotype, Fraction],
    sire: Mapping[Haplotype, Fraction],
    sex: Sex,
    catalogue: Catalogue,
) -> dict[Diplotype, Fraction]:
    if catalogue.single_copy(group, sex):
        return {(haplotype,): chance for haplotype, chance in (dam if sex == "M" else sire).items()}
    young: dict[Diplotype, Fraction] = {}
    for egg, p in dam.items():
        for sperm, q in sire.items():
            pair = tuple(sorted((egg, sperm)))
            young[pair] = young.get(pair, Fraction(0)) + p * q
    return young


def _fits(diplotype: Diplotype, label: Statement | None, group: LinkageGroup, single: bool) -> bool:
    return viable(diplotype, group) and (label is None or agrees(diplotype, label, group, single))


def _scaled(weights: Mapping[Diplotype, Fraction]) -> dict[Diplotype, Fraction]:
    total = sum(weights.values(), Fraction(0))
    return {diplotype: weight / total for diplotype, weight in weights.items()}


def _with_stated_odds(
    weights: dict[Diplotype, Fraction], label: Statement | None, group: LinkageGroup
) -> dict[Diplotype, Fraction]:
    """The weights moved so that each 'P% het' of the label has its P, all else in proportion (Jeffrey's rule)."""
    odds: dict[int, dict[int, Fraction]] = {}
    for position, locus, claim in _unsure(label, group):
        if claim.probability is not None:
            odds.setdefault(position, {})[locus.allele(claim.gene)] = claim.probability
    for position, own in odds.items():
        weights = _moved(weights, position, own)
    return weights


def _moved(
    weights: dict[Diplotype, Fraction], position: int, odds: Mapping[int, Fraction]
) -> dict[Diplotype, Fraction]:
    """The weights with these odds of the alleles of one locus, which exclude each other: a locus hides one at most."""
    hidden = {d: next((a for a in genotype(d, position) if a in odds), WILD) for d in weights}
    shares: dict[int, Fraction] = {}
    for diplotype, allele in hidden.items():
        shares[allele] = shares.get(allele, Fraction(0)) + weights[diplotype]
    wanted = {WILD: max(Fraction(0), 1 - sum(odds.values(), Fraction(0))), **odds}
    total = sum((wanted[allele] for allele in shares), Fraction(0))
    return {
        diplotype: weight / shares[hidden[diplotype]] * wanted[hidden[diplotype]] / total
        for diplotype, weight in weights.items()
        if wanted[hidden[diplotype]]
    }


def _taken_as(parent: Parent, label: Statement | None, catalogue: Catalogue) -> Statement | None:
    """The odds used, as a label; None where they leave the look open."""
    looks = [
        group_looks(group, weights) for group, weights in zip(catalogue.groups, parent.groups, strict=True)
    ]
    if any(len(look) > 1 for look in looks):
        return None
    parts = [part for look in looks for part in look.values()]
    return canonical(
        Statement(
            tuple(shown for part in parts for shown in part.shows),
            tuple(carried for part in parts for carried in part.carries),
            label.lacks if label else (),
            label.lines if label else (),
        ),
        catalogue,
    )
