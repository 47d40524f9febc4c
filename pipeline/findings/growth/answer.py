"""The growth question for a whole book: curves for all that were weighed, dates for those that may yet breed."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
import pandas as pd

from pipeline.findings.frames import as_dates, findings_frame, own_names
from pipeline.findings.growth.animals import Animal, read_animals
from pipeline.findings.growth.conditions import conditions
from pipeline.findings.growth.fitting import FEWEST_DAYS, Fit, fit_curves
from pipeline.findings.growth.readiness import Readiness, coming_season, readiness
from pipeline.findings.growth.weighings import (
    NEVER_WEIGHED,
    Series,
    series_by_animal,
    weighing_points,
)
from pipeline.store.tables import GROWTH, GROWTH_CURVES, GROWTH_POINTS

CURVE_POINTS = 60
BEYOND = 90
"""Days that a drawn curve runs on past its last date of interest, so that the date is not at the edge."""


@dataclass(frozen=True)
class GrowthFindings:
    """Findings tables growth, growth_curves and growth_points, without the column `book`."""

    growth: pd.DataFrame
    curves: pd.DataFrame
    points: pd.DataFrame


def growth_findings(
    animals: pd.DataFrame,
    species: pd.DataFrame,
    weights: pd.DataFrame,
    calendar: pd.DataFrame,
    *,
    as_of: date,
    season_starts: int,
) -> GrowthFindings:
    """Curves and readiness of one book's animals.

    `animals`, `species`, `weights` are records of one book, `calendar` the findings table (its dam, due_on, born_on and
    rested_on). Weighings after `as_of` are not looked at. `season_starts` is a month, 1 to 12.
    """
    points = weighing_points(weights, as_of)
    series = series_by_animal(points)
    named = sorted(series)
    fits = dict(zip(named, fit_curves([(series[a].days, series[a].grams) for a in named]), strict=True))
    rows, ends = [], {}
    for animal in read_animals(animals, species, calendar, as_of):
        own = series.get(animal.id, NEVER_WEIGHED)
        if not animal.here and not len(own.days):
            continue
        row, ends[animal.id] = _answer(animal, own, fits.get(animal.id), as_of, season_starts)
        rows.append(row)
    growth = findings_frame(GROWTH, rows).sort_values(["species", "animal"], ignore_index=True)
    drawn = points.dropna(subset=["day"]).assign(on=lambda p: as_dates(p["day"].to_numpy()))
    return GrowthFindings(
        growth, _drawn_curves(fits, ends), drawn[own_names(GROWTH_POINTS)].reset_index(drop=True)
    )


def _answer(
    animal: Animal, series: Series, fit: Fit | None, as_of: date, season_starts: int
) -> tuple[dict[str, Any], int]:
    """The animal's row of table growth, and the day to which its curve is worth drawing."""
    row: dict[str, Any] = {
        "species": animal.species, "animal": animal.id, "sex": animal.sex, "n": len(series.days),
        "curve": fit.curve.name if fit else "none", "target_g": animal.target,
    }  # fmt: skip
    if len(series.days):
        row |= {"latest_g": series.grams[-1], "latest_on": series.days[-1]}
    if fit:
        row |= dict(zip(("asymptote_g", "asymptote_low", "asymptote_high"), fit.grown(), strict=True))
    notes = _fit_notes(series, fit)
    end = int(series.days[-1]) if len(series.days) else as_of.toordinal()
    if animal.here:
        asked, more = conditions(animal, series, fit)
        season = coming_season(as_of, season_starts)
        answer = readiness(asked, as_of, season)
        row |= {
            "ready_on": answer.on, "ready_early": answer.early, "ready_late": answer.late,
            "p_ready": answer.p_ready, "blocked_by": answer.blocked_by, "season_on": season.toordinal(),
        }  # fmt: skip
        notes = more + _date_notes(answer, fit, as_of) + notes
        end = max(end, as_of.toordinal(), answer.late or answer.on or 0)
    return row | {"note": " ".join(dict.fromkeys(notes))}, end


def _fit_notes(series: Series, fit: Fit | None) -> list[str]:
    notes = []
    if series.undated:
        notes.append(f"{series.undated} weighing(s) dated by a bare year were left out.")
    if fit and np.isnan(fit.grown()[0]):
        notes.append("Its grown weight can't be told from these weighings yet.")
    if not fit and len(series.days):
        notes.append(
            f"Too few to tell its growth: weighed on {len(np.unique(series.days))} day(s); a curve takes {FEWEST_DAYS}."
        )
    if series.latest_state == "ill":
        notes.append("Ill at its latest weighing: a vet decides.")
    return notes


def _date_notes(answer: Readiness, fit: Fit | None, as_of: date) -> list[str]:
    if answer.blocked_by != "weight" or not fit or np.isnan(answer.p_ready):
        return []
    if answer.on is None:
        return ["By its curve it does not reach the breeding weight within five years."]
    if answer.on <= as_of.toordinal():
        return ["By its curve it should have reached the breeding weight; weigh it to be sure."]
    if answer.late is None:
        return ["It may never reach the breeding weight."]
    return []


def _drawn_curves(fits: Mapping[str, Fit | None], ends: Mapping[str, int]) -> pd.DataFrame:
    """Weight by each curve with its 80 % interval, from the first weighing to a little beyond the date of interest."""
    names, parts = [], [np.empty((4, 0))]
    for animal, fit in fits.items():
        if fit is None or animal not in ends:
            continue
        days = np.unique(np.linspace(fit.start, ends[animal] + BEYOND, CURVE_POINTS).round())
        parts.append(np.stack([days, *fit.interval(days)]))
        names += [animal] * len(days)
    days, weight, low, high = np.concatenate(parts, axis=1)
    columns = (names, as_dates(days), weight, low, high)
    return pd.DataFrame(dict(zip(own_names(GROWTH_CURVES), columns, strict=True)))
