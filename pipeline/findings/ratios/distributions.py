"""From expectations of single linkage groups to the multinomial of what was read: classes and their probabilities."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import prod
from typing import NamedTuple

import numpy as np

from pipeline.findings.ratios.multinomial import Floats
from pipeline.findings.ratios.nulls import Expectation, Look, Shares
from pipeline.findings.ratios.readings import Looks
from pipeline.findings.ratios.testing import Ratio, ratio_of
from pipeline.genetics.genes import SEXES, Sex

Readable = tuple[tuple[int, ...], ...]
"""For each linkage group of a question, which of its loci could be read (places among the loci asked about)."""


class YoungKind(NamedTuple):
    """A class of young: its sex where the sexes differ and are known, and its look at every locus that was read."""

    sex: Sex | None
    looks: Looks


@dataclass(frozen=True, eq=False)
class Distribution:
    """The possible classes, likeliest first, and their probabilities (all above 0, summing to 1)."""

    classes: tuple[YoungKind, ...]
    probabilities: Floats
    ratio: Ratio
    index: dict[YoungKind, int]


class Distributions:
    """Distributions by what they are made of, each worked out once."""

    def __init__(self) -> None:
        self._known: dict[tuple, Distribution] = {}
        self._marginal: dict[tuple[Expectation, tuple[int, ...]], tuple[Shares, Shares]] = {}

    def of(self, expectations: Sequence[Expectation], readable: Readable, *, by_sex: bool) -> Distribution:
        """Young of independent linkage groups, of which only the `readable` loci were read.

        With `by_sex` daughters and sons are classes apart, in the shares that live; otherwise they are mixed.
        """
        key = (tuple(expectations), readable, by_sex)
        if key not in self._known:
            self._known[key] = self._work_out(expectations, readable, by_sex)
        return self._known[key]

    def _work_out(
        self, expectations: Sequence[Expectation], readable: Readable, by_sex: bool
    ) -> Distribution:
        parts = [self._read(e, own) for e, own in zip(expectations, readable, strict=True)]
        alive = [prod(float(e.sexes[i]) for e in expectations) for i in range(2)]
        apart = by_sex or any(e.sexed for e in expectations)
        chances: dict[YoungKind, float] = {}
        for i, sex in enumerate(SEXES) if apart else [(0, None)]:
            share = alive[i] / sum(alive) if apart else 1.0
            for combination in product(*(part[i] for part in parts)):
                kind = YoungKind(
                    sex if by_sex else None, tuple(look for looks, _ in combination for look in looks)
                )
                chances[kind] = chances.get(kind, 0.0) + share * prod(float(p) for _, p in combination)
        ordered = sorted(chances.items(), key=_likeliest_first)
        classes = tuple(kind for kind, _ in ordered)
        shares = np.array([chance for _, chance in ordered])
        return Distribution(classes, shares, ratio_of(shares), {kind: i for i, kind in enumerate(classes)})

    def _read(self, expectation: Expectation, kept: tuple[int, ...]) -> tuple[Shares, Shares]:
        key = (expectation, kept)
        if key not in self._marginal:
            first, second = (_marginal(shares, kept) for shares in expectation.looks)
            self._marginal[key] = (first, second)
        return self._marginal[key]


def _likeliest_first(item: tuple[YoungKind, float]) -> tuple:
    """Then daughters, then the plainest, then in the order of the loci."""
    kind, chance = item
    shown = [bool(look) for look in kind.looks]
    return -round(chance, 12), kind.sex or "", sum(shown), [not own for own in shown], kind.looks


def _marginal(shares: Shares, kept: tuple[int, ...]) -> Shares:
    summed: dict[Look, Fraction] = {}
    for look, share in shares:
        own = tuple(look[i] for i in kept)
        summed[own] = summed.get(own, Fraction(0)) + share
    return tuple(summed.items())
