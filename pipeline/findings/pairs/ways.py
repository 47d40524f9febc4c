"""Which pairs begin a way to a goal (routes/): the steps of the coming season whose parents are both at hand."""

from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

Pair = tuple[str, str]
_SEXES = {"F": "a daughter", "M": "a son"}


@dataclass(frozen=True)
class Begun:
    """A step of a way to a goal: `route` 1 is the quickest way, 2 the one within the inbreeding limit; `chance` that a typical
    litter has the young to keep."""

    goal: str
    route: int
    step: int
    keep: str
    chance: float


Ways = Mapping[Pair, tuple[Begun, ...]]
"""By dam and sire."""


def beginnings(routes: pd.DataFrame | None, year: int) -> Ways:
    """The steps of a season's beginning from the findings table goal_routes; None: no ways were looked for."""
    found: dict[Pair, tuple[Begun, ...]] = {}
    if routes is None:
        return found
    for row in routes[routes["season"] == year].itertuples():
        keep = f"{_SEXES.get(row.keep_sex, 'young')}, {row.keep_label}"
        begun = Begun(row.goal, int(row.route), int(row.step), keep, float(row.probability_by_litter))
        found[row.dam, row.sire] = (*found.get((row.dam, row.sire), ()), begun)
    return found


def in_words(begun: tuple[Begun, ...]) -> str:
    """'Steps 1 and 2 of the way to Snow Motley: keep a daughter, ..., and a son, ...' A step on both ways is told once."""
    said = []
    for goal in dict.fromkeys(one.goal for one in begun):
        own = [one for one in begun if one.goal == goal]
        route = min(one.route for one in own)
        steps = [one for one in own if one.route == route]
        numbers = " and ".join(str(one.step) for one in steps)
        limit = " within the inbreeding limit" if route > 1 else ""
        keep = ", and ".join(dict.fromkeys(one.keep for one in steps))
        plural = "s" if len(steps) > 1 else ""
        said.append(f"Step{plural} {numbers} of the way to {goal}{limit}: keep {keep}.")
    return " ".join(said)
