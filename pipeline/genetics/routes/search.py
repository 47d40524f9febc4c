"""The quickest way to a goal: the cheapest derivation in a directed hypergraph.

Nodes are a genotype at the goal's loci and a sex; a hyperedge leads from a dam's and a sire's to a young's. What a node
costs is the season from which such an animal can be paired:

    max(dam, sire) + (1 / c - 1) * cycle + growth

c is the chance that a litter brings the young: one that looks right, 1 - (1 - q)^n for litters of n of which a share q
has the look and the sex, times the share of those alike that are right. From each litter one young is kept, so where a look
hides what is wanted it takes 1 / share as many litters until the one kept is right; which one that is shows in its own
young, and all that are kept are paired until then. An animal at hand whose genes are open stands as a mixture: c is the mean
over its genotypes, a gamble. `cycle` is the seasons from a female's litter to her next, `growth` those to breeding age.

The cost never falls when a parent's rises and is never less than either parent's: it is a superior function, so the
nodes can be settled in the order of their cost, each once and for good (Knuth 1977, Inf. Process. Lett. 6:1, cited from
memory; Dijkstra's method carried to hyperedges). The answer is exact under this cost. With a limit on kinship the cost of
a pair depends on who its parents descend from, and the search keeps several unrelated lines of each genotype instead:
a good way, not provably the best.
"""

from collections.abc import Collection as AnyOf
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf, prod

import numpy as np

from pipeline.genetics.genes import SEXES, Sex
from pipeline.genetics.routes.arrival import Arrival
from pipeline.genetics.routes.kin import GrowingKinship
from pipeline.genetics.routes.litters import Brought, Litters, Mates
from pipeline.genetics.routes.offers import Offers
from pipeline.genetics.routes.space import GoalSpace, Parts, State

_LINES, _SLOTS = 2, 4
"""With a limit on kinship: unrelated lines kept of a genotype and sex, and pairs remembered for each."""
_PARTNERS = 2


@dataclass(frozen=True)
class Timing:
    """Seasons: `cycle` from a female's litter to her next, `growth` from birth to breeding by sex. `litter`: young."""

    litter: float
    cycle: int
    growth: Mapping[Sex, int]


@dataclass(frozen=True)
class Stock:
    """An animal at hand: the first season it can be paired in, and the states it may be in."""

    name: str
    sex: Sex
    ready: float
    parts: Parts


Source = str | int
"""A parent: the name of an animal at hand, or the position of the step that brings it."""


@dataclass(frozen=True)
class Step:
    """One pair and the young to keep of it. `sex` and `state` are None at the goal: any that is what the goal says.

    `begins` is the season of the first litter, `chance` c above, `expected` the season in which the young is expected.
    """

    dam: Source
    sire: Source
    sex: Sex | None
    state: State | None
    begins: float
    chance: float
    expected: float


Route = tuple[Step, ...]
"""Steps, parents' before their young's; the last one brings the goal."""


def quickest_route(
    space: GoalSpace,
    stock: Sequence[Stock],
    timing: Timing,
    *,
    by: float,
    kinship: np.ndarray | None = None,
    most_kin: float = 1.0,
    never: AnyOf[frozenset[str]] = frozenset(),
) -> Route | None:
    """The quickest route, ties in the order of `stock`; None where none leads there before season `by`.

    `kinship` (over `stock`, itself included) with `most_kin`: only pairs whose young are inbred by no more than that.
    `never` are pairs of names ruled out.
    """
    search = _Search(space, stock, timing, by, kinship, most_kin, never)
    search.run()
    return search.route()


