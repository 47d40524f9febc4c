"""Many goodness-of-fit tests at once: chi-square where Cochran's rule holds, the exact test or its simulation where not.

A case is a list of blocks, each an independent multinomial: young that could be read at the same genes. Chi-squares and
degrees of freedom add over blocks, and so do log-probabilities, which is what the exact test orders outcomes by.
"""

import zlib
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

import numpy as np
from scipy.special import chdtrc, gammaln

from pipeline.findings.ratios.multinomial import (
    Floats,
    OutcomeTable,
    distinct_outcomes,
    outcome_tables,
    simulated_logs,
    simulated_p,
)

DRAWS = 9_999
"""Simulated outcomes behind a Monte Carlo p-value: its standard error is at most 0.005."""
MOST_OUTCOMES = 20_000
"""Distinct outcomes up to which the exact test is enumerated (a few hundredths of a second)."""
CHEAP_OUTCOMES = 1_500
"""The same where the chi-square test is valid and the exact p-value only stands beside it."""
MOST_KEPT = 1_000_000
"""Distinct outcomes of all tables that are kept from one book to the next: some 24 MB."""

Ratio = tuple[float, ...]
"""The probabilities of a multinomial in ascending order: all that its exact test depends on."""


class Method(StrEnum):
    """Where the p-value of a verdict was taken from."""

    CHI_SQUARE = "chi-square"
    EXACT = "exact"
    MONTE_CARLO = "Monte Carlo"


@dataclass(frozen=True)
class Block:
    """Counts of one multinomial, with the probabilities of its classes (all above 0) and its ratio."""

    counts: Floats
    probabilities: Floats
    ratio: Ratio

    @property
    def n(self) -> int:
        """How many young."""
        return int(self.counts.sum())


def ratio_of(probabilities: Floats) -> Ratio:
    """The probabilities in ascending order, rounded so that equal ratios are one key."""
    return tuple(np.sort(probabilities).round(12).tolist())


Case = Sequence[Block]


@dataclass(frozen=True)
class Fit:
    """The answer to one case. `simulations` is 0 unless the method is Monte Carlo; df 0: nothing could vary."""

    n: int
    chi_square: float
    df: int
    p_chi_square: float
    p_exact: float | None
    method: Method
    log_likelihood: float
    simulations: int = 0

    @property
    def p(self) -> float:
        """The p-value of the verdict."""
        return self.p_chi_square if self.method is Method.CHI_SQUARE or self.p_exact is None else self.p_exact


@dataclass(frozen=True)
class _Sums:
    """Per case: young, Pearson's chi-square (1900: the sum of (observed - expected)² / expected), degrees of freedom,
    log-probability, and whether Cochran's rule holds. All arrays are (cases,).
    """

    n: Floats
    chi_square: Floats
    df: Floats
    logs: Floats
    cochran: np.ndarray


Group = tuple[tuple[Ratio, int], ...]
"""Blocks of a case by ratio and number of young: cases of one group share their outcomes."""
_kept: dict[tuple[Ratio, int], OutcomeTable] = {}
"""Tables by ratio and number of young: the litters of many keepers are alike."""


def fits(cases: Sequence[Case], *, seed: int) -> list[Fit]:
    """Test every case. Cases without young or with a single class have df 0 and p 1.

    Simulations depend on the seed and on the case's ratios alone, so neither the order of cases nor other cases matter.
    """
    if not cases:
        return []
    sums = _summed(cases)
    p_chi = np.where(sums.df > 0, chdtrc(np.maximum(sums.df, 1), sums.chi_square), 1.0)
    exact, simulations = _exact_p_values(cases, sums, seed)
    return [
        Fit(
            int(n),
            float(x),
            int(df),
            float(p),
            None if np.isnan(e) else float(e),
            _method(bool(c), int(m)),
            float(ll),
            int(m),
        )
        for n, x, df, p, e, c, m, ll in zip(
            sums.n, sums.chi_square, sums.df, p_chi, exact, sums.cochran, simulations, sums.logs, strict=True
        )
    ]


def _method(cochran: bool, simulations: int) -> Method:
    if cochran:
        return Method.CHI_SQUARE
    return Method.MONTE_CARLO if simulations else Method.EXACT


