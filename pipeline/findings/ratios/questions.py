"""The questions put to the young: for each clutch and pairing, gene by gene and all genes jointly."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property
from math import prod

import numpy as np

from pipeline.findings.ratios.distributions import Distribution, Distributions, Readable, YoungKind
from pipeline.findings.ratios.nulls import Nulls, Place, sires
from pipeline.findings.ratios.readings import Looks, Readings, pooled
from pipeline.findings.ratios.resolutions import Group, Resolution, groups_of, resolutions
from pipeline.findings.ratios.testing import Block, Case
from pipeline.genetics.collection import Pairing

MOST_CLASSES = 4_096
"""Classes up to which genes are tested jointly: no keeper has the young to fill more."""


class Scope(StrEnum):
    """Whose young a test is about."""

    CLUTCH = "clutch"
    PAIRING = "pairing"
    GENE = "gene"


@dataclass(frozen=True)
class Tally:
    """Young that could be read at the same loci, counted by class."""

    readable: Readable
    by_sex: bool
    counts: Mapping[YoungKind, int]


@dataclass(frozen=True, eq=False)
class Question:
    """Do these young fit these loci's ratio? `joint` is true where it is asked of all loci at once.

    `pairing` is empty for scope gene, `clutch` None but for scope clutch.
    """

    species: str
    scope: Scope
    pairing: str
    clutch: int | None
    groups: tuple[Group, ...]
    joint: bool
    alone: bool
    """Whether this is the only gene of its pairing that segregates, so that the joint question is the same one."""
    tallies: tuple[Tally, ...]
    resolutions: tuple[Resolution, ...]
    left_out: int = 0
    """Scope gene: young of pairings whose labels leave more than one ratio (see pooling.py)."""

    @cached_property
    def loci(self) -> tuple[int, ...]:
        """The loci asked about, by their number in the catalogue, in the order of every class's looks."""
        return tuple(locus for _, _, own in self.groups for locus in own)

    @property
    def asks(self) -> tuple[str, int | None, tuple[int, ...]]:
        """What is asked: questions alike in it differ in nothing that their answer rests on."""
        return self.pairing, self.clutch, self.loci

    @cached_property
    def n(self) -> int:
        """Young that could be read at one of the loci at least."""
        return sum(sum(tally.counts.values()) for tally in self.tallies)


@dataclass(frozen=True)
class Split:
    """A tally under one resolution: counts of its possible classes, and the young that it says can't be."""

    tally: Tally
    distribution: Distribution
    counts: np.ndarray
    impossible: Mapping[YoungKind, int]

    @property
    def block(self) -> Block:
        """The possible young as one multinomial."""
        return Block(self.counts, self.distribution.probabilities, self.distribution.ratio)


def questions(nulls: Nulls, young: Mapping[str, Mapping[int, Readings]]) -> Iterator[Question]:
    """Every question that the young of a collection can be asked, pairing by pairing.

    Loci that don't segregate are left out, and pairings with a parent of which nothing is known; so many genes that they
    make more than `MOST_CLASSES` classes are asked about one by one alone.
    """
    for name, clutches in young.items():
        pairing = nulls.collection.pairings[name]
        if nulls.testable(pairing):
            yield from _of_pairing(nulls, pairing, clutches)


def _of_pairing(nulls: Nulls, pairing: Pairing, clutches: Mapping[int, Readings]) -> Iterator[Question]:
    together = pooled(clutches.values())
    young = dict[int | None, Readings]([*clutches.items(), (None, together)])
    places = [place for place in nulls.places(pairing.species) if segregates(nulls, pairing, place, together)]
    alone = len(places) == 1
    single = [one for place in places for one in _about([place], nulls, pairing, young, alone=alone)]
    yield from single
    jointly = single if alone else _about(places, nulls, pairing, young, alone=False)
    yield from (replace(question, joint=True) for question in jointly)


def _about(
    places: Sequence[Place],
    nulls: Nulls,
    pairing: Pairing,
    young: Mapping[int | None, Readings],
    *,
    alone: bool,
) -> Iterator[Question]:
    """The questions about these loci, of each clutch's young and of all together (None)."""
    groups = groups_of(places)
    found = resolutions(nulls, pairing, groups, young[None])
    if not found or max(map(_classes, found)) > MOST_CLASSES:
        return
    for clutch, seen in young.items():
        if tallies := _tallies(groups, found, seen):
            scope = Scope.PAIRING if clutch is None else Scope.CLUTCH
            yield Question(pairing.species, scope, pairing.id, clutch, groups, False, alone, tallies, found)


def _classes(resolution: Resolution) -> int:
    """Joint classes of young, of both sexes together where these differ."""
    sexes = 2 if any(expectation.sexed for expectation in resolution.expectations) else 1
    return sexes * prod(max(map(len, expectation.looks)) for expectation in resolution.expectations)


def segregates(nulls: Nulls, pairing: Pairing, place: Place, young: Readings) -> bool:
    """Whether the young should differ at a locus under some resolution, or do so against all of them."""
    expected = {
        expectation
        for sire in sires(pairing)
        for expectation in nulls.group_expectations(pairing, sire, place.group, (place.position,))
    }
    seen = {reading.looks[place.locus] for reading in young} - {None}
    if not seen or not expected:
        return False
    alike = {expectation.looks[0][0][0][0] for expectation in expected if expectation.single}
    return len(alike) != 1 or any(not e.single for e in expected) or seen != alike


def _tallies(groups: Sequence[Group], found: Sequence[Resolution], young: Readings) -> tuple[Tally, ...]:
    sexed = any(expectation.sexed for resolution in found for expectation in resolution.expectations)
    asked = tuple(locus for _, _, loci in groups for locus in loci)
    whole = tuple(tuple(range(len(loci))) for _, _, loci in groups)
    counted: dict[tuple[Readable, bool], Counter[YoungKind]] = {}
    for reading, count in young.items():
        seen = tuple(map(reading.looks.__getitem__, asked))
        looks, readable = seen, whole
        if None in seen:
            looks = tuple(look for look in seen if look is not None)
            readable = _readable(groups, reading.looks)
        if looks:
            by_sex = sexed and reading.sex is not None
            kind = YoungKind(reading.sex if by_sex else None, looks)
            counted.setdefault((readable, by_sex), Counter())[kind] += count
    return tuple(Tally(readable, by_sex, counts) for (readable, by_sex), counts in sorted(counted.items()))


def _readable(groups: Sequence[Group], looks: Looks) -> Readable:
    """The loci of each group, by their place in it, that could be read."""
    return tuple(
        tuple([at for at, locus in enumerate(loci) if looks[locus] is not None]) for _, _, loci in groups
    )


def splits(question: Question, resolution: Resolution, distributions: Distributions) -> tuple[Split, ...]:
    """The tallies of a question under one resolution."""
    found = []
    for tally in question.tallies:
        distribution = distributions.of(resolution.expectations, tally.readable, by_sex=tally.by_sex)
        counts = np.zeros(len(distribution.classes))
        impossible = {}
        for kind, count in tally.counts.items():
            position = distribution.index.get(kind)
            if position is None:
                impossible[kind] = count
            else:
                counts[position] = count
        found.append(Split(tally, distribution, counts, impossible))
    return tuple(found)


def case(parts: Sequence[Split]) -> Case:
    """The possible young of a question under one resolution, ready to be tested."""
    return tuple(part.block for part in parts if part.counts.any())
