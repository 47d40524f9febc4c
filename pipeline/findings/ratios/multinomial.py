"""The goodness-of-fit mathematics: chi-square's tail, Cochran's rule, the exact multinomial test and its simulation.

'Exact' orders outcomes by probability: the p-value sums every outcome no likelier than the observed one (of the three
orderings in use, the others being by likelihood ratio and by chi-square). Probabilities of outcomes within a factor of
1 + 1e-7 count as tied.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtrc, gammaln

Floats = NDArray[np.float64]
TIE = 1e-7
_FEW_CLASSES = 48
"""Classes up to which a simulation keeps a count of each; beyond, it looks back at the young drawn so far, which is then
quicker (measured with 10,000 draws)."""
_SAME = 1e-9
"""Logarithms of probabilities closer than this are one value: equal ones differ by rounding alone."""


def chi_square_tail(statistic: float, df: int) -> float:
    """P(chi-square with df degrees of freedom >= statistic); 1 where nothing is free."""
    return float(chdtrc(df, max(statistic, 0.0))) if df else 1.0


def cochran_holds(expected: Floats) -> bool:
    """Cochran's rule (1954): no expected count under 1 and at most a fifth of them under 5."""
    return bool(expected.min() >= 1 and (expected < 5).mean() <= 0.2)


@dataclass(frozen=True)
class OutcomeTable:
    """Every outcome of one multinomial: different log-probabilities in ascending order and how many outcomes have each."""

    logs: Floats
    ways: Floats

    @cached_property
    def cumulative(self) -> Floats:
        """Probability of an outcome no likelier than each entry of `logs`."""
        return np.cumsum(self.ways * np.exp(self.logs))

    def tail(self, logs: Floats | float) -> Floats:
        """The exact p-values of outcomes with these log-probabilities, of their shape."""
        reached = np.searchsorted(self.logs, np.asarray(logs) + TIE, side="right")
        return np.minimum(1.0, np.where(reached > 0, self.cumulative[np.maximum(reached, 1) - 1], 0.0))

    def combined(self, other: "OutcomeTable") -> "OutcomeTable":
        """The table of two independent multinomials together; its size is at most the product of theirs."""
        logs = (self.logs[:, None] + other.logs).ravel()
        ways = (self.ways[:, None] * other.ways).ravel()
        return OutcomeTable(*_merged(logs, ways))


@lru_cache(maxsize=4096)
def distinct_outcomes(multiplicities: tuple[int, ...], n: int) -> float:
    """How many outcomes of n young differ in probability at most, where classes of one probability are alike.

    Counts partitions: classes of one probability, `multiplicities` of them, contribute the partitions of their young
    into at most that many parts. The size of an OutcomeTable, known before it is built.
    """
    ways = np.zeros(n + 1)
    ways[0] = 1
    for alike in multiplicities:
        for part in range(1, alike + 1):
            for start in range(min(part, n + 1)):
                ways[start::part] = np.cumsum(ways[start::part])
    return float(ways[n])


def outcome_tables(probabilities: Floats, totals: Iterable[int]) -> dict[int, OutcomeTable]:
    """The outcome tables of one ratio for several numbers of young, built class by class.

    A state is (young used so far, log-probability so far); states that agree are merged, so the cost grows with the
    distinct values and not with the outcomes. All totals share every class but the last.
    """
    wanted = sorted(set(totals))
    most = wanted[-1]
    factorials = gammaln(np.arange(most + 1) + 1.0)
    used, logs, ways = np.zeros(1, dtype=np.int64), np.zeros(1), np.ones(1)
    ordered = np.sort(probabilities)
    for probability in ordered[:-1]:
        used, logs, ways = _one_more_class(
            used, logs, ways, np.arange(most + 1) * np.log(probability) - factorials
        )
    last = np.arange(most + 1) * np.log(ordered[-1]) - factorials
    tables = {}
    for n in wanted:
        fits = used <= n
        tables[n] = OutcomeTable(*_merged(logs[fits] + last[n - used[fits]] + factorials[n], ways[fits]))
    return tables


