"""A factor graph calibrated on its bucket tree: the probability of all evidence and every marginal, exactly.

Variables are summed out in an elimination order (Dechter 1999, "Bucket elimination"). The way back is reverse
differentiation: how the evidence changes with each entry of a table, times that entry, is the posterior over the table's
variables (Darwiche 2003, "A differential approach to inference in Bayesian networks"; both from memory).

Tables carry two leading axes, linkage groups and lanes (assignments of sires that share one graph), either of size 1 where
a factor is the same for all, so that one pass serves them all.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pipeline.genetics.carriers.arithmetic import LANES, Arithmetic, Logs, Plain
from pipeline.genetics.carriers.factors import Factor, absorbed, holding
from pipeline.genetics.carriers.ordering import Order
from pipeline.genetics.carriers.products import Product

FAINT = 1e-200
"""A message scaled by less than this, or more than its inverse, may have lost entries; the pass is repeated in logarithms."""

BESIDE = 10_000
"""Entries up to which factors of one shape are made ready side by side."""


@dataclass(frozen=True)
class Beliefs:
    """Posteriors over scopes of variables: groups or 1 x lanes or 1 x one axis a variable."""

    scopes: Sequence[tuple[int, ...]]
    tables: Sequence[np.ndarray]

    def marginal(self, scope: Sequence[int]) -> np.ndarray:
        """Posterior over variables that share a factor: (groups or 1, lanes or 1, one axis a variable as in scope).

        Says nothing where the evidence is impossible.
        """
        home = next(i for i in self._holding[scope[0]] if set(scope) <= set(self.scopes[i]))
        return marginal_of(self.tables[home], self.scopes[home], scope)

    @cached_property
    def _holding(self) -> dict[int, list[int]]:
        return holding(self.scopes)


@dataclass(frozen=True)
class Calibrated(Beliefs):
    """The outcome of one pass. `log_evidence` is ln P(all evidence), groups x lanes; -inf where it can't all be so."""

    log_evidence: np.ndarray


def marginal_of(belief: np.ndarray, clique: Sequence[int], scope: Sequence[int]) -> np.ndarray:
    """A clique's belief summed to some of its variables, axes as in scope."""
    kept = [v for v in clique if v in scope]
    if len(kept) < len(clique):
        belief = belief.sum(axis=tuple([LANES + i for i, v in enumerate(clique) if v not in scope]))
    if kept == list(scope):
        return belief
    return belief.transpose(0, 1, *(LANES + kept.index(v) for v in scope))


@dataclass(frozen=True)
class Part:
    """A table that a clique is made of, over the variables in `scope`: a factor's, or the message of clique number `below`."""

    scope: tuple[int, ...]
    table: np.ndarray
    below: int | None = None


@dataclass(frozen=True)
class Collected:
    """What a pass from the leaves to the roots leaves behind.

    By clique its `parts`, their `products` and their `messages`, which are the products with the clique's first variable
    summed out, divided by what `scales` has the logarithm of, None for nothing; `residue`: factors over the variables that
    the order leaves over.
    """

    order: Order
    sizes: Sequence[int]
    factors: Sequence[Factor]
    by: Arithmetic
    log_evidence: np.ndarray
    parts: Sequence[Sequence[Part]]
    products: Sequence[Product]
    messages: Sequence[np.ndarray]
    scales: Sequence[np.ndarray | None]
    residue: tuple[Factor, ...]

    def chances(self) -> list[np.ndarray]:
        """By clique, the probability of its first variable given the others: groups x lanes x the clique's axes."""
        by, found = self.by, []
        for own, message, scale in zip(self.products, self.messages, self.scales, strict=True):
            chance = by.ratio(own.whole(), message[:, :, None])
            found.append(by.plain(chance if scale is None else by.scaled(chance, scale[:, :, None])))
        return found

    def calibrated(self) -> Calibrated:
        """The pass back; in logarithms where plain numbers would not do."""
        with np.errstate(over="ignore", invalid="ignore"):
            beliefs = dict(self._beliefs())
        if not all(np.isfinite(table).all() for table in beliefs.values()):
            again = _collect(self.order, self.sizes, self.factors, Logs(), keep=True)
            assert again is not None  # logarithms always do
            beliefs = dict(again._beliefs())
        scopes = sorted(beliefs, key=len)  # the smallest that answers is the quickest to sum
        return Calibrated(scopes, [beliefs[scope] for scope in scopes], self.log_evidence)

    def _beliefs(self) -> Iterator[tuple[tuple[int, ...], np.ndarray]]:
        """The posterior over each factor's variables, from the roots down: each clique is told how the evidence changes with its
        message, and tells each of its tables."""
        by, told = self.by, dict[int, np.ndarray]()
        for i, clique in reversed(list(enumerate(self.order.cliques))):
            parts = self.parts[i]
            outer = told.pop(i) if i in told else by.ratio(by.table(np.zeros((1, 1))), self.messages[i])
            scale = self.scales[i]
            outer = outer if scale is None else by.scaled(outer, scale)
            tables = self.products[i].told(outer[:, :, None], [part.below is None for part in parts])
            for part, table in zip(parts, tables, strict=True):
                own = _narrowed(clique, part, table)
                if part.below is None:
                    yield part.scope, by.plain(own)
                else:
                    told[part.below] = own


