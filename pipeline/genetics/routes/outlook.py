"""How long a route takes when chance has its way: the spread of each step, and whether its gambles come off.

The search reckons with expectations; here the steps are played through. An animal at hand whose genes are open is one
thing or another throughout, so a gamble can be lost for good. Litters come one a cycle until the young to keep is
there, and a female that is needed in two pairings has their litters one after the other.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from pipeline.genetics.genes import SEXES, Sex
from pipeline.genetics.routes.search import Route, Source, Step
from pipeline.genetics.routes.space import GoalSpace
from pipeline.genetics.routes.timing import Timing, litter_chance

Odds = tuple[np.ndarray, ...]
"""Of one animal: at each group of the goal, the odds of its states."""
MOST_YOUNG = 2000
"""Young that give 95 % are told up to this many."""


@dataclass(frozen=True)
class Need:
    """What a step wants, as young states and looks at each group by sex: right ones, and all that look like them."""

    right: Mapping[Sex, Odds]
    look: Mapping[Sex, Odds]


@dataclass(frozen=True)
class StepOdds:
    """`one`: chance that one young has the look and sex to keep; `right`: that such a young is what the route needs.

    `litter`: chance that a litter holds one to keep; `young_for_95`: young after which one was had with 95 % where the pair
    can give it at all, None beyond MOST_YOUNG. `weights`: odds of the kept young's states at each group (of `sex`, a female's where either does).
    """

    one: float
    right: float
    litter: float
    young_for_95: int | None
    weights: Odds


@dataclass(frozen=True)
class Played:
    """Seasons, steps x runs: `begins` the first litter, `born` the one that brings the young; inf where never.

    `held` is where the dam had litters by another sire to bring first.
    """

    begins: np.ndarray
    born: np.ndarray
    held: np.ndarray


def needs(space: GoalSpace, step: Step) -> Need:
    """What the step wants, see Need."""
    right: dict[Sex, Odds] = {}
    look: dict[Sex, Odds] = {}
    for sex in SEXES if step.sex is None else (step.sex,):
        tables = space.tables[sex]
        if step.state is None:
            right[sex] = tuple(table.wanted for table in tables)
            look[sex] = tuple(table.wanted_looks[table.look_of] for table in tables)
        else:
            right[sex] = tuple(
                np.arange(len(table.look_of)) == i for table, i in zip(tables, step.state, strict=True)
            )
            look[sex] = tuple(
                table.look_of == table.look_of[i] for table, i in zip(tables, step.state, strict=True)
            )
    return Need(right, look)


def step_odds(
    space: GoalSpace, route: Route, position: int, stock: Mapping[str, Odds], litter: float
) -> StepOdds:
    """The odds of one step, the parents' open genes averaged over."""
    step = route[position]
    need = needs(space, step)
    draws = _Draws(space, route, stock)
    dam, sire, weight = draws.all_pairs(step)
    look, right = draws.shares(need.look, dam, sire), draws.shares(need.right, dam, sire)
    one = float(weight @ look)
    brings = (sex for sex in SEXES if all(own.any() for own in need.look[sex]))
    sex: Sex = next(brings) if step.sex is None else step.sex
    given = draws.young(sex, step)
    weights = tuple(own * kept for own, kept in zip(given, need.look[sex], strict=True))
    return StepOdds(
        one,
        float(weight @ right) / one if one else 0.0,
        float(weight @ (1 - (1 - look) ** litter)),
        _young_for(look, weight, 0.95),
        weights,
    )


