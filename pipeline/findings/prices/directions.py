"""Where one morph's price is going: its change a year, which way, whether it turned, and the line to draw."""

from dataclasses import dataclass, field
from datetime import date
from typing import Any

import numpy as np

from pipeline.findings.prices.robust import Floats
from pipeline.findings.prices.trends import Slope, mann_kendall, theil_sen
from pipeline.findings.prices.turning import Knee, find_bend
from pipeline.findings.shares import signed

DAYS_A_YEAR = 365.25
FEWEST_FOR_TREND = 5
"""Four prices in perfect order have a two-sided p of 0.083 at best; five, 0.017."""
SHORTEST_FOR_TREND = 365
"""Days from first to last price: a change a year can't be seen in less than a year, least of all across seasons."""
LEVEL = 0.05
"""Goes with the 95 % intervals."""
FLAT_WITHIN = 0.2
"""A price is called flat where its interval keeps within a fifth a year either way; wider says only 'too few'."""
STEEPEST, WIDEST = np.log(10.0), np.log(100.0)
"""No change is told beyond tenfold a year, no band beyond a hundredfold: prices a few days apart allow any slope."""
BAND_POINTS = 40
MAD_TO_SD, MEDIAN_LOSS = 1.4826, 1.2533
"""For normal scatter: standard deviation by median absolute deviation; standard error of a median by that of a mean."""


@dataclass(frozen=True)
class Direction:
    """`row` is the trend's part of a row of price_trends, `band` rows of price_bands (none where it can't be told).

    After a turn, or a change of pace, direction, change a year, its interval and p are those since; else those of all
    prices.
    """

    row: dict[str, Any]
    band: list[dict[str, float]] = field(default_factory=list)


def direction_of(days: Floats, prices: Floats) -> Direction:
    """The direction of one morph's prices (above zero), of ordinal days in ascending order."""
    row: dict[str, Any] = {"n": len(days), "first_on": days.min(), "last_on": days.max()}
    span = days.max() - days.min()
    if len(days) < FEWEST_FOR_TREND or span < SHORTEST_FOR_TREND:
        within = f"{span / DAYS_A_YEAR:.1f} years" if span >= DAYS_A_YEAR else f"{span:.0f} days"
        many = "1 price" if len(days) == 1 else f"{len(days)} prices within {within}"
        note = f"Too few to tell a trend: {many}; it takes {FEWEST_FOR_TREND} over a year."
        return Direction(row | {"direction": "too few", "note": note})
    drawn = np.unique(np.linspace(days.min(), days.max(), BAND_POINTS).round())
    logs = np.log(prices)
    bend = find_bend(
        days / DAYS_A_YEAR,
        logs,
        apart=SHORTEST_FOR_TREND / DAYS_A_YEAR,
        level=1 - LEVEL,
        drawn_at=drawn / DAYS_A_YEAR,
    )
    if bend.knee:
        knee = bend.knee
        return Direction(row | _since(knee), _band(drawn, knee.drawn, knee.drawn_low, knee.drawn_high))
    return _straight(row, days, logs, drawn, bend.step_on)


def _since(knee: Knee) -> dict[str, Any]:
    change, low, high, before = _changes(
        knee.after.slope, knee.after.low, knee.after.high, knee.before.slope
    )
    told = _told(change, low, high, sure=low > 0 or high < 0)
    on, early, late = (round(years * DAYS_A_YEAR) for years in (knee.on, knee.low, knee.high))
    if knee.turned:
        note = f"Turned: {signed(before)} a year until then; direction and change are those since."
        dated = {"turned_on": on, "turned_low": early, "turned_high": late}
    else:
        note = f"Another pace since about {_month(on)}, {signed(before)} a year before; direction and change are those since."
        dated = {}
        if told == "too few":
            note += f" Which way since can't be told: anything from {signed(low)} to {signed(high)} a year fits."
    return {
        "change_per_year": change, "change_low": low, "change_high": high, "p": knee.p_after,
        "direction": told, "change_before": before, **dated, "note": note,
    }  # fmt: skip


def _straight(
    row: dict[str, Any], days: Floats, logs: Floats, drawn: Floats, step: float | None
) -> Direction:
    slope = theil_sen(days / DAYS_A_YEAR, logs)
    test = mann_kendall(days, logs)
    change, low, high = _changes(slope.slope, slope.low, slope.high)
    told = _told(change, low, high, sure=test.p < LEVEL)
    notes = []
    if step is not None:
        notes.append(
            f"Looks like one step about {_month(round(step * DAYS_A_YEAR))} rather than a steady trend or a turn."
        )
    if told == "too few":
        notes.append(f"No clear trend: anything from {signed(low)} to {signed(high)} a year fits.")
    row = row | {"change_per_year": change, "change_low": low, "change_high": high, "p": test.p}
    band = [] if told == "too few" else _straight_band(slope, days, logs, drawn)
    return Direction(row | {"direction": told, "note": " ".join(notes)}, band)


def _changes(*slopes: float) -> list[float]:
    """Slopes of log price as changes a year."""
    return np.expm1(np.clip(slopes, -STEEPEST, STEEPEST)).tolist()


def _told(change: float, low: float, high: float, *, sure: bool) -> str:
    if sure and change:
        return "rising" if change > 0 else "falling"
    return "flat" if low >= -FLAT_WITHIN and high <= FLAT_WITHIN else "too few"


def _straight_band(slope: Slope, days: Floats, logs: Floats, drawn: Floats) -> list[dict[str, float]]:
    """The trend line with a 95 % band: the uncertainty of its slope about the median day, and of its height there."""
    years = days / DAYS_A_YEAR
    residual = logs - slope.y0 - slope.slope * (years - slope.x0)
    height = slope.y0 + np.median(residual)
    scatter = MAD_TO_SD * np.median(np.abs(residual - np.median(residual)))
    sway = 1.96 * MEDIAN_LOSS * scatter / np.sqrt(len(days))
    away = drawn / DAYS_A_YEAR - slope.x0
    ends = np.stack([(slope.low - slope.slope) * away, (slope.high - slope.slope) * away])
    line = height + slope.slope * away
    return _band(
        drawn, line, line - np.hypot(ends.min(axis=0), sway), line + np.hypot(ends.max(axis=0), sway)
    )


def _band(drawn: Floats, line: Floats, low: Floats, high: Floats) -> list[dict[str, float]]:
    low, high = np.maximum(low, line - WIDEST), np.minimum(high, line + WIDEST)
    columns = zip(drawn, np.exp(line), np.exp(low), np.exp(high), strict=True)
    return [dict(zip(("on", "price", "low", "high"), values, strict=True)) for values in columns]


def _month(day: int) -> str:
    return f"{date.fromordinal(day):%B %Y}"
