"""An order in which to sum the animals out, and what it will cost.

Greedy minimum fill (Kjaerulff 1990, "Triangulation of graphs"; from memory): eliminate the variable that adds the
fewest links among its neighbours, then the one with the smaller table, then the earlier one. Variables whose tables
would be too wide are passed over, so that a tangle costs no more than its narrow part.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from heapq import heapify, heappop, heappush
from itertools import combinations
from math import inf, prod

from pipeline.genetics.carriers.factors import holding


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

    def home(self, scope: tuple[int, ...]) -> int:
        """The place of the smallest clique that has all of a factor's variables; where all are left over, that of the first."""
        if scope not in self._homes:
            place = min(map(self.place.__getitem__, scope))
            if place < len(self.cliques):
                inside = self._cliques_of[self.cliques[place][0]]
                place = min(
                    (i for i in inside if self._sets[i].issuperset(scope)), key=self._sizes.__getitem__
                )
            self._homes[scope] = place
        return self._homes[scope]

    @cached_property
    def _homes(self) -> dict[tuple[int, ...], int]:
        """Those known already: an order is asked again and again."""
        return {}

    @cached_property
    def _sizes(self) -> list[int]:
        return [len(clique) for clique in self.cliques]

    @cached_property
    def _sets(self) -> list[frozenset[int]]:
        return [frozenset(clique) for clique in self.cliques]

    @cached_property
    def _cliques_of(self) -> dict[int, list[int]]:
        return holding(self.cliques)


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
        graph.remove(chosen)


class _Graph:
    """Who shares a factor with whom among the variables not yet eliminated, and what each would cost.

    `fill[v]` counts the links that its elimination would fill in, `table[v]` the entries of its table. `done[v]` are the
    neighbours of one eliminated as it was so.
    """

    def __init__(
        self, scopes: Iterable[Sequence[int]], sizes: Sequence[int], variables: Iterable[int], widest: float
    ) -> None:
        self.sizes, self.widest = sizes, widest
        self.alive: dict[int, set[int]] = {v: set() for v in variables}
        self.fill = dict.fromkeys(self.alive, 0)
        self.table = {v: sizes[v] for v in self.alive}
        self.done: dict[int, set[int]] = {}
        for scope in scopes:
            for one, other in combinations(set(scope), 2):
                if other not in self.alive[one]:
                    self._link(one, other)

    def eliminate(self) -> None:
        """Eliminates all that can be."""
        heap = [(self.fill[v], self.table[v], v) for v in self.alive]
        heapify(heap)
        while heap:
            fill, table, variable = heappop(heap)
            current = variable in self.alive and (fill, table) == (self.fill[variable], self.table[variable])
            if not current or table > self.widest:
                continue
            group = self.alive[variable]
            changed = set(group)
            for one in group if fill else ():
                for other in group - self.alive[one] - {one}:
                    changed |= self._link(one, other)
            self.done[variable] = self.remove(variable)
            for other in changed - {variable}:
                heappush(heap, (self.fill[other], self.table[other], other))

    def remove(self, variable: int) -> set[int]:
        """Takes a variable out; returns its neighbours."""
        group = self.alive.pop(variable)
        for other in group:
            others = self.alive[other]
            others.discard(variable)
            self.fill[other] -= len(others) - len(others & group)
            self.table[other] //= self.sizes[variable]
        return group

    def order(self, rest: tuple[int, ...], held: Collection[int] = ()) -> Order:
        """What was eliminated; cliques without those held."""
        place = {v: i for i, v in enumerate((*self.done, *rest))}
        cliques = tuple(
            (v, *sorted(group.difference(held), key=place.__getitem__)) for v, group in self.done.items()
        )
        tables = [prod(self.sizes[v] for v in clique) for clique in cliques]
        if rest:
            tables.append(min(self.table[v] for v in rest))
        return Order(cliques, sum(tables), rest)

    def _link(self, one: int, other: int) -> set[int]:
        """Links two variables; returns those that were linked to both, which have one link less to fill in."""
        of_one, of_other = self.alive[one], self.alive[other]
        both = of_one & of_other
        for near in both:
            self.fill[near] -= 1
        for own, far, variable in ((of_one, other, one), (of_other, one, other)):
            self.fill[variable] += len(own) - len(both)
            self.table[variable] *= self.sizes[far]
            own.add(far)
        return both
