"""A route lived through, young by young: genotypes drawn by Mendel's rules, looks compared, one kept from each litter."""

import numpy as np

from pipeline.genetics.crosses import gametes, genotype
from pipeline.genetics.genes import SEXES
from pipeline.genetics.routes.search import Route, Stock
from pipeline.genetics.routes.space import GoalSpace
from pipeline.genetics.routes.timing import Timing

LITTERS = 60
"""Litters after which a pair is given up."""


class Lives:
    """One route in one space. Parents are diplotypes by group; lethal young never come, others take their place."""

    def __init__(self, space: GoalSpace, route: Route, stock: list[Stock], timing: Timing) -> None:
        self.space, self.route, self.timing = space, route, timing
        self.stock = {one.name: one for one in stock}

    def season(self, rng: np.random.Generator) -> float:
        """The season in which the goal is born in one life; inf where it never is."""
        animals = {name: self._drawn(one, rng) for name, one in self.stock.items()}
        ready = {name: one.ready for name, one in self.stock.items()}
        busy: dict = {}
        born = np.inf
        for i, step in enumerate(self.route):
            begins = max(ready[step.dam], ready[step.sire])
            if step.dam in busy and busy[step.dam][1] != step.sire:
                begins = max(begins, busy[step.dam][0])
            litters, kept = self._litters(step, animals[step.dam], animals[step.sire], rng)
            if kept is None:
                return np.inf
            born = begins + (litters - 1) * self.timing.cycle
            busy[step.dam] = (born + self.timing.cycle, step.sire)
            if step.sex:
                animals[i], ready[i] = kept, born + self.timing.growth[step.sex]
        return born

    def _litters(self, step, dam, sire, rng):
        """Litters until the one young kept of a litter is right, and that young; None after LITTERS."""
        for count in range(1, LITTERS + 1):
            litter = [self._young(dam, sire, rng) for _ in range(round(self.timing.litter))]
            alike = [(sex, own) for sex, own in litter if self._looks_right(sex, own, step)]
            if alike:
                sex, kept = alike[rng.integers(len(alike))]
                if self._is_right(sex, kept, step):
                    return count, kept
        return LITTERS, None

    def _young(self, dam, sire, rng):
        sex = SEXES[rng.integers(2)]
        return sex, tuple(self._at(g, dam[g], sire[g], sex, rng) for g in range(len(dam)))

    def _at(self, g, dam, sire, sex, rng):
        space = self.space.spaces[g]
        states = space.states[space.kind(sex)]
        while True:
            egg, sperm = (self._gamete(own, space.group, rng) for own in (dam, sire))
            single = sex == space.single_sex
            young = ((egg if sex == "M" else sperm),) if single else tuple(sorted((egg, sperm)))
            if young in states:
                return young

    @staticmethod
    def _gamete(own, group, rng):
        strands, chances = zip(*gametes(own, group).items(), strict=True)
        return strands[rng.choice(len(strands), p=[float(p) for p in chances])]

    def _drawn(self, one: Stock, rng):
        at = rng.choice(len(one.parts), p=[weight for _, weight in one.parts])
        return self._named(one.parts[at][0], one.sex)

    def _named(self, state, sex):
        return tuple(
            space.states[space.kind(sex)][i] for space, i in zip(self.space.spaces, state, strict=True)
        )

    def _looks_right(self, sex, own, step) -> bool:
        if step.sex:
            wanted = self._named(step.state, step.sex)
            return sex == step.sex and self._look(own) == self._look(wanted)
        return self._look(own) in {self._look(state) for state in self._goals(sex)}

    def _is_right(self, sex, own, step) -> bool:
        if step.sex is None:
            return own in self._goals(sex)
        return all(map(self._serves, self.space.spaces, self.space.tables[sex], own, step.state))

    @staticmethod
    def _serves(space, table, own, wanted) -> bool:
        """The wanted state itself, or one that looks like it and is counted as it."""
        at = next(states.index(own) for states in space.states.values() if own in states)
        counted_as_another = not table.young[:, :, at].any()
        return at == wanted or (counted_as_another and table.look_of[at] == table.look_of[wanted])

    def _goals(self, sex):
        lists = [
            [s for s, good in zip(space.states[space.kind(sex)], table.wanted, strict=True) if good]
            for space, table in zip(self.space.spaces, self.space.tables[sex], strict=True)
        ]
        found = [()]
        for own in lists:
            found = [(*before, state) for before in found for state in own]
        return found

    def _look(self, own):
        return tuple(
            locus.appearance(genotype(state, i))
            for space, state in zip(self.space.spaces, own, strict=True)
            for i, locus in enumerate(space.group.loci)
        )
