"""The growth question for a whole book: curves for all that were weighed, dates for those that may yet breed."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
import pandas as pd

from pipeline.findings.frames import as_dates, findings_frame, own_names
from pipeline.findings.growth.alerts import Watch, growth_alerts, litter_days, usual_wait
from pipeline.findings.growth.animals import Animal, read_animals
from pipeline.findings.growth.conditions import conditions
from pipeline.findings.growth.fitting import FEWEST_DAYS, Fit
from pipeline.findings.growth.lengths import with_weights_by_length
from pipeline.findings.growth.pooled import PooledFit, intervals
from pipeline.findings.growth.readiness import Readiness, coming_season, readiness
from pipeline.findings.growth.slips import doubt_slips
from pipeline.findings.growth.species import FEWEST_ANIMALS, fits_by_animal
from pipeline.findings.growth.weighings import (
    NEVER_WEIGHED,
    Series,
    series_by_animal,
    weighing_points,
)
from pipeline.store.tables import GROWTH, GROWTH_CURVES, GROWTH_POINTS

CURVE_POINTS = 30
"""Of a drawn curve, besides those of the weighings, about which its course and its band bend."""
BEYOND = 90
"""Days that a drawn curve runs on past its last date of interest, so that the date is not at the edge."""
FEW = 3
"""With fewer weighings than this a curve is mostly that of the species, and the note says so."""


@dataclass(frozen=True)
class GrowthFindings:
    """Findings tables growth, growth_curves, growth_points and growth_alerts, without the column `book`."""

    growth: pd.DataFrame
    curves: pd.DataFrame
    points: pd.DataFrame
    alerts: pd.DataFrame


def growth_findings(
    animals: pd.DataFrame,
    species: pd.DataFrame,
    weights: pd.DataFrame,
    calendar: pd.DataFrame,
    *,
    as_of: date,
    season_starts: int,
) -> GrowthFindings:
    """Curves, readiness and alerts of one book's animals.

    `animals`, `species`, `weights` are records of one book, `calendar` the findings table (its dam, due_on, born_on and
    rested_on). Weighings after `as_of` are not looked at. `season_starts` is a month, 1 to 12.
    """
    kinds = animals.drop_duplicates("id").set_index("id")["species"]
    points = with_weights_by_length(doubt_slips(weighing_points(weights, as_of)), kinds)
    series = series_by_animal(points)
    listed = sorted(
        read_animals(animals, species, calendar, as_of), key=lambda animal: (animal.species, animal.id)
    )
    listed = [
        animal for animal in listed if animal.here or len(series.get(animal.id, NEVER_WEIGHED).fit_days)
    ]
    fits, populations = fits_by_animal(listed, series)
    rows, ends = [], {}
    for animal in listed:
        own = series.get(animal.id, NEVER_WEIGHED)
        row, ends[animal.id] = _answer(animal, own, fits.get(animal.id), as_of, season_starts)
        rows.append(row)
    watch = Watch(series, populations, litter_days(calendar), usual_wait(points), as_of.toordinal())
    drawn = points[points["day"].notna() & (points["weight_g"] > 0)].assign(
        on=lambda p: as_dates(p["day"].to_numpy())
    )
    return GrowthFindings(
        findings_frame(GROWTH, rows),
        _drawn_curves(fits, series, ends),
        drawn[own_names(GROWTH_POINTS)].reset_index(drop=True),
        growth_alerts(listed, points, watch),
    )


def _answer(
    animal: Animal, series: Series, fit: Fit | PooledFit | None, as_of: date, season_starts: int
) -> tuple[dict[str, Any], int]:
    """The animal's row of table growth, and the day to which its curve is worth drawing."""
    row: dict[str, Any] = {
        "species": animal.species, "animal": animal.id, "sex": animal.sex, "n": len(series.days),
        "curve": fit.curve.name if fit else "none", "basis": _basis(fit), "target_g": animal.target,
    }  # fmt: skip
    if len(series.days):
        row |= {"latest_g": series.grams[-1], "latest_on": series.days[-1]}
    grown = fit.grown() if fit else (np.nan, np.nan, np.nan)
    row |= dict(zip(("asymptote_g", "asymptote_low", "asymptote_high"), grown, strict=True))
    notes = _fit_notes(series, fit, grown_told=not np.isnan(grown[0]))
    end = int(series.fit_days[-1]) if len(series.fit_days) else as_of.toordinal()
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


