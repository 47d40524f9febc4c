"""What one pair can be expected to have: the answer to `proveout cross`."""

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from fractions import Fraction

from pipeline.errors import RequestError
from pipeline.findings.asked import with_id, with_name
from pipeline.findings.shares import halved
from pipeline.genetics.breeders import Breeder, breeder, labelled_breeder
from pipeline.genetics.collection import Animal, Collection
from pipeline.genetics.crosses import Cross, CrossError, YoungClass, cross
from pipeline.genetics.genes import SEX_WORDS, Catalogue, Inheritance, LinkageGroup, Sex, SexChromosomes
from pipeline.genetics.haplotypes import Weights, genotype
from pipeline.genetics.labels import LabelError, read_label, write_label
from pipeline.genetics.pedigree import Pedigree

ALL_LISTED = 2_000
LISTED_BEYOND = 40
_ROLES: dict[Sex, str] = {"F": "dam", "M": "sire"}


@dataclass(frozen=True)
class Side:
    """One side of the pair: what it is called, the animal it is (None: a label), and the label used ('' if several)."""

    called: str
    animal: str | None
    label: str


@dataclass(frozen=True)
class ExpectedYoung:
    """Young that look alike: share of all surviving young; sex None where the sexes don't differ."""

    label: str
    genes: str
    sex: Sex | None
    probability: Fraction


@dataclass(frozen=True)
class ExpectedCross:
    """The expected young of one pair, likeliest first; `unlisted` classes beyond them have `unlisted_share` in all.

    `inbreeding` is F of the young where both parents are animals of the book, else None; `kin` the ancestors that both
    descend from, with their parts of it. `notes` say what was taken for granted, `welfare` and `cautions` what can hurt.
    """

    species: str
    dam: Side
    sire: Side
    young: tuple[ExpectedYoung, ...]
    unlisted: int
    unlisted_share: Fraction
    sexes_differ: bool
    lost: Fraction
    inbreeding: float | None
    kin: dict[str, float]
    notes: tuple[str, ...]
    welfare: tuple[str, ...]
    cautions: tuple[str, ...]


def cross_pair(collection: Collection, dam: str, sire: str, species: str | None = None) -> ExpectedCross:
    """Expected young of a dam and a sire, each an animal's ID or name or a label in words; shares are exact.

    More than 2,000 classes: the 40 likeliest and how many are left. Raises RequestError for an animal or species the
    book doesn't hold, a sex or species that doesn't fit, a label that can't be read or that no animal can have.
    """
    animals = {"F": _animal(collection, dam), "M": _animal(collection, sire)}
    name = _species(collection, animals.values(), species)
    catalogue = collection.catalogues[name]
    if all(gene.unsettled for gene in catalogue.genes):
        raise RequestError(
            f"The Genes sheet lists no gene of {name} that can be used; `proveout check` says what to mend."
        )
    asked = {"F": _called(dam, animals["F"]), "M": _called(sire, animals["M"])}
    breeders = {sex: _breeder(collection, catalogue, asked[sex], animals[sex], sex) for sex in ("F", "M")}
    try:
        found = cross(breeders["F"].parent, breeders["M"].parent, catalogue)
    except CrossError as error:
        raise RequestError(f"{asked['F']} x {asked['M']}: {error}.") from error
    sides = {sex: _side(asked[sex], animals[sex], breeders[sex], catalogue) for sex in ("F", "M")}
    young, unlisted, share = _expected(found, catalogue)
    f, kin = _kinship(collection, animals["F"], animals["M"])
    return ExpectedCross(
        name, sides["F"], sides["M"], young, unlisted, share, found.sexes_differ, found.lost, f, kin,
        notes=(
            *(note for sex in ("F", "M") for note in _notes(asked[sex], animals[sex], breeders[sex], catalogue)),
            *_unknown_sex_linkage(catalogue),
        ),
        welfare=_welfare(breeders.values(), catalogue),
        cautions=tuple(_cautions(collection, found, f, animals.values(), breeders.values(), catalogue)),
    )  # fmt: skip


