"""A quick look at structural faults: by how much they make the records likelier with every clutch's sire given.

Two assignments of sires are tried, the recorded ones and the likeliest as solved, each with its prior; the better of
the two stands for the sum over all. It is a screen: what passes is weighed in full. Linkage groups of one shape are weighed side by side,
those of faults that join loci within the states that the loci by themselves leave possible (see pruning.py).
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import inf, isnan, log, nan

import numpy as np

from pipeline.genetics.carriers.arithmetic import LANES
from pipeline.genetics.carriers.families import Candidate, Family
from pipeline.genetics.carriers.network import Graph, TooTangled, network
from pipeline.genetics.carriers.posterior import Posterior
from pipeline.genetics.carriers.scores import Scores
from pipeline.genetics.carriers.solving import as_recorded, stated_sires
from pipeline.genetics.carriers.spaces import Kind, Space
from pipeline.genetics.carriers.stacks import error_of
from pipeline.genetics.collection import Animal
from pipeline.genetics.crosses import genotype
from pipeline.genetics.genes import Catalogue
from pipeline.genetics.suspicions.looks import looks_of, odd_looks
from pipeline.genetics.suspicions.pruning import Joined, States, pruned_evidence, strained
from pipeline.genetics.suspicions.sheets import Desk, Key, Part

Stated = tuple[Family, Posterior | None]
"""A family as written, and how the best structure so far solves it."""

BOTH = 0.01
"""Probability from which a parent may carry two genes at once."""


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
    """One family with its sires stated, asked for the evidence of one part of a Genes sheet after another.

    `males`: every animal of the book by ID.
    """

    def __init__(self, stated: Family, desk: Desk, males: Mapping[str, Animal]) -> None:
        self._family, self.desk, self._males = stated, desk, males
        named = {c.male for clutch in stated.clutches for c in clutch.candidates}
        self._nodes = stated.parents | {male for male in named if male is not None and male in stated.animals}
        self._looks = looks_of(stated)
        self._known: dict[Key, float] = {}
        self._states: dict[Key, States] = {}
        self._strained: set[Key] = set()

    def evidence(self, parts: Iterable[Part]) -> float:
        """ln P(what the family's records say at some parts); NaN where one of them was too tangled. `ask` first."""
        return sum((self._known[part.key] for part in parts), 0.0)

    def ask(self, parts: Iterable[Part]) -> None:
        """Weighs all parts not known yet, those of one shape side by side."""
        fresh = {part.key: part for part in parts if part.key not in self._known}
        under = {own.key: own for part in fresh.values() for own in part.apart if own.key not in self._states}
        for same in _by_shape(under.values()):
            self._weigh(same, self._calibrated)
        plain = [part for part in fresh.values() if not part.apart and part.key not in self._known]
        for same in _by_shape(plain):
            self._weigh(same, self._summed)
        for same in _by_shape(part for part in fresh.values() if part.apart):
            self._weigh(same, self._pruned)

    def _weigh(self, parts: Sequence[Part], how: Callable[[Sequence[Part], Scores, list], Iterable[float]]):
        scores = Scores(self._family, self.desk.sheets(parts), self.desk.settings, self._nodes)
        sires = stated_sires(self._family, scores, 0, {}, self._guests(scores))
        try:
            found = list(how(parts, scores, sires))
        except TooTangled:
            found = [nan] * len(parts)
        for part, own in zip(parts, found, strict=True):
            odd = odd_looks(self._looks, part.wording, part.catalogue, self.desk.settings)
            self._known[part.key] = float(own) + odd

    def _summed(self, parts: Sequence[Part], scores: Scores, sires: list) -> np.ndarray:
        return self._whole(network(scores, sires).evidence(), len(parts))

    def _calibrated(self, parts: Sequence[Part], scores: Scores, sires: list) -> np.ndarray:
        net = network(scores, sires)
        done = net.calibrated()

        def posterior(animal: str) -> np.ndarray:
            """Of one animal of the network, groups x states."""
            return self._whole(done.marginal((net.variables[animal],)), len(parts))

        states = {
            kind: np.stack([posterior(animal) for animal in animals], axis=1)
            for kind, animals in scores.of_kind.items()
        }
        pairs = [done.marginal(pair)[:, 0] for pair in zip(net.dams, net.sires, strict=True)]
        couples = np.stack(pairs, axis=1) if pairs else scores.couples
        strain = strained(scores, states, couples)
        for g, part in enumerate(parts):
            self._states[part.key] = {kind: own[g] for kind, own in states.items()}
            if strain[g]:
                self._strained.add(part.key)
        return self._whole(done.log_evidence, len(parts))

    def _pruned(self, parts: Sequence[Part], scores: Scores, sires: list) -> np.ndarray:
        together: dict[tuple[Key, ...], list[int]] = {}
        for row, part in enumerate(parts):
            together.setdefault(tuple(own.key for own in part.apart), []).append(row)
        asked = [
            Joined(
                parts[rows[0]], rows, [self._states[key] for key in keys], not self._strained.isdisjoint(keys)
            )
            for keys, rows in together.items()
            if all(key in self._states for key in keys)
        ]
        return pruned_evidence(Graph(scores, sires), asked)

    @staticmethod
    def _whole(table: np.ndarray, groups: int) -> np.ndarray:
        return np.broadcast_to(table[:, 0], (groups, *table.shape[LANES:]))

    def _guests(self, scores: Scores) -> dict[str, tuple[np.ndarray, ...]]:
        """Males of other families as their own labels have them."""
        named = {c.male for clutch in self._family.clutches for c in clutch.candidates if c.male is not None}
        guests: dict[str, tuple[np.ndarray, ...]] = {}
        for male in named - self._family.animals.keys():
            error = error_of(self._males[male].basis, self.desk.settings)
            label = self._males[male].label
            guests[male] = (scores.stack.founder(label, error, scores.stack.kind("M")),)
        return guests


def _by_shape(parts: Iterable[Part]) -> list[list[Part]]:
    shapes: dict[tuple, list[Part]] = {}
    for part in parts:
        shapes.setdefault(part.stack.spaces[0].shape, []).append(part)
    return list(shapes.values())


@dataclass(frozen=True)
class Question:
    """By how much some families' records are likelier under the parts `after` than under those `before`."""

    families: tuple[int, ...]
    before: tuple[Part, ...]
    after: tuple[Part, ...]


class Screen:
    """Quick looks at the families of a species. `males`: every animal of the book by ID."""

    def __init__(self, desk: Desk, males: Mapping[str, Animal]) -> None:
        self.desk, self._males = desk, males
        self._looks: dict[tuple, dict[QuickLook, float]] = {}

    def gains(self, stated: Mapping[int, Stated], asked: Sequence[Question]) -> list[float]:
        """ln of each question's evidence ratio over its families, which `stated` has by position.

        A family too tangled to be asked counts for nothing; what is impossible before and after makes -inf.
        """
        wanted: dict[int, dict[Key, Part]] = {}
        for own in asked:
            for i in own.families:
                wanted.setdefault(i, {}).update({part.key: part for part in (*own.before, *own.after)})
        looks = {i: self._look(i, *stated[i]) for i in wanted}
        for i, parts in wanted.items():
            for look in looks[i]:
                look.ask(parts.values())
        return [sum((_gain(looks[i], own) for i in own.families), 0.0) for own in asked]

    def _look(self, i: int, family: Family, posterior: Posterior | None) -> Mapping[QuickLook, float]:
        """One look a distinct assignment of sires, with ln of the assignment's prior."""
        stated = {_sires(own): own for own in (as_recorded(family), as_solved(family, posterior))}
        key = (i, tuple(half.animal for half in family.halves if half.alone), *stated)
        if key not in self._looks:
            self._looks[key] = {
                QuickLook(own, self.desk, self._males): _log_prior(family, own) for own in stated.values()
            }
        return self._looks[key]


def _log_prior(family: Family, stated: Family) -> float:
    """ln P(the stated sires) before any record is weighed."""
    total = 0.0
    for clutch, (sire,) in zip(family.clutches, (own.candidates for own in stated.clutches), strict=True):
        prior = sum(c.prior for c in clutch.candidates if c.male == sire.male)
        total += log(prior) if prior else -inf
    return total


def _gain(looks: Mapping[QuickLook, float], own: Question) -> float:
    before, after = (
        max((e + prior for look, prior in looks.items() if not isnan(e := look.evidence(parts))), default=nan)
        for parts in (own.before, own.after)
    )
    if isnan(before) or isnan(after):
        return 0.0
    return -inf if before == after == -inf else after - before


def _sires(family: Family) -> tuple[str | None, ...]:
    return tuple(clutch.candidates[0].male for clutch in family.clutches)


def played_together(family: Family, catalogue: Catalogue) -> frozenset[tuple[str, str]]:
    """Pairs of loci, named in the catalogue's order, of which the records of one clutch, its parents and theirs name both."""
    locus_of = {gene: locus.name for gene, locus in catalogue.locus_of.items()}
    place = {locus.name: i for i, locus in enumerate(catalogue.loci)}
    pairs: set[tuple[str, str]] = set()
    for clutch in family.clutches:
        near = [family.animals[name] for name in (clutch.dam, *clutch.recorded, *clutch.children)]
        up = {name for row in near for name in (row.dam, row.sire) if name and name in family.animals}
        rows = near + [family.animals[name] for name in up]
        labels = [row.label for row in rows if row.label] + [y.label for y in clutch.tallies if y.label]
        loci = {locus_of[g] for label in labels for g in label.genes() if g in locus_of}
        ordered = sorted(loci, key=place.__getitem__)
        pairs |= {(a, b) for i, a in enumerate(ordered) for b in ordered[i + 1 :]}
    return frozenset(pairs)


def travelling_together(
    family: Family, posterior: Posterior | None, catalogue: Catalogue
) -> frozenset[tuple[str, str]]:
    """Pairs of loci, named in the catalogue's order, of which one parent is likely enough to carry both; only they can
    show that the loci are linked. All pairs where nothing is known of the family."""
    loci = [locus.name for locus in catalogue.loci]
    pairs = [(a, b) for i, a in enumerate(loci) for b in loci[i + 1 :]]
    if posterior is None:
        return frozenset(pairs)
    parents = sorted(family.parents)
    carried = {}
    for part, scores in enumerate(posterior.scores):
        for g, space in enumerate(scores.stack.spaces):
            for position, locus in enumerate(space.group.loci):
                wild = {kind: plain_states(space, kind, position) for kind in Kind}
                carried[locus.name] = np.array(
                    [1 - posterior.states[p][part][g] @ wild[scores.kind_of(p)] for p in parents]
                )
    return frozenset(
        (a, b)
        for a, b in pairs
        if a in carried and b in carried and parents and (carried[a] * carried[b]).max() > BOTH
    )


@lru_cache(maxsize=4096)
def plain_states(space: Space, kind: Kind, position: int) -> np.ndarray:
    """1 for each state without any gene of the group's locus at that position, else 0."""
    return np.array([not any(genotype(state, position)) for state in space.states[kind]], dtype=float)
