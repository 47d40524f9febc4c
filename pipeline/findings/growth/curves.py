"""Growth curves as functions of age: one family, of which the named curves are members.

A power of the weight approaches that of the grown weight A exponentially:

    w(s)^q = A^q + (w0^q - A^q) exp(-k s),    s = time since the age at which the weight is w0

This is the family of Richards (1959, J. Exp. Bot. 10:290-301, citation from memory). q = -1 is the logistic, q -> 0 the
Gompertz, q = 1/3 the von Bertalanffy curve of a weight (a length cubed), q = 1 that of a length.
Unlike the age at an inflection, w0 and A stay positive and near the weighings, whatever the data.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Curve:
    """A member of the family, by the power q of its weight."""

    name: str
    power: float


LOGISTIC = Curve("logistic", -1.0)
GOMPERTZ = Curve("Gompertz", 1e-9)
"""The limit q -> 0, met to nine digits."""
VON_BERTALANFFY = Curve("von Bertalanffy", 1 / 3)
CURVES = (LOGISTIC, GOMPERTZ, VON_BERTALANFFY)
"""The curves a weight is fitted with."""
FAINTEST = -30.0
"""The log of (w0 / A)^q is taken no lower: 1 + (w0 / A)^q - 1 would be 0 in floating point."""


class Parameters(NamedTuple):
    """The order of a curve's parameters, the last axis of every parameter array."""

    log_grown: int = 0
    log_first: int = 1
    log_rate: int = 2


PARAMETERS = Parameters()


def log_weight(parameters: Floats, power: ArrayLike, since: Floats) -> tuple[Floats, Floats]:
    """Log weight and its Jacobian.

    `parameters` (..., 3) are log A, log w0, log k; `power` (...) is q; `since` (..., n) is the time since w0, not
    negative. Returns log weights (..., n) and derivatives by the parameters (..., n, 3). k is per unit of `since`.
    """
    grown, first, log_rate = (parameters[..., i, None] for i in PARAMETERS)
    q = np.asarray(power, dtype=float)[..., None]
    faded = np.exp(log_rate) * since
    left = np.exp(-faded)
    begun = np.maximum(q * (first - grown), FAINTEST)
    gap = np.expm1(begun) * left
    by_first = np.exp(begun) * left / (1 + gap)
    by_rate = -faded * gap / ((1 + gap) * q)
    return grown + np.log1p(gap) / q, np.stack([1 - by_first, by_first, by_rate], axis=-1)
