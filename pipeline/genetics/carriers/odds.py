"""Carrier odds: each animal and gene of a collection, from its ancestors and after all young are counted."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from pipeline.genetics.carriers.ancestors import states_from_ancestors
from pipeline.genetics.carriers.clashes import Clash
from pipeline.genetics.carriers.evidence import readable
from pipeline.genetics.carriers.families import Family
from pipeline.genetics.carriers.scores import Scores
from pipeline.genetics.carriers.solving import Solved, solve
from pipeline.genetics.carriers.spaces import Kind, Space
from pipeline.genetics.collection import Animal, Collection, Outcome
from pipeline.genetics.genes import Gene, Inheritance, Locus
from pipeline.genetics.statements import Statement

PROVED = 0.99
"""An animal is settled as a carrier from this probability on."""
RULED_OUT = 0.02
"""An animal is settled as no carrier up to this probability, or twice the background where that is more."""
STEPS = ((1.0, 0.945), (2 / 3, 0.6), (1 / 2, 0.45))
"""What the trade writes ('100% het', '66% het', '50% het'; common practice, no source) and the least odds of it."""
TANGLED = "too tangled"


@dataclass(frozen=True)
class CarrierOdds:
    """One animal and one gene.

    `from_ancestors` is P(at least one copy) by pedigree and labels alone; `p_none`, `p_one`, `p_two` after all
    records are weighed; NaN where nothing could be done with a tangled pedigree. `label` is what may honestly be written: the name of
    what shows, '100% het', '66% het', '50% het', or nothing. `young_scored` are young whose looks speak of the animal at
    that gene. `settled` is proved, ruled out or open. `method`: exact, clutch by clutch, sampled, or too tangled.
    """

    species: str
    animal: str
    gene: str
    from_ancestors: float
    p_none: float
    p_one: float
    p_two: float
    label: str
    young_scored: int
    settled: str
    method: str


@dataclass(frozen=True)
class Carriers:
    """The odds of a collection, the records that clash, and the families as solved."""

    odds: tuple[CarrierOdds, ...]
    clashes: tuple[Clash, ...]
    solved: tuple[Solved, ...]


def carriers(collection: Collection) -> Carriers:
    """Carrier odds of every animal and gene, with what stood in the way."""
    solved = solve(collection)
    odds = [entry for family in solved for entry in _family_odds(family, collection)]
    place = {animal: i for i, animal in enumerate(collection.animals)}
    order = {
        (species, gene.name): i
        for species, catalogue in collection.catalogues.items()
        for i, gene in enumerate(catalogue.genes)
    }
    odds.sort(key=lambda entry: (place[entry.animal], order[entry.species, entry.gene]))
    return Carriers(tuple(odds), tuple(c for family in solved for c in family.clashes), solved)


def carrier_odds(collection: Collection) -> tuple[CarrierOdds, ...]:
    """Carrier odds of every animal and gene, animals in the book's order."""
    return carriers(collection).odds


def trade_label(chance: float) -> str:
    """How the trade writes a hidden gene of that probability; nothing where it is too little to be worth a claim."""
    for claim, least in STEPS:
        if chance >= least:
            return {1.0: "100% het", 2 / 3: "66% het", 1 / 2: "50% het"}[claim]
    return ""


def least_for(claim: Fraction | None) -> float:
    """The least probability that bears out a claim: STEPS for certainty, nine tenths of a percentage; 10 % for 'possible'."""
    if claim is None:
        return 0.1
    return STEPS[0][1] if claim == 1 else 0.9 * float(claim)


def claimed_chance(label: Statement | None, gene: str) -> Fraction | None | bool:
    """The probability a label claims of a hidden gene (None: 'possible'); False where it claims none."""
    for claim in label.carries if label else ():
        if claim.gene == gene:
            return claim.probability
    return False


