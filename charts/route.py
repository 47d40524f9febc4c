"""Shows the way to a goal over the seasons: whom to pair when, which young to keep, and when they are grown."""

from __future__ import annotations

import pandas as pd

from charts.later import alt
from charts.theme import SHAPES, Heading, finished, in_percent, layered, named

_ROW = 58
"""Pixels a step takes: two lines of words and a bar."""
_COLUMNS = ["step", "begins", "born", "ends", "pair", "keep", "litter"]


def route(steps: pd.DataFrame, outlook: pd.DataFrame) -> alt.LayerChart:
    """A bar a step: solid while the pair breeds, pale while the young grow; a diamond where the goal is born.

    `steps` are the rows of findings.goal_routes of one goal and route, `outlook` its row of goal_outlook. Seasons, in the
    middle of all courses; the line through the diamond holds eight courses in ten. Empty tables give an empty chart.
    """
    base = named("steps").transform_calculate(chance=in_percent("datum.litter"))
    base = base.encode(y=alt.Y("step:O", axis=None), tooltip=_tooltip())
    grow = base.mark_bar(style="range", height=9, yOffset=20).encode(x=_season("born"), x2="ends:Q")
    breed = base.mark_bar(style="observed", height=9, yOffset=20).encode(x=_season("begins"), x2="born:Q")
    room = {"expr": "max(60, width - 4)"}
    pair = base.mark_text(style="figure", align="left", yOffset=-18, limit=room).encode(
        x=alt.value(2), text="pair:N"
    )
    keep = base.mark_text(style="words", align="left", yOffset=0, limit=room).encode(
        x=alt.value(2), text="keep:N"
    )
    goal = named("goal").encode(y=alt.Y("step:O", axis=None))
    span = goal.mark_rule(style="target", strokeDash=[1, 0], yOffset=20).encode(x=_season("low"), x2="high:Q")
    mark = goal.mark_point(style="outlier", shape=SHAPES[1], size=110, yOffset=20).encode(
        x=_season("born"), tooltip=[alt.Tooltip("season:Q", title="goal born in", format="d")]
    )
    return finished(
        layered(grow, breed, span, mark, pair, keep), heading(steps, outlook), data(steps, outlook)
    )


def data(steps: pd.DataFrame, outlook: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """The steps with their words, and the goal with its range."""
    steps = steps.sort_values("step")
    begins, born = steps["season"].astype(float), steps["born"].astype(float) + 0.6
    rows = steps.assign(
        begins=begins,
        born=born,
        ends=steps["ready"].astype(float).fillna(born),
        pair=_texts(steps, _pair),
        keep=_texts(steps, _keep),
        litter=steps["probability_by_litter"].astype(float),
    )
    goal = rows.tail(1)[["step", "born"]].assign(season=steps["born"].astype(float).tail(1))
    known = outlook[["years", "years_low", "years_high"]].astype(float).head(1)
    shift = [known[name].to_numpy() - known["years"].to_numpy() for name in ("years_low", "years_high")]
    low, high = (goal["born"].to_numpy() + own for own in shift) if len(goal) == len(known) else ([], [])
    goal = goal.iloc[: len(known)].assign(low=low, high=high)
    return {"steps": rows[_COLUMNS].reset_index(drop=True), "goal": goal.reset_index(drop=True)}


def heading(steps: pd.DataFrame, outlook: pd.DataFrame) -> Heading:
    """The words of the chart of this way."""
    if steps.empty or outlook.empty:
        return Heading("The way to a goal", "no way to draw", "A chart of a way without steps.")
    row = outlook.iloc[0]
    title = f"{row.goal}: {row.way}"
    span = f"{row.years:.0f} years, 8 of 10 within {row.years_low:.0f} to {row.years_high:.0f}"
    lines = "; ".join(f"{_pair(one)}, {_keep(one)}" for one in steps.sort_values("step").itertuples())
    return Heading(
        title,
        f"{span}; bar: breeding, pale: growing",
        f"{title}. {span}. {lines}.",
        height=_ROW * len(steps) + 24,
    )


def _texts(steps: pd.DataFrame, words) -> pd.Series:
    return pd.Series([words(row) for row in steps.itertuples()], index=steps.index, dtype="str")


def _pair(row) -> str:
    return f"{row.step}. {row.dam} x {row.sire}"


def _keep(row) -> str:
    sex = "" if pd.isna(row.keep_sex) else {"F": "daughter, ", "M": "son, "}[row.keep_sex]
    return f"keep {sex}{row.keep_label}"


def _season(field: str) -> alt.X:
    axis = alt.Axis(format="d", tickMinStep=1, grid=True)
    return alt.X(f"{field}:Q", title="season", axis=axis, scale=alt.Scale(zero=False, nice=False, padding=10))


def _tooltip() -> list[alt.Tooltip]:
    return [
        alt.Tooltip("pair:N", title="pair"),
        alt.Tooltip("keep:N", title="young"),
        alt.Tooltip("chance:N", title="chance in a litter"),
    ]
