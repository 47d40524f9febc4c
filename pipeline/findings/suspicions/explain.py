"""Each suspicion in plain words: its subject, what was recorded, what is likelier, and its rivals."""

from dataclasses import dataclass, field

from pipeline.findings.shares import percent
from pipeline.genetics.carriers.families import Family
from pipeline.genetics.collection import Collection
from pipeline.genetics.genes import Catalogue, Locus
from pipeline.genetics.labels import write_label
from pipeline.genetics.suspicions.alternatives import Alternative, Fault
from pipeline.genetics.suspicions.answer import NOBODY, Rival, Suspect, Suspicion
from pipeline.genetics.suspicions.faults import Structures
from pipeline.genetics.suspicions.records import AS_WRITTEN
from pipeline.genetics.suspicions.telling import telling_loci

TELLS = 1.0
"""A locus is told of where it makes the other sire at least e times likelier."""
MOST_LOCI = 3
LEAST = 0.01
"""Explanations less likely than this are pooled."""


@dataclass(frozen=True)
class Case:
    """One suspicion with what its words need."""

    suspicion: Suspicion
    structures: Structures
    collection: Collection
    loci: tuple[Locus, ...] = field(default=())

    @property
    def catalogue(self) -> Catalogue:
        """The genes as recorded, before any fault is assumed."""
        return self.structures.catalogue

    @property
    def family(self) -> Family:
        """The animals and clutches among which the fault lies."""
        return self.structures.families[self.suspicion.family]

    @property
    def genes(self) -> tuple[str, ...]:
        """The genes that tell."""
        return tuple(gene.name for locus in self.loci for gene in locus.genes)


def case_of(suspicion: Suspicion, own: Structures, collection: Collection) -> Case:
    """A suspicion made ready; finds the loci that tell, none where all are too tangled to say."""
    catalogue = own.catalogue
    if suspicion.kind is Suspect.PARENTAGE:
        told = telling_loci(suspicion, own, collection.settings, collection.animals)
        loud = sum(gain > TELLS for _, gain in told[:MOST_LOCI])
        loci = tuple(locus for locus, _ in told[: max(1, loud)])
    elif suspicion.kind is Suspect.LABEL:
        loci = (catalogue.locus_of[suspicion.known_gene],)
    else:
        loci = tuple(dict.fromkeys(catalogue.locus_of[gene] for gene in suspicion.genes))
    return Case(suspicion, own, collection, loci)


def pairing(case: Case) -> str | None:
    """The pairing concerned, if one is."""
    own = case.suspicion
    if own.clutch is not None:
        return str(own.clutch.key[0]) or None
    look = case.family.looks.get(own.known_animal) if own.kind is Suspect.READING else None
    return look.pairing if look else None


def gene(case: Case) -> str | None:
    """The gene or genes concerned."""
    own = case.suspicion
    if own.kind is Suspect.LABEL:
        return own.gene
    return ", ".join(own.genes or case.genes) or None


def recorded(case: Case) -> str:
    """What the book says."""
    own = case.suspicion
    if own.kind is Suspect.GENE_RECORD:
        return "; ".join(_record_words(case, name) for name in own.genes)
    if own.kind is Suspect.PARENTAGE:
        return f"sired by {' or '.join(own.known_clutch.recorded) or 'a male not recorded'}"
    if own.young is not None:
        return f"{own.young.count} {write_label(own.young.known_label, case.catalogue)}"
    label = case.family.animals[own.known_animal].label
    return write_label(label or case.family.looks[own.known_animal].known_label, case.catalogue)


def likelier(case: Case) -> str:
    """What is likelier than the record, in words."""
    own = case.suspicion
    if own.kind is Suspect.GENE_RECORD:
        return _alternative_words(case, own.alternatives[0][0])
    words = next((words for words, _, as_recorded in explanations(case) if not as_recorded), "something else")
    return f"sired by {words}" if own.kind is Suspect.PARENTAGE and not own.unsired else words


def rivals(case: Case) -> list[tuple[str, float]]:
    """Every explanation with its probability, likeliest first: the record's own always, others below 1 % pooled."""
    found = explanations(case)
    record = next((words for words, _, as_recorded in found if as_recorded), None)
    told = [(words, chance) for words, chance, _ in found if chance >= LEAST or words == record]
    told.sort(key=lambda pair: -pair[1])
    rest = 1 - sum(chance for _, chance in told)
    return [*told, ("anything else", rest)] if rest >= LEAST / 2 else told


def explanations(case: Case) -> list[tuple[str, float, bool]]:
    """Words, probability, and whether the record would be right; likeliest first within each of the two."""
    own = case.suspicion
    if own.kind is Suspect.GENE_RECORD:
        return [(_alternative_words(case, key), chance, key is None) for key, chance in own.rivals]
    if own.kind is Suspect.PARENTAGE:
        return [
            (_sire_words(case, key), chance, key in own.known_clutch.recorded) for key, chance in own.rivals
        ]
    if own.kind is Suspect.LABEL:
        return [(str(key), chance, str(key).endswith(AS_WRITTEN)) for key, chance in own.rivals]
    if own.young is not None and own.young.count > 1:
        told = [(f"about {own.expected:.0f} of them: {own.rivals[0][0]}", own.probability, False)]
        return [*told, ("all as read", 1 - own.probability, True)]
    return [
        *((str(key), chance, False) for key, chance in own.rivals),
        ("as read", 1 - own.probability, True),
    ]


def _record_words(case: Case, name: str) -> str:
    record, locus = case.catalogue.by_name[name], case.catalogue.locus_of[name]
    words = f"{name} {record.inheritance.value}"
    if len(locus.genes) > 1:
        words += f", an allele of {' and '.join(g.name for g in locus.genes if g.name != name)}"
    return f"{words}, two copies lethal" if record.lethal else words


def _alternative_words(case: Case, own: Rival) -> str:
    if not isinstance(own, Alternative):
        return "as recorded"
    value = case.suspicion.value
    if value is None or own is not case.suspicion.alternatives[0][0]:
        return own.says
    if own.fault is Fault.LINKED:
        return f"{own.says} (they part in about {percent(value)} of eggs and sperm)"
    return f"{own.says} (about {percent(value)})"


def _sire_words(case: Case, male: object) -> str:
    if male is None:
        return "a male not in the book"
    if male == NOBODY:
        return "no sire at all (young of an unmated female)"
    mate = _earlier_mate(case, str(male))
    return f"{male}, {mate}" if mate else str(male)


def _earlier_mate(case: Case, male: str) -> str:
    """'her mate of 2025' where the dam was paired with the male before."""
    own = case.suspicion.known_clutch
    this = case.collection.pairings.get(str(own.key[0]))
    seasons = [
        p.season
        for p in case.collection.pairings.values()
        if p.dam == own.dam and male in (p.sire, *p.other_sires) and (this is None or p.season < this.season)
    ]
    return f"her mate of {max(seasons)}" if seasons and male not in own.recorded else ""
