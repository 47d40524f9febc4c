"""Shows who of a species becomes ready to breed when, and what each still waits for."""

from __future__ import annotations

from typing import Any

import pandas as pd

from charts.later import alt
from charts.theme import SHAPES, Heading, day, day_axis, finished, in_percent, layered, named

MOST = 16
"""Animals drawn at most, the next to be ready first."""
_ROW = 40
"""Pixels an animal takes: a line of words and its span."""
_WAITS = {"weight": SHAPES[0], "age": SHAPES[2], "rest": SHAPES[1]}
_COLUMNS = ["animal", "ready_on", "ready_early", "ready_late", "blocked_by", "p_ready", "words"]


def readiness(rows: pd.DataFrame) -> alt.LayerChart:
    """The day each animal is ready (a mark shaped by what it waits for), its 80 % interval (bar), and the season's start.

    `rows` are those of findings.growth of one species that are not ready yet and have a date, in the order to be drawn.
    An empty table gives an empty chart.
    """
    base = named("animals").transform_calculate(chance=in_percent("datum.p_ready"))
    base = base.encode(y=alt.Y("animal:N", axis=None, sort=None), tooltip=_tooltip())
    span = base.mark_bar(style="range", height=10, yOffset=9).encode(x=_day("ready_early"), x2="ready_late:T")
    shapes = alt.Scale(domain=list(_WAITS), range=list(_WAITS.values()))
    mark = base.mark_point(style="observed", size=60, yOffset=9).encode(
        x=_day("ready_on"), shape=alt.Shape("blocked_by:N", scale=shapes, legend=None)
    )
    words = base.mark_text(style="words", align="left", yOffset=-9, limit={"expr": "max(60, width - 4)"})
    words = words.encode(x=alt.value(2), text="words:N")
    season = named("season").mark_rule(style="target", opacity=0.5).encode(x=_day("season_on"))
    return finished(layered(season, span, mark, words), heading(rows), data(rows))


def data(rows: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """The animals drawn with their words, an open end run to the last day drawn; and the season's start."""
    drawn = rows.head(MOST)
    edge = drawn[["ready_on", "ready_early", "ready_late"]].max().max()
    words = [_words(row) for row in drawn.itertuples(index=False)]
    drawn = drawn.assign(
        ready_late=drawn["ready_late"].fillna(edge), words=pd.Series(words, index=drawn.index, dtype="str")
    )
    return {"animals": drawn[_COLUMNS], "season": drawn[["season_on"]].dropna().drop_duplicates()}


def heading(rows: pd.DataFrame) -> Heading:
    """The words of the timeline of these animals."""
    if rows.empty:
        return Heading("Who becomes ready when", "nobody is on the way", "A timeline without animals.")
    title = f"{rows['species'].iloc[0]}: who becomes ready when"
    drawn = rows.head(MOST)
    more = f"; {len(rows) - MOST} more later" if len(rows) > MOST else ""
    season = drawn["season_on"].dropna()
    line = f"; line: the season begins {day(season.iloc[0])}" if len(season) else ""
    lines = ". ".join(_words(row, "waits for ") for row in drawn.itertuples(index=False))
    return Heading(
        title,
        f"waits for: circle weight, square age, diamond rest; bar 80 %{line}{more}",
        f"{title}, {len(rows)} animals. {lines}.",
        height=_ROW * len(drawn),
    )


def _words(row: Any, waits: str = "") -> str:
    """'B25 (M) 2026-08-28, 2026-08 to 2026-09; weight', short for a phone; days of a single month, none of a single day.

    `waits` goes before what the animal waits for, which its shape says as well.
    """
    sex = "" if pd.isna(row.sex) else f" ({row.sex})"
    early, late = (
        ["maybe never"] * 2 if pd.isna(day) else [f"{day:%Y-%m}", f"{day:%m-%d}"]
        for day in (row.ready_early, row.ready_late)
    )
    sure = row.ready_early == row.ready_on == row.ready_late
    fine = early[0] == late[0]
    between = "" if sure or pd.isna(row.ready_early) else f", {early[fine]} to {late[fine]}"
    return f"{row.animal}{sex} {row.ready_on:%Y-%m-%d}{between}; {waits}{row.blocked_by}"


def _day(field: str) -> alt.X:
    return alt.X(f"{field}:T", title=None, axis=day_axis(grid=True))


def _tooltip() -> list[alt.Tooltip]:
    return [
        alt.Tooltip("words:N", title="ready"),
        alt.Tooltip("chance:N", title="ready by the season"),
    ]
