"""Everything about the pairs of one species as arrays: what options, plan and holdbacks are read from."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import TypeVar

import numpy as np

from pipeline.findings.pairs.chances import Chances, goal_chances
from pipeline.findings.pairs.couples import Couples, Grid, Joint, Side
from pipeline.findings.pairs.goals import Goal
from pipeline.findings.pairs.information import information
from pipeline.findings.pairs.outcomes import Outcomes, outcomes
from pipeline.findings.pairs.spaces import Groups, Odds
from pipeline.findings.pairs.value import Values, litter_values
from pipeline.findings.prices import LabelPrices
from pipeline.genetics.collection import Settings

_Arrays = TypeVar("_Arrays", Values, Chances)


@dataclass(frozen=True)
class Species:
    """What is the same for all pairs of one species. `young`: of a typical litter, 1 where nobody can tell (not `size_known`)."""

    groups: Groups
    goals: tuple[Goal, ...]
    young: int
    prices: LabelPrices
    settings: Settings
    size_known: bool = True

    @property
    def name(self) -> str:
        """As the book's Species sheet writes it."""
        return self.groups.catalogue.species


@dataclass(frozen=True)
class Expected:
    """By pair: the young, their value, bits told (pairs x linkage groups), and chances by goal."""

    outcomes: Outcomes
    values: Values
    bits: np.ndarray
    chances: Mapping[str, Chances]


def expected(species: Species, couples: Couples) -> Expected:
    """All of it for some pairs. Time grows with the pairs and their segregating genes; 7,200 pairs take about a second."""
    young = outcomes(species.groups, couples)
    return Expected(
        young,
        litter_values(young, species.groups, couples, species.young, species.prices),
        information(species.groups, couples, species.young, species.settings),
        {goal.name: goal_chances(goal, species.groups, couples, species.young) for goal in species.goals},
    )


def grid(species: Species, dams: Sequence[str], sires: Sequence[str], odds: Mapping[str, Odds]) -> Grid:
    """Every dam with every sire."""
    groups = len(species.groups.spaces)
    return Grid(Side.of(dams, odds, groups), Side.of(sires, odds, groups))


def together(tables: Sequence[tuple[np.ndarray, ...]]) -> Joint:
    """Pairs with their joint odds, one tuple of tables (by group) a pair."""
    return Joint(tuple(np.stack(column) for column in zip(*tables, strict=True)), len(tables))


def with_part(whole: Expected, part: Expected, at: Sequence[int]) -> Expected:
    """The whole with the pairs at these places as `part` has them."""
    places = np.asarray(at, dtype=np.int64)

    def put(old: np.ndarray, new: np.ndarray) -> np.ndarray:
        made = old.copy()
        made[places] = new
        return made

    def all_of(old: _Arrays, new: _Arrays) -> _Arrays:
        names = [one.name for one in fields(old)]
        return replace(old, **{name: put(getattr(old, name), getattr(new, name)) for name in names})

    return Expected(
        _with_outcomes(whole.outcomes, part.outcomes, places),
        all_of(whole.values, part.values),
        put(whole.bits, part.bits),
        {goal: all_of(own, part.chances[goal]) for goal, own in whole.chances.items()},
    )


def _with_outcomes(whole: Outcomes, part: Outcomes, places: np.ndarray) -> Outcomes:
    kept = ~np.isin(whole.pair, places)
    pair = np.concatenate([whole.pair[kept], places[part.pair]])
    order = np.argsort(pair, kind="stable")
    lost = whole.lost.copy()
    lost[places] = part.lost

    def column(name: str, shift: int = 0) -> np.ndarray:
        return np.concatenate([getattr(whole, name)[kept], getattr(part, name) + shift])[order]

    return Outcomes(
        whole.labels + part.labels,
        pair[order],
        column("sex"),
        column("label", len(whole.labels)),
        column("probability"),
        column("looks"),
        lost,
    )