def _family_odds(solved: Solved, collection: Collection) -> Iterator[CarrierOdds]:
    family = solved.family
    scored = _young_scored(family, collection)
    threshold = max(RULED_OUT, 2 * collection.settings.background_carrier)
    if solved.posterior is None:
        parts = [
            (Scores(family, stack, collection.settings, family.parents), None) for stack in solved.stacks
        ]
        method = TANGLED
    else:
        parts, method = [(s, i) for i, s in enumerate(solved.posterior.scores)], solved.posterior.method
    for scores, i in parts:
        before = states_from_ancestors(scores)
        for g, space in enumerate(scores.stack.spaces):
            for position, allele, gene in _genes(space):
                copies = {kind: _Copies.of(space, kind, position, allele) for kind in Kind}
                locus = space.group.loci[position].name
                for animal in family.animals.values():
                    told = i is not None and solved.posterior.told(animal.id, i)[g]
                    yield _odds(
                        animal,
                        gene,
                        copies[scores.kind_of(animal.id)],
                        before[animal.id][g] if animal.id in before else None,
                        solved.posterior.states[animal.id][i][g] if told else None,
                        scored.get((animal.id, locus), 0),
                        threshold,
                        method if told else TANGLED,
                    )


def _genes(space: Space) -> Iterator[tuple[int, int, Gene]]:
    """Every gene of a linkage group: its locus's position, its allele, itself."""
    for position, locus in enumerate(space.group.loci):
        for allele, gene in enumerate(locus.genes, start=1):
            yield position, allele, gene


@dataclass(frozen=True)
class _Copies:
    """Per state of one kind: copies of a gene, and whether it shows."""

    count: np.ndarray
    shows: np.ndarray

    @classmethod
    def of(cls, space: Space, kind: Kind, position: int, allele: int) -> "_Copies":
        return cls(space.copies(kind, position, allele), space.shows(kind, position, allele))


def _odds(
    animal: Animal,
    gene: Gene,
    copies: _Copies,
    before: np.ndarray | None,
    after: np.ndarray | None,
    scored: int,
    threshold: float,
    method: str,
) -> CarrierOdds:
    nan = float("nan")
    ancestors = nan if before is None else float(before[copies.count > 0].sum())
    if after is None:
        return CarrierOdds(
            animal.species, animal.id, gene.name, ancestors, nan, nan, nan, "", scored, "open", method
        )
    none, one, two = (float(after[copies.count == n].sum()) for n in range(3))
    shown = float(after[copies.shows].sum())
    if shown >= 0.5:
        doubled = two >= STEPS[0][1] and gene.inheritance is not Inheritance.RECESSIVE
        label = gene.super_name if doubled else gene.name
    else:
        label = trade_label(one + two)
    settled = "proved" if one + two >= PROVED else "ruled out" if one + two <= threshold else "open"
    return CarrierOdds(
        animal.species, animal.id, gene.name, ancestors, none, one, two, label, scored, settled, method
    )


def _young_scored(family: Family, collection: Collection) -> Mapping[tuple[str, str], int]:
    """Young that could be read, by parent and locus."""
    loci = collection.catalogues[family.species].loci
    counts: dict[tuple[str, str], int] = {}

    def count(parents: tuple[str, ...], locus: Locus, young: int) -> None:
        """Adds so many young to each parent's count."""
        for parent in parents:
            counts[parent, locus.name] = counts.get((parent, locus.name), 0) + young

    for locus in loci:
        for clutch in family.clutches:
            parents = (clutch.dam, *clutch.recorded)
            for young in clutch.tallies:
                looked = young.label is not None and young.outcome is not Outcome.SLUG
                if looked and readable(locus, young.unreadable):
                    count(parents, locus, young.count)
            count(parents, locus, sum(_looked_at(family, child, locus) for child in clutch.children))
        for half in family.halves:
            count((half.parent,), locus, int(_looked_at(family, half.animal, locus)))
    return counts


def _looked_at(family: Family, animal: str, locus: Locus) -> bool:
    if family.animals[animal].label is not None:
        return True
    look = family.looks.get(animal)
    return look is not None and look.label is not None and readable(locus, look.unreadable)