def _animal(collection: Collection, asked: str) -> Animal | None:
    """The animal of that ID; else the one so called, unless the words are a label of some species of the book."""
    if not asked.strip():
        raise RequestError("Name a dam and a sire: an animal's ID, or a label in quotes.")
    found = with_id(collection, asked)
    return found or (None if _is_label(collection, asked) else with_name(collection, asked))


def _is_label(collection: Collection, asked: str) -> bool:
    for catalogue in collection.catalogues.values():
        with suppress(LabelError):
            read_label(asked, catalogue)
            return True
    return False


def _called(asked: str, animal: Animal | None) -> str:
    return animal.id if animal else asked.strip()


def _species(collection: Collection, animals: Iterable[Animal | None], asked: str | None) -> str:
    own: dict[str, str] = {}
    for animal in filter(None, animals):
        own.setdefault(animal.species, animal.id)
    if len(own) > 1:
        (one, first), (other, second) = own.items()
        raise RequestError(f"{first} is a {one} and {second} a {other}: a pair is of one species.")
    known = list(collection.catalogues)
    if not known:
        raise RequestError("The book names no species; fill the sheets Species and Genes.")
    if asked is not None:
        match = next((name for name in known if name.casefold() == asked.strip().casefold()), None)
        if match is None:
            raise RequestError(
                f"The book has no species {asked}{_meant(asked, known)}; give --species one of: {', '.join(known)}."
            )
        if own and match not in own:
            ((name, first),) = own.items()
            raise RequestError(f"{first} is a {name}, not a {match}.")
        return match
    if own:
        return next(iter(own))
    if len(known) != 1:
        raise RequestError(f"Say of which species with --species: {', '.join(known)}.")
    return known[0]


def _meant(asked: str, known: Iterable[str]) -> str:
    """' (nearest: X)' where something is close."""
    from rapidfuzz import fuzz, process, utils

    best = process.extractOne(
        asked, list(known), scorer=fuzz.ratio, processor=utils.default_process, score_cutoff=50
    )
    return f" (nearest: {best[0]})" if best else ""


def _breeder(
    collection: Collection, catalogue: Catalogue, asked: str, animal: Animal | None, sex: Sex
) -> Breeder:
    if animal and animal.sex not in (sex, None):
        raise RequestError(f"{animal.id} is a {SEX_WORDS[animal.sex]}, so it can't be the {_ROLES[sex]}.")
    try:
        if animal:
            return breeder(animal, sex, collection)
        return labelled_breeder(read_label(asked, catalogue), sex, catalogue)
    except LabelError as error:
        nearest = _meant(asked, (a.id for a in collection.animals.values() if a.species == catalogue.species))
        stop = "" if str(error).endswith("?") else "."
        raise RequestError(
            f"'{asked}' is no animal of the book{nearest}, and as a label: {error}{stop}"
        ) from error
    except CrossError as error:
        raise RequestError(f"The {_ROLES[sex]} {asked}: {error}.") from error


def _side(asked: str, animal: Animal | None, found: Breeder, catalogue: Catalogue) -> Side:
    label = write_label(found.taken_as, catalogue) if found.taken_as else ""
    return Side(asked, animal.id if animal else None, label)


def _expected(found: Cross, catalogue: Catalogue) -> tuple[tuple[ExpectedYoung, ...], int, Fraction]:
    """The classes to list, how many are left, and their share in all."""
    number = found.number_of_classes()
    classes = found.classes(most=None if number <= ALL_LISTED else LISTED_BEYOND)
    listed = tuple(_expected_young(entry, catalogue) for entry in classes)
    return listed, number - len(listed), 1 - sum((entry.probability for entry in listed), Fraction(0))


