"""Evidence of linked or merged loci within the states that the loci by themselves leave possible.

Two loci together have many more states than each alone, and tables grow with a high power of them; but what the loci
say one by one leaves most animals but one or two states. A state less likely by the loci apart than a FAINT probability is
left out. Linked loci say one by one what they say apart, and so do merged ones as long as each young can be what it was
read as. Where the loci apart are strained, so that a record of theirs must be wrong, merged ones keep all states.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import prod

import numpy as np

from pipeline.genetics.carriers.arithmetic import LANES
from pipeline.genetics.carriers.elimination import log_evidence
from pipeline.genetics.carriers.factors import Factor
from pipeline.genetics.carriers.network import TABLE_LIMIT, Graph, order_of
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
SIDE_BY_SIDE = 1_000_000
"""Table entries up to which several joined parts are weighed in one pass."""

States = Mapping[Kind, np.ndarray]
"""Of one linkage group: by kind the posterior of the animals of the network, in its order, animals x states."""


def strained(scores: Scores, nodes: Mapping[Kind, np.ndarray], couples: np.ndarray) -> np.ndarray:
    """Groups of which some record must be wrong, by the posterior of the network's animals of each kind (groups x animals
    x states) and of each clutch's parents (groups x clutches x dam x sire)."""
    found = np.zeros(len(scores.stack.spaces), dtype=bool)
    for kind, states in nodes.items():
        own = np.stack([scores.own[animal] for animal in scores.of_kind[kind]], axis=1)
        unlike = own < UNLIKE * own.max(axis=2, keepdims=True)
        found |= ((states * unlike).sum(axis=2) > UNLIKE).any(axis=1)
    for fold in scores.folds:
        fits = (couples[:, fold.clutch] * fold.given).sum(axis=(2, 3))
        found |= (fits < ODD).any(axis=1)
    return found


@dataclass(frozen=True)
class Joined:
    """Parts that join the same groups, by their `rows` in a graph. `apart` has what these say one by one, as `part.apart`;
    `strain`: whether a record must be wrong by them."""

    part: Part
    rows: Sequence[int]
    apart: Sequence[States]
    strain: bool

    @property
    def merged(self) -> bool:
        """Whether loci are merged, not just linked."""
        loci = len(self.part.stack.spaces[0].group.loci)
        return loci < sum(len(own.stack.spaces[0].group.loci) for own in self.part.apart)

    def likely(self, kind: Kind) -> np.ndarray:
        """How likely the groups by themselves leave the states of the animals of a kind: animals x states."""
        fits = (_fits(self.part, own, kind) for own in self.part.apart)
        return prod((states[kind] @ fit.T for states, fit in zip(self.apart, fits, strict=True)))


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


def pruned_evidence(graph: Graph, asked: Sequence[Joined]) -> np.ndarray:
    """ln P(all records) for the groups of a graph that are asked for, within the states possible apart; NaN for others, and
    where even these are too tangled."""
    found = np.full(len(graph.scores.stack.spaces), np.nan)
    for faint in FAINT:
        fit = (own for own in asked if faint == FAINT[-1] or (own.strain and own.merged))
        _weigh(graph, [own for own in fit if np.isnan(found[own.rows[0]])], faint, found)
    return found


def _weigh(graph: Graph, asked: Sequence[Joined], faint: float, found: np.ndarray) -> None:
    """Fills in what tables allow, all asked for at once or half by half."""
    if not asked:
        return
    rows = np.concatenate([own.rows for own in asked]).astype(np.intp)
    pruned = _Pruned(graph, asked, faint)
    if pruned.entries * len(rows) <= (SIDE_BY_SIDE if len(asked) > 1 else TABLE_LIMIT):
        found[rows] = pruned.evidence(rows)
    elif len(asked) > 1:
        half = len(asked) // 2
        _weigh(graph, asked[:half], faint, found)
        _weigh(graph, asked[half:], faint, found)


class _Pruned:
    """A graph within the states that several joined parts leave possible. A variable has as many states as it has by the
    part that leaves it most; those that a part has fewer of it rules out."""

    def __init__(self, graph: Graph, asked: Sequence[Joined], faint: float) -> None:
        self._graph = graph
        self._of = np.repeat(np.arange(len(asked)), [len(own.rows) for own in asked])
        self._kept: dict[int, np.ndarray] = {}
        self._ruled_out: dict[int, np.ndarray] = {}
        for kind, animals in graph.scores.of_kind.items():
            likely = np.stack([own.likely(kind) for own in asked])
            possible = likely >= np.minimum(faint, likely.max(axis=2, keepdims=True))
            first = np.argsort(~possible, axis=2, kind="stable")
            most = possible.sum(axis=2).max(axis=0)
            for i, animal in enumerate(animals):
                if most[i] < possible.shape[2]:
                    kept = first[:, i, : most[i]]
                    self._kept[graph.variables[animal]] = kept
                    self._ruled_out[graph.variables[animal]] = ~np.take_along_axis(possible[:, i], kept, 1)
        sizes = [self._kept[v].shape[1] if v in self._kept else size for v, size in enumerate(graph.sizes)]
        self._open = {v: i for i, v in enumerate(v for v, size in enumerate(sizes) if size > 1)}
        self._sizes = tuple(sizes[v] for v in self._open)
        scopes = {self._scope(factor.scope) for factor in graph.factors}
        self._order = order_of(tuple(sorted(scopes - {()})), self._sizes, np.inf)
        self.entries = self._order.entries

    def evidence(self, rows: np.ndarray) -> np.ndarray:
        """ln P(all records) of the groups in those rows of the graph."""
        total, factors = np.zeros((len(rows), 1)), []
        for factor in self._factors(rows):
            if factor.scope:
                factors.append(factor)
            else:
                total = total + factor.logs
        if factors:
            total = total + log_evidence(self._order, self._sizes, factors)
        return np.broadcast_to(total[:, 0], (len(rows),))

    def _factors(self, rows: np.ndarray) -> Iterable[Factor]:
        for factor in self._graph.factors:
            scope = self._scope(factor.scope)
            table = factor.logs
            if not self._kept.keys().isdisjoint(factor.scope):
                table = self._taken(factor, rows)
            elif len(table) > 1:
                table = table[rows]
            yield Factor(scope, table.reshape(*table.shape[:LANES], *(self._sizes[v] for v in scope)))
        for variable, ruled_out in self._ruled_out.items():
            if ruled_out.any():
                logs = np.where(ruled_out, -np.inf, 0.0)[self._of, None]
                yield Factor((self._open[variable],), logs)

    def _taken(self, factor: Factor, rows: np.ndarray) -> np.ndarray:
        """A factor's table, for each row at the states that its part keeps."""
        axes = len(factor.scope)
        index: list[np.ndarray] = []
        for axis, variable in enumerate(factor.scope):
            every = np.arange(self._graph.sizes[variable])[None]
            states = self._kept[variable][self._of] if variable in self._kept else every
            shape = [len(states), *(1,) * axes]
            shape[1 + axis] = states.shape[1]
            index.append(states.reshape(shape))
        groups = (rows if len(factor.logs) > 1 else np.zeros_like(rows)).reshape(-1, *(1,) * axes)
        return factor.logs[:, 0][(groups, *index)][:, None]

    def _scope(self, scope: Sequence[int]) -> tuple[int, ...]:
        return tuple(self._open[v] for v in scope if v in self._open)
