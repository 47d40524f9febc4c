"""From a collection to the posterior of every family: exact wherever that can be done, and said where not."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pipeline.genetics.carriers.channels import summed_by_clutch
from pipeline.genetics.carriers.clashes import Clash, consistent_scores
from pipeline.genetics.carriers.families import Family, families
from pipeline.genetics.carriers.network import Direct, Guest, Sire, TooTangled, network
from pipeline.genetics.carriers.posterior import Contradiction, Posterior
from pipeline.genetics.carriers.scores import Scores
from pipeline.genetics.carriers.sires import CROWD, Candidate, crowd_of
from pipeline.genetics.carriers.stacks import Stack, stacks
from pipeline.genetics.carriers.structures import FULL_SUM, Guests, structure_count, summed, variables_of
from pipeline.genetics.collection import Collection, Settings

LIKELY = 0.1
"""A male of another family likelier than this to have sired a clutch makes one problem of the two families."""


@dataclass(frozen=True)
class Solved:
    """One family's answer. `entries` are the table entries it would have needed where that was too many, else 0.

    `guests` are males of other families, as it was told of them. `posterior` is None where neither exact work nor sampling
    could be done.
    """

    family: Family
    stacks: tuple[Stack, ...]
    guests: Guests
    posterior: Posterior | None
    clashes: tuple[Clash, ...] = ()
    entries: int = 0

    @property
    def weighed(self) -> Posterior:
        """The posterior of a family that has one. LookupError where it could not be weighed."""
        if self.posterior is None:
            raise LookupError("the family could not be weighed")
        return self.posterior


def solve(collection: Collection) -> tuple[Solved, ...]:
    """The posterior of every family of a collection, families in the order of their first animals.

    Time and memory grow with the table entries of each family's elimination order. Families are independent but for
    males that may have sired a clutch of another family: they bring the genotype their own records leave them, and where
    one is LIKELY the two families are weighed as one, unless that would be too tangled.
    """
    found = families(collection)
    settings = collection.settings
    shapes = {species: stacks(catalogue, settings) for species, catalogue in collection.catalogues.items()}
    guests = guests_of(found, shapes, settings)
    apart = [solve_family(family, shapes[family.species], settings, guests) for family in found]
    links = [link for own in apart for link in _likely_guests(own)]
    if not links:
        return tuple(apart)
    home = {animal: i for i, own in enumerate(apart) for animal in own.family.animals}
    solved: dict[int, Solved] = {}
    for family in families(collection, links):
        parts = sorted({home[animal] for animal in family.animals})
        if len(parts) > 1:
            together = solve_family(family, shapes[family.species], settings, guests)
            if not together.entries:
                solved[parts[0]] = together
                continue
        solved |= {i: apart[i] for i in parts}
    return tuple(solved[i] for i in sorted(solved))


def _likely_guests(solved: Solved) -> Iterator[tuple[str, str]]:
    """A dam of the family and a male of another that is LIKELY to have sired a clutch of hers."""
    if solved.posterior is None:
        return
    for clutch, chances in zip(solved.family.clutches, solved.posterior.sires, strict=True):
        for candidate, chance in zip(clutch.candidates, chances, strict=True):
            male = candidate.male
            if male and chance > LIKELY and male not in solved.family.animals and not male.startswith(CROWD):
                yield clutch.dam, male


def solve_family(
    family: Family, own: tuple[Stack, ...], settings: Settings, guests: Mapping[str, tuple[np.ndarray, ...]]
) -> Solved:
    """One family, its contradictions set aside. `guests[male]` has one array a stack of `own`."""
    entries = 0
    for run in _ways(family):
        try:
            return _weighed(family, own, settings, guests, run)
        except TooTangled as tangle:
            entries = tangle.entries
    return _sampled(family, own, settings, guests, entries)


def _weighed(
    family: Family, own: tuple[Stack, ...], settings: Settings, guests: Guests, run: Callable
) -> Solved:
    """By the full sum or clutch by clutch. Raises TooTangled."""
    nodes = variables_of(family) if run is summed else family.parents
    scores = [Scores(family, stack, settings, nodes) for stack in own]
    try:
        return Solved(family, own, guests, run(family, scores, guests))
    except Contradiction as clash:
        scores, clashes, left = consistent_scores(scores, clash, run, guests)
        return Solved(family, tuple(s.stack for s in scores), guests, run(family, scores, left), clashes)


def _ways(family: Family) -> tuple[Callable, ...]:
    """How its clutches' sires may be summed, the more exact way first; where there is but one structure, both are the same."""
    many = structure_count(family)
    if many > FULL_SUM or _crowded(family):
        return (summed_by_clutch,)
    return (summed, summed_by_clutch) if many > 1 else (summed,)


