"""Least squares on the natural scale with the package's own curves and optimiser, for published fits to be held against."""

from dataclasses import dataclass

import numpy as np

from pipeline.findings.growth.curves import Curve, Floats, log_weight
from pipeline.findings.growth.fitting import first_guess, least_squares


@dataclass(frozen=True)
class NaturalFit:
    """Grown value, value at `x0`, rate per unit of x, standard errors of their logs, and the sum of squares."""

    grown: float
    first: float
    rate: float
    log_errors: Floats
    squares: float
    x0: float

    def inflection(self) -> float:
        """Where a logistic curve reaches half its grown value."""
        return self.x0 + np.log(self.grown / self.first - 1) / self.rate


def fit_natural(curve: Curve, x: list[float], y: list[float]) -> NaturalFit:
    """The curve through (x, y) by least squares on y itself, where the package fits log y."""
    at, values = np.array(x, dtype=float), np.array(y, dtype=float)
    since, used = (at - at[0])[None], np.ones((1, len(at)), dtype=bool)

    def model(parameters: Floats, index: np.ndarray) -> tuple[Floats, Floats]:
        logs, jacobian = log_weight(parameters, np.full(len(index), curve.power), since[index])
        return np.exp(logs), np.exp(logs)[..., None] * jacobian

    start = first_guess(np.array([curve.power]), since, np.log(values)[None], used)
    parameters, squares = least_squares(model, start, values[None], used, np.full((1, 3), np.inf))
    jacobian = model(parameters, np.array([0]))[1][0]
    variance = squares[0] / (len(at) - 3)
    errors = np.sqrt(np.diag(variance * np.linalg.inv(jacobian.T @ jacobian)))
    return NaturalFit(*np.exp(parameters[0]), errors, float(squares[0]), float(at[0]))
