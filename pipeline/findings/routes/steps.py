"""A way to a goal as rows of the tables goal_routes and goal_outlook."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from functools import cached_property

import numpy as np

from pipeline.findings.growth.fitting import DAYS_A_YEAR
from pipeline.findings.pairs.goals import Goal
from pipeline.findings.routes.goals import Answer, Way, goal_label
from pipeline.findings.routes.stock import Herd
from pipeline.findings.routes.timing import Seasons
from pipeline.findings.shares import percent
from pipeline.genetics.carriers.odds import STEPS
from pipeline.genetics.collection import Animal
from pipeline.genetics.genes import Gene
from pipeline.genetics.label_claims import percentage
from pipeline.genetics.labels import write_label
from pipeline.genetics.routes.outlook import Odds, Played, StepOdds, played, step_odds
from pipeline.genetics.routes.search import Source
from pipeline.genetics.routes.space import GoalSpace
from pipeline.genetics.statements import Carried

RUNS = 4_000
"""Courses played through; a probability near one half is then off by less than two points in 95 of 100 runs."""
SURE = STEPS[0][1]
"""From this probability on a thing is written as certain, as the trade does."""
_SEXES = {"F": "daughter", "M": "son"}


@dataclass(frozen=True)
class Told:
    """One way with what is needed to tell it. `number` is its place among the goal's ways, from 1."""

    goal: Goal
    answer: Answer
    way: Way
    number: int
    herd: Herd
    when: Seasons
    as_of: date
    wanted_by: date | None
    seed: int

    @property
    def space(self) -> GoalSpace:
        """The genotypes that the way leads through. LookupError for a goal that could not be taken up: it has no way."""
        if self.answer.space is None:
            raise LookupError(f"{self.goal.name} was not taken up")
        return self.answer.space

    @cached_property
    def settled(self) -> dict[str, Odds]:
        """The animals' odds as the search took them: what is ruled out is out."""
        return {name: GoalSpace.settled(own, self.herd.least) for name, own in self.answer.odds.items()}

    @cached_property
    def odds(self) -> tuple[StepOdds, ...]:
        """The odds of every step."""
        return tuple(self._odds(i, self.settled) for i in range(len(self.way.route)))

    def _odds(self, position: int, stock: Mapping[str, Odds]) -> StepOdds:
        return step_odds(self.space, self.way.route, position, stock, self.when.timing.litter)

    @cached_property
    def played(self) -> Played:
        """The way played through."""
        return played(
            self.space, self.way.route, self.when.timing, self.herd.ready, self.answer.odds,
            runs=RUNS, seed=self.seed,
        )  # fmt: skip

    @property
    def arrives(self) -> bool:
        """Whether any course of the way gets there; of many gambles in a row it may be none."""
        return bool(np.isfinite(self.played.born[-1]).any())

    def outlook(self) -> dict[str, object]:
        """The way's row of goal_outlook, of a way that arrives."""
        born = self.played.born[-1]
        low, middle, high = (_quantile(born, q) for q in (0.1, 0.5, 0.9))
        wanted = self.wanted_by
        return {
            "goal": self.goal.name, "species": self.goal.species, "label": goal_label(self.goal, self.herd),
            "route": self.number, "way": self.way.kind, "steps": len(self.way.route), "season": middle,
            "years": self._years(middle), "years_low": self._years(low), "years_high": self._years(high),
            "p_ever": float(np.isfinite(born).mean()), "wanted_by": wanted.year if wanted else None,
            "p_by_wanted": self._chance_by(born, wanted) if wanted else None,
            "f_most": max(self.way.f), "note": " ".join(self._notes()),
        }  # fmt: skip

    def rows(self) -> Iterator[dict[str, object]]:
        """The way's rows of goal_routes."""
        for i, (step, odds) in enumerate(zip(self.way.route, self.odds, strict=True)):
            born = _quantile(self.played.born[i], 0.5)
            yield {
                "goal": self.goal.name, "species": self.goal.species, "route": self.number, "step": i + 1,
                "season": _quantile(self.played.begins[i], 0.5), "dam": self._called(step.dam), "sire": self._called(step.sire),
                "keep_label": self._label(i), "keep_sex": step.sex, "probability_one": odds.one,
                "right_share": odds.right, "young_for_95": odds.young_for_95, "probability_by_litter": odds.litter,
                "litters": 1 / step.chance, "born": born,
                "ready": None if step.sex is None else born + self.when.timing.growth[step.sex],
                "f_young": self.way.f[i], "note": " ".join(self._step_notes(i)),
            }  # fmt: skip

    def _called(self, source: Source) -> str:
        return source if isinstance(source, str) else f"young of step {source + 1}"

    def _label(self, position: int) -> str:
        step = self.way.route[position]
        if step.sex is None:
            return goal_label(self.goal, self.herd)
        found = self.space.label(self.odds[position].weights, step.sex)
        carries = tuple(Carried(one.gene, _in_trade(one.probability)) for one in found.carries)
        return write_label(replace(found, carries=carries), self.herd.groups.catalogue)

    def _years(self, season: int) -> float:
        return (self.when.birth(season) - self.as_of).days / DAYS_A_YEAR

    def _chance_by(self, born: np.ndarray, wanted: date) -> float:
        last = self.when.first
        while self.when.birth(last) <= wanted:
            last += 1
        return float((born < last).mean())

    def _notes(self) -> Iterator[str]:
        p = float(np.isfinite(self.played.born[-1]).mean())
        if p < SURE:
            yield f"A gamble: with a chance of {percent(1 - p)} it never gets there, because an animal on the way lacks what it should carry."

    def _step_notes(self, position: int) -> Iterator[str]:
        step, odds = self.way.route[position], self.odds[position]
        for source in dict.fromkeys((step.dam, step.sire)):
            if isinstance(source, str):
                yield from self._gambles(source, position)
        if odds.right < SURE:
            yield (
                f"{percent(odds.right)} of young with that label have what the way needs, and their look does not tell: keep one "
                "from every litter, and go by what they throw."
            )
        yield from self._same_pair(position)
        if self.played.held[position].mean() > 0.5:
            yield "The dam has the litters of an earlier step to bring first."

    def _gambles(self, name: str, position: int) -> Iterator[str]:
        """What an animal at hand must carry for this step and may not."""
        animal = next(one for one in self.herd.animals if one.id == name)
        unsure = []
        for gene in self.space.catalogue.genes:
            chance = self.herd.chance(animal, gene)
            if not self.herd.least < chance < 1 - self.herd.least:
                continue
            there, gone = (self._right(position, animal, gene, carried) for carried in (True, False))
            if gone < there / 2:
                odds = percentage(Fraction(chance).limit_denominator(100))
                unsure.append(f"{gene.name} ({odds.replace('%', ' %')})")
        if unsure:
            yield f"A gamble: {name} carries {' and '.join(unsure)}."

    def _right(self, position: int, animal: Animal, gene: Gene, carried: bool) -> float:
        """The chance of a right young where the animal carries the gene, or does not."""
        space, odds = self.space, list(self.settled[animal.id])
        for g, own in enumerate(space.spaces):
            for at, locus in enumerate(own.group.loci):
                if gene in locus.genes:
                    copies = own.copies(own.kind(animal.sex), at, locus.allele(gene.name))
                    kept = np.where((copies > 0) == carried, odds[g], 0)
                    if not kept.sum():
                        return 0.0
                    odds[g] = kept / kept.sum()
        found = self._odds(position, {**self.settled, animal.id: tuple(odds)})
        return found.one * found.right

    def _same_pair(self, position: int) -> Iterator[str]:
        step = self.way.route[position]
        for other, earlier in enumerate(self.way.route[:position]):
            if (earlier.dam, earlier.sire) == (step.dam, step.sire) and step.sex and earlier.sex:
                yield f"From the litters of step {other + 1}: a {_SEXES[step.sex]} as well."
                return


def _in_trade(chance: Fraction | None) -> Fraction | None:
    """The odds of a hidden gene as the trade writes them: certain, 66 %, 50 %, or as they are where they are less."""
    if chance is None:
        return None
    return next((Fraction(claim).limit_denominator(3) for claim, least in STEPS if chance >= least), chance)


def _quantile(seasons: np.ndarray, share: float) -> int:
    """Of the courses that arrive, the season by which that share has."""
    return int(np.quantile(seasons[np.isfinite(seasons)], share, method="inverted_cdf"))
