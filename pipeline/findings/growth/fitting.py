"""Least squares on log weight for many animals at once, and the choice of curve by AICc.

A batch of small fits in numpy, each step for all animals together, takes about a tenth of the time of a library call
for each (measured; see tests/findings/test_growth_fitting.py for the agreement with scipy.optimize).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from pipeline.findings.growth.curves import CURVES, PARAMETERS, Curve, Floats, log_weight
from pipeline.findings.growth.intervals import HEAVIEST, grown_interval, quantile, weight_interval

DAYS_A_YEAR = 365.25
FEWEST_DAYS = 4
"""A curve has three parameters; a fourth weighing is the least that shows any scatter about it."""

Model = Callable[[Floats, np.ndarray], tuple[Floats, Floats]]
"""Parameters (m, p) of the problems with these indices (m) to values (m, n) and Jacobian (m, n, p)."""


@dataclass(frozen=True)
class Fit:
    """One animal's curves, the best first: their `parameters` (c, 3), covariances (c, 3, 3) and Akaike `weights` (c).

    `start` and `last` are the ordinal days of its first and last weighing; `scatter` is the residual standard deviation
    of log weight about the best curve, `df` its degrees of freedom. The best curve is the answer; its error takes in how
    far the others, by their weight, disagree with it (after Buckland, Burnham & Augustin 1997, Biometrics 53:603-618,
    citation from memory): where several curves fit alike, a date ahead is less certain than any one of them says.
    """

    curves: tuple[Curve, ...]
    parameters: Floats
    covariance: Floats
    weights: Floats
    scatter: float
    n: int
    start: int
    last: int

    @property
    def curve(self) -> Curve:
        """The best of the curves."""
        return self.curves[0]

    @property
    def df(self) -> int:
        """Weighings less the parameters of one curve; none may be left."""
        return self.n - len(PARAMETERS)

    def at(self, days: Floats) -> tuple[Floats, Floats]:
        """Log weight by the best curve and its standard error (delta method) on ordinal days, none before `start`."""
        since = (np.asarray(days, dtype=float) - self.start) / DAYS_A_YEAR
        powers = np.array([curve.power for curve in self.curves])
        values, gradients = log_weight(
            self.parameters, powers, np.broadcast_to(since, (len(powers), len(since)))
        )
        variances = np.einsum("cni,cij,cnj->cn", gradients, self.covariance, gradients)
        return values[0], self._error(values, variances)

    def chance(self, days: Floats, grams: float) -> Floats:
        """Probability that the curve is at or above a weight on each ordinal day (Student's t on log weight)."""
        from scipy.special import stdtr

        value, error = self.at(days)
        return stdtr(self.df, (value - np.log(grams)) / np.maximum(error, 1e-9))

    def interval(self, days: Floats, level: float = 0.8) -> tuple[Floats, Floats, Floats]:
        """Weight by the curve in grams, and the ends of its interval (at most fiftyfold), on ordinal days."""
        value, error = self.at(days)
        return weight_interval(value, quantile(self.df, level) * error)

    def grown(self, level: float = 0.8) -> tuple[float, float, float]:
        """The grown weight in grams and its interval, all NaN where the weighings leave it undetermined."""
        place = PARAMETERS.log_grown
        values = self.parameters[:, place, None]
        error = self._error(values, self.covariance[:, place, place, None])[0]
        return grown_interval(values[0, 0], quantile(self.df, level) * error)

    def _error(self, values: Floats, variances: Floats) -> Floats:
        spread = np.maximum(variances, 0) + (values - values[0]) ** 2
        return np.sqrt(self.weights @ spread)


def fit_curves(series: Sequence[tuple[Floats, Floats]], curves: Sequence[Curve] = CURVES) -> list[Fit | None]:
    """The best curve of each animal by AICc; None with weighings on fewer than four days.

    `series` holds an animal's ordinal days and weights in grams (> 0), in any order.
    """
    usable = [i for i, (days, _) in enumerate(series) if len(np.unique(days)) >= FEWEST_DAYS]
    found: list[Fit | None] = [None] * len(series)
    if not usable:
        return found
    rows = len(usable)
    since, logs, used = (np.tile(a, (len(curves), 1)) for a in _padded([series[i] for i in usable]))
    powers = np.repeat([curve.power for curve in curves], rows)
    upper = np.max(np.where(used, logs, -np.inf), axis=1) + HEAVIEST
    bounds = np.stack([upper, np.full_like(upper, np.inf), np.full_like(upper, np.inf)], axis=-1)

    def model(parameters: Floats, index: np.ndarray) -> tuple[Floats, Floats]:
        return log_weight(parameters, powers[index], since[index])

    parameters, squares = least_squares(model, first_guess(powers, since, logs, used), logs, used, bounds)
    jacobian = model(parameters, np.arange(len(powers)))[1] * used[..., None]
    for place, animal in enumerate(usable):
        own = slice(place, None, rows)
        days = series[animal][0]
        found[animal] = _weighed(curves, parameters[own], squares[own], jacobian[own], days)
    return found


def aicc(squares: ArrayLike, n: int, parameters: int) -> Floats:
    """Akaike's criterion with the small-sample correction of Hurvich & Tsai (1989, Biometrika 76:297-307, citation from
    memory), up to a constant, one for each sum of `squares` of n residuals; `parameters` counts the scatter. Without the
    correction where n leaves it undefined."""
    room = n - parameters - 1
    penalty = 2 * parameters * (parameters + 1) / room if room > 0 else 0.0
    return n * np.log(np.maximum(squares, 1e-300) / n) + 2 * parameters + penalty


def _weighed(
    curves: Sequence[Curve], parameters: Floats, squares: Floats, jacobian: Floats, days: Floats
) -> Fit:
    """The curves of one animal in the order of AICc. All have four parameters, so n decides how much a better fit tells."""
    n = len(days)
    criterion = aicc(squares, n, parameters.shape[1] + 1)
    order = np.argsort(criterion, kind="stable")
    weights = np.exp((criterion.min() - criterion[order]) / 2)
    variance = squares[order] / (n - parameters.shape[1])
    information = np.einsum("cni,cnj->cij", jacobian[order], jacobian[order])
    ridge = 1e-12 * np.einsum("cii->c", information)  # what the weighings leave open: wide, not infinite
    information += ridge[:, None, None] * np.eye(parameters.shape[1])
    return Fit(
        tuple(curves[i] for i in order),
        parameters[order],
        variance[:, None, None] * np.linalg.inv(information),
        weights / weights.sum(),
        float(np.sqrt(variance[0])),
        n,
        int(min(days)),
        int(max(days)),
    )


def _padded(series: Sequence[tuple[Floats, Floats]]) -> tuple[Floats, Floats, np.ndarray]:
    """Years since the first weighing, log weights and which are there, one animal a row."""
    width = max(len(days) for days, _ in series)
    since, logs = np.zeros((2, len(series), width))
    used = np.zeros((len(series), width), dtype=bool)
    for row, (days, weights) in enumerate(series):
        order = np.lexsort((weights, days))
        since[row, : len(days)] = (np.asarray(days)[order] - min(days)) / DAYS_A_YEAR
        logs[row, : len(days)] = np.log(np.asarray(weights)[order])
        used[row, : len(days)] = True
    return since, logs, used


def first_guess(power: Floats, since: Floats, logs: Floats, used: np.ndarray) -> Floats:
    """Starting parameters (m, 3): for a given rate the curve is a straight line in exp(-k s) once the weights are raised
    to the power, so a short list of rates is tried by linear regression and the one nearest the log weights kept."""
    q = power[:, None]
    span = np.max(np.where(used, since, 0), axis=1)
    best = np.full(len(power), np.inf)
    guess = np.zeros((len(power), 3))
    count = used.sum(axis=1)
    raised = np.expm1(q * logs) / q
    for rate in np.geomspace(0.1, 20, 12)[:, None] / span:
        left = np.exp(-rate[:, None] * since) * used
        mean_x, mean_y = left.sum(1) / count, (raised * used).sum(1) / count
        dx, dy = (left - mean_x[:, None]) * used, (raised - mean_y[:, None]) * used
        slope = (dx * dy).sum(1) / (dx**2).sum(1)
        ends = np.stack([mean_y - slope * mean_x, mean_y + slope * (1 - mean_x)], axis=-1)
        with np.errstate(all="ignore"):
            trial = np.concatenate([np.log1p(q * ends) / q, np.log(rate)[:, None]], axis=-1)
            squares = np.sum(np.where(used, log_weight(trial, power, since)[0] - logs, 0) ** 2, axis=1)
        better = np.isfinite(trial).all(axis=1) & (squares < best)
        best[better], guess[better] = squares[better], trial[better]
    lost = np.isinf(best)
    top = np.max(np.where(used, logs, -np.inf), axis=1)
    guess[lost] = np.stack([top + 0.5, logs[:, 0], np.log(1 / span)], axis=-1)[lost]
    return guess


def least_squares(
    model: Model,
    start: Floats,
    values: Floats,
    used: np.ndarray,
    upper: Floats,
    rounds: int = 200,
    least_gain: float = 1e-14,
) -> tuple[Floats, Floats]:
    """Least squares for m problems at once (Levenberg 1944, Marquardt 1963); upper bounds by holding what pushes on one.

    `start` and `upper` (m, p), `values` and `used` (m, n). Returns parameters (m, p) and sums of squares (m). Rows stop
    when a step lowers their sum by no more than the share `least_gain`; those that never settle keep the best they met.
    """
    best = np.minimum(start, upper)
    squares, normal, pull = _state(model, best, values, used, np.arange(len(best)))
    damping = np.full(len(best), 1e-3)
    going = np.arange(len(best))
    for _ in range(rounds):
        step = _step(normal[going], pull[going], damping[going], best[going] >= upper[going])
        trial = np.minimum(best[going] + step, upper[going])
        trial_squares, trial_normal, trial_pull = _state(model, trial, values, used, going)
        lower = trial_squares < squares[going]
        gain = np.where(lower, squares[going] - trial_squares, np.inf)
        settled = gain <= least_gain * squares[going]
        kept = going[lower]
        best[kept], squares[kept] = trial[lower], trial_squares[lower]
        normal[kept], pull[kept] = trial_normal[lower], trial_pull[lower]
        damping[going] = np.where(lower, damping[going] / 10, damping[going] * 10)
        going = going[~settled & (damping[going] < 1e12) & (np.abs(step).max(axis=1) > 1e-12)]
        if not len(going):
            break
    return best, squares


def _state(
    model: Model, parameters: Floats, values: Floats, used: np.ndarray, index: np.ndarray
) -> tuple[Floats, Floats, Floats]:
    """Sum of squares (m), J'J (m, p, p) and J'r (m, p); infinite where the model has no value."""
    with np.errstate(all="ignore"):
        predicted, jacobian = model(parameters, index)
        residual = np.where(used[index], values[index] - predicted, 0)
        jacobian = np.where(used[index][..., None], jacobian, 0)
        squares = np.sum(residual**2, axis=1)
        sound = np.isfinite(squares) & np.isfinite(jacobian).all(axis=(1, 2))
        normal = jacobian.swapaxes(1, 2) @ jacobian
        pull = np.einsum("mni,mn->mi", jacobian, residual)
    return np.where(sound, squares, np.inf), normal, pull


def _step(normal: Floats, pull: Floats, damping: Floats, at_bound: np.ndarray) -> Floats:
    held = at_bound & (pull > 0)
    normal = np.where(held[:, :, None] | held[:, None, :], 0.0, normal)
    pull = np.where(held, 0.0, pull)
    diagonal = np.einsum("mii->mi", normal)
    ridge = np.where(
        held, 1.0, diagonal * damping[:, None] + 1e-14 * diagonal.max(axis=1, keepdims=True) + 1e-300
    )
    return np.asarray(
        np.linalg.solve(normal + ridge[:, :, None] * np.eye(normal.shape[1]), pull[..., None])[..., 0]
    )
