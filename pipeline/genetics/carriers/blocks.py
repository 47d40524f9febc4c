"""Which variables of a tangled core to hold fixed, so that the rest can be drawn jointly, and how that is done.

A block holds some variables at their states; what is left falls apart into narrow tables, is calibrated exactly and drawn
at once. Chains are lanes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from pipeline.genetics.carriers.arithmetic import LANES
from pipeline.genetics.carriers.elimination import Calibrated, Collected, collect
from pipeline.genetics.carriers.factors import Factor
from pipeline.genetics.carriers.ordering import Order, held_apart

BLOCKS = 16
"""Steps of a sweep at least; each holds other variables fixed, so that none stays apart from its kin for long."""


@dataclass(frozen=True)
class Block:
    """Variables held fixed in one step, and the order in which all others are summed out."""

    held: frozenset[int]
    order: Order


@lru_cache(maxsize=64)
def blocks_of(
    scopes: tuple[tuple[int, ...], ...], sizes: tuple[int, ...], widest: int, seed: int
) -> tuple[Block, ...]:
    """Steps such that every variable is drawn in one of them; a graph that is narrow as it is needs but one."""
    rng = np.random.default_rng(seed)
    variables = sorted({v for scope in scopes for v in scope})
    blocks = [Block(*held_apart(scopes, sizes, widest, frozenset()))]
    never = blocks[0].held
    while never or (blocks[0].held and len(blocks) < BLOCKS):
        spared = never or frozenset(v for v in variables if rng.random() < 0.5)
        blocks.append(Block(*held_apart(scopes, sizes, widest, spared)))
        never &= blocks[-1].held
    return tuple(blocks)


class Step:
    """A block over a graph's factors, to be taken again and again."""

    def __init__(self, block: Block, factors: Sequence[Factor], sizes: Sequence[int]) -> None:
        self.block, self._sizes = block, sizes
        self.scopes = tuple(factor.scope for factor in factors)
        self._parts = [Part.of(factor, block.held) for factor in factors]

    def collected(self, state: np.ndarray) -> Collected:
        """What is free summed out given what is held at `state` (groups x chains x variables)."""
        factors = [part.at(state) for part in self._parts]
        return collect(self.block.order, self._sizes, [own for own in factors if own.scope])

    def draw(self, done: Collected, state: np.ndarray, rng: np.random.Generator) -> None:
        """Draws all free variables at once into `state`, from the last summed out to the first."""
        groups, chains = np.ogrid[: state.shape[0], : state.shape[1]]
        for clique, table in zip(reversed(self.block.order.cliques), reversed(done.chances()), strict=True):
            table = np.broadcast_to(table, (*state.shape[:LANES], *table.shape[LANES:]))
            rest = tuple(state[:, :, v] for v in clique[1:])
            state[:, :, clique[0]] = drawn(np.moveaxis(table, LANES, -1)[(groups, chains, *rest)], rng)

    def add(self, totals: Sequence[np.ndarray], done: Calibrated, state: np.ndarray) -> None:
        """Adds the posterior of each factor's variables to its total, those held at their states."""
        groups, chains = np.ogrid[: state.shape[0], : state.shape[1]]
        for total, scope in zip(totals, self.scopes, strict=True):
            held = [axis for axis, v in enumerate(scope) if v in self.block.held]
            free = [v for v in scope if v not in self.block.held]
            moved = np.moveaxis(total, [LANES + axis for axis in held], range(LANES, LANES + len(held)))
            index = (groups, chains, *(state[:, :, scope[axis]] for axis in held))
            moved[index] += done.marginal(free) if free else 1.0


@dataclass(frozen=True)
class Part:
    """A factor to be looked up at the states of what is held: its table with the axes of held variables first: groups or 1 x held x free."""

    held: tuple[int, ...]
    free: tuple[int, ...]
    logs: np.ndarray

    @classmethod
    def of(cls, factor: Factor, held: frozenset[int]) -> "Part":
        """Of a factor of one lane, its axes moved so that the `held` come first."""
        fixed = [axis for axis, v in enumerate(factor.scope) if v in held]
        free = [axis for axis, v in enumerate(factor.scope) if v not in held]
        logs = factor.logs[:, 0].transpose(0, *(1 + axis for axis in (*fixed, *free)))
        return cls(
            tuple(factor.scope[a] for a in fixed),
            tuple(factor.scope[a] for a in free),
            np.ascontiguousarray(logs),
        )

    def at(self, state: np.ndarray) -> Factor:
        """The factor at the held variables' states: groups x chains x one axis a free variable."""
        if not self.held or not self.free:
            return Factor(self.free, self.logs[:, None])
        groups = np.arange(state.shape[0])[:, None] if len(self.logs) > 1 else 0
        return Factor(self.free, self.logs[(groups, *(state[:, :, v] for v in self.held))])


def drawn(weights: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """One position along the last axis each, in proportion to the weights."""
    steps = weights.cumsum(axis=-1)
    aim = rng.random(steps.shape[:-1]) * steps[..., -1]
    return np.minimum((steps <= aim[..., None]).sum(axis=-1), weights.shape[-1] - 1)
