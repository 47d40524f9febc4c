"""For pedigrees too tangled for exact tables: blocked Gibbs sampling, with the error it leaves.

Some variables are held fixed so that the rest falls apart into narrow tables; the rest is drawn jointly from its exact
posterior, then another set is held fixed, and so on (Jensen, Kjaerulff & Kong 1995, "Blocking Gibbs sampling in very
large probabilistic expert systems"; from memory). What is averaged are the exact conditional posteriors of each step,
not the draws. Chains run side by side from scattered starts; their disagreement is the standard error.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.genetics.carriers.arithmetic import LANES
from pipeline.genetics.carriers.elimination import Calibrated, Factor, calibrate
from pipeline.genetics.carriers.network import Network, TooTangled
from pipeline.genetics.carriers.ordering import Order, min_fill

CHAINS, SWEEPS, BURN_IN = 8, 40, 10
BLOCKS = 6
"""Steps of a sweep at least; each holds other variables fixed, so that no two are held apart for long."""
BLOCK_LIMIT = 20_000
"""Table entries of what is drawn jointly in one step."""
ERROR_LIMIT = 0.05
"""A standard error above this means that the chains have not met; such an answer is withheld."""


@dataclass(frozen=True)
class Block:
    """Variables held fixed in one step, and the order in which the rest is summed out."""

    held: frozenset[int]
    free: tuple[int, ...]
    order: Order


@dataclass(frozen=True)
class Sampled:
    """Averaged posteriors, to be asked like a Calibrated. `error` is the largest standard error of a single variable's."""

    tables: dict[tuple[int, ...], np.ndarray]
    error: float

    def marginal(self, scope: Sequence[int]) -> np.ndarray:
        """Posterior over one of the scopes that were asked for: groups x 1 x one axis a variable."""
        return self.tables[tuple(scope)]


def sampled(net: Network, scopes: Sequence[tuple[int, ...]], groups: int, seed: int) -> Sampled:
    """Posteriors of `scopes` (each within one factor) by blocked Gibbs. Same seed, same answer.

    Raises TooTangled where no chain finds a start that the records allow, or the chains don't meet.
    """
    rng = np.random.default_rng(seed)
    blocks = _blocks(net, rng)
    state = _start(net, groups, rng)
    sums = {
        s: np.zeros((groups, CHAINS, *(net.sizes[v] for v in s))) for s in dict.fromkeys(map(tuple, scopes))
    }
    for sweep in range(BURN_IN + SWEEPS):
        for block in blocks:
            done = _step(net, block, state)
            if not np.isfinite(done.log_evidence).all():
                raise TooTangled(net.order.entries)
            if sweep >= BURN_IN:
                for scope, total in sums.items():
                    _add(total, scope, block, done, state)
            _draw(block, done, state, rng)
    means = {scope: total / (SWEEPS * len(blocks)) for scope, total in sums.items()}
    single = [mean for scope, mean in means.items() if len(scope) == 1]
    error = max(float(mean.std(axis=1, ddof=1).max()) for mean in single) / np.sqrt(CHAINS)
    if error > ERROR_LIMIT:
        raise TooTangled(net.order.entries)
    return Sampled({scope: mean.mean(axis=1, keepdims=True) for scope, mean in means.items()}, float(error))


def _blocks(net: Network, rng: np.random.Generator) -> list[Block]:
    """Steps such that every variable is drawn in one of them at least; a graph that is narrow as it is needs but one."""
    blocks: list[Block] = []
    never = frozenset(range(len(net.sizes)))
    while never or (blocks[0].held and len(blocks) < BLOCKS):
        spared = never or frozenset(v for v in range(len(net.sizes)) if rng.random() < 0.5)
        block = _block(net, spared if blocks else frozenset())
        if never and never <= block.held:
            raise TooTangled(net.order.entries)
        blocks.append(block)
        never &= block.held
    return blocks


def _block(net: Network, spared: frozenset[int]) -> Block:
    """Holds the variables of the widest tables fixed, one after another, those not in `spared` first."""
    held: set[int] = set()
    while True:
        free = tuple(v for v in range(len(net.sizes)) if v not in held)
        place = {v: i for i, v in enumerate(free)}
        scopes = [tuple(place[v] for v in f.scope if v not in held) for f in net.factors]
        order = min_fill([s for s in scopes if s], [net.sizes[v] for v in free])
        if order.entries <= BLOCK_LIMIT:
            return Block(frozenset(held), free, order)
        load = np.zeros(len(net.sizes))
        for clique in order.cliques:
            members = [free[i] for i in clique]
            load[members] += np.prod([float(net.sizes[v]) for v in members])
        willing = [v for v in free if v not in spared and load[v] > 0] or list(free)
        held.add(max(willing, key=lambda v: (load[v], -v)))