def calibrate(order: Order, sizes: Sequence[int], factors: Sequence[Factor]) -> Calibrated:
    """All marginals and the evidence of a factor graph. Time grows with `order.entries` x groups x lanes, memory with less."""
    return collect(order, sizes, factors).calibrated()


def log_evidence(order: Order, sizes: Sequence[int], factors: Sequence[Factor]) -> np.ndarray:
    """ln P(all evidence) alone, groups x lanes; a third of the work of `calibrate`."""
    return collect(order, sizes, factors, keep=False).log_evidence


def collect(order: Order, sizes: Sequence[int], factors: Sequence[Factor], *, keep: bool = True) -> Collected:
    """Sums the variables out in order, in plain numbers where they do; without `keep`, tables are not held on to."""
    with np.errstate(over="ignore", invalid="ignore"):
        done = _collect(order, sizes, factors, Plain(), keep=keep)
    done = done or _collect(order, sizes, factors, Logs(), keep=keep)
    assert done is not None  # logarithms always do
    return done


def _collect(
    order: Order, sizes: Sequence[int], factors: Sequence[Factor], by: Arithmetic, *, keep: bool
) -> Collected | None:
    """None where plain numbers would not do."""
    place, cliques, rest = order.place, order.cliques, frozenset(order.rest)
    left = [own for own in factors if rest.issuperset(own.scope)]
    inside = [own for own in factors if not rest.issuperset(own.scope)] if left else factors
    waiting, evidence = _waiting(order, inside, by)
    kept: list[list[Part]] = []
    products, messages, scales = [], [], []
    for i, clique in enumerate(cliques):
        parts = waiting[i] or [Part(clique, by.table(np.zeros((1, 1, sizes[clique[0]]))))]
        waiting[i] = []
        product = Product([_aligned(clique, part) for part in parts], by)
        message = product.summed()
        log = by.excess(message)
        if log is not None:
            if isinstance(by, Plain) and not (np.abs(log) <= -np.log(FAINT)).all():
                return None
            log = np.where(np.isfinite(log), log, 0.0)
            message = by.scaled(message, log)
            evidence = evidence + log.reshape(log.shape[:LANES])
        if keep:
            kept.append(parts)
            products.append(product)
            messages.append(message)
            scales.append(log)
        if len(clique) > 1:
            waiting[place[clique[1]]].append(Part(clique[1:], message, i))
        else:
            evidence = evidence + by.logs(message)
    left += [Factor(part.scope, by.logs(part.table)) for own in waiting[len(cliques) :] for part in own]
    return Collected(order, sizes, factors, by, evidence, kept, products, messages, scales, tuple(left))


def _waiting(order: Order, factors: Sequence[Factor], by: Arithmetic) -> tuple[list[list[Part]], np.ndarray]:
    """Each factor at its home; the logarithm of what was taken out of all of them."""
    waiting: list[list[Part]] = [[] for _ in order.place]
    taken = np.zeros((1, 1))
    for alike in _by_shape(factors):
        prepared, offset = _prepared(alike, order.place, by)
        taken = taken + offset
        for part in prepared:
            waiting[order.home(part.scope)].append(part)
    return waiting, taken


def _by_shape(factors: Sequence[Factor]) -> list[list[Factor]]:
    """Small factors of one shape together, the others by themselves; in a fixed order."""
    alike: dict[object, list[Factor]] = {}
    for number, factor in enumerate(absorbed(factors)):
        small = factor.logs.size <= BESIDE
        alike.setdefault(factor.logs.shape if small else number, []).append(factor)
    return list(alike.values())


def _prepared(
    alike: Sequence[Factor], place: dict[int, int], by: Arithmetic
) -> tuple[list[Part], np.ndarray]:
    """Factors of one shape, each with its axes in the order of elimination and its largest entry 1; the logs taken out."""
    logs = np.concatenate([own.logs for own in alike]) if len(alike) > 1 else alike[0].logs
    top = logs.max(axis=tuple(range(LANES, logs.ndim)), keepdims=True)
    top = np.where(np.isfinite(top), top, 0.0)
    whole, found = by.table(logs - top).reshape(len(alike), *alike[0].logs.shape), []
    for factor, table in zip(alike, whole, strict=True):
        scope = tuple(sorted(factor.scope, key=place.__getitem__))
        if scope != factor.scope:
            table = table.transpose(0, 1, *(LANES + factor.scope.index(v) for v in scope))
        found.append(Part(scope, table))
    return found, top.reshape(len(alike), *alike[0].logs.shape[:LANES]).sum(axis=0)


def _aligned(clique: tuple[int, ...], part: Part) -> np.ndarray:
    if part.scope == clique:
        return part.table
    size = dict(zip(part.scope, part.table.shape[LANES:], strict=True))
    return part.table.reshape(*part.table.shape[:LANES], *(size.get(v, 1) for v in clique))


def _narrowed(clique: tuple[int, ...], part: Part, table: np.ndarray) -> np.ndarray:
    """A table of a clique with the axes of one of its parts alone."""
    return table.squeeze(tuple([LANES + a for a, v in enumerate(clique) if v not in part.scope]))
