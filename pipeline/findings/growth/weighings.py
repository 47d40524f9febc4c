"""The Weights sheet as series of plain weighings, one an animal."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np
import pandas as pd

from pipeline.findings.frames import ordinal_days
from pipeline.findings.growth.curves import Floats

PLAIN = "plain"
"""The state of a weighing that says none; only such weighings enter a curve."""


@dataclass(frozen=True)
class Series:
    """One animal's weighings up to the day of the report: plain ones by ordinal day, oldest first.

    `first` is the day of its first weighing of any state, `latest_state` the state of its last; `undated` counts those
    with a bare year for a date.
    """

    days: Floats
    grams: Floats
    first: int | None
    latest_state: str
    undated: int = 0


NEVER_WEIGHED = Series(np.empty(0), np.empty(0), None, PLAIN)


def weighing_points(weights: pd.DataFrame, as_of: date) -> pd.DataFrame:
    """Every weighing with a weight, up to `as_of`: animal, day (ordinal, NaN for a bare year), weight_g, state, used."""
    points = pd.DataFrame(
        {
            "animal": weights["animal"].astype(object),
            "day": ordinal_days(weights["date"]),
            "weight_g": pd.to_numeric(weights["weight"]).astype(float),
            "state": weights["state"].astype(object).where(weights["state"].notna(), PLAIN),
        }
    )
    points = points[(points["weight_g"] > 0) & ~(points["day"] > as_of.toordinal())]
    points["used"] = (points["state"] == PLAIN) & points["day"].notna()
    return points.sort_values(["animal", "day", "weight_g", "state"], ignore_index=True)


def series_by_animal(points: pd.DataFrame) -> Mapping[str, Series]:
    """The series of every animal in `weighing_points`."""
    columns = {name: points[name].to_numpy() for name in ("day", "weight_g", "state", "used")}
    found = {}
    for animal, rows in points.groupby("animal", sort=True).indices.items():
        dated = rows[~np.isnan(columns["day"][rows])]
        plain = rows[columns["used"][rows]]
        found[animal] = Series(
            columns["day"][plain],
            columns["weight_g"][plain],
            int(columns["day"][dated[0]]) if len(dated) else None,
            str(columns["state"][dated[-1]]) if len(dated) else PLAIN,
            len(rows) - len(dated),
        )
    return found
