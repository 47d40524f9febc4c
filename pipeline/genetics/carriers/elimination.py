"""A factor graph calibrated on its bucket tree: the probability of all evidence and every marginal, exactly.

Collect and distribute over the cliques of an elimination order (Lauritzen & Spiegelhalter 1988; Dechter 1999, "Bucket
elimination"; both from memory). Tables carry two leading axes, linkage groups and lanes (assignments of sires that
share one graph), either of size 1 where a factor is the same for all, so that one pass serves them all.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.genetics.carriers.arithmetic import LANES, Arithmetic, Logs, Plain
from pipeline.genetics.carriers.ordering import Order
from pipeline.genetics.carriers.products import product, summed

FAINT = 1e-200
"""A message scaled by less than this may have lost entries to underflow; the pass is repeated in logarithms."""

SMALL = 10_000
"""Entries up to which factors of one shape are made ready side by side."""


@dataclass(frozen=True)
class Factor:
    """A table over the variables in `scope`, as natural logarithms: (groups or 1, lanes or 1, one axis a variable)."""

    scope: tuple[int, ...]
    logs: np.ndarray


class Calibrated:
    """The outcome of one pass. `log_evidence` is ln P(all evidence), groups x lanes; -inf where it can't all be so."""

    def __init__(self, order: Order, log_evidence: np.ndarray, beliefs: Sequence[np.ndarray]) -> None:
        self.log_evidence = log_evidence
        self._beliefs = beliefs
        self._cliques = order.cliques
        self._place = order.place

    def marginal(self, scope: Sequence[int]) -> np.ndarray:
        """Posterior over variables that share a factor: (groups or 1, lanes or 1, one axis a variable as in scope).

        Says nothing where the evidence is impossible (log_evidence -inf).
        """
        home = min(self._place[v] for v in scope)
        return marginal_of(self._beliefs[home], self._cliques[home], scope)


def marginal_of(belief: np.ndarray, clique: Sequence[int], scope: Sequence[int]) -> np.ndarray:
    """A clique's belief summed to some of its variables, axes as in scope."""
    kept = [v for v in clique if v in scope]
    away = tuple(LANES + i for i, v in enumerate(clique) if v not in scope)
    return belief.sum(axis=away).transpose(0, 1, *(LANES + kept.index(v) for v in scope))


@dataclass(frozen=True)
class Collected:
    """What a pass from the leaves to the roots leaves behind.

    `tables` by clique; `messages`: the same once the clique's first variable is summed out; `residue`: factors over the
    variables that the order leaves over.
    """

    log_evidence: np.ndarray
    tables: list[np.ndarray]
    messages: list[np.ndarray]
    residue: tuple[Factor, ...]
    by: Arithmetic

    def chances(self) -> list[np.ndarray]:
        """By clique, the probability of its first variable given the others: groups x lanes x the clique's axes."""
        pairs = zip(self.tables, self.messages, strict=True)
        return [self.by.plain(self.by.ratio(table, message[:, :, None])) for table, message in pairs]

    def calibrated(self, order: Order) -> Calibrated:
        """The pass back, from the roots to the leaves; `tables` are used up."""
        _distribute(order, self.tables, self.messages, self.by)
        return Calibrated(order, self.log_evidence, [self.by.plain(table) for table in self.tables])


def calibrate(order: Order, sizes: Sequence[int], factors: Sequence[Factor]) -> Calibrated:
    """All marginals and the evidence of a factor graph. Time and memory grow with `order.entries` x groups x lanes."""
    return collect(order, sizes, factors).calibrated(order)


def log_evidence(order: Order, sizes: Sequence[int], factors: Sequence[Factor]) -> np.ndarray:
    """ln P(all evidence) alone, groups x lanes; half the work of `calibrate`."""
    return collect(order, sizes, factors, keep=False).log_evidence


def collect(order: Order, sizes: Sequence[int], factors: Sequence[Factor], *, keep: bool = True) -> Collected:
    """Sums the variables out in order, in plain numbers where they do; without `keep`, tables are not held on to."""
    done = _collect(order, sizes, factors, Plain(), keep=keep)
    done = done or _collect(order, sizes, factors, Logs(), keep=keep)
    assert done is not None  # logarithms always do
    return done


