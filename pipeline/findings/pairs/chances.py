"""How often a pair's young reach a goal, or come nearer to it than both parents."""

from dataclasses import dataclass

import numpy as np

from pipeline.findings.pairs.couples import Couples
from pipeline.findings.pairs.goals import Goal, concerns, nearness, reached, wanted_copies
from pipeline.findings.pairs.mixtures import Mixture, distinct, one_of
from pipeline.findings.pairs.spaces import Groups
from pipeline.genetics.genes import SEXES

_A_HAIR = 1e-6


@dataclass(frozen=True)
class Chances:
    """Of one goal, by pair: that one young is the goal, that a litter has one, that one young is nearer than both parents."""

    one: np.ndarray
    litter: np.ndarray
    nearer: np.ndarray


def goal_chances(goal: Goal, groups: Groups, couples: Couples, young: int) -> Chances:
    """The chances of each pair, a litter being `young` live young.

    Littermates share their parents, so the litter's chance is the mean of 1 - (1 - q)^young over what the parents may
    be, never that of the mean q.
    """
    hit = Mixture.sure(1.0, couples.size, len(groups.sexes))
    for g, space in enumerate(groups.spaces):
        if concerns(goal, space) or space.sexes("F") is not None:
            kinds = [(space.young(sex), space.kind(sex)) for sex in groups.sexes]
            met = np.stack([young @ reached(goal, space, kind) for young, kind in kinds], axis=-1)
            hit = hit.joined(_over_couples(met, g, couples), np.multiply)
    return Chances(
        hit.mean(lambda values: values.mean(axis=1)),
        hit.mean(lambda values: 1 - (1 - values.mean(axis=1)) ** young),
        nearer_than_both(goal, groups, couples),
    )


def _over_couples(table: np.ndarray, group: int, couples: Couples) -> Mixture:
    """What each couple of states gives (dam states x sire states x m), weighed by the pairs' odds."""
    values, place = distinct(table.reshape(-1, table.shape[-1]))
    chosen = one_of(place, len(values)).reshape(*table.shape[:2], -1)
    return Mixture(values, couples.weigh(group, chosen))


def nearer_than_both(goal: Goal, groups: Groups, couples: Couples) -> np.ndarray:
    """By pair the chance that one young is nearer the goal than the nearer parent, each parent taken at its likeliest."""
    wanted = wanted_copies(goal, groups.catalogue.loci)
    named = [g for g, space in enumerate(groups.spaces) if concerns(goal, space)]
    parents = np.zeros((2, couples.size))
    for g in named:
        for side, (parent, state) in enumerate(zip(SEXES, couples.likeliest(g), strict=True)):
            space = groups.spaces[g]
            parents[side] += nearness(wanted, space, space.kind(parent))[state]
    found = np.zeros(couples.size)
    for sex in groups.sexes:
        near = Mixture.sure(0.0, couples.size)
        for g in named:
            space = groups.spaces[g]
            values, place = distinct(nearness(wanted, space, space.kind(sex))[:, None])
            table = space.young(sex) @ one_of(place, len(values))
            near = near.joined(Mixture(values, couples.weigh(g, table)), np.add)
        beyond = near.values[:, 0] > parents.max(axis=0)[:, None] + _A_HAIR
        found += (near.weights * beyond).sum(axis=1) / len(groups.sexes)
    return found
