"""Weighings that look slipped: ten times or a tenth of their neighbours, or typed in ounces, pounds or kilograms."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from pipeline.findings.growth.curves import Floats
from pipeline.findings.growth.fitting import DAYS_A_YEAR
from pipeline.findings.growth.weighings import DOUBTED


@dataclass(frozen=True)
class Factor:
    """A weight typed as `times` the true one in grams, and how that comes about."""

    times: float
    cause: str


FACTORS = (
    Factor(10, "a slipped decimal"),
    Factor(0.1, "a slipped decimal"),
    Factor(100, "a slipped decimal"),
    Factor(0.01, "a slipped decimal"),
    Factor(1 / 1000, "kilograms in a column of grams"),
    Factor(1 / 28.349523125, "ounces in a column of grams"),
    Factor(1 / 453.59237, "pounds in a column of grams"),
)
"""The avoirdupois ounce and pound in grams are exact by the international agreement of 1959."""
NEAR = 0.4
"""How far, on logs, a deviation may lie from that of a factor."""
LEAP = np.log(4)
"""A weight within fourfold of its neighbours is never called slipped."""
FASTEST = 2.5
"""Growth of log weight a year that is left to the first and the last weighing before they are doubted: twelvefold."""
FEWEST = 3
"""Of two weighings nobody can say which is wrong."""


def doubt_slips(points: pd.DataFrame) -> pd.DataFrame:
    """`points` (see weighing_points) with slipped weighings set to state 'doubted', unused, and two more columns: what
    they should likely weigh (`likelier_g`, NaN for the others) and the `cause`."""
    points = points.assign(likelier_g=np.nan, cause="")
    plain = points[points["used"]]
    leap = np.log(plain["weight_g"]).groupby(plain["animal"]).diff().abs() > LEAP
    suspects = set(plain.loc[leap, "animal"])
    for _, rows in plain[plain["animal"].isin(suspects)].groupby("animal", sort=True):
        logs = np.log(rows["weight_g"].to_numpy())
        for place, factor in slips(rows["day"].to_numpy(), logs):
            at = rows.index[place]
            points.loc[at, ["state", "used", "cause"]] = [DOUBTED, False, factor.cause]
            points.loc[at, "likelier_g"] = float(np.exp(logs[place])) / factor.times
    return points


def slips(days: Floats, logs: Floats) -> list[tuple[int, Factor]]:
    """The places (in order of doubt) of an animal's slipped log weights, oldest first, with the factor of each."""
    kept, found = list(range(len(days))), []
    while len(kept) >= FEWEST:
        doubts = [
            (_roughness(logs, kept, place), place, factor) for place, factor in _candidates(days, logs, kept)
        ]
        if not doubts:
            break
        _, place, factor = min(doubts, key=lambda doubt: doubt[:2])
        found.append((kept.pop(place), factor))
    return found


def _candidates(days: Floats, logs: Floats, kept: list[int]) -> list[tuple[int, Factor]]:
    at, values = days[kept], logs[kept]
    found = []
    for place in range(len(kept)):
        expected, room = _neighbours(at, values, place)
        off = values[place] - expected
        factor = min(FACTORS, key=lambda factor: abs(off - np.log(factor.times)))
        if abs(off) > room and abs(off - np.log(factor.times)) < NEAR:
            found.append((place, factor))
    return found


def _neighbours(at: Floats, values: Floats, place: int) -> tuple[float, float]:
    """What the neighbours lead to expect, and how far from it a weight may lie unsuspected."""
    last = len(at) - 1
    if 0 < place < last:
        before, after = values[place - 1], values[place + 1]
        share = (at[place] - at[place - 1]) / max(at[place + 1] - at[place - 1], 1.0)
        return before + share * (after - before), max(LEAP, abs(after - before))
    inward = 1 if place == 0 else -1
    beside, beyond = place + inward, place + 2 * inward
    years = abs(at[place] - at[beside]) / DAYS_A_YEAR
    step = (
        (values[beside] - values[beyond])
        / max(abs(at[beside] - at[beyond]), 1.0)
        * abs(at[place] - at[beside])
    )
    expected = values[beside] + (step if 0 < -inward * step < LEAP else 0.0)
    growing = (values[place] < expected) == (place == 0)
    return expected, LEAP + (FASTEST * years if growing else 0.0)


def _roughness(logs: Floats, kept: list[int], without: int) -> float:
    return float(np.abs(np.diff(np.delete(logs[kept], without))).sum())