def _collect(
    order: Order, sizes: Sequence[int], factors: Sequence[Factor], by: Arithmetic, *, keep: bool
) -> Collected | None:
    """None where plain numbers would not do."""
    place = order.place
    waiting: list[list[tuple[tuple[int, ...], np.ndarray]]] = [[] for _ in place]
    evidence = np.zeros((1, 1))
    for alike in _by_shape(factors):
        prepared, offset = _prepared(alike, place, by)
        evidence = evidence + offset
        for scope, table in prepared:
            waiting[place[scope[0]]].append((scope, table))
    tables, messages = [], []
    for i, clique in enumerate(order.cliques):
        parts = [_aligned(clique, scope, table) for scope, table in waiting[i]]
        waiting[i] = []
        whole = (1, 1, *(sizes[v] for v in clique))
        if keep:
            table = product(parts, whole, by)
            message = by.total(table, (LANES,))
            tables.append(table)
            messages.append(message)
        else:
            message = summed(parts, whole, by)
        log = by.excess(message)
        if log is not None:
            if isinstance(by, Plain) and log.min() < np.log(FAINT):
                return None
            log = np.where(np.isfinite(log), log, 0.0)
            evidence = evidence + log.reshape(log.shape[:LANES])
            message = by.scaled(message, log)
        if len(clique) > 1:
            waiting[place[clique[1]]].append((clique[1:], message))
        else:
            evidence = evidence + by.logs(message)
    left = [Factor(scope, by.logs(table)) for own in waiting[len(order.cliques) :] for scope, table in own]
    return Collected(evidence, tables, messages, tuple(left), by)


def _by_shape(factors: Sequence[Factor]) -> list[list[Factor]]:
    """Small factors of one shape together, the others by themselves; in a fixed order. Those of one scope are one."""
    alike: dict[object, list[Factor]] = {}
    merged: dict[tuple[int, ...], np.ndarray] = {}
    for own in factors:
        merged[own.scope] = merged[own.scope] + own.logs if own.scope in merged else own.logs
    for number, factor in enumerate(map(Factor, merged.keys(), merged.values())):
        small = factor.logs.size <= SMALL
        alike.setdefault(factor.logs.shape if small else number, []).append(factor)
    return list(alike.values())


def _prepared(
    alike: Sequence[Factor], place: dict[int, int], by: Arithmetic
) -> tuple[list[tuple[tuple[int, ...], np.ndarray]], np.ndarray]:
    """Factors of one shape, each with its axes in the order of elimination and its largest entry 1; the logs taken out."""
    logs = np.concatenate([own.logs for own in alike]) if len(alike) > 1 else alike[0].logs
    top = logs.max(axis=tuple(range(LANES, logs.ndim)), keepdims=True)
    top = np.where(np.isfinite(top), top, 0.0)
    whole, found = by.table(logs - top).reshape(len(alike), *alike[0].logs.shape), []
    for factor, table in zip(alike, whole, strict=True):
        scope = tuple(sorted(factor.scope, key=place.__getitem__))
        if scope != factor.scope:
            table = table.transpose(0, 1, *(LANES + factor.scope.index(v) for v in scope))
        found.append((scope, table))
    return found, top.reshape(len(alike), *alike[0].logs.shape[:LANES]).sum(axis=0)


def _aligned(clique: tuple[int, ...], scope: tuple[int, ...], table: np.ndarray) -> np.ndarray:
    if scope == clique:
        return table
    size = dict(zip(scope, table.shape[LANES:], strict=True))
    return table.reshape(*table.shape[:LANES], *(size.get(v, 1) for v in clique))


def _distribute(order: Order, tables: list[np.ndarray], messages: list[np.ndarray], by: Arithmetic) -> None:
    """Turns the tables into beliefs, in place, from the roots down."""
    place = order.place
    for i in reversed(range(len(tables))):
        clique, table = order.cliques[i], tables[i]
        if len(clique) == 1:
            tables[i] = by.ratio(table, by.total(table, (LANES,))[:, :, None])
            continue
        above = order.cliques[place[clique[1]]]
        away = tuple(LANES + axis for axis, v in enumerate(above) if v not in clique)
        known = by.total(tables[place[clique[1]]], away)
        moved = by.ratio(known, messages[i])[:, :, None]
        room = table.flags.writeable and np.broadcast_shapes(table.shape, moved.shape) == table.shape
        tables[i] = by.times(table, moved, out=table if room else None)
