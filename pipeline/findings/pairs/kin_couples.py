"""The joint odds of two animals of one family: the carriers engine asked about a litter that they might have.

A clutch without young says nothing, so the answer of the family stays as it is; but the engine then keeps the two
parents' genotypes together. Exact wherever the family is.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cache

import numpy as np

from pipeline.findings.pairs.spaces import Groups, in_order
from pipeline.genetics.carriers.families import Candidate, Clutch, Family
from pipeline.genetics.carriers.odds import Carriers
from pipeline.genetics.carriers.posterior import SAMPLED
from pipeline.genetics.carriers.solving import Solved, solve_family
from pipeline.genetics.carriers.stacks import stacks
from pipeline.genetics.collection import Animal, Collection

Pair = tuple[str, str]
_YOUNG = "\0young"


def joint_odds(
    carriers: Carriers, collection: Collection, pairs: Iterable[Pair]
) -> dict[Pair, tuple[np.ndarray, ...]]:
    """For each (dam, sire) of one family its couples: a linkage group's dam states x sire states, each summing to 1.

    Pairs of two families are left out, and those of families that were too tangled for exact work. Time is that of
    solving the family, for every pair anew.
    """
    home = carriers.family_of
    kin = [pair for pair in pairs if home[pair[0]] is home[pair[1]] and _exact(home[pair[0]])]
    settings, found = collection.settings, {}
    shapes = cache(lambda species: stacks(collection.catalogues[species], settings))
    groups = cache(lambda species: Groups.of(collection.catalogues[species]))
    for dam, sire in kin:
        family = home[dam].family
        with_litter = _with_litter(family, dam, sire)
        solved = solve_family(with_litter, shapes(family.species), settings, home[dam].guests)
        if solved.posterior is not None and solved.posterior.couples:
            tables = _couple(solved, groups(family.species))
            if all(np.isfinite(table).all() for table in tables):
                found[dam, sire] = tables
    return found


def _exact(solved: Solved) -> bool:
    return solved.posterior is not None and solved.posterior.method != SAMPLED


def _with_litter(family: Family, dam: str, sire: str) -> Family:
    """The family with one more clutch of one young, of which nothing is known but its parents."""
    young = Animal(_YOUNG, family.species, sire=sire, dam=dam)
    clutch = Clutch(("", f"{dam} x {sire}, to come"), dam, (Candidate(sire, 1.0, True),), (), (_YOUNG,))
    animals: Mapping[str, Animal] = {**family.animals, _YOUNG: young}
    return replace(family, animals=animals, clutches=(*family.clutches, clutch))


def _couple(solved: Solved, groups: Groups) -> tuple[np.ndarray, ...]:
    """The joint odds of the last clutch's parents, in the order of the catalogue's groups."""
    last = [
        np.broadcast_to(couples, (len(scores.stack.spaces), *couples.shape[1:]))[:, -1]
        for scores, couples in zip(solved.weighed.scores, solved.weighed.couples, strict=True)
    ]
    own = (last[part][place] for part, place in in_order(solved, groups))
    return tuple(table / table.sum() for table in own)