def _one_more_class(
    used: NDArray[np.int64], logs: Floats, ways: Floats, terms: Floats
) -> tuple[NDArray[np.int64], Floats, Floats]:
    """States after one more class, of which terms[x] is the logarithm of p^x / x!."""
    most = len(terms) - 1
    repeats = most - used + 1
    origin = np.repeat(np.arange(len(used)), repeats)
    taken = np.arange(len(origin)) - np.repeat(np.cumsum(repeats) - repeats, repeats)
    now, value, count = used[origin] + taken, logs[origin] + terms[taken], ways[origin]
    order = np.lexsort((value, now))
    now, value, count = now[order], value[order], count[order]
    first = np.concatenate([[True], (np.diff(now) != 0) | (np.diff(value) > _SAME)])
    starts = np.flatnonzero(first)
    return now[starts], value[starts], np.add.reduceat(count, starts)


def _merged(logs: Floats, ways: Floats) -> tuple[Floats, Floats]:
    order = np.argsort(logs)
    logs, ways = logs[order], ways[order]
    starts = np.flatnonzero(np.concatenate([[True], np.diff(logs) > _SAME]))
    return logs[starts], np.add.reduceat(ways, starts)


def simulated_logs(
    probabilities: Floats, totals: Iterable[int], draws: int, generator: np.random.Generator
) -> dict[int, Floats]:
    """Log-probabilities of simulated outcomes of one ratio, `draws` for each number of young in `totals`.

    Young are drawn one after another, so one run serves every total on its way.
    """
    wanted = set(totals)
    numbers = (generator.random(draws) for _ in range(max(wanted)))
    follow = _by_counts if len(probabilities) <= _FEW_CLASSES else _by_looking_back
    found = dict(follow(probabilities, wanted, numbers, draws))
    return found | ({0: np.zeros(draws)} if 0 in wanted else {})


def _by_counts(
    probabilities: Floats, wanted: set[int], numbers: Iterable[Floats], draws: int
) -> Iterator[tuple[int, Floats]]:
    """Of few classes it is quickest to count, for each limit between two, the young that fell beyond it."""
    limits, factorials = np.cumsum(probabilities)[:-1].tolist(), gammaln(np.arange(max(wanted) + 1) + 1.0)
    beyond = np.zeros((len(limits) + 2, draws), dtype=np.int32)
    for young, drawn in enumerate(numbers, start=1):
        for count, limit in zip(beyond[1:-1], limits, strict=True):
            count += drawn >= limit
        if young in wanted:
            beyond[0] = young
            counts = beyond[:-1] - beyond[1:]
            yield young, factorials[young] + np.log(probabilities) @ counts - factorials[counts].sum(axis=0)


def _by_looking_back(
    probabilities: Floats, wanted: set[int], numbers: Iterable[Floats], draws: int
) -> Iterator[tuple[int, Floats]]:
    """The multinomial coefficient is the product of j over how often the class of the j-th young has come by then."""
    limits, logarithms = np.cumsum(probabilities)[:-1], np.log(probabilities)
    counted = np.log(np.maximum(np.arange(max(wanted) + 1), 1))
    seen, logs = np.zeros((max(wanted), draws), dtype=np.int32), np.zeros(draws)
    for young, drawn in enumerate(numbers, start=1):
        own = seen[young - 1] = np.searchsorted(limits, drawn, side="right")
        logs += logarithms[own] + counted[young] - counted[(seen[:young] == own).sum(axis=0)]
        if young in wanted:
            yield young, logs.copy()


def simulated_p(log_observed: float, logs: Floats) -> float:
    """(b + 1) / (m + 1), b of m simulated outcomes being no likelier than the observed (Davison & Hinkley 1997)."""
    return float((np.count_nonzero(logs <= log_observed + TIE) + 1) / (len(logs) + 1))
