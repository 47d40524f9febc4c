"""Factors of a graph, and the same product made of fewer."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.genetics.carriers.arithmetic import LANES


@dataclass(frozen=True)
class Factor:
    """A table over the variables in `scope`, as natural logarithms: (groups or 1, lanes or 1, one axis a variable)."""

    scope: tuple[int, ...]
    logs: np.ndarray


def holding(scopes: Iterable[Sequence[int]]) -> dict[int, list[int]]:
    """By variable, the places of the scopes that have it."""
    found: dict[int, list[int]] = {}
    for place, scope in enumerate(scopes):
        for variable in scope:
            found.setdefault(variable, []).append(place)
    return found


def absorbed(factors: Sequence[Factor]) -> list[Factor]:
    """The same product: each factor multiplied into one over all of its variables, where there is one."""
    scopes: list[tuple[int, ...]] = []
    tables: list[np.ndarray] = []
    holding: dict[int, list[int]] = {}
    for factor in sorted(factors, key=lambda own: (-len(own.scope), own.scope)):
        for host in holding.get(factor.scope[0], ()):
            if set(factor.scope).issubset(scopes[host]):
                tables[host] = tables[host] + _spread(factor, scopes[host])
                break
        else:
            for variable in factor.scope:
                holding.setdefault(variable, []).append(len(scopes))
            scopes.append(factor.scope)
            tables.append(factor.logs)
    return list(map(Factor, scopes, tables))


def _spread(factor: Factor, scope: Sequence[int]) -> np.ndarray:
    """A factor's table with the axes of a wider scope, of size 1 where it has none."""
    if factor.scope == scope:
        return factor.logs
    own = [LANES + factor.scope.index(v) for v in scope if v in factor.scope]
    every = slice(None)
    return factor.logs.transpose(0, 1, *own)[
        every, every, *(every if v in factor.scope else None for v in scope)
    ]
