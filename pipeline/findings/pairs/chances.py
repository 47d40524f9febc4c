"""How often a pair's young reach a goal, or come nearer to it than both parents."""

from dataclasses import dataclass

import numpy as np

from pipeline.findings.pairs.goals import Goal, concerns, nearness, reached, wanted_copies
from pipeline.findings.pairs.mixtures import Mixture
from pipeline.findings.pairs.spaces import Groups, Side

_A_HAIR = 1e-6


@dataclass(frozen=True)
class Chances:
    """Of one goal, dams x sires: that one young is the goal, that a litter has one, that one young is nearer the goal than both
    parents."""

    one: np.ndarray
    litter: np.ndarray
    nearer: np.ndarray


def goal_chances(goal: Goal, groups: Groups, dams: Side, sires: Side, young: int) -> Chances:
    """The chances of every dam with every sire, a litter being `young` live young.

    Littermates share their parents, so the litter's chance is the mean of 1 - (1 - q)^young over what the parents may
    be, never that of the mean q. The parents' odds are independent, and so are linkage groups.
    """
    shape = (len(dams.ids), len(sires.ids))
    hit = Mixture.sure(1.0, shape, len(groups.sexes))
    for g, space in enumerate(groups.spaces):
        if concerns(goal, space):
            kinds = [space.kind(sex) for sex in groups.sexes]
            met = np.stack([space.trio(kind) @ reached(goal, space, kind) for kind in kinds], axis=-1)
            hit = hit.joined(Mixture.over_couples(met, dams.odds[g], sires.odds[g]), np.multiply)
    return Chances(
        hit.mean(lambda values: values.mean(axis=1)),
        hit.mean(lambda values: 1 - (1 - values.mean(axis=1)) ** young),
        nearer_than_both(goal, groups, dams, sires),
    )


def nearer_than_both(goal: Goal, groups: Groups, dams: Side, sires: Side) -> np.ndarray:
    """Dams x sires: the chance that one young is nearer the goal than the nearer parent, each parent taken at its likeliest."""
    bar = np.maximum(nearness_of(goal, groups, dams, "F")[:, None], nearness_of(goal, groups, sires, "M")[None, :])
    wanted = wanted_copies(goal, groups.catalogue.loci)
    found = np.zeros(bar.shape)
    for sex in groups.sexes:
        near = Mixture.sure(0.0, bar.shape)
        for g, space in enumerate(groups.spaces):
            if concerns(goal, space):
                near = near.joined(_of_young(nearness(wanted, space, space.kind(sex)), g, groups, dams, sires, sex), np.add)
        beyond = near.values[:, 0] > bar[..., None] + _A_HAIR
        found += (near.weights * beyond).sum(axis=-1) / len(groups.sexes)
    return found


def _of_young(values: np.ndarray, g: int, groups: Groups, dams: Side, sires: Side, sex: str | None) -> Mixture:
    """A value of the young's own state at group g as a mixture over pairs."""
    space = groups.spaces[g]
    distinct, place = np.unique(np.round(values, 9), return_inverse=True)
    chosen = np.eye(len(distinct))[place]
    table = space.trio(space.kind(sex)) @ chosen
    return Mixture(distinct[:, None], np.einsum("da,sb,abk->dsk", dams.odds[g], sires.odds[g], table, optimize=True))


def nearness_of(goal: Goal, groups: Groups, animals: Side, sex: str | None) -> np.ndarray:
    """How near each animal is to the goal (0..1), at every linkage group in its likeliest state."""
    wanted = wanted_copies(goal, groups.catalogue.loci)
    near = np.zeros(len(animals.ids))
    for g, space in enumerate(groups.spaces):
        if concerns(goal, space):
            near += nearness(wanted, space, space.kind(sex))[animals.odds[g].argmax(axis=1)]
    return near