def played(
    space: GoalSpace,
    route: Route,
    timing: Timing,
    ready: Mapping[str, float],
    stock: Mapping[str, Odds],
    *,
    runs: int,
    seed: int,
) -> Played:
    """The route played through `runs` times."""
    rng = np.random.default_rng(seed)
    draws = _Draws(space, route, stock)
    drawn = draws.drawn(rng, runs)
    begins, born = np.zeros((2, len(route), runs))
    held = np.zeros((len(route), runs), dtype=bool)
    free: dict[Source, tuple[np.ndarray, Source]] = {}
    for i, step in enumerate(route):
        dam, sire = drawn[step.dam], drawn[step.sire]
        need = needs(space, step)
        look, right = draws.shares(need.look, dam, sire), draws.shares(need.right, dam, sire)
        chance = litter_chance(look, right, timing.litter)
        waits = np.full(runs, np.inf)
        possible = chance > 0
        waits[possible] = rng.geometric(np.minimum(chance[possible], 1)) - 1
        dam_ready, sire_ready = (
            ready[source]
            if isinstance(source, str)
            else born[source] + timing.growth[route[source].sex or "F"]
            for source in (step.dam, step.sire)
        )
        begins[i] = np.maximum(dam_ready, sire_ready)
        if step.dam in free and free[step.dam][1] != step.sire:
            held[i] = free[step.dam][0] > begins[i]
            begins[i] = np.maximum(begins[i], free[step.dam][0])
        born[i] = begins[i] + waits * timing.cycle
        free[step.dam] = (born[i] + timing.cycle, step.sire)
        drawn[i] = draws.of_step(step, runs)
    return Played(begins, born, held)


class _Draws:
    """The states of a route's parents: drawn for a run, or all of them with their weights."""

    def __init__(self, space: GoalSpace, route: Route, stock: Mapping[str, Odds]) -> None:
        self.space, self.route, self.stock = space, route, stock

    def drawn(self, rng: np.random.Generator, runs: int) -> dict[Source, np.ndarray]:
        """Animals at hand: runs x groups."""
        names = dict.fromkeys(s for step in self.route for s in (step.dam, step.sire) if isinstance(s, str))
        return {
            name: np.stack([rng.choice(len(own), size=runs, p=own) for own in self.stock[name]], axis=1)
            for name in names
        }

    def of_step(self, step: Step, runs: int) -> np.ndarray:
        """The young of a step, of which one is kept that is right: runs x groups."""
        state = step.state if step.state is not None else (0,) * len(self.space.spaces)
        return np.tile(np.array(state, dtype=np.intp), (runs, 1))

    def odds(self, source: Source) -> Odds:
        """The odds of a parent's states at each group."""
        if isinstance(source, str):
            return self.stock[source]
        step = self.route[source]
        sizes = self.space.sizes[step.sex or "F"]
        return tuple(
            (np.arange(size) == i).astype(float) for size, i in zip(sizes, step.state or (), strict=True)
        )

    def all_pairs(self, step: Step) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Every combination of the parents' likelier states (rows x groups each) with its weight."""
        parts = [self.space.parts(self.odds(source)) for source in (step.dam, step.sire)]
        pairs = [(d, s, p * q) for d, p in parts[0] for s, q in parts[1]]
        dam, sire = (np.array([pair[i] for pair in pairs], dtype=np.intp) for i in (0, 1))
        return dam, sire, np.array([pair[2] for pair in pairs])

    def shares(self, accepted: Mapping[Sex, Odds], dam: np.ndarray, sire: np.ndarray) -> np.ndarray:
        """Of all young, the share accepted at every group; each sex is half of them."""
        total = np.zeros(len(dam))
        for sex, masks in accepted.items():
            parts = [
                table.young[dam[:, g], sire[:, g]][:, mask].sum(axis=1)
                for g, (table, mask) in enumerate(zip(self.space.tables[sex], masks, strict=True))
            ]
            total += np.prod(parts, axis=0) / 2
        return total

    def young(self, sex: Sex, step: Step) -> Odds:
        """Odds of the young's states at each group."""
        dam, sire = self.odds(step.dam), self.odds(step.sire)
        return tuple(
            np.einsum("d,s,dsy->y", dam[g], sire[g], table.young)
            for g, table in enumerate(self.space.tables[sex])
        )


def _young_for(look: np.ndarray, weight: np.ndarray, level: float) -> int | None:
    """The fewest young that hold one to keep with that probability, gambles taken as won; None beyond MOST_YOUNG."""
    able = look > 0
    if not able.any():
        return None
    look, weight = look[able], weight[able] / weight[able].sum()
    counts = np.arange(1, MOST_YOUNG + 1)
    had = weight @ (1 - (1 - look[:, None]) ** counts)
    enough = np.flatnonzero(had >= level - 1e-12)
    return int(counts[enough[0]]) if len(enough) else None