def _summed(cases: Sequence[Case]) -> _Sums:
    blocks = [b for case in cases for b in case]
    owner = np.repeat(np.arange(len(cases)), [len(case) for case in cases])
    size = np.array([len(b.counts) for b in blocks], dtype=int)
    cell = np.repeat(owner, size)
    counts = np.concatenate([b.counts for b in blocks] or [np.zeros(0)])
    shares = np.concatenate([b.probabilities for b in blocks] or [np.ones(0)])
    young = np.bincount(np.repeat(np.arange(len(blocks)), size), counts, len(blocks))
    expected = np.repeat(young, size) * shares

    def per_case(values: np.ndarray, where: np.ndarray = cell) -> np.ndarray:
        return np.bincount(where, values, len(cases))

    free = np.repeat(size > 1, size)
    safe = np.where(expected > 0, expected, 1.0)
    cells = np.maximum(per_case(free.astype(float)), 1)
    return _Sums(
        per_case(young, owner),
        per_case(np.where(expected > 0, (counts - expected) ** 2 / safe, 0.0)),
        per_case(np.where(young > 0, size - 1.0, 0.0), owner),
        per_case(gammaln(young + 1), owner) + per_case(counts * np.log(shares) - gammaln(counts + 1)),
        (per_case(free.astype(float)) > 0)
        & (per_case((free & (expected < 1)).astype(float)) == 0)
        & (per_case((free & (expected < 5)).astype(float)) <= 0.2 * cells),
    )


def _exact_p_values(cases: Sequence[Case], sums: _Sums, seed: int) -> tuple[Floats, np.ndarray]:
    """Exact or simulated p-values (NaN where not wanted) and the number of simulations behind each (0: exact)."""
    groups: dict[Group, list[int]] = defaultdict(list)
    for index, case in enumerate(cases):
        key = tuple(sorted((b.ratio, b.n) for b in case if len(b.ratio) > 1 and b.n))
        if not sums.cochran[index] or _outcomes(key) <= CHEAP_OUTCOMES:
            groups[key].append(index)
    cheap = {key for key in groups if _outcomes(key) <= MOST_OUTCOMES}
    tables = _tables(cheap)
    drawn = _simulations(set(groups) - cheap, seed)
    p, simulations = np.full(len(cases), np.nan), np.zeros(len(cases), dtype=int)
    for key, members in groups.items():
        if key in cheap:
            p[members] = _table_of(key, tables).tail(sums.logs[members])
        else:
            logs = _added(key, drawn)
            p[members] = [simulated_p(sums.logs[i], logs) for i in members]
            simulations[members] = len(logs)
    return p, simulations


@lru_cache(maxsize=16_384)
def _outcomes(key: Group) -> float:
    """Distinct outcomes of a case at most: the size of its table."""
    total = 1.0
    for ratio, n in key:
        total *= n + 1 if len(ratio) == 2 else distinct_outcomes(tuple(Counter(ratio).values()), n)
    return total


def _wanted(keys: set[Group]) -> dict[tuple[Ratio, int], set[int]]:
    """Numbers of young by ratio and by how often that ratio came before in its case (independent streams)."""
    wanted: dict[tuple[Ratio, int], set[int]] = defaultdict(set)
    for key in keys:
        for ratio, stream, n in _streams(key):
            wanted[ratio, stream].add(n)
    return wanted


def _streams(key: Group) -> list[tuple[Ratio, int, int]]:
    ratios = [ratio for ratio, _ in key]
    return [(ratio, ratios[:i].count(ratio), n) for i, (ratio, n) in enumerate(key)]


def _tables(keys: set[Group]) -> dict[tuple[Ratio, int], OutcomeTable]:
    wanted = {own for key in keys for own in key}
    found = {own: table for own in wanted if (table := _kept.get(own))}
    missing: dict[Ratio, set[int]] = defaultdict(set)
    for ratio, n in wanted - found.keys():
        missing[ratio].add(n)
    for ratio, totals in missing.items():
        tables = outcome_tables(np.array(ratio), totals)
        found |= {(ratio, n): table for n, table in tables.items()}
    if sum(len(table.logs) for table in _kept.values()) > MOST_KEPT:
        _kept.clear()
    _kept.update(found)
    return found


def _table_of(key: Group, tables: dict[tuple[Ratio, int], OutcomeTable]) -> OutcomeTable:
    table = OutcomeTable(np.zeros(1), np.ones(1))
    for own in key:
        table = table.combined(tables[own])
    return table


def _simulations(keys: set[Group], seed: int) -> dict[tuple[Ratio, int, int], Floats]:
    drawn = {}
    for (ratio, stream), totals in _wanted(keys).items():
        generator = np.random.default_rng([seed, stream, zlib.crc32(repr(ratio).encode())])
        for n, logs in simulated_logs(np.array(ratio), totals, DRAWS, generator).items():
            drawn[ratio, stream, n] = logs
    return drawn


def _added(key: Group, drawn: dict[tuple[Ratio, int, int], Floats]) -> Floats:
    return np.sum([drawn[part] for part in _streams(key)], axis=0)
