"""How long it must take at the least from an animal to the goal, were every mate to be had that could be.

With every mate at hand the pairs fall apart into single animals, and the least time of each is a plain shortest way over
generations. What costs more than the best way found less that time leads to no better one.
"""

from collections.abc import Mapping
from functools import reduce

import numpy as np

from pipeline.genetics.genes import SEXES, Sex
from pipeline.genetics.routes.blocks import Blocks
from pipeline.genetics.routes.timing import Timing, at_least_one

MOST_STATES = 1_500
"""Up to so many states of a sex whole generations are reckoned; of more, one at the least is taken to pass."""


def still_to_come(blocks: Blocks, timing: Timing) -> Mapping[Sex, np.ndarray]:
    """By sex and state, seasons that surely pass from the first litter of such an animal to the goal."""
    direct = {sex: timing.waits(_arrives(blocks, sex, timing.litter)) for sex in SEXES}
    if max(len(own) for own in direct.values()) > MOST_STATES:
        soonest = min(timing.growth.values())
        return {sex: np.minimum(own, soonest) for sex, own in direct.items()}
    onward = {
        (sex, young): timing.growth[young] + _waits(blocks, sex, young, timing)
        for sex in SEXES
        for young in SEXES
    }
    least = direct
    while True:
        before = least
        least = {
            sex: np.minimum.reduce(
                [before[sex], *((onward[sex, young] + before[young]).min(axis=1) for young in SEXES)]
            )
            for sex in SEXES
        }
        if all((least[sex] == before[sex]).all() for sex in SEXES):
            return least


def _waits(blocks: Blocks, sex: Sex, young: Sex, timing: Timing) -> np.ndarray:
    """By state of the parent and of the young, seasons in vain before that young, with the mate that gives most of it."""
    best = (table.young.max(axis=1 if sex == "F" else 0) for table in blocks.tables[young])
    share = reduce(np.kron, best) / 2
    return timing.waits(at_least_one(share, timing.litter))


def _arrives(blocks: Blocks, sex: Sex, litter: float) -> np.ndarray:
    """By state, a chance that a litter holds the goal, with the mate that gives most of it: no mate gives more."""
    share: np.ndarray | float = 0.0
    for sexes in blocks.alike:
        best = [
            table.young[:, :, table.wanted].sum(axis=2).max(axis=1 if sex == "F" else 0)
            for table in blocks.tables[sexes[0]]
        ]
        share = share + len(sexes) / 2 * reduce(np.kron, best)
    return at_least_one(np.minimum(share, 1), litter)
