"""When a fall became a rise or the other way, or changed its pace: one knee in log price, dated, or none.

A line with one knee, continuous, is held against the straight line, and against a single step in an otherwise straight
line, which is no turn. All are fitted with Student-t errors (robust.py), so that an odd price neither makes nor hides
a turn. Prices that go together from one to the next tell less than as many apart: differences of log-likelihood are
shrunk by (1 - r)/(1 + r), with r the correlation of successive residuals.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from pipeline.findings.prices.robust import Floats, t_fits

FEWEST_A_SIDE = 5
"""Prices that a turn needs before and after it: as many as a trend needs."""
FEWEST_DAYS = 4
CANDIDATES, STEP_CANDIDATES, SCREENING_ROUNDS = 16, 24, 10
"""Dates tried, and rounds of fitting each, to see whether there is anything to date."""
FINE_CANDIDATES = 241
PENALTY, PACE_PENALTY, STEP_PENALTY = 2.0, 3.0, 4.0
"""Parameters that a knee costs in BIC: its date and its slope. Noise makes a knee without a turn more easily, and a
step more easily still: these are named at a higher cost. Against a turn a step stands at the same."""
STRETCH = 1.25
"""A date is no smooth parameter: at the usual bound of the likelihood ratio its 95 % interval holds it 92 times in a
hundred (simulated), at STRETCH times that bound 95 times."""
MOST_ALIKE, BIAS = 0.8, 2.0
"""A correlation of successive residuals is taken at most as high; BIAS / n is what fitting takes from it."""


@dataclass(frozen=True)
class Limb:
    """Slope per unit of x on one side of the turn, with its interval."""

    slope: float
    low: float
    high: float


@dataclass(frozen=True)
class Knee:
    """A knee at `on`, within `low` to `high` (units of x).

    `drawn`, `drawn_low` and `drawn_high` are the line and its band at the x asked for (`drawn_at` of find_bend), each as
    long as that. `turned` says that the slopes before and after have opposite signs, neither interval holding zero.
    Every interval is the range over all knees and lines that the likelihood allows at the level, so the limbs and the
    band carry the uncertainty of the date.
    """

    turned: bool
    on: float
    low: float
    high: float
    before: Limb
    after: Limb
    p_after: float
    drawn: Floats
    drawn_low: Floats
    drawn_high: Floats


@dataclass(frozen=True)
class Bend:
    """What became of the question: a knee, or a step at `step_on` that fits better, or neither (both None)."""

    knee: Knee | None = None
    step_on: float | None = None


def find_bend(
    x: ArrayLike, y: ArrayLike, *, apart: float = 1.0, level: float = 0.95, drawn_at: ArrayLike = ()
) -> Bend:
    """Whether y (log price) bent over x (years, ascending), at least five values and `apart` from either end.

    A knee is accepted where it beats the straight line by BIC and fits better than a step.
    """
    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    if len(x) < 2 * FEWEST_A_SIDE or len(np.unique(x)) < FEWEST_DAYS:
        return Bend()
    first = max(x[FEWEST_A_SIDE - 1], x[0] + apart)
    last = min(x[-FEWEST_A_SIDE], x[-1] - apart)
    if first >= last:
        return Bend()
    straight = t_fits(_straight(x)[None], y, SCREENING_ROUNDS)
    knees, steps_at = np.linspace(first, last, CANDIDATES), _step_dates(x, STEP_CANDIDATES)
    designs = np.concatenate([_knees(x, knees), _steps(x, steps_at)])
    fits = t_fits(designs, y, SCREENING_ROUNDS)
    best = int(np.argmax(fits.log_likelihood))
    share = _share_told(y, designs[best] @ fits.coefficients[best], fits.scale[best])
    gain = 2 * share * (fits.log_likelihood[best] - straight.log_likelihood[0])
    if best >= len(knees):
        named = gain > STEP_PENALTY * np.log(len(x))
        return Bend(step_on=_step_date(x, y) if named else None)
    if gain <= PENALTY * np.log(len(x)):
        return Bend()
    fine = np.linspace(first, last, FINE_CANDIDATES)
    knee = _knee(x, y, fine, share, level, np.asarray(drawn_at, dtype=float))
    return Bend(knee if knee.turned or gain > PACE_PENALTY * np.log(len(x)) else None)


def _straight(x: Floats) -> Floats:
    return np.column_stack([np.ones_like(x), x - x.mean()])


def _knees(x: Floats, knees: Floats) -> Floats:
    """Designs (K, n, 3): height at the knee, slope before, slope after."""
    away = x - knees[:, None]
    return np.stack([np.ones_like(away), np.minimum(away, 0), np.maximum(away, 0)], axis=-1)


def _steps(x: Floats, steps: Floats) -> Floats:
    """Designs (K, n, 3): a line, and what is added after the step."""
    after = (x > steps[:, None]).astype(float)
    line = np.broadcast_to(_straight(x), (len(steps), len(x), 2))
    return np.concatenate([line, after[..., None]], axis=-1)


def _step_date(x: Floats, y: Floats) -> float:
    dates = _step_dates(x, FINE_CANDIDATES)
    return float(dates[np.argmax(t_fits(_steps(x, dates), y).log_likelihood)])


def _step_dates(x: Floats, most: int) -> Floats:
    """Gaps between prices, thinned to `most`; each side has prices enough."""
    earlier, later = x[FEWEST_A_SIDE - 1 : -FEWEST_A_SIDE], x[FEWEST_A_SIDE : len(x) - FEWEST_A_SIDE + 1]
    gaps = ((earlier + later) / 2)[later > earlier]
    return gaps[np.unique(np.linspace(0, len(gaps) - 1, most).round().astype(int))]


def _share_told(y: Floats, fitted: Floats, scale: float) -> float:
    """(1 - r)/(1 + r) for the correlation r of successive residuals, each cut at three scales."""
    residual = np.clip(y - fitted, -3 * scale, 3 * scale)
    together = float(residual[1:] @ residual[:-1]) / max(float(residual @ residual), 1e-12)
    together = min(max(together + BIAS / len(y), 0.0), MOST_ALIKE)
    return (1 - together) / (1 + together)


def _knee(x: Floats, y: Floats, knees: Floats, share: float, level: float, drawn_at: Floats) -> Knee:
    from scipy.special import ndtr, stdtrit

    fits = t_fits(_knees(x, knees), y)
    best = int(np.argmax(fits.log_likelihood))
    freedom = len(x) - 4
    reach = stdtrit(freedom, (1 + level) / 2)
    allowed = STRETCH * len(x) * np.log1p(reach**2 / freedom)
    left = allowed - 2 * share * (fits.log_likelihood[best] - fits.log_likelihood)
    inside = np.flatnonzero(left >= 0)
    reaches = np.sqrt(left[inside])
    covariance, lines = fits.covariance[inside] / share, fits.coefficients[inside]

    def ranged(at: Floats) -> tuple[Floats, Floats]:
        """Lowest and highest of at @ coefficients (at: (k, m, 3)) over everything allowed."""
        middle = np.einsum("kmp,kp->km", at, lines)
        half = reaches[:, None] * np.sqrt(np.einsum("kmp,kpq,kmq->km", at, covariance, at))
        return (middle - half).min(axis=0), (middle + half).max(axis=0)

    units = np.broadcast_to(np.eye(3), (len(inside), 3, 3))
    low, high = ranged(units)
    before, after = (Limb(float(fits.coefficients[best, i]), float(low[i]), float(high[i])) for i in (1, 2))
    error = np.sqrt(fits.covariance[best, 2, 2] / share)
    band = ranged(_knees(drawn_at, knees[inside]))
    return Knee(
        before.high < 0 < after.low or after.high < 0 < before.low,
        float(knees[best]),
        float(x[0] if inside[0] == 0 else knees[inside[0]]),
        float(x[-1] if inside[-1] == len(knees) - 1 else knees[inside[-1]]),
        before, after, float(2 * ndtr(-abs(after.slope) / error)),
        _knees(drawn_at, knees[best : best + 1])[0] @ fits.coefficients[best], *band,
    )  # fmt: skip
