"""Carrier odds: each animal and gene of a collection, from its ancestors and after all young are counted."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from math import isnan
from typing import Literal

import numpy as np

from pipeline.genetics.carriers.ancestors import states_from_ancestors
from pipeline.genetics.carriers.clashes import Clash
from pipeline.genetics.carriers.evidence import readable
from pipeline.genetics.carriers.families import Family
from pipeline.genetics.carriers.posterior import Posterior
from pipeline.genetics.carriers.scores import Scores
from pipeline.genetics.carriers.solving import Solved, solve
from pipeline.genetics.carriers.spaces import Kind, Space
from pipeline.genetics.collection import Animal, Collection, Outcome, Settings
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
    `doubt` says in words which record besides the animal's own is likely enough wrong to matter.
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
    doubt: str = ""


Numbers = Mapping[str, np.ndarray]
"""By gene what is known of a family's animals, as `copies_of` has it."""


@dataclass(frozen=True)
class Told:
    """What is to be told of one family: its numbers, and by animal and gene what makes them doubtful, in words."""

    numbers: Numbers
    doubt: Callable[[str, str], str] = lambda animal, gene: ""


@dataclass(frozen=True)
class Carriers:
    """The odds of a collection, the records that clash, and the families as solved with every gene record right."""

    odds: tuple[CarrierOdds, ...]
    clashes: tuple[Clash, ...]
    solved: tuple[Solved, ...]

    @cached_property
    def family_of(self) -> Mapping[str, Solved]:
        """The family of each animal."""
        return {animal: own for own in self.solved for animal in own.family.animals}

    @cached_property
    def clutches_of(self) -> Mapping[str, list[tuple[Solved, int]]]:
        """The clutches of each pairing: their family, and each one's place among its clutches."""
        found: dict[str, list[tuple[Solved, int]]] = {}
        for own in self.solved:
            for place, clutch in enumerate(own.family.clutches):
                found.setdefault(str(clutch.key[0]), []).append((own, place))
        return found


def carriers(
    collection: Collection,
    told: Callable[[Solved], Told] | None = None,
    solved: tuple[Solved, ...] | None = None,
) -> Carriers:
    """Carrier odds of every animal and gene, with what stood in the way.

    `told` has the numbers of each family; by default those with every gene record right and every clutch sired.
    `solved` is what `solve` gave, where it is known already.
    """
    solved = solve(collection) if solved is None else solved
    told = told or (lambda own: Told(copies_of(own, collection.settings, tuple(own.family.animals))))
    odds = [entry for own in solved for entry in _family_odds(own, collection, told(own))]
    place = {animal: i for i, animal in enumerate(collection.animals)}
    order = {
        (species, gene.name): i
        for species, catalogue in collection.catalogues.items()
        for i, gene in enumerate(catalogue.genes)
    }
    odds.sort(key=lambda entry: (place[entry.animal], order[entry.species, entry.gene]))
    return replace(carriers_untold(solved), odds=tuple(odds))


def carriers_untold(solved: tuple[Solved, ...]) -> Carriers:
    """The families as solved, no odds told: all that a plan needs."""
    return Carriers((), tuple(c for family in solved for c in family.clashes), solved)


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


def claimed_chance(label: Statement | None, gene: str) -> Fraction | Literal[False] | None:
    """The probability a label claims of a hidden gene (None: 'possible'); False where it claims none."""
    for claim in label.carries if label else ():
        if claim.gene == gene:
            return claim.probability
    return False


def copies_of(solved: Solved, settings: Settings, animals: Sequence[str]) -> Numbers:
    """What one way of weighing a family says of some of its animals.

    By gene an array, animals x (at least one copy by ancestors, none, one, two copies, shows it); NaN where unknown.
    """
    posterior, family = solved.posterior, solved.family
    if posterior is None:
        own = [Scores(family, stack, settings, family.parents) for stack in solved.stacks]
        return {gene: table for scores in own for gene, table in _counted(scores, animals, None, 0)}
    return {
        gene: table
        for part, scores in enumerate(posterior.scores)
        for gene, table in _counted(scores, animals, posterior, part)
    }


def _counted(
    scores: Scores, animals: Sequence[str], posterior: Posterior | None, part: int
) -> Iterator[tuple[str, np.ndarray]]:
    """The numbers of every gene of one Scores; animals of one kind side by side."""
    before = states_from_ancestors(scores)
    shape = (len(scores.stack.spaces), len(animals))
    ancestors = [(np.full((*shape, scores.stack.size(kind)), np.nan)) for kind in Kind]
    after = [own.copy() for own in ancestors]
    kinds = np.array([list(Kind).index(scores.kind_of(animal)) for animal in animals], dtype=np.intp)
    for row, (animal, kind) in enumerate(zip(animals, kinds, strict=True)):
        if animal in before:
            ancestors[kind][:, row] = before[animal]
        if posterior is not None:
            told = posterior.told(animal, part)
            after[kind][told, row] = posterior.states[animal][part][told]
    for g, space in enumerate(scores.stack.spaces):
        for position, allele, gene in _genes(space):
            table = np.full((len(animals), 5), np.nan)
            for place, kind in enumerate(Kind):
                rows = kinds == place
                if rows.any():
                    own = _Copies.of(space, kind, position, allele)
                    table[rows, 0] = ancestors[place][g, rows] @ (own.count > 0)
                    table[rows, 1:] = after[place][g, rows] @ own.columns
            yield gene.name, np.clip(table, 0, 1)  # rounding alone takes a sum beyond


def _family_odds(solved: Solved, collection: Collection, told: Told) -> Iterator[CarrierOdds]:
    family, known = solved.family, told.numbers
    scored = _young_scored(family, collection)
    threshold = max(RULED_OUT, 2 * collection.settings.background_carrier)
    method = TANGLED if solved.posterior is None else solved.posterior.method
    for gene, locus in collection.catalogues[family.species].locus_of.items():
        own = locus.genes[locus.allele(gene) - 1]
        for animal, row in zip(family.animals.values(), known[gene].tolist(), strict=True):
            young = scored.get((animal.id, locus.name), 0)
            doubt = told.doubt(animal.id, gene)
            yield _odds(animal, own, row, young, threshold, TANGLED if isnan(row[1]) else method, doubt)


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

    @property
    def columns(self) -> np.ndarray:
        """States x (none, one, two copies, shows)."""
        return np.stack([*(self.count == n for n in range(3)), self.shows], axis=1).astype(float)


def _odds(
    animal: Animal, gene: Gene, row: Sequence[float], scored: int, threshold: float, method: str, doubt: str
) -> CarrierOdds:
    ancestors, none, one, two, shown = row
    named = (animal.species, animal.id, gene.name, ancestors, none, one, two)
    if isnan(none):
        return CarrierOdds(*named, "", scored, "open", method, doubt)
    if shown >= 0.5:
        doubled = two >= STEPS[0][1] and gene.inheritance is not Inheritance.RECESSIVE
        label = gene.super_name if doubled else gene.name
    else:
        label = trade_label(one + two)
    settled = "proved" if one + two >= PROVED - 1e-9 else "ruled out" if one + two <= threshold else "open"
    return CarrierOdds(*named, label, scored, settled, method, doubt)


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
