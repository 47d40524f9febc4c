"""The recombination fraction of two loci from the young of one pair, by maximum likelihood.

Every class's probability is at most quadratic in the recombination fraction r (each parent gives a gamete linear in
r), so three exact crosses, at r = 0, 1/4 and 1/2, determine it for all r: test crosses, F2 and anything between.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import product

import numpy as np

from pipeline.findings.ratios.multinomial import Floats
from pipeline.genetics.crosses import CrossError, Diplotype, Parent, cross, genotype
from pipeline.genetics.genes import SEXES, Appearance, Catalogue, Locus, Sex, SexChromosomes

Kind = tuple[Sex | None, Appearance, Appearance]
_RATES = (Fraction(0), Fraction(1, 4), Fraction(1, 2))
_GRID = np.linspace(0.0, 0.5, 501)
_DROP = 1.9207
"""Half of the 95 % point of chi-square with 1 df: the profile-likelihood interval is where less is lost."""
_MOST_PHASES = 32


@dataclass(frozen=True)
class Recombination:
    """r (0 to 0.5), its 95 % profile-likelihood interval, the likelier phase, and the log-likelihood at r."""

    fraction: float
    low: float
    high: float
    phase: str
    log_likelihood: float


def recombination(
    catalogue: Catalogue,
    loci: tuple[Locus, Locus],
    parents: Iterable[tuple[Diplotype, Diplotype]],
    young: Mapping[Kind, int],
) -> Recombination | None:
    """The likeliest r over all pairs of diplotypes given (dam, sire; each of the two loci alone).

    None where neither parent is doubly heterozygous, so that r leaves no trace, or where the possibilities are too
    many. Of phases equally likely (an F2 in repulsion, or in coupling in one parent only) the first given is taken.
    """
    best: Recombination | None = None
    pairs = list(dict.fromkeys(parents))
    if len(pairs) > _MOST_PHASES:
        return None
    for pair in pairs:
        curves = _curves(catalogue, loci, pair, tuple(young))
        if curves is None:
            continue
        found = _fitted(curves, np.array(list(young.values()), dtype=float), _phase(pair))
        if best is None or found.log_likelihood > best.log_likelihood + 1e-9:
            best = found
    return best


def phases(dams: Iterable[Diplotype], sires: Iterable[Diplotype]) -> list[tuple[Diplotype, Diplotype]]:
    """All phases of these diplotypes of two loci, pairs in the same phase first."""
    dam, sire = ([own for diplotype in given for own in _rephased(diplotype)] for given in (dams, sires))
    pairs = list(dict.fromkeys(product(dam, sire)))
    return sorted(pairs, key=lambda pair: len({word for own in pair if (word := _phase_of(own))}))


def _rephased(diplotype: Diplotype) -> list[Diplotype]:
    if len(diplotype) == 1:
        return [diplotype]
    (a, b), (c, d) = diplotype
    return list(dict.fromkeys([_sorted((a, b), (c, d)), _sorted((a, d), (c, b))]))


def _sorted(one: tuple[int, ...], other: tuple[int, ...]) -> Diplotype:
    return tuple(sorted((one, other)))


def _phase_of(diplotype: Diplotype) -> str:
    """'coupling' where the variants of both loci lie on one strand, 'repulsion' where apart, '' where it can't matter."""
    if len(diplotype) == 1 or any(len(set(genotype(diplotype, i))) == 1 for i in range(2)):
        return ""
    return "coupling" if diplotype[0][1] < diplotype[1][1] else "repulsion"


def _phase(pair: Sequence[Diplotype]) -> str:
    words = [_phase_of(own) for own in pair]
    told = {word for word in words if word}
    if len(told) == 2:
        return f"{words[0]} in the dam, {words[1]} in the sire"
    return told.pop() if told else ""


