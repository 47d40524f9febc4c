"""The Weights sheet as series of weighings, one an animal: the plain ones, and what lengths stand in for."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

import numpy as np
import pandas as pd

from pipeline.findings.frames import ordinal_days
from pipeline.findings.growth.curves import Floats

PLAIN = "plain"
"""The state of a weighing that says none; only such weighings enter a curve."""
DOUBTED, BY_LENGTH = "doubted", "by length"
"""States of our own: a plain weighing that looks slipped, and a weight reckoned from a length."""

BRED = ("gravid", "spent")
"""States of a dam about a litter."""


def _none() -> Floats:
    return np.empty(0)


@dataclass(frozen=True)
class Series:
    """One animal's weighings up to the day of the report: plain ones by ordinal day, oldest first.

    `first` is the day of its first weighing of any state, `latest` of its last and `latest_state` that one's state;
    `undated` counts those with a bare year for a date, `doubted` those left out as slipped. `all_days` are the
    days of any state, `bred` those of state gravid or spent. `fit_days`, `fit_grams` and
    `fit_rough` are what a curve through weighings and lengths takes (see Members.rough).
    """

    days: Floats
    grams: Floats
    first: int | None
    latest_state: str
    undated: int = 0
    doubted: int = 0
    latest: int | None = None
    all_days: Floats = field(default_factory=_none)
    bred: Floats = field(default_factory=_none)
    fit_days: Floats = field(default_factory=_none)
    fit_grams: Floats = field(default_factory=_none)
    fit_rough: Floats = field(default_factory=_none)


NEVER_WEIGHED = Series(np.empty(0), np.empty(0), None, PLAIN)


def weighing_points(weights: pd.DataFrame, as_of: date) -> pd.DataFrame:
    """Every row of the sheet up to `as_of`: animal, day (ordinal, NaN for a bare year), weight_g and length_cm (NaN where
    blank), state, used (plain and dated), rough (0)."""
    length = weights["length"] if "length" in weights else pd.Series(np.nan, weights.index)
    points = pd.DataFrame(
        {
            "animal": weights["animal"].astype(object),
            "day": ordinal_days(weights["date"]),
            "weight_g": pd.to_numeric(weights["weight"]).astype(float),
            "length_cm": pd.to_numeric(length).astype(float),
            "state": weights["state"].astype(object).where(weights["state"].notna(), PLAIN),
            "rough": 0.0,
        }
    )
    points = points[~(points["day"] > as_of.toordinal())]
    points["used"] = (points["state"] == PLAIN) & points["day"].notna() & (points["weight_g"] > 0)
    return points.sort_values(["animal", "day", "weight_g", "length_cm", "state"], ignore_index=True)


def series_by_animal(points: pd.DataFrame) -> Mapping[str, Series]:
    """The series of every animal in `points` that was weighed or measured."""
    points = points[points["weight_g"] > 0]
    columns = {name: points[name].to_numpy() for name in ("day", "weight_g", "state", "used", "rough")}
    state, used = columns["state"], columns["used"].astype(bool)
    columns |= {
        "used": used,
        "plain": used & (state == PLAIN),
        "doubted": state == DOUBTED,
        "bred": ~np.isnan(columns["day"]) & np.isin(state, BRED),
    }
    return {
        animal: _series(columns, rows) for animal, rows in points.groupby("animal", sort=True).indices.items()
    }


def _series(columns: Mapping[str, np.ndarray], rows: np.ndarray) -> Series:
    day, grams, state = (columns[name][rows] for name in ("day", "weight_g", "state"))
    used, plain, bred = (columns[name][rows] for name in ("used", "plain", "bred"))
    dated = np.flatnonzero(~np.isnan(day))
    all_days = day[dated]
    return Series(
        day[plain],
        grams[plain],
        int(day[dated[0]]) if len(dated) else None,
        str(state[dated[-1]]) if len(dated) else PLAIN,
        len(rows) - len(dated),
        int(columns["doubted"][rows].sum()),
        int(day[dated[-1]]) if len(dated) else None,
        all_days[np.diff(all_days, prepend=-np.inf) > 0],
        day[bred],
        day[used],
        grams[used],
        columns["rough"][rows][used],
    )
