"""For pedigrees too tangled for exact tables: blocked Gibbs sampling, with the error it leaves.

What is narrow is summed out exactly once (narrowing.py). Of the core some variables are held fixed so that the rest falls
apart into narrow tables; the rest is drawn jointly from its exact posterior, then another set is held fixed, and so on
(Jensen, Kjaerulff & Kong 1995, "Blocking Gibbs sampling in very large probabilistic expert systems"; from memory).
What is averaged are the exact conditional posteriors of each step, not the draws. Chains run side by side from scattered
starts; their disagreement is the standard error, which can't tell of a possibility so rare that no chain came upon it. The
whole is bounded by WORK.
"""

from collections.abc import Sequence

import numpy as np

from pipeline.genetics.carriers.blocks import Block, Part, Step, blocks_of, drawn
from pipeline.genetics.carriers.elimination import Beliefs
from pipeline.genetics.carriers.factors import Factor
from pipeline.genetics.carriers.narrowing import Widened, narrowed
from pipeline.genetics.carriers.network import Network, TooTangled

CHAINS, BURN_IN, FEWEST, SWEEPS = 24, 2, 2, 8
"""Chains side by side; sweeps before any is averaged, half of all where work is short; sweeps averaged at first and at last."""
NARROW = 243
"""Table entries up to which a variable is summed out before anything is sampled."""
WIDEST = 120_000
"""Entries of the largest table of a step, over all linkage groups and chains."""
WORK = 1_000_000_000
"""Table entries of all steps of a family's answer (up to half a minute), with OVERHEAD for each clique's bookkeeping."""
OVERHEAD = 10_000


def sampled(net: Network, groups: int, seed: int, work: int = WORK, most: int = SWEEPS) -> Widened:
    """Posteriors by blocked Gibbs, one lane a chain, in `most` sweeps or as many as `work` allows. Same seed, same answer.

    `net.order` must leave over whatever is not narrow. Raises TooTangled where `work` does not suffice for two sweeps, or
    no start is found that the records allow.
    """
    narrow = narrowed(net.order, net.sizes, net.factors)
    scopes = tuple(factor.scope for factor in narrow.core)
    blocks = blocks_of(scopes, net.sizes, max(max(net.sizes), WIDEST // (groups * CHAINS)), seed)
    sweeps = min(BURN_IN + most, work // _cost(blocks, groups))
    if sweeps < 2:
        raise TooTangled(net.order.entries)
    unheard = min(BURN_IN, sweeps // 2)
    rng = np.random.default_rng(seed)
    steps = [Step(block, narrow.core, net.sizes) for block in blocks]
    totals = [np.zeros((groups, CHAINS, *(net.sizes[v] for v in scope))) for scope in scopes]
    state = _start(net, groups, rng)
    for sweep in range(sweeps):
        for step in steps:
            done = step.collected(state)
            if not np.isfinite(done.log_evidence).all():
                raise TooTangled(net.order.entries)
            before = state.copy()
            step.draw(done, state, rng)
            if sweep >= unheard:
                step.add(totals, done.calibrated(), before)
    means = [total / ((sweeps - unheard) * len(steps)) for total in totals]
    return Widened(narrow, Beliefs(scopes, means))


def _cost(blocks: Sequence[Block], groups: int) -> int:
    """Table entries of one sweep."""
    entries = sum(block.order.entries for block in blocks) * groups * CHAINS
    return entries + OVERHEAD * sum(len(block.order.cliques) for block in blocks) + 1


def _start(net: Network, groups: int, rng: np.random.Generator) -> np.ndarray:
    """A state for every variable, groups x chains x variables, drawn one variable after another, parents first."""
    state = np.zeros((groups, CHAINS, len(net.sizes)), dtype=np.intp)
    order = _parents_first(net)
    place = {variable: i for i, variable in enumerate(order)}
    complete: dict[int, list[Factor]] = {}
    for factor in net.factors:
        complete.setdefault(max(factor.scope, key=place.__getitem__), []).append(factor)
    for variable in order:
        logs = np.zeros((groups, CHAINS, net.sizes[variable]))
        for factor in complete.get(variable, ()):
            logs = logs + Part.of(factor, frozenset(factor.scope) - {variable}).at(state).logs
        state[:, :, variable] = drawn(np.exp(logs - logs.max(axis=2, keepdims=True)), rng)
    return state


def _parents_first(net: Network) -> list[int]:
    """All variables, such that the parents of a young come before it."""
    first: dict[int, None] = {}
    hung = {factor.scope[2]: factor.scope[1] for factor in net.factors if len(factor.scope) == 3}
    for variable in net.variables.values():
        if variable in hung:
            first.setdefault(hung[variable])
        first.setdefault(variable)
    first |= dict.fromkeys(v for v in range(len(net.sizes)) if v not in first)
    return list(first)
