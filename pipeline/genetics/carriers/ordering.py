"""An order in which to sum the animals out, and what it will cost.

Greedy minimum fill (Kjaerulff 1990, "Triangulation of graphs"; from memory): eliminate the variable that adds the
fewest links among its neighbours, then the one with the smaller table, then the earlier one. Variables whose tables
would be too wide are passed over, so that a tangle costs no more than its narrow part.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from heapq import heapify, heappop, heappush
from math import inf, prod


@dataclass(frozen=True)
class Order:
    """Variables in the order of their elimination, each with its clique: the variable, then its later neighbours.

    `rest` are variables left over, whose tables would be too wide. `entries` is the number of table entries over all
    cliques; where there is a rest, with the least table that it would take.
    """

    cliques: tuple[tuple[int, ...], ...]
    entries: int
    rest: tuple[int, ...] = ()

    @property
    def variables(self) -> tuple[int, ...]:
        """The variables in the order of their elimination."""
        return tuple(clique[0] for clique in self.cliques)

    @cached_property
    def place(self) -> dict[int, int]:
        """Each variable's place in the order, those left over last."""
        return {variable: i for i, variable in enumerate((*self.variables, *self.rest))}


def min_fill(scopes: Iterable[Sequence[int]], sizes: Sequence[int], widest: float = inf) -> Order:
    """An elimination order for factors over variables 0 .. len(sizes) - 1 with `sizes` states each.

    Those whose tables would have more than `widest` entries are left over.
    """
    graph = _Graph(scopes, sizes, range(len(sizes)), widest)
    graph.eliminate()
    return graph.order(tuple(sorted(graph.alive)))


def held_apart(
    scopes: Sequence[Sequence[int]], sizes: Sequence[int], widest: int, spared: Collection[int]
) -> tuple[frozenset[int], Order]:
    """Variables to hold fixed so that all others fall apart into tables of `widest` entries at most; their order.

    Only variables in `scopes` take part. Held are those with the most neighbours left, those in `spared` last.
    """
    graph = _Graph(scopes, sizes, sorted({v for scope in scopes for v in scope}), widest)
    held: set[int] = set()
    while True:
        graph.eliminate()
        if not graph.alive:
            return frozenset(held), graph.order((), held)
        willing = [v for v in graph.alive if v not in spared] or list(graph.alive)
        chosen = max(willing, key=lambda v: (len(graph.alive[v]), -v))
        held.add(chosen)
        graph.hold(chosen)


class _Graph:
    """Who shares a factor with whom: `alive` among variables not yet eliminated, `links` with what elimination fills in."""

    def __init__(
        self, scopes: Iterable[Sequence[int]], sizes: Sequence[int], variables: Iterable[int], widest: float
    ) -> None:
        self.sizes, self.widest = sizes, widest
        self.links: dict[int, set[int]] = {v: set() for v in variables}
        for scope in scopes:
            for variable in scope:
                self.links[variable].update(other for other in scope if other != variable)
        self.alive = {v: set(others) for v, others in self.links.items()}
        self.cost = {v: self._cost(v) for v in self.alive}
        self.done: list[int] = []

    def eliminate(self) -> None:
        """Eliminates all that can be."""
        heap = [(*cost, v) for v, cost in self.cost.items()]
        heapify(heap)
        while heap:
            *cost, variable = heappop(heap)
            if self.cost.get(variable) != tuple(cost) or cost[1] > self.widest:
                continue
            self.done.append(variable)
            neighbours = self.alive[variable]
            filled = self._connect(neighbours)
            stale = set(neighbours)
            if filled:
                stale |= {far for near in filled for far in self.alive[near]}
            self._remove(variable)
            for other in stale & self.cost.keys():
                self.cost[other] = self._cost(other)
                heappush(heap, (*self.cost[other], other))

    def hold(self, variable: int) -> None:
        """Takes a variable out as known."""
        neighbours = set(self.alive[variable])
        self._remove(variable)
        for other in neighbours:
            self.cost[other] = self._cost(other)

    def order(self, rest: tuple[int, ...], held: Collection[int] = ()) -> Order:
        """What was eliminated; cliques without those held."""
        place = {v: i for i, v in enumerate((*self.done, *rest))}
        cliques = tuple(
            (
                v,
                *sorted(
                    (u for u in self.links[v] if u not in held and place[u] > place[v]), key=place.__getitem__
                ),
            )
            for v in self.done
        )
        tables = [prod(self.sizes[v] for v in clique) for clique in cliques]
        if rest:
            tables.append(min(self._table(v) for v in rest))
        return Order(cliques, sum(tables), rest)

    def _remove(self, variable: int) -> None:
        for other in self.alive.pop(variable):
            self.alive[other].discard(variable)
        del self.cost[variable]

    def _table(self, variable: int) -> int:
        return prod((self.sizes[other] for other in self.alive[variable]), start=self.sizes[variable])

    def _cost(self, variable: int) -> tuple[float, int]:
        """Links that elimination would fill in, and table entries; the links of too wide a table aren't counted."""
        table = self._table(variable)
        if table > self.widest:
            return inf, table
        neighbours = self.alive[variable]
        present = sum(len(neighbours & self.alive[other]) for other in neighbours)
        return (len(neighbours) * (len(neighbours) - 1) - present) // 2, table

    def _connect(self, group: set[int]) -> set[int]:
        """Links all of a group to one another; returns those that gained a link."""
        gained: set[int] = set()
        for one in group:
            missing = group - self.alive[one] - {one}
            if missing:
                gained.add(one)
                self.alive[one] |= missing
                self.links[one] |= missing
        return gained
