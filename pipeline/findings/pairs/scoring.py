"""What a pair is worth to the keeper, in points, each part in sight: a ranking is a sentence, never a bare number.

Up to 60 points for the goals, 25 for money, 15 for what is learnt, all times the chance that both are ready; less a point
for each per cent of inbreeding and each per cent of young that lethal genes would kill. The weights are this program's
choice, in the order goals, money, knowledge; they are stated wherever the score is.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.findings.pairs.chances import Chances
from pipeline.findings.pairs.goals import Goal

GOALS, VALUE, INFORMATION = 60.0, 25.0, 15.0
NEARER = 0.5
"""A young that is only nearer a goal, or that a way to it wants, counts half as much as one that is the goal."""
MEANING = (
    f"{GOALS:.0f} points at most for the goals, {VALUE:.0f} for the value of the young, {INFORMATION:.0f} for what they "
    "would tell of hidden genes, times the chance that both are ready; less one for each percent of inbreeding and of young "
    "that lethal genes kill."
)


@dataclass(frozen=True)
class Score:
    """Points by pair. `goal` is the place of the goal that a pair serves best, -1 where it serves none."""

    total: np.ndarray
    goals: np.ndarray
    value: np.ndarray
    information: np.ndarray
    kin: np.ndarray
    lost: np.ndarray
    goal: np.ndarray


def score(
    goals: Sequence[Goal],
    chances: Mapping[str, Chances],
    *,
    value: np.ndarray,
    best_value: float,
    bits: np.ndarray,
    ready: np.ndarray,
    f: np.ndarray,
    lost: np.ndarray,
    on_way: np.ndarray,
) -> Score:
    """The points of each pair. `chances` by goal; `value` NaN where unknown, `best_value` earns all its points; `bits` in all.

    `on_way` (goals x pairs) is the chance that a litter has the young that the way to the goal wants of it. A goal's service is
    the chance of it in a litter, or half of `on_way`, or half the chance that a young is nearer it than both parents,
    whichever is most; a second wish counts half as much as a first, a third a third, and all together no more than one goal in hand. One bit, a question of even odds settled, earns all points for
    information.
    """
    served = np.zeros((len(goals), len(f)))
    top = max((goal.weight for goal in goals), default=1.0)
    for place, goal in enumerate(goals):
        own = chances[goal.name]
        served[place] = (
            goal.weight / top * np.maximum(own.litter, NEARER * np.maximum(own.nearer, on_way[place]))
        )
    points = GOALS * np.minimum(served.sum(axis=0), 1.0) * ready
    money = VALUE * np.nan_to_num(value / best_value if best_value > 0 else value * 0) * ready
    known = INFORMATION * np.minimum(bits, 1.0) * ready
    kin, dying = 0 - 100 * f, 0 - 100 * lost
    best = served.argmax(axis=0) if len(goals) else np.zeros(len(f), dtype=int)
    best = np.where(served.max(axis=0, initial=0.0) > 1e-3, best, -1)
    return Score(points + money + known + kin + dying, points, money, known, kin, dying, best)
