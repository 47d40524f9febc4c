"""The resolutions of a question: every way to fill what the parents' labels leave open.

The null of a pairing whose labels leave room is composite: it holds if one of its resolutions does.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import log, prod

from pipeline.findings.ratios.nulls import Expectation, Nulls, Pairs, Place, sires
from pipeline.findings.ratios.readings import Readings
from pipeline.genetics.collection import Pairing
from pipeline.genetics.genes import SEXES

MOST = 64
"""Resolutions of one question at most; see `resolutions`."""
_RULED_OUT = -1e6
"""What a young that can't be takes from a log-likelihood: more than all that can be do together."""

Group = tuple[int, tuple[int, ...], tuple[int, ...]]
"""A linkage group of a question: its number, the positions asked about, and the loci at those positions."""


@dataclass(frozen=True, eq=False)
class Resolution:
    """One way to fill what the labels leave open, for the loci of one question.

    `expectations` hold an entry for each linkage group the question touches. `by_sire` tells, for each sire that
    can have such young, which diplotypes of dam and sire lead to them, group by group.
    """

    expectations: tuple[Expectation, ...]
    by_sire: Mapping[str, tuple[Pairs, ...]]


def groups_of(places: Sequence[Place]) -> tuple[Group, ...]:
    """The linkage groups that some loci belong to, with the positions of the loci in each."""
    found: dict[int, list[Place]] = {}
    for place in sorted(places, key=lambda place: (place.group, place.position)):
        found.setdefault(place.group, []).append(place)
    return tuple((g, tuple(p.position for p in own), tuple(p.locus for p in own)) for g, own in found.items())


def resolutions(
    nulls: Nulls, pairing: Pairing, groups: Sequence[Group], young: Readings
) -> tuple[Resolution, ...]:
    """The distinct resolutions for these loci: each sire by each combination of what the groups leave open.

    All of them while they are at most `MOST`. Beyond that the expectations of each group are ranked by likelihood of
    the young at that group alone and the least likely dropped, wherever they cost least, until the product fits; the
    maximum over the rest is then the maximum over all but resolutions that were far behind at one group already.
    """
    merged: dict[tuple[Expectation, ...], dict[str, tuple[Pairs, ...]]] = {}
    fathers = sires(pairing)
    for sire in fathers:
        options = [nulls.group_expectations(pairing, sire, g, kept) for g, kept, _ in groups]
        for choice in product(*_likeliest(options, groups, young, max(1, MOST // len(fathers)))):
            pairs = tuple(own[expectation] for own, expectation in zip(options, choice, strict=True))
            merged.setdefault(choice, {})[sire] = pairs
    return tuple(Resolution(choice, by_sire) for choice, by_sire in merged.items())


def _likeliest(
    options: Sequence[Mapping[Expectation, Pairs]], groups: Sequence[Group], young: Readings, most: int
) -> list[list[Expectation]]:
    kept = [list(own) for own in options]
    if prod(map(len, kept)) <= most:
        return kept
    losses = []
    for own, (_, _, loci) in zip(kept, groups, strict=True):
        fit = {expectation: _log_likelihood(expectation, loci, young) for expectation in own}
        best = max(fit.values())
        own.sort(key=lambda expectation: fit[expectation], reverse=True)
        losses.append({expectation: best - fit[expectation] for expectation in own})
    while prod(map(len, kept)) > most:
        worst = max((i for i, own in enumerate(kept) if len(own) > 1), key=lambda i: losses[i][kept[i][-1]])
        kept[worst].pop()
    return kept


def _log_likelihood(expectation: Expectation, loci: Sequence[int], young: Readings) -> float:
    """Log-likelihood of the young that could be read at every one of the loci, `_RULED_OUT` for each that can't be."""
    seen: Counter = Counter()
    for reading, count in young.items():
        looks = tuple(reading.looks[locus] for locus in loci)
        if None not in looks:
            seen[reading.sex, looks] += count
    by_sex = [dict(shares) for shares in expectation.looks]
    total = 0.0
    for (sex, looks), count in seen.items():
        given = [sex] if sex else SEXES
        chance = sum(expectation.sexes[SEXES.index(s)] * by_sex[SEXES.index(s)].get(looks, 0) for s in given)
        total += count * (log(chance) if chance else _RULED_OUT)
    return total
