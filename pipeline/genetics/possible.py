"""Which genotypes an animal can have if every label is right: the null hypothesis of the ratio tests.

A label fixes what shows and what it claims; about hets that it doesn't name it says nothing, so those follow from the
recorded parents. Works down the pedigree, parents before young; young never speak for their parents here, because
it is their ratios that are to be tested.
"""

from collections.abc import Mapping
from functools import lru_cache
from itertools import product

from pipeline.genetics.collection import Collection
from pipeline.genetics.crosses import Diplotype, Haplotype, diplotypes, gametes, genotype, viable
from pipeline.genetics.genes import WILD, Genotype, LinkageGroup, Sex
from pipeline.genetics.statements import Statement, about, genotypes_at, shown_at

Possible = frozenset[Diplotype]


def possible_diplotypes(collection: Collection) -> Mapping[str, tuple[Possible, ...]]:
    """For each animal, and each linkage group of its species in the catalogue's order, the diplotypes it can have.

    An animal of unknown sex that is nobody's parent is taken to have two copies of a sex-linked locus. Where a label
    contradicts its parents, or its parents are not recorded, the label is taken at its word; a label that fits no genotype
    leaves all of them.
    """
    found: dict[str, tuple[Possible, ...]] = {}
    answered: dict[tuple, Possible] = {}
    said: dict[tuple[str, Statement | None], tuple[Statement | None, ...]] = {}
    names = {species: [*map(_names, one.groups)] for species, one in collection.catalogues.items()}
    sexes = _sexes(collection)
    for animal in collection.animals.values():
        catalogue = collection.catalogues[animal.species]
        dam, sire = found.get(animal.dam or ""), found.get(animal.sire or "")
        spoken = (animal.species, animal.label)
        if spoken not in said:
            said[spoken] = tuple(
                None if animal.label is None else about(animal.label, genes) for genes in names[animal.species]
            )
        own = []
        for i, (group, label) in enumerate(zip(catalogue.groups, said[spoken], strict=True)):
            known = sexes.get(animal.id)
            sex = known if catalogue.single_copy(group, known) else None
            from_dam, from_sire = (parent[i] if parent else None for parent in (dam, sire))
            key = (animal.species, i, sex, label, from_dam, from_sire)
            if key not in answered:
                answered[key] = _possible(group, sex, label, from_dam, from_sire)
            own.append(answered[key])
        found[animal.id] = tuple(own)
    return found


def _names(group: LinkageGroup) -> frozenset[str]:
    """The genes of a linkage group."""
    return frozenset(gene.name for locus in group.loci for gene in locus.genes)


def _sexes(collection: Collection) -> Mapping[str, Sex]:
    """The sexes that are known; a role as a parent goes before what is recorded, as in carriers/families.py."""
    animals, pairings = collection.animals.values(), collection.pairings.values()
    recorded: dict[str, Sex] = {animal.id: animal.sex for animal in animals if animal.sex}
    couples = [(animal.sire, animal.dam) for animal in animals]
    couples += [(sire, pairing.dam) for pairing in pairings for sire in (pairing.sire, *pairing.other_sires)]
    sires: dict[str, Sex] = {sire: "M" for sire, _ in couples if sire}
    dams: dict[str, Sex] = {dam: "F" for _, dam in couples if dam}
    return recorded | sires | dams


@lru_cache(maxsize=8192)
def _possible(
    group: LinkageGroup,
    single: Sex | None,
    label: Statement | None,
    dam: Possible | None,
    sire: Possible | None,
) -> Possible:
    """Of one animal at one group; `single` is the sex of an animal with one copy of it. Books share the answers: animals of
    many keepers are labelled alike."""
    at_its_word = _at_its_word(label, group, single is not None)
    if dam is None and sire is None:
        return at_its_word
    named = label.genes() if label else frozenset(g.name for locus in group.loci for g in locus.genes)
    inherited = _inherited(group, single, dam, sire, named_haplotypes(group, named))
    agreeing = frozenset(d for d in inherited if label is None or agrees(d, label, group, single is not None))
    return agreeing or at_its_word


def _at_its_word(label: Statement | None, group: LinkageGroup, single: bool) -> Possible:
    options: list[list[Genotype]] = []
    for locus in group.loci:
        allowed = [] if label is None else list(genotypes_at(label, locus, single_copy=single))
        options.append(allowed or [g for g in locus.genotypes(single_copy=single) if locus.viable(g)])
    return frozenset(
        phase
        for choice in product(*options)
        for phase in diplotypes(
            {locus.name: own for locus, own in zip(group.loci, choice, strict=True)}, group
        )
    )


def _inherited(
    group: LinkageGroup,
    single: Sex | None,
    dam: Possible | None,
    sire: Possible | None,
    unknown_parent: frozenset[Haplotype],
) -> Possible:
    """Diplotypes that the parents can give; a parent not recorded gives only what the label itself names."""
    from_dam = unknown_parent if dam is None else _passed(dam, group)
    from_sire = unknown_parent if sire is None else _passed(sire, group)
    if single:
        giver = from_dam if single == "M" else from_sire
        return frozenset((haplotype,) for haplotype in giver if viable((haplotype,), group))
    pairs = (tuple(sorted(pair)) for pair in product(from_dam, from_sire))
    return frozenset(pair for pair in pairs if viable(pair, group))


def _passed(parent: Possible, group: LinkageGroup) -> frozenset[Haplotype]:
    return frozenset(haplotype for diplotype in parent for haplotype in gametes(diplotype, group))


def named_haplotypes(group: LinkageGroup, named: frozenset[str]) -> frozenset[Haplotype]:
    """Haplotypes of wild type and the named genes alone: what a parent not recorded may have given."""
    choices = [
        [WILD] + [allele for allele, gene in enumerate(locus.genes, start=1) if gene.name in named]
        for locus in group.loci
    ]
    return frozenset(product(*choices))


def agrees(diplotype: Diplotype, label: Statement, group: LinkageGroup, single: bool) -> bool:
    """Whether a diplotype shows what the label shows and keeps to its claims of copies."""
    claims: dict[str, tuple[int, ...]] = {c.gene: (1,) if c.probability == 1 else (0, 1) for c in label.carries}
    claims |= dict.fromkeys(label.lacks, (0,))
    claims |= {s.gene: (s.copies,) for s in label.shows if s.copies is not None and not single}
    for position, locus in enumerate(group.loci):
        own = genotype(diplotype, position)
        if locus.appearance(own) != shown_at(label, locus):
            return False
        for allele, gene in enumerate(locus.genes, start=1):
            if gene.name in claims and own.count(allele) not in claims[gene.name]:
                return False
    return True
