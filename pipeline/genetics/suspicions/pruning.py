"""Evidence of linked or merged loci within the states that the loci by themselves leave possible.

Two loci together have many more states than each alone, and tables grow with a high power of them; but what the loci
say one by one leaves most animals but one or two states. A state less likely by the loci apart than a FAINT probability is
left out. Linked loci say one by one what they say apart, and so do merged ones as long as each young can be what it was
read as. Where the loci apart are strained, so that a record of theirs must be wrong, merged ones keep all states.
"""

from collections.abc import Mapping, Sequence
from functools import lru_cache

import numpy as np

from pipeline.genetics.carriers.arithmetic import LANES
from pipeline.genetics.carriers.elimination import Factor, log_evidence
from pipeline.genetics.carriers.network import TABLE_LIMIT, Graph, TooTangled
from pipeline.genetics.carriers.ordering import min_fill
from pipeline.genetics.carriers.scores import Scores
from pipeline.genetics.carriers.spaces import Kind
from pipeline.genetics.crosses import Diplotype, genotype
from pipeline.genetics.genes import WILD
from pipeline.genetics.suspicions.sheets import Part

FAINT = (0.0, 1e-24, 1e-12, 1e-6)
"""Probabilities below which a state of one animal is left out, the last as a rule; the first that tables allow where
the loci apart are strained."""
ODD = 0.03
"""A young less likely than this by its parents is out of place."""
UNLIKE = 0.1
"""So much less likely than the likeliest is a state that an animal's own record speaks against."""


def strained(scores: Scores, animals: Mapping[str, np.ndarray], couples: np.ndarray) -> np.ndarray:
    """Groups of which some record must be wrong, by the posterior of the animals in the network and of each clutch's
    parents (groups x clutches x dam x sire)."""
    found = np.zeros(len(scores.stack.spaces), dtype=bool)
    for animal, states in animals.items():
        own = scores.own[animal]
        unlike = own < UNLIKE * own.max(axis=1, keepdims=True)
        found |= (states * unlike).sum(axis=1) > UNLIKE
    for fold in scores.folds:
        fits = (couples[:, fold.clutch] * fold.given).sum(axis=(2, 3))
        found |= (fits < ODD).any(axis=1)
    return found


class Possible:
    """Which states of a joined part an animal can have. `apart` has each group's posterior by animal, as `part.apart`."""

    def __init__(self, part: Part, apart: Sequence[Mapping[str, np.ndarray]]) -> None:
        self._part, self._apart = part, apart
        self._likely: dict[tuple[str, Kind], np.ndarray] = {}

    @property
    def merged(self) -> bool:
        """Whether loci are merged, not just linked."""
        loci = len(self._part.stack.spaces[0].group.loci)
        return loci < sum(len(own.stack.spaces[0].group.loci) for own in self._part.apart)

    def states(self, animal: str, kind: Kind, faint: float) -> np.ndarray:
        """Positions of the states at least so likely; the likeliest alone where none is."""
        if (animal, kind) not in self._likely:
            self._likely[animal, kind] = self._weighed(animal, kind)
        likely = self._likely[animal, kind]
        kept = np.flatnonzero(likely >= faint)
        return kept if len(kept) else np.array([int(likely.argmax())])

    def _weighed(self, animal: str, kind: Kind) -> np.ndarray:
        likely = np.ones(len(self._part.stack.spaces[0].states[kind]))
        for own, states in zip(self._part.apart, self._apart, strict=True):
            likely = likely * (_fits(self._part, own, kind) @ states[animal])
        return likely


@lru_cache(maxsize=1024)
def _fits(part: Part, own: Part, kind: Kind) -> np.ndarray:
    """Whether a state of the part has the genotypes of a state of one of its groups: states x states.

    States that the group by itself hasn't got, since they would not live, fit any.
    """
    space, alone = part.stack.spaces[0], own.stack.spaces[0]
    names = [[gene.name for gene in locus.genes] for locus in alone.group.loci]
    theirs = [
        tuple(tuple(sorted(genotype(state, i))) for i in range(len(names))) for state in alone.states[kind]
    ]
    table = np.array(
        [[_seen(part, state, names) == their for their in theirs] for state in space.states[kind]]
    )
    return np.where(table.any(axis=1, keepdims=True), table, True).astype(float)


def _seen(part: Part, state: Diplotype, names: Sequence[Sequence[str]]) -> tuple[tuple[int, ...], ...]:
    """The genotypes of a state at loci given by the names of their genes."""
    carried: list[list[str]] = [[] for _ in state]
    for position, locus in enumerate(part.stack.spaces[0].group.loci):
        for strand, haplotype in enumerate(state):
            if haplotype[position] != WILD:
                carried[strand].append(locus.genes[haplotype[position] - 1].name)
    return tuple(
        tuple(sorted(next((own.index(n) + 1 for n in strand if n in own), WILD) for strand in carried))
        for own in names
    )


def pruned_evidence(graph: Graph, rows: Sequence[int], possible: Possible, *, strain: bool) -> np.ndarray:
    """ln P(all records) for some groups of a graph, within the possible states; NaN where that is too tangled.

    `strain`: whether a record must be wrong by the loci apart.
    """
    for faint in FAINT if strain and possible.merged else FAINT[-1:]:
        try:
            return _within(graph, rows, possible, faint)
        except TooTangled:
            continue
    return np.full(len(rows), np.nan)


def _within(graph: Graph, rows: Sequence[int], possible: Possible, faint: float) -> np.ndarray:
    kept = [np.arange(size) for size in graph.sizes]
    for animal, variable in graph.variables.items():
        kept[variable] = possible.states(animal, graph.scores.kind_of(animal), faint)
    sizes = [len(own) for own in kept]
    open_ = [v for v, size in enumerate(sizes) if size > 1]
    place = {v: i for i, v in enumerate(open_)}
    scopes = {tuple(place[v] for v in factor.scope if v in place) for factor in graph.factors}
    order = min_fill(sorted(scopes - {()}), [sizes[v] for v in open_])
    if order.entries * len(rows) > TABLE_LIMIT:
        raise TooTangled(order.entries * len(rows))
    total, factors = np.zeros((len(rows), 1)), []
    for factor in graph.factors:
        table = factor.logs[rows] if len(factor.logs) > 1 else factor.logs
        for axis, v in enumerate(factor.scope, start=LANES):
            if sizes[v] < graph.sizes[v]:
                table = table.take(kept[v], axis=axis)
        scope = tuple(place[v] for v in factor.scope if v in place)
        table = table.reshape(*table.shape[:2], *(sizes[v] for v in factor.scope if v in place))
        if scope:
            factors.append(Factor(scope, table))
        else:
            total = total + table
    if factors:
        total = total + log_evidence(order, [sizes[v] for v in open_], factors)
    return np.broadcast_to(total[:, 0], (len(rows),))
