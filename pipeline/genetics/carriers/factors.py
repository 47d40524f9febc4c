"""Factors of a graph, and the same product made of fewer."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.genetics.carriers.arithmetic import LANES


@dataclass(frozen=True)
class Factor:
    """A table over the variables in `scope`, as natural logarithms: (groups or 1, lanes or 1, one axis a variable)."""

    scope: tuple[int, ...]
    logs: np.ndarray


def absorbed(factors: Sequence[Factor]) -> list[Factor]:
    """The same product: each factor multiplied into one over all of its variables, where there is one."""
    scopes: list[tuple[int, ...]] = []
    tables: list[np.ndarray] = []
    holding: dict[int, list[int]] = {}
    for factor in sorted(factors, key=lambda own: (-len(own.scope), own.scope)):
        own = set(factor.scope)
        host = next((i for i in holding.get(factor.scope[0], ()) if own.issubset(scopes[i])), None)
        if host is not None:
            tables[host] = tables[host] + spread(factor, scopes[host])
            continue
        for variable in factor.scope:
            holding.setdefault(variable, []).append(len(scopes))
        scopes.append(factor.scope)
        tables.append(factor.logs)
    return list(map(Factor, scopes, tables))


def spread(factor: Factor, scope: Sequence[int]) -> np.ndarray:
    """A factor's table with the axes of a wider scope, of size 1 where it has none."""
    own = [v for v in scope if v in factor.scope]
    logs = factor.logs.transpose(0, 1, *(LANES + factor.scope.index(v) for v in own))
    sizes = dict(zip(own, logs.shape[LANES:], strict=True))
    return logs.reshape(*logs.shape[:LANES], *(sizes.get(v, 1) for v in scope))