def _basis(fit: Fit | PooledFit | None) -> str | None:
    if fit is None:
        return None
    if isinstance(fit, Fit):
        return "own weighings"
    return "own and species" if fit.n else "species"


def _fit_notes(series: Series, fit: Fit | PooledFit | None, *, grown_told: bool) -> list[str]:
    notes = []
    if series.undated:
        notes.append(f"Weighings dated by a bare year, left out: {series.undated}.")
    if series.doubted:
        notes.append(f"Weighings that look slipped, left out (see the alerts): {series.doubted}.")
    reckoned = int((series.fit_rough > 0).sum())
    if reckoned:
        notes.append(f"Weights reckoned from lengths: {reckoned}.")
    if isinstance(fit, PooledFit) and 0 < fit.n < FEW:
        notes.append("Few weighings: mostly the curve of its species and sex.")
    elif fit and len(series.days) and not grown_told:
        notes.append("Its grown weight can't be told from these weighings yet.")
    if not fit and len(series.days):
        notes.append(
            f"Too few to tell its growth: days weighed {len(np.unique(series.days))}; a curve of its own takes "
            f"{FEWEST_DAYS}, one of its species {FEWEST_ANIMALS} animals weighed three times."
        )
    if series.latest_state == "ill":
        notes.append("Ill at its latest weighing: a vet decides.")
    return notes


def _date_notes(answer: Readiness, fit: Fit | PooledFit | None, as_of: date) -> list[str]:
    if answer.blocked_by != "weight" or not fit or np.isnan(answer.p_ready):
        return []
    if answer.on is None:
        return ["By its curve it is likelier to stay below the breeding weight for the next five years than to reach it."]
    if answer.on <= as_of.toordinal():
        return ["By its curve it should have reached the breeding weight; weigh it to be sure."]
    if answer.late is None:
        return ["It may never reach the breeding weight."]
    return []


def _drawn_curves(
    fits: Mapping[str, Fit | PooledFit | None], series: Mapping[str, Series], ends: Mapping[str, int]
) -> pd.DataFrame:
    """Weight by each curve with its 80 % interval, from the first weighing (or birth) to a little beyond the date of interest."""
    drawn = {animal: fit for animal, fit in fits.items() if fit and animal in ends}
    days = {}
    for animal, fit in drawn.items():
        own = series.get(animal, NEVER_WEIGHED).fit_days
        begins = int(own[0]) if len(own) else fit.start
        evenly = np.linspace(begins, ends[animal] + BEYOND, CURVE_POINTS).round()
        days[animal] = np.unique(np.concatenate([evenly, own]))
    pooled = {animal: fit for animal, fit in drawn.items() if isinstance(fit, PooledFit)}
    told = dict(zip(pooled, intervals([*pooled.values()], [days[animal] for animal in pooled]), strict=True))
    told |= {
        animal: np.stack(fit.interval(days[animal])) for animal, fit in drawn.items() if animal not in told
    }
    weight, low, high = np.concatenate([np.empty((3, 0)), *(told[animal] for animal in drawn)], axis=1)
    on = np.concatenate([np.empty(0), *days.values()])
    names = np.repeat(np.array([*drawn], dtype=object), [len(own) for own in days.values()])
    columns = (names, as_dates(on), weight, low, high)
    return pd.DataFrame(dict(zip(own_names(GROWTH_CURVES), columns, strict=True)))
