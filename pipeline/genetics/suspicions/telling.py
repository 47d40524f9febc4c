"""Which loci speak for another sire of a clutch, and how loudly."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress

import numpy as np

from pipeline.genetics.carriers.network import TooTangled
from pipeline.genetics.carriers.solving import as_recorded, group_evidence
from pipeline.genetics.carriers.stacks import Stack, error_of, stacks
from pipeline.genetics.collection import Animal, Settings
from pipeline.genetics.genes import Locus
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
    guest = None if male is None or male in family.animals else animals.get(male)

    def gains(shapes: Sequence[Stack]) -> Iterator[tuple[str, float]]:
        """By locus; of linked loci that of all together."""
        guests = {}
        if guest is not None:
            error = error_of(guest.basis, settings)
            guests[guest.id] = tuple(s.founder(guest.label, error, s.kind("M")) for s in shapes)
        after = group_evidence(other, shapes, settings, sires, guests)
        before = group_evidence(recorded, shapes, settings, {})
        for shape, one, two in zip(shapes, after, before, strict=True):
            # what neither allows tells nothing
            more = np.subtract(one, two, out=np.zeros_like(one), where=one != two)
            for space, gain in zip(shape.spaces, more, strict=True):
                yield from ((locus.name, float(gain)) for locus in space.group.loci)

    shapes = stacks(own.catalogue, settings)
    try:
        found = dict(gains(shapes))
    except TooTangled:
        found = {}
        for space in (space for shape in shapes for space in shape.spaces):
            with suppress(TooTangled):
                found |= dict(gains((Stack((space,), settings),)))
    told = [(locus, found[locus.name]) for locus in own.catalogue.loci if locus.name in found]
    return sorted(told, key=lambda entry: -entry[1])