class _Search:
    """The state of one search. Animals are numbered as they are settled; `origin` tells where each comes from."""

    def __init__(
        self,
        space: GoalSpace,
        stock: Sequence[Stock],
        timing: Timing,
        horizon: float,
        kinship: np.ndarray | None,
        most_kin: float,
        never: AnyOf[frozenset[str]],
    ) -> None:
        self.space, self.timing, self.bound = space, timing, horizon
        self.kin = None if kinship is None else GrowingKinship(kinship)
        self.most_kin = most_kin
        rows = sorted(range(len(stock)), key=lambda i: stock[i].ready)
        self.stock = [(stock[i], i) for i in rows]
        self.never = never
        if kinship is None:
            self.stock = _distinct(self.stock, {name for pair in never for name in pair})
        self.mates: dict[Sex, Mates] = {sex: Mates(len(space.spaces)) for sex in SEXES}
        self.litters = {sex: Litters(space.tables[sex], timing.litter) for sex in SEXES}
        self.origin: list[Stock | Step] = []
        slots = 1 if kinship is None else _SLOTS
        self.offers = {sex: Offers(prod(space.sizes[sex]), slots) for sex in SEXES}
        self.settled: dict[tuple[Sex, int], list[int]] = {}
        self.goal: Step | None = None
        self.arrival = Arrival(space, timing.litter)
        self.rest = {sex: self._still_to_come(sex) for sex in SEXES}

    def run(self) -> None:
        """Settle animals in the order of their cost until none can improve on the goal."""
        waiting = 0
        while True:
            cost, sex, node = self._next()
            ready = self.stock[waiting][0].ready if waiting < len(self.stock) else inf
            if min(cost, ready) >= self.bound:
                return
            if ready <= cost:
                one, row = self.stock[waiting]
                waiting += 1
                self._settle(one, one.sex, ready, one.parts, row)
            else:
                self._settle_young(cost, sex, node)

    def route(self) -> Route | None:
        """The steps behind the goal, each once, parents' before their young's."""
        if self.goal is None:
            return None
        place: dict[int, Source] = {}
        steps: list[Step] = []

        def source(number: Source) -> Source:
            if number not in place:
                own = self.origin[int(number)]
                place[int(number)] = own.name if isinstance(own, Stock) else added(own)
            return place[int(number)]

        def added(step: Step) -> int:
            dam, sire = source(step.dam), source(step.sire)
            steps.append(Step(dam, sire, step.sex, step.state, step.begins, step.chance, step.expected))
            return len(steps) - 1

        added(self.goal)
        return tuple(steps)

    def _still_to_come(self, sex: Sex) -> np.ndarray:
        """By state, seasons that surely pass from the first litter of such an animal to the goal, whatever its mate.

        Either the goal is its own young, with the best mate that could be, or that young must grow first.
        """
        waits = (self.arrival.litters(sex) - 1) * self.timing.cycle
        return np.minimum(waits, min(self.timing.growth.values()))

    def _next(self) -> tuple[float, Sex, int]:
        """The cheapest young not settled yet."""
        best: tuple[float, Sex, int] = (inf, "F", 0)
        for sex in SEXES:
            cost, node = self.offers[sex].cheapest()
            if cost < best[0]:
                best = (cost, sex, node)
        return best

    def _settle_young(self, cost: float, sex: Sex, node: int) -> None:
        dam, sire, chance = self.offers[sex].take(node)
        lines = self.settled.setdefault((sex, node), [])
        if cost + self.rest[sex][node] >= self.bound:
            return
        if self.kin is not None and any(self.kin.of_young(dam, sire)[lines] > self.most_kin):
            return
        lines.append(len(self.origin))
        if len(lines) >= (1 if self.kin is None else _LINES):
            self.offers[sex].close(node)
        state = tuple(int(i) for i in np.unravel_index(node, self.space.sizes[sex]))
        expected = cost - self.timing.growth[sex]
        step = Step(dam, sire, sex, state, max(self._time(dam), self._time(sire)), chance, expected)
        self._settle(step, sex, cost, ((state, 1.0),))

    def _time(self, number: int) -> float:
        own = self.origin[number]
        if isinstance(own, Stock):
            return own.ready
        return own.expected + self.timing.growth[own.sex or "F"]

    def _settle(self, own: Stock | Step, sex: Sex, time: float, parts: Parts, row: int = -1) -> None:
        number = len(self.origin)
        self.origin.append(own)
        if self.kin is not None:
            if isinstance(own, Stock):
                self.kin.add_known(row)
            else:
                self.kin.add_young(int(own.dam), int(own.sire))
        self.mates[sex].add(number, time, parts)
        self._pair(number, sex, time, parts)

    def _pair(self, number: int, sex: Sex, time: float, parts: Parts) -> None:
        """Weigh the animal just settled with every mate settled before it."""
        mates = self.mates["M" if sex == "F" else "F"]
        if not mates.ids:
            return
        begins = np.maximum(time, mates.times)
        allowed = np.ones(len(begins), dtype=bool)
        if self.kin is not None:
            allowed = self.kin.of(number)[mates.ids] <= self.most_kin
        if self.never:
            allowed &= [not self._ruled_out(number, mate) for mate in mates.ids]
        self._reach(number, sex, parts, mates, begins, allowed)
        known: dict[int, Brought] = {}
        soonest = min(self.timing.growth.values())
        spare = (self.bound - begins - soonest) / self.timing.cycle
        least = np.where(allowed & (spare > 0), 1 / (np.maximum(spare, 0) + 1), inf)
        if np.isinf(least).all():
            return
        for young in SEXES:
            tables = self.space.tables[young]
            if id(tables) not in known:
                litters = self.litters[young]
                known[id(tables)] = litters.brought(parts, sex, mates, least)
            self._offer(young, number, sex, begins, known[id(tables)])

    def _ruled_out(self, one: int, other: int) -> bool:
        """Whether these are two animals at hand that are never to be paired."""
        pair = [own.name for own in (self.origin[one], self.origin[other]) if isinstance(own, Stock)]
        return len(pair) == 2 and frozenset(pair) in self.never

    def _offer(self, young: Sex, number: int, sex: Sex, begins: np.ndarray, brought: Brought) -> None:
        """Remember the best pairs of the animal for each young state."""
        offers, mate, node = self.offers[young], brought.mate, brought.young
        cost = begins[mate] + _waits(brought.chance) * self.timing.cycle + self.timing.growth[young]
        kept = (cost + self.rest[young][node] < self.bound) & offers.welcome(node, cost)
        mates = np.array(self.mates["M" if sex == "F" else "F"].ids)[mate[kept]]
        own = np.full(len(mates), number)
        pairs = np.stack([own, mates] if sex == "F" else [mates, own], axis=1)
        each = 1 if self.kin is None else _PARTNERS
        offers.offer(node[kept], cost[kept], brought.chance[kept], pairs, each)

    def _reach(
        self, number: int, sex: Sex, parts: Parts, mates: Mates, begins: np.ndarray, allowed: np.ndarray
    ) -> None:
        """Whether a pair of the animal reaches the goal sooner than any before."""
        chance = np.where(allowed, self.arrival.chances(parts, sex, mates), 0)
        cost = begins + _waits(chance) * self.timing.cycle
        best = int(np.argmin(cost))
        if cost[best] < self.bound:
            self.bound = float(cost[best])
            pair = (number, mates.ids[best]) if sex == "F" else (mates.ids[best], number)
            self.goal = Step(*pair, None, None, float(begins[best]), float(chance[best]), self.bound)


def _waits(chance: np.ndarray) -> np.ndarray:
    """Litters in vain, on average, before the one that brings it."""
    return np.divide(1.0, chance, out=np.full_like(chance, inf), where=chance > 0) - 1


def _distinct(stock: Sequence[tuple[Stock, int]], apart: AnyOf[str]) -> list[tuple[Stock, int]]:
    """The first of all animals alike: sorted by readiness, it can do whatever the others can. Those `apart` all stay."""
    first: dict[tuple, tuple[Stock, int]] = {}
    for one, row in stock:
        first.setdefault((one.sex, one.parts, one.name if one.name in apart else None), (one, row))
    return list(first.values())
