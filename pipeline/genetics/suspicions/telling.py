"""Which loci speak for another sire of a clutch, and how loudly."""

from collections.abc import Mapping

from pipeline.genetics.carriers.network import TooTangled
from pipeline.genetics.carriers.solving import as_recorded, family_evidence
from pipeline.genetics.carriers.stacks import error_of, stacks
from pipeline.genetics.collection import Animal, Settings
from pipeline.genetics.genes import Locus
from pipeline.genetics.suspicions.alternatives import part_of
from pipeline.genetics.suspicions.answer import NOBODY, Suspicion
from pipeline.genetics.suspicions.faults import Structures
from pipeline.genetics.suspicions.unsired import without_sire


def telling_loci(
    suspicion: Suspicion, own: Structures, settings: Settings, animals: Mapping[str, Animal]
) -> list[tuple[Locus, float]]:
    """Loci at which the likeliest sire explains the records better than the recorded one: (locus, ln ratio), best first."""
    family = own.families[suspicion.family]
    k = [clutch.key for clutch in family.clutches].index(suspicion.known_clutch.key)
    male = suspicion.likeliest_male
    recorded = as_recorded(family)
    other = as_recorded(without_sire(family, k)) if male == NOBODY else recorded
    sires = {} if male == NOBODY else {k: male}
    found = []
    for locus in own.catalogue.loci:
        part = part_of(own.catalogue, [gene.name for gene in locus.genes])
        loci = stacks(part, settings)
        guests = {}
        if male is not None and male in animals and male not in family.animals:
            row = animals[male]
            guests[male] = tuple(
                s.founder(row.label, error_of(row.basis, settings), s.kind("M")) for s in loci
            )
        try:
            gain = family_evidence(other, loci, settings, sires, guests) - family_evidence(
                recorded, loci, settings, {}
            )
        except TooTangled:
            continue
        found.append((locus, gain))
    return sorted(found, key=lambda entry: -entry[1])
