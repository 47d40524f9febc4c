"""When an animal is ready to breed: the day on which weight, age and rest are all met, and how sure that is.

Each condition is the probability, day by day, that it is met; conditions are independent, so the animal is ready by a
day with their product. The date is where that product reaches one half, the 80 % interval where it reaches a tenth and
nine tenths. A condition known for certain is a step from 0 to 1.
"""

from calendar import monthrange
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from pipeline.findings.growth.curves import Floats
from pipeline.findings.growth.fitting import DAYS_A_YEAR, Fit
from pipeline.findings.growth.pooled import PooledFit

HORIZON = round(5 * DAYS_A_YEAR)
"""Days looked ahead. What a curve does more than five years on is no answer for a breeding plan."""
AT_ONCE = 200
"""Days looked at together: most animals are ready, or nearly, and what comes after the last date asked for is not reckoned."""
EARLY, MIDDLE, LATE = 0.1, 0.5, 0.9


@dataclass(frozen=True)
class Condition:
    """`chance` gives the probability of being met on ordinal days, 0 before `first`; NaN where nothing is known.

    `confirmed` says that the record itself shows it met, once its day has come; a curve alone does not.
    """

    name: str
    first: int
    chance: Callable[[Floats], Floats]
    confirmed: bool = True


@dataclass(frozen=True)
class Readiness:
    """Ordinal days, None where not reached within five years or not known; `p_ready` is NaN where not known."""

    on: int | None
    early: int | None
    late: int | None
    p_ready: float
    blocked_by: str


def met_on(name: str, day: int) -> Condition:
    """Met from a known day."""
    return Condition(name, day, lambda days: (days >= day).astype(float))


def met_between(name: str, first: int, last: int) -> Condition:
    """Met from a day somewhere between two, each day alike."""
    return Condition(name, first, lambda days: np.clip((days - first + 1) / (last - first + 1), 0, 1))


def met_by_growth(name: str, fit: Fit | PooledFit, grams: float) -> Condition:
    """Met when the curve reaches a weight, not before the last weighing (which was below it).

    A curve that falls counts by the weight it falls to: what it has above that it is about to lose.
    """
    after = fit.last + 1
    ends = np.array([after, after + HORIZON], dtype=float)
    begin, end = fit.at(ends)[0]
    most = float(fit.chance(ends[1:], grams)[0]) if end < begin else 1.0

    def chance(days: Floats) -> Floats:
        reached = np.zeros(len(days))
        reached[days >= after] = np.minimum(fit.chance(days[days >= after], grams), most)
        return reached

    return Condition(name, after, chance, confirmed=False)


def unknown(name: str) -> Condition:
    """Nothing is known of it."""
    return Condition(name, 0, lambda days: np.full(len(days), np.nan))


def readiness(conditions: Sequence[Condition], as_of: date, season: date) -> Readiness:
    """The day on which all conditions are met; `p_ready` is the probability of that by `season`."""
    today, begins = as_of.toordinal(), season.toordinal()
    first = max(c.first for c in conditions) or today
    days, chances, at_season = _until_ready(conditions, first, max(first, today) + HORIZON, begins)
    together = np.prod(chances, axis=0)
    return Readiness(
        _first_day(days, together, MIDDLE),
        _first_day(days, together, EARLY),
        _first_day(days, together, LATE),
        0.0 if 0.0 in at_season else float(np.prod(at_season)),
        _blocked_by(conditions, [_first_day(days, c, MIDDLE) for c in chances], today),
    )


def _until_ready(
    conditions: Sequence[Condition], first: int, end: int, season: int
) -> tuple[Floats, Floats, Floats]:
    """Days from `first`, before `end`, and the chance of each condition by each day (conditions x days), at least until all
    are met with LATE, or those of which anything is known with MIDDLE. And the chance of each on the day `season`."""
    found: list[Floats] = []
    for begin in range(first, end, AT_ONCE):
        days = np.concatenate([np.arange(begin, min(begin + AT_ONCE, end), dtype=float), [season]])
        asked = np.stack([c.chance(days) for c in conditions])
        found.append(asked[:, :-1])
        if found[1:]:
            found[-1][:, 0] = np.fmax(found[-1][:, 0], found[-2][:, -1])
        np.maximum.accumulate(found[-1], axis=1, out=found[-1])
        by_now = found[-1][:, -1]
        known = by_now[~np.isnan(by_now)]
        if np.prod(by_now) >= LATE or (len(known) < len(by_now) and (known >= MIDDLE).all()):
            break
    chances = np.concatenate(found, axis=1)
    return np.arange(first, first + chances.shape[1], dtype=float), chances, asked[:, -1]


def add_months(day: date, months: float) -> date:
    """Calendar months on (the last day of a shorter month), a fraction of a month as days."""
    whole = int(months)
    year, month = divmod(day.year * 12 + day.month - 1 + whole, 12)
    start = date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))
    return start + timedelta(days=round((months - whole) * DAYS_A_YEAR / 12))


def coming_season(as_of: date, starts: int) -> date:
    """The first day of the month `starts` (1 to 12) on or after `as_of`."""
    this_year = date(as_of.year, starts, 1)
    return this_year if this_year >= as_of else date(as_of.year + 1, starts, 1)


def _first_day(days: Floats, chance: Floats, level: float) -> int | None:
    reached = chance >= level
    place = int(reached.argmax())
    return int(days[place]) if reached[place] else None


def _blocked_by(conditions: Sequence[Condition], reached: Sequence[int | None], today: int) -> str:
    """The condition met last, if that is still to come or no weighing has shown it yet; else nothing."""
    waits = [np.inf if day is None else day for day in reached]
    last = max(range(len(waits)), key=lambda i: (waits[i], conditions[i].first))
    if waits[last] > today:
        return conditions[last].name
    return next((c.name for c in conditions if not c.confirmed), "nothing")