def _curves(
    catalogue: Catalogue, loci: tuple[Locus, Locus], pair: tuple[Diplotype, Diplotype], kinds: Sequence[Kind]
) -> Floats | None:
    """Coefficients of 1, r, r² for each kind's share of all zygotes, and last for the share that lives.

    None where nothing depends on r or where a kind that came can't.
    """
    values = []
    for rate in _RATES:
        shares = _shares(loci, catalogue.sex_chromosomes, pair, rate)
        if shares is None:
            return None
        values.append([_share_of(kind, shares) for kind in kinds] + [sum(shares.values())])
    at_0, at_quarter, at_half = np.array(values)
    bend = 8 * (at_0 - 2 * at_quarter + at_half)
    slope = 2 * (at_half - at_0) - bend / 2
    constant = np.abs(slope[:-1]).max(initial=0) < 1e-12 and np.abs(bend[:-1]).max(initial=0) < 1e-12
    never = (np.array(values)[:, :-1].max(axis=0) <= 0).any()
    return None if constant or never else np.stack([at_0, slope, bend])


def _share_of(kind: Kind, shares: Mapping[Kind, float]) -> float:
    sex, one, other = kind
    return sum(shares.get((own, one, other), 0.0) for own in ([sex] if sex else SEXES))


@lru_cache(maxsize=8192)
def _shares(
    loci: tuple[Locus, Locus], system: SexChromosomes, pair: tuple[Diplotype, Diplotype], rate: Fraction
) -> Mapping[Kind, float] | None:
    """Shares of all zygotes by sex and looks, at one recombination fraction; those that die are missing."""
    first, *rest = (
        replace(gene, linked_locus=None, recombination=None) for locus in loci for gene in locus.genes
    )
    linked = replace(first, linked_locus=loci[1].genes[0].name, recombination=float(rate))
    alone = Catalogue("", (linked, *rest), system)
    group = alone.groups[0]
    dam, sire = (Parent(sex, ({own: Fraction(1)},)) for sex, own in zip(SEXES, pair, strict=True))
    try:
        young = cross(dam, sire, alone)
    except CrossError:
        return None
    shares: dict[Kind, float] = {}
    for sex in SEXES:
        for diplotype, weight in young.young[sex][0].items():
            one, other = (locus.appearance(genotype(diplotype, i)) for i, locus in enumerate(group.loci))
            kind = (sex, one, other)
            shares[kind] = shares.get(kind, 0.0) + float(young.sexes[sex] * weight * (1 - young.lost))
    return shares


def _log_likelihood(curves: Floats, counts: Floats, rates: Floats) -> Floats:
    values = curves[0][:, None] + curves[1][:, None] * rates + curves[2][:, None] * rates**2
    with np.errstate(divide="ignore", invalid="ignore"):
        logs = np.log(np.maximum(values[:-1], 0.0)) - np.log(values[-1])
    return np.where(counts[:, None] > 0, counts[:, None] * logs, 0.0).sum(axis=0)


def _fitted(curves: Floats, counts: Floats, phase: str) -> Recombination:
    def at(rates: Floats) -> Floats:
        return _log_likelihood(curves, counts, rates)

    rate = _highest(at, float(_GRID[np.argmax(at(_GRID))]))
    top = float(at(np.array([rate]))[0])
    inside = _GRID[at(_GRID) >= top - _DROP]
    ends = (inside.min(initial=rate), inside.max(initial=rate))
    low, high = (_edge(at, float(end), step, top - _DROP) for end, step in zip(ends, (-1, 1), strict=True))
    return Recombination(rate, low, high, phase, top)


def _highest(at, start: float) -> float:
    """The maximum next to a point of the grid, by closing in on finer and finer grids."""
    width = float(_GRID[1])
    for _ in range(6):
        rates = np.linspace(max(0.0, start - width), min(0.5, start + width), 41)
        start, width = float(rates[np.argmax(at(rates))]), width / 15
    return start


def _edge(at, inside: float, step: int, floor: float) -> float:
    """Where the log-likelihood falls below the floor, between a point above it and its neighbour on the grid."""
    outside = min(0.5, max(0.0, inside + step * float(_GRID[1])))
    for _ in range(5):
        rates = np.linspace(inside, outside, 33)
        above = at(rates) >= floor
        if above.all():
            return float(rates[-1])
        last = int(np.argmin(above)) - 1
        inside, outside = float(rates[max(last, 0)]), float(rates[max(last, 0) + 1])
    return inside
