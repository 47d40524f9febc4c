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
from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, prod

import numpy as np

from pipeline.genetics.genes import SEXES, Sex
from pipeline.genetics.routes.arrival import Arrival
from pipeline.genetics.routes.blocks import Blocks
from pipeline.genetics.routes.kin import GrowingKinship
from pipeline.genetics.routes.litters import Litters
from pipeline.genetics.routes.mates import Mates, Own
from pipeline.genetics.routes.offers import Offers
from pipeline.genetics.routes.promising import best_rows
from pipeline.genetics.routes.remaining import still_to_come
from pipeline.genetics.routes.space import GoalSpace, Parts, State
from pipeline.genetics.routes.timing import Timing

_LINES = 2
"""With a limit on kinship: unrelated lines kept of a genotype and sex."""
_NARROW, _WIDE, _STATES = (4, 2), (2, 1), 500
"""Then too: pairs remembered for each, and the best mates of an animal among them; fewer where a sex has more than so many states."""


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
        self.blocks = Blocks(space)
        self.mates: dict[Sex, Mates] = {sex: Mates(self.blocks, sex) for sex in SEXES}
        self.litters = {
            sexes[0]: Litters(self.blocks, sexes[0], timing.litter) for sexes in self.blocks.alike
        }
        self.origin: list[Stock | Step] = []
        wide = prod(space.sizes["F"]) > _STATES
        slots, self.each = (1, 1) if kinship is None else _WIDE if wide else _NARROW
        self.offers = {sex: Offers(prod(space.sizes[sex]), slots) for sex in SEXES}
        self.settled: dict[tuple[Sex, int], list[int]] = {}
        self.first = {sex: np.full(prod(space.sizes[sex]), -1) for sex in SEXES}
        self.goal: Step | None = None
        self.arrival = Arrival(self.blocks, timing.litter)
        self.rest = still_to_come(self.blocks, timing)

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
            """An animal's ID, or the place of the step that breeds it, which joins `steps` before whoever needs it."""
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
        self.first[sex][node] = lines[0]
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

    def _settle(self, origin: Stock | Step, sex: Sex, time: float, parts: Parts, row: int = -1) -> None:
        number = len(self.origin)
        self.origin.append(origin)
        if self.kin is not None:
            if isinstance(origin, Stock):
                self.kin.add_known(row)
            else:
                self.kin.add_young(int(origin.dam), int(origin.sire))
        own = Own.of(parts, sex, self.blocks)
        self.mates[sex].add(number, own)
        self._pair(number, own, time)

    def _pair(self, number: int, own: Own, time: float) -> None:
        """Weigh the animal just settled with every mate settled before it; none of them is to be had later than it."""
        mates = self.mates["M" if own.sex == "F" else "F"]
        if not mates.ids:
            return
        allowed = np.ones(len(mates.ids), dtype=bool)
        if self.kin is not None:
            allowed = self.kin.of(number)[mates.ids] <= self.most_kin
        if self.never:
            allowed &= [not self._ruled_out(number, mate) for mate in mates.ids]
        if not allowed.any():
            return
        self._reach(number, own, time, mates, allowed)
        for sexes in self.blocks.alike:
            self._offer(sexes, number, own, time, mates, allowed)

    def _ruled_out(self, one: int, other: int) -> bool:
        """Whether these are two animals at hand that are never to be paired."""
        pair = [own.name for own in (self.origin[one], self.origin[other]) if isinstance(own, Stock)]
        return len(pair) == 2 and frozenset(pair) in self.never

    def _offer(
        self, sexes: Sequence[Sex], number: int, own: Own, time: float, mates: Mates, allowed: np.ndarray
    ) -> None:
        """Remember the best pairs of the animal for each young state of these sexes, whose shares of the young are alike.

        Only states are asked for that a pair could improve on.
        """
        litters, timing = self.litters[sexes[0]], self.timing
        latest = [np.minimum(self.offers[sex].dearest(), self.bound - self.rest[sex]) for sex in sexes]
        least = [
            timing.chance(own - timing.growth[sex] - time) for own, sex in zip(latest, sexes, strict=True)
        ]
        lowest = np.minimum.reduce(least)
        nodes = np.flatnonzero(litters.best(own) >= lowest)
        if not len(nodes):
            return
        bounds = np.where(allowed[:, None], litters.bounds(own, mates, nodes), 0.0)
        ids = np.array(mates.ids)
        for mate, at, chance in best_rows(
            bounds,
            litters.known(own, mates),
            lowest[nodes],
            self.each,
            lambda mate, at: litters.chances(own, mates, mate, nodes[at]),
        ):
            mine, theirs, node = np.full(len(mate), number), ids[mate], nodes[at]
            pairs = np.stack([mine, theirs] if own.sex == "F" else [theirs, mine], axis=1)
            for sex, enough in zip(sexes, least, strict=True):
                kept = (chance >= enough[node]) & self._apart(sex, node, number, theirs)
                cost = time + timing.waits(chance[kept]) + timing.growth[sex]
                self.offers[sex].offer(node[kept], cost, chance[kept], pairs[kept])

    def _apart(self, sex: Sex, node: np.ndarray, number: int, mate: np.ndarray) -> np.ndarray:
        """Whether the young of each pair would be a line of its state unrelated to the one there is."""
        if self.kin is None:
            return np.ones(len(node), dtype=bool)
        line = self.first[sex][node]
        return (line < 0) | (self.kin.of_youngs(number, mate, line) <= self.most_kin)

    def _reach(self, number: int, own: Own, time: float, mates: Mates, allowed: np.ndarray) -> None:
        """Whether a pair of the animal reaches the goal sooner than any before."""
        least = self.timing.chance(np.array(self.bound - time))
        able = np.flatnonzero(allowed & (self.arrival.bounds(own, mates) >= least))
        if not len(able):
            return
        chances = self.arrival.chances(own, mates, able)
        best = int(np.argmax(chances))
        cost = time + float(self.timing.waits(chances[[best]])[0])
        if cost < self.bound:
            self.bound = cost
            mate = mates.ids[able[best]]
            pair: tuple[Source, Source] = (number, mate) if own.sex == "F" else (mate, number)
            self.goal = Step(*pair, None, None, time, float(chances[best]), cost)


def _distinct(stock: Sequence[tuple[Stock, int]], apart: AnyOf[str]) -> list[tuple[Stock, int]]:
    """The first of all animals alike: sorted by readiness, it can do whatever the others can. Those `apart` all stay."""
    first: dict[tuple, tuple[Stock, int]] = {}
    for one, row in stock:
        first.setdefault((one.sex, one.parts, one.name if one.name in apart else None), (one, row))
    return list(first.values())