def _start(net: Network, groups: int, rng: np.random.Generator) -> np.ndarray:
    """A state for every variable, groups x chains x variables, drawn one variable after another, parents first."""
    state = np.zeros((groups, CHAINS, len(net.sizes)), dtype=np.intp)
    known: set[int] = set()
    for variable in _parents_first(net):
        known.add(variable)
        logs = np.zeros((groups, CHAINS, net.sizes[variable]))
        for factor in net.factors:
            if variable in factor.scope and known.issuperset(factor.scope):
                logs = logs + _held(factor, frozenset(known - {variable}), state).logs
        state[:, :, variable] = _drawn(np.exp(logs - logs.max(axis=2, keepdims=True)), rng)
    return state


def _parents_first(net: Network) -> Iterator[int]:
    """Variables such that the parents of a young come before it."""
    first: list[int] = []
    hung = {factor.scope[2]: factor.scope[1] for factor in net.factors if len(factor.scope) == 3}
    for variable in net.variables.values():
        if hung.get(variable, variable) not in first and variable in hung:
            first.append(hung[variable])
        if variable not in first:
            first.append(variable)
    return iter([*first, *(v for v in range(len(net.sizes)) if v not in first)])


def _step(net: Network, block: Block, state: np.ndarray) -> Calibrated:
    """The exact posterior of what is free given what is held, chains as lanes."""
    place = {v: i for i, v in enumerate(block.free)}
    factors = []
    for factor in net.factors:
        reduced = _held(factor, block.held, state)
        if reduced.scope:
            factors.append(Factor(tuple(place[v] for v in reduced.scope), reduced.logs))
    return calibrate(block.order, [net.sizes[v] for v in block.free], factors)


def _held(factor: Factor, held: frozenset[int], state: np.ndarray) -> Factor:
    """A factor at the held variables' states: groups x chains x one axis a free variable."""
    fixed = [axis for axis, v in enumerate(factor.scope) if v in held]
    if not fixed:
        return factor
    free = [axis for axis in range(len(factor.scope)) if axis not in fixed]
    table = factor.logs[:, 0].transpose(0, *(1 + axis for axis in (*fixed, *free)))
    groups = (
        np.arange(state.shape[0])[:, None] if len(table) > 1 else np.zeros((state.shape[0], 1), dtype=np.intp)
    )
    picked = table[(groups, *(state[:, :, factor.scope[axis]] for axis in fixed))]
    return Factor(tuple(factor.scope[axis] for axis in free), picked)


def _add(
    total: np.ndarray, scope: tuple[int, ...], block: Block, done: Calibrated, state: np.ndarray
) -> None:
    """Adds the posterior of a scope, its held variables at their states."""
    place = {v: i for i, v in enumerate(block.free)}
    groups, chains = np.ogrid[: total.shape[0], : total.shape[1]]
    held = [axis for axis, v in enumerate(scope) if v in block.held]
    free = [v for v in scope if v not in block.held]
    moved = np.moveaxis(total, [LANES + axis for axis in held], range(LANES, LANES + len(held)))
    index = (groups, chains, *(state[:, :, scope[axis]] for axis in held))
    moved[index] += done.marginal([place[v] for v in free]) if free else 1.0


def _draw(block: Block, done: Calibrated, state: np.ndarray, rng: np.random.Generator) -> None:
    """Draws all free variables at once, from the last summed out to the first."""
    groups, chains = np.ogrid[: state.shape[0], : state.shape[1]]
    for clique in reversed(block.order.cliques):
        table = np.broadcast_to(
            done.marginal(clique), (*state.shape[:2], *done.marginal(clique).shape[LANES:])
        )
        table = np.moveaxis(table, LANES, -1)
        rest = tuple(state[:, :, block.free[i]] for i in clique[1:])
        state[:, :, block.free[clique[0]]] = _drawn(table[(groups, chains, *rest)], rng)


def _drawn(weights: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """One position along the last axis each, in proportion to the weights."""
    steps = weights.cumsum(axis=-1)
    aim = rng.random(steps.shape[:-1]) * steps[..., -1]
    return np.minimum((steps <= aim[..., None]).sum(axis=-1), weights.shape[-1] - 1)