def _expected_young(entry: YoungClass, catalogue: Catalogue) -> ExpectedYoung:
    label, genes = (write_label(entry.statement, catalogue, morphs=morphs) for morphs in (True, False))
    return ExpectedYoung(label, genes, entry.sex, entry.probability)


def _kinship(
    collection: Collection, dam: Animal | None, sire: Animal | None
) -> tuple[float | None, dict[str, float]]:
    if dam is None or sire is None:
        return None, {}
    pedigree = Pedigree({animal.id: (animal.sire, animal.dam) for animal in collection.animals.values()})
    f = pedigree.kinship([(sire.id, dam.id)])[sire.id, dam.id]
    return f, pedigree.common_ancestors(sire.id, dam.id) if f else {}


def _notes(asked: str, animal: Animal | None, found: Breeder, catalogue: Catalogue) -> list[str]:
    notes = []
    if found.from_parents:
        notes.append(f"{asked}: what its label leaves open was taken from its recorded parents' labels.")
    notes += [
        f"{asked}: at {place} its label does not follow from its parents' labels; the label was used."
        for place in found.against_parents
    ]
    if animal and animal.sex is None:
        notes.append(f"{animal.id}: no sex is recorded; it was taken at your word.")
    alone = animal is None or not (animal.dam or animal.sire)
    for shown in found.taken_as.shows if found.taken_as and alone else ():
        if shown.copies is None and catalogue.by_name[shown.gene].inheritance is Inheritance.DOMINANT:
            notes.append(f"{asked}: {shown.gene} is taken as one copy; write 'super {shown.gene}' for two.")
    return notes + [
        f"{asked}: how {group.name} lie on its two chromosomes is not known; both ways were taken as equally likely."
        for group, weights in zip(catalogue.groups, found.parent.groups, strict=True)
        if _phase_unknown(group, weights)
    ]


def _phase_unknown(group: LinkageGroup, weights: Weights) -> bool:
    """Whether some genotype of linked loci is there in more than one phase."""
    genotypes = {tuple(genotype(d, i) for i in range(len(group.loci))) for d in weights}
    return len(genotypes) < len(weights)


def _unknown_sex_linkage(catalogue: Catalogue) -> list[str]:
    linked = [gene.name for gene in catalogue.genes if gene.sex_linked]
    if not linked or catalogue.sex_chromosomes is not SexChromosomes.UNKNOWN:
        return []
    names = ", ".join(linked)
    return [
        f"{names}: recorded as sex-linked, but the sex chromosomes of {catalogue.species} are unknown; both sexes were treated alike."
    ]


def _welfare(breeders: Iterable[Breeder], catalogue: Catalogue) -> tuple[str, ...]:
    """The welfare notes of every gene that either parent may have."""
    present = {
        locus.genes[allele - 1].name
        for found in breeders
        for group, weights in zip(catalogue.groups, found.parent.groups, strict=True)
        for diplotype in weights
        for strand in diplotype
        for locus, allele in zip(group.loci, strand, strict=True)
        if allele
    } | {line for found in breeders if found.taken_as for line in found.taken_as.lines}
    return tuple(f"{g.name}: {g.welfare}" for g in catalogue.genes if g.welfare and g.name in present)


def _cautions(
    collection: Collection,
    found: Cross,
    f: float | None,
    animals: Iterable[Animal | None],
    breeders: Iterable[Breeder],
    catalogue: Catalogue,
) -> Iterable[str]:
    if found.lost:
        yield f"Two lethal copies can meet in this pair: {found.lost} of what is conceived dies. Think twice before pairing."
    if f is not None and f > collection.settings.inbreeding_at_most:
        yield f"The young would be inbred by {halved(f)}, more than the {halved(collection.settings.inbreeding_at_most)} set as the most."
    for animal in filter(None, animals):
        if animal.status in ("died", "sold"):
            yield f"{animal.id} is recorded as {animal.status}."
