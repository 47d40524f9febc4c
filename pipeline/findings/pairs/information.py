"""How much a litter would tell of what its parents hide: mutual information, in bits.

Expected information is the expected fall of the entropy of the parents' genotypes when the looks of one typical litter
are known: H(parents) - E H(parents | litter) = H(litter) - H(litter | parents) (Shannon 1948; Cover & Thomas, Elements
of Information Theory, section 2.4, from memory). Looks are misread as often as the Settings say; genes that show later
tell nothing; the sex of young is taken as seen where genes are sex-linked. Linkage groups are independent and add up.
"""

from collections.abc import Iterator
from itertools import product
from math import comb, lgamma

import numpy as np

from pipeline.findings.pairs.couples import Couples
from pipeline.findings.pairs.mixtures import distinct, one_of
from pipeline.findings.pairs.spaces import Groups
from pipeline.genetics.carriers.evidence import misread_at, viable_genotypes
from pipeline.genetics.carriers.spaces import Kind, Space
from pipeline.genetics.collection import Settings
from pipeline.genetics.haplotypes import genotype

ENUMERATED = 3_000
"""Litters, as counts of young by look, that are enumerated; with more, DRAWN litters of each kind of parents are drawn."""
DRAWN = 400


def information(groups: Groups, couples: Couples, young: int, settings: Settings) -> np.ndarray:
    """Bits that a litter of `young` would tell of its parents' genotypes: pairs x linkage groups.

    Exact where a litter has at most ENUMERATED outcomes at a group, else by simulation with the book's seed (standard
    error about 0.02 bits).
    """
    found = np.zeros((couples.size, len(groups.spaces)))
    for g, space in enumerate(groups.spaces):
        table = look_chances(space, groups, settings)
        kinds, place = distinct(table.reshape(-1, table.shape[-1]))
        alike, pairs = couples.weigh_once(g, one_of(place, len(kinds)).reshape(*table.shape[:2], -1))
        found[:, g] = told(alike, kinds, young, settings.seed)[pairs]
    return found


def look_chances(space: Space, groups: Groups, settings: Settings) -> np.ndarray:
    """Chance of each look that can be told of one young: dam states x sire states x looks (sexes apart where they differ)."""
    sexes = groups.sexes if space.single_sex else (None,)
    parts = [space.young(sex) @ _said(space, space.kind(sex), settings) / len(sexes) for sex in sexes]
    return np.concatenate(parts, axis=-1)


def _said(space: Space, kind: Kind, settings: Settings) -> np.ndarray:
    """What is read of young in each state, misreadings counted: states x looks."""
    readable = [(i, locus) for i, locus in enumerate(space.group.loci) if not locus.later]
    single = kind is Kind.ONE
    seen = [
        list(dict.fromkeys(map(locus.appearance, viable_genotypes(locus, single=single))))
        for _, locus in readable
    ]
    looks = list(product(*seen))
    said = np.ones((len(space.states[kind]), len(looks)))
    for (row, state), (column, look) in product(enumerate(space.states[kind]), enumerate(looks)):
        for (i, locus), shown, others in zip(readable, look, seen, strict=True):
            if len(others) > 1:
                error = misread_at(locus, settings.misread)
                true = locus.appearance(genotype(state, i)) == shown
                said[row, column] *= 1 - error if true else error / (len(others) - 1)
    return said


def told(weights: np.ndarray, chances: np.ndarray, young: int, seed: int) -> np.ndarray:
    """Bits told of which kind of parents a litter has. `weights` (pairs x kinds) before it; `chances` (kinds x looks)."""
    if len(chances) == 1 or not young:
        return np.zeros(len(weights))
    looks = chances.shape[1]
    if comb(young + looks - 1, looks - 1) <= ENUMERATED:
        litters = np.exp(_log_chances(np.array(list(_counts(young, looks))), chances))
        return _enumerated(weights, litters)
    return _simulated(weights, chances, young, np.random.default_rng(seed))


def _enumerated(weights: np.ndarray, litters: np.ndarray) -> np.ndarray:
    """`litters` (kinds x litters) are probabilities."""
    return np.maximum(_entropy(weights @ litters) - weights @ _entropy(litters), 0.0)


def _simulated(weights: np.ndarray, chances: np.ndarray, young: int, rng: np.random.Generator) -> np.ndarray:
    found = np.zeros(len(weights))
    for kind, own in enumerate(chances):
        drawn = rng.multinomial(young, own / own.sum(), size=DRAWN)
        logs = _log_chances(drawn, chances)
        top = logs.max(axis=0)
        mixed = np.log(np.maximum(weights @ np.exp(logs - top), 1e-300)) + top
        found += weights[:, kind] * (logs[kind] - mixed).mean(axis=1)
    return np.maximum(found, 0.0) / np.log(2)


def _counts(young: int, looks: int) -> Iterator[tuple[int, ...]]:
    """Every way to share `young` among `looks`."""
    if looks == 1:
        yield (young,)
        return
    for first in range(young + 1):
        for rest in _counts(young - first, looks - 1):
            yield (first, *rest)


def _log_chances(counts: np.ndarray, chances: np.ndarray) -> np.ndarray:
    """Log multinomial probability of each litter (rows of `counts`) under each kind: kinds x litters."""
    ways = np.array([lgamma(row.sum() + 1) - sum(lgamma(n + 1) for n in row) for row in counts])
    logs = np.log(np.maximum(chances, 1e-300))
    return ways + logs @ counts.T


def _entropy(chances: np.ndarray) -> np.ndarray:
    """Bits, over the last axis."""
    return -(chances * np.log2(np.maximum(chances, 1e-300))).sum(axis=-1)
