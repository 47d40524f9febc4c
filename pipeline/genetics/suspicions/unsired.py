"""Clutches without any sire: young of an unmated dam, all female and homozygous.

The prior of 'no sire at all' is a twentieth of `Wrong sire`, taken evenly from all sires of the clutch (no measured
rate is known to us; a convention of this project). The other shares are method's: an earlier mate is one of the keeper's
other males and has an even share of their half, no more. A young sexed male rules it out.
"""

from dataclasses import replace
from math import log

import numpy as np

from pipeline.genetics.carriers.families import Candidate, Family, Half
from pipeline.genetics.carriers.posterior import Posterior
from pipeline.genetics.carriers.scores import Scores, logs
from pipeline.genetics.collection import Animal, Outcome, Settings
from pipeline.genetics.genes import Sex

SHARE = 0.05
"""Of `Wrong sire`: how much is for no sire at all."""
PSEUDO = "\0young"
"""Begins the ID of a young that has no record of its own: PSEUDO / clutch / tally / number."""


def prior_odds(settings: Settings) -> float:
    """ln of the prior odds of no sire against any; -inf where `Wrong sire` is 0."""
    share = SHARE * settings.wrong_sire
    return log(share / (1 - share)) if share else float("-inf")


def can_be_unsired(family: Family, k: int) -> bool:
    """Whether a clutch has young, and none of them a male."""
    clutch = family.clutches[k]
    sexes = [young.sex for young in clutch.tallies if young.outcome is not Outcome.SLUG]
    sexes += [sex_of(family, child) for child in clutch.children]
    sires = {male for other in family.clutches for male in other.recorded}
    return bool(sexes) and "M" not in sexes and sires.isdisjoint(clutch.children)


def sexed_daughters(family: Family, k: int) -> int:
    """Young of a hatched clutch that were sexed, all female; kept ones alone, chosen by the keeper, count for nothing."""
    clutch = family.clutches[k]
    if not clutch.key[0]:
        return 0
    tallied = sum(y.count for y in clutch.tallies if y.sex == "F" and y.outcome is not Outcome.SLUG)
    return tallied + sum(sex_of(family, child) == "F" for child in clutch.children)


def without_sire(family: Family, k: int) -> Family:
    """The family with one clutch of its dam alone. The clutch stays in place, empty; its young hang on the dam."""
    clutch = family.clutches[k]
    animals, looks = dict(family.animals), dict(family.looks)
    born = list(clutch.children)
    for j, young in enumerate(clutch.tallies):
        if young.label is None or young.outcome is Outcome.SLUG:
            continue
        for number in range(young.count):
            name = f"{PSEUDO}/{k}/{j}/{number}"
            animals[name] = Animal(name, family.species, young.sex)
            looks[name] = replace(young, animal=name, count=1)
            born.append(name)
    sole = clutch.recorded[0] if clutch.recorded else None
    nobody = (Candidate(sole, 1.0, sole is not None),)
    emptied = replace(clutch, candidates=nobody, tallies=(), children=())
    clutches = (*family.clutches[:k], emptied, *family.clutches[k + 1 :])
    halves = (*family.halves, *(Half(name, clutch.dam, "F", alone=True) for name in born))
    return replace(family, animals=animals, clutches=clutches, halves=halves, looks=looks)


def odds_alone(family: Family, posterior: Posterior, settings: Settings) -> dict[int, float]:
    """ln odds of no sire for each clutch that can have had none, by what its childless young say of its own dam."""
    base = prior_odds(settings)
    able = [k for k in range(len(family.clutches)) if base > -np.inf and can_be_unsired(family, k)]
    if not able or not posterior.couples:
        return {}
    odds = np.full(len(family.clutches), base)
    for scores, couples in zip(posterior.scores, posterior.couples, strict=True):
        odds = odds + _said(scores, couples)
    return {k: float(odds[k] + log(2) * sexed_daughters(family, k)) for k in able}


def _said(scores: Scores, couples: np.ndarray) -> np.ndarray:
    """Per clutch, ln of P(its childless young | no sire) over P(the same | as solved), summed over groups."""
    alone = np.zeros((*scores.couples.shape[:3], 1))
    for fold in scores.folds:
        given = np.einsum("gdy,gny->gnd", scores.stack.from_none(fold.kind), fold.said)
        said = (logs(given) * fold.counts[:, None])[..., None]
        np.add.at(alone, (slice(None), fold.clutch), said)  # type: ignore[arg-type]  # its stub knows no slices
    with np.errstate(invalid="ignore"):
        ratio = np.where(couples > 0, np.exp(np.minimum(alone - scores.couples, 600)), 0)
    return logs((couples * ratio).sum(axis=(2, 3))).sum(axis=0)


def sex_of(family: Family, animal: str) -> Sex | None:
    """The sex of an animal by its own record, else by its hatch row."""
    look = family.looks.get(animal)
    return family.animals[animal].sex or (look.sex if look else None)
