"""A quick look at one structural fault: by how much it makes the records likelier with every clutch's sire given.

Two assignments of sires are tried, the recorded ones and the likeliest as solved; the better of the two stands for
the sum over all. It is a screen: what passes is weighed in full.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import inf

from pipeline.genetics.carriers.families import Candidate, Family
from pipeline.genetics.carriers.network import TooTangled
from pipeline.genetics.carriers.posterior import Posterior
from pipeline.genetics.carriers.solving import as_recorded, family_evidence
from pipeline.genetics.carriers.stacks import error_of, stacks
from pipeline.genetics.collection import Settings
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


def quick_evidence(
    stated: Sequence[Family], recorded: Catalogue, part: Catalogue, settings: Settings, males: Mapping
) -> float:
    """ln P(the records | a part of a catalogue), at the best of some assignments of sires to one family's clutches.

    `males`: the animals that may be another family's. -inf where it is too tangled.
    """
    wording = Wording(recorded, part)
    own = stacks(part, settings)
    best = -inf
    for family in stated:
        said = wording.family(family)
        abroad = {c.male for clutch in said.clutches for c in clutch.candidates if c.male is not None}
        guests = {}
        for male in abroad - said.animals.keys():
            row, kind = males[male], [stack.kind("M") for stack in own]
            error = error_of(row.basis, settings)
            label = wording.statement(row.label)
            guests[male] = tuple(s.founder(label, error, k) for s, k in zip(own, kind, strict=True))
        try:
            found = family_evidence(said, part, settings, {}, guests)
        except TooTangled:
            return -inf
        found += impossible_looks(said, part, settings) + wording.coarse_looks(said, part)
        best = max(best, found)
    return best


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