def _crowded(family: Family) -> bool:
    return any(
        c.male is not None and c.male.startswith(CROWD)
        for clutch in family.clutches
        for c in clutch.candidates
    )


def _sampled(
    family: Family, own: tuple[Stack, ...], settings: Settings, guests: Guests, entries: int
) -> Solved:
    """The answer where exact tables would be too large; none where sampling finds no start that the records allow."""
    scores = [Scores(family, stack, settings, family.parents) for stack in own]
    try:
        found = summed_by_clutch(family, scores, guests, sampling=True)
    except TooTangled:
        found = None
    return Solved(family, own, guests, found, entries=entries)


def group_evidence(
    family: Family,
    own: Sequence[Stack],
    settings: Settings,
    sires: Mapping[int, str | None],
    guests: Guests | None = None,
) -> Iterator[np.ndarray]:
    """ln P(all records of a family), with some clutches (by position) sired as stated: an array (groups) a stack.

    None is a male unknown; a male of another family comes with his prior in `guests` (one array a stack), else from the
    background. Other clutches have their first recorded sire. The prior of the sires is not in it. Raises TooTangled.
    """
    named = {c.male for clutch in family.clutches for c in clutch.candidates} | set(sires.values())
    nodes = family.parents | {male for male in named if male is not None and male in family.animals}
    for i, stack in enumerate(own):
        scores = Scores(family, stack, settings, nodes)
        evidence = network(scores, stated_sires(family, scores, i, sires, guests or {})).evidence()
        yield np.broadcast_to(evidence[:, 0], (len(stack.spaces),))


def stated_sires(
    family: Family, scores: Scores, position: int, sires: Mapping[int, str | None], guests: Guests
) -> list[Sire]:
    """What each clutch hangs on, with the sires of `group_evidence`. `position` is that of the Scores among the stacks."""
    unknown = scores.stack.founder(None, 0.0, scores.stack.kind("M"))
    stated: list[Sire] = []
    for k, clutch in enumerate(family.clutches):
        male = sires.get(k, clutch.candidates[0].male)
        if male is not None and male in family.animals:
            stated.append(Direct(male))
        else:
            prior = guests[male][position] if male is not None and male in guests else unknown
            stated.append(Guest(f"\0{k if male is None else male}", prior[:, None]))
    return stated


def as_recorded(family: Family) -> Family:
    """The family with every clutch sired by the first male its pairing names."""
    clutches = []
    for clutch in family.clutches:
        first = Candidate(clutch.recorded[0], 1.0, True) if clutch.recorded else Candidate(None, 1.0, False)
        clutches.append(replace(clutch, candidates=(first,)))
    return replace(family, clutches=tuple(clutches))


def guests_of(
    found: Sequence[Family], shapes: Mapping[str, tuple[Stack, ...]], settings: Settings
) -> dict[str, tuple[np.ndarray, ...]]:
    """Males that may have sired a clutch of another family: their genotypes as their own family's records leave them.

    A crowd has the mean of its males.
    """
    wanted = _males_abroad(found)
    animals = [animal for family in found for animal in family.animals.values()]
    crowds = {name: crowd_of(name, animals) for name in sorted(wanted) if name.startswith(CROWD)}
    wanted |= {male for males in crowds.values() for male in males}
    guests: dict[str, tuple[np.ndarray, ...]] = {}
    for family in found:
        males = [male for male in family.animals if male in wanted]
        if males:
            states = _recorded_states(as_recorded(family), shapes[family.species], settings)
            guests |= {male: states(male) for male in males}
    for name, males in crowds.items():
        own = zip(*(guests[male] for male in males), strict=True)
        guests[name] = tuple(np.mean(arrays, axis=0) for arrays in own)
    return guests


def _recorded_states(
    plain: Family, own: tuple[Stack, ...], settings: Settings
) -> Callable[[str], tuple[np.ndarray, ...]]:
    """The posterior of each animal under the record; its own label's word where the record can't be weighed."""
    scores = [Scores(plain, stack, settings, plain.parents) for stack in own]
    try:
        return summed(plain, scores, {}).states.__getitem__
    except (Contradiction, TooTangled):
        return lambda male: tuple(_by_label(s, male) for s in scores)


def _males_abroad(found: Iterable[Family]) -> set[str]:
    return {
        candidate.male
        for family in found
        for clutch in family.clutches
        for candidate in clutch.candidates
        if candidate.male is not None and candidate.male not in family.animals
    }


def _by_label(scores: Scores, male: str) -> np.ndarray:
    """What the male's own record alone says of him."""
    own = scores.own[male]
    total = own.sum(axis=1, keepdims=True)
    return np.divide(own, total, out=np.full_like(own, 1 / own.shape[1]), where=total > 0)
