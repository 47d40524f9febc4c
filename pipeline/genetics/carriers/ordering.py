"""An order in which to sum the animals out, and what it will cost.

Greedy minimum fill (Kjaerulff 1990, "Triangulation of graphs"; from memory): eliminate the variable that adds the
fewest links among its neighbours, then the one with the smaller table, then the earlier one.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from math import prod


@dataclass(frozen=True)
class Order:
    """Variables in the order of their elimination, each with its clique: the variable, then its later neighbours.

    `entries` is the number of table entries over all cliques, `largest` that of the largest one.
    """

    cliques: tuple[tuple[int, ...], ...]
    entries: int
    largest: int

    @property
    def variables(self) -> tuple[int, ...]:
        """The variables in the order of their elimination."""
        return tuple(clique[0] for clique in self.cliques)


def min_fill(scopes: Iterable[Sequence[int]], sizes: Sequence[int], last: Sequence[int] = ()) -> Order:
    """An elimination order for factors over variables 0 .. len(sizes) - 1 with `sizes` states each.

    Variables in `last` are kept to the end, in that order, so that the clique of the first of them holds them all.
    """
    links: list[set[int]] = [set() for _ in sizes]
    for scope in [*scopes, last]:
        for variable in scope:
            links[variable].update(other for other in scope if other != variable)
    order = _eliminated(links, sizes, frozenset(last)) + list(last)
    place = {variable: position for position, variable in enumerate(order)}
    cliques = tuple(
        (v, *sorted((u for u in links[v] if place[u] > place[v]), key=place.__getitem__)) for v in order
    )
    tables = [prod(sizes[v] for v in clique) for clique in cliques]
    return Order(cliques, sum(tables), max(tables, default=0))


def _eliminated(links: list[set[int]], sizes: Sequence[int], kept: frozenset[int]) -> list[int]:
    """The order; `links` gains the links that elimination fills in."""
    alive = [set(others) for others in links]
    cost = {v: _cost(v, alive, sizes) for v in range(len(sizes)) if v not in kept}
    heap = [(*cost[v], v) for v in cost]
    heapify(heap)
    order: list[int] = []
    while heap:
        fill, table, variable = heappop(heap)
        if cost.get(variable) != (fill, table):
            continue
        order.append(variable)
        del cost[variable]
        neighbours = alive[variable]
        filled = _connected(neighbours, alive, links)
        for other in neighbours:
            alive[other].discard(variable)
        stale = set(neighbours)
        if filled:
            stale |= {far for near in filled for far in alive[near]}
        for other in stale:
            if other in cost:
                cost[other] = _cost(other, alive, sizes)
                heappush(heap, (*cost[other], other))
    return order


def _cost(variable: int, alive: list[set[int]], sizes: Sequence[int]) -> tuple[int, int]:
    neighbours = alive[variable]
    present = sum(len(neighbours & alive[other]) for other in neighbours)
    missing = len(neighbours) * (len(neighbours) - 1) - present
    return missing // 2, prod((sizes[other] for other in neighbours), start=sizes[variable])


def _connected(group: set[int], alive: list[set[int]], links: list[set[int]]) -> set[int]:
    """Links all of a group to one another; returns those that gained a link."""
    gained: set[int] = set()
    for one in group:
        missing = group - alive[one] - {one}
        if missing:
            gained.add(one)
            alive[one] |= missing
            links[one] |= missing
    return gained
