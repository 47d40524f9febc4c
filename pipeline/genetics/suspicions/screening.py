"""A quick look at one structural fault: by how much it makes the records likelier with every clutch's sire given.

Two assignments of sires are tried, the recorded ones and the likeliest as solved; the better of the two stands for
the sum over all. It is a screen: what passes is weighed in full.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import inf

import numpy as np

from pipeline.genetics.carriers.families import Candidate, Family
from pipeline.genetics.carriers.network import TooTangled
from pipeline.genetics.carriers.posterior import Posterior
from pipeline.genetics.carriers.solving import as_recorded, family_evidence
from pipeline.genetics.carriers.stacks import error_of, stacks
from pipeline.genetics.collection import Animal, Settings
from pipeline.genetics.genes import Catalogue
from pipeline.genetics.suspicions.rewording import Wording, impossible_looks


def as_solved(family: Family, posterior: Posterior | None) -> Family:
    """The family with every clutch sired by its likeliest candidate."""
    if posterior is None:
        return as_recorded(family)
    clutches = []
    for clutch, chances in zip(family.clutches, posterior.sires, strict=True):
        best = clutch.candidates[int(chances.argmax())]
        clutches.append(replace(clutch, candidates=(Candidate(best.male, 1.0, best.recorded),)))
    return replace(family, clutches=tuple(clutches))


class QuickLook:
    """A part of a catalogue, ready to be asked of one family after another. `males`: every animal of the book by ID."""

    def __init__(
        self, recorded: Catalogue, part: Catalogue, settings: Settings, males: Mapping[str, Animal]
    ) -> None:
        self._part, self._settings, self._males = part, settings, males
        self._wording = Wording(recorded, part)
        self._stacks = stacks(part, settings)

    def evidence(self, stated: Sequence[Family]) -> float:
        """ln P(a family's records), at the best of some assignments of sires to its clutches. -inf: too tangled."""
        said = [self._wording.family(family) for family in stated]
        return max(self._evidence(family) for family in said)

    def _evidence(self, family: Family) -> float:
        try:
            found = family_evidence(family, self._stacks, self._settings, {}, self._guests(family))
        except TooTangled:
            return -inf
        return (
            found
            + impossible_looks(family, self._part, self._settings)
            + self._wording.coarse_looks(family, self._part)
        )

    def _guests(self, family: Family) -> dict[str, tuple[np.ndarray, ...]]:
        """Males of other families as their own labels have them."""
        abroad = (
            {c.male for clutch in family.clutches for c in clutch.candidates} - family.animals.keys() - {None}
        )
        guests = {}
        for male in abroad:
            label = self._wording.statement(self._males[male].label)
            error = error_of(self._males[male].basis, self._settings)
            guests[male] = tuple(s.founder(label, error, s.kind("M")) for s in self._stacks)
        return guests


def played_together(family: Family, catalogue: Catalogue) -> frozenset[tuple[str, str]]:
    """Pairs of loci, named in the catalogue's order, of which the records of one clutch, its parents and theirs name both."""
    locus_of = {gene: locus.name for gene, locus in catalogue.locus_of.items()}
    place = {locus.name: i for i, locus in enumerate(catalogue.loci)}
    pairs: set[tuple[str, str]] = set()
    for clutch in family.clutches:
        near = [family.animals[name] for name in (clutch.dam, *clutch.recorded, *clutch.children)]
        up = {name for row in near for name in (row.dam, row.sire) if name in family.animals}
        rows = near + [family.animals[name] for name in up]
        labels = [row.label for row in rows if row.label] + [y.label for y in clutch.tallies if y.label]
        loci = {locus_of[g] for label in labels for g in label.genes() if g in locus_of}
        ordered = sorted(loci, key=place.__getitem__)
        pairs |= {(a, b) for i, a in enumerate(ordered) for b in ordered[i + 1 :]}
    return frozenset(pairs)
