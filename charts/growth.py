"""Shows how an animal grows toward its breeding weight, and when it is ready."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pandas as pd

from charts.later import alt
from charts.theme import SHAPES, Heading, day_axis, finished, layered, named

if TYPE_CHECKING:
    from altair.expr.core import Expression

_STATE_SHAPES = {
    "gravid": SHAPES[3],
    "spent": SHAPES[5],
    "ill": SHAPES[4],
    "doubted": SHAPES[1],
    "by length": SHAPES[2],
}
_HEADROOM = 1.6
"""A band wider than this many times the highest weighing, curve or target is cut, or it would flatten all the rest."""


def growth(row: pd.DataFrame, curves: pd.DataFrame, points: pd.DataFrame) -> alt.LayerChart:
    """Weighings (points by state), curve, 80 % band, breeding weight (dashed), and the ready date with its interval.

    `row` is the animal's row of findings.growth, `curves` and `points` its rows of growth_curves and growth_points.
    Grams. Empty tables give an empty chart.
    """
    line = named("curve").encode(x=_day("on"))
    band = line.mark_area(style="range").encode(y=_weight("low_g"), y2="high_g:Q")
    curve = line.mark_line(style="curve").encode(y=_weight("weight_g"))
    marks = named("weighings").encode(x=_day("on"), y=_weight("weight_g"), tooltip=_tooltip())
    plain = marks.transform_filter(_plain())
    plain = plain.mark_point(style="observed", shape=SHAPES[0], size=50)
    aside = _aside(marks)
    states = marks.transform_filter(~_plain()).mark_text(style="aside", dy=14)
    states = states.encode(text="words:N")
    layers = [band, curve, *_goal_marks(), plain, aside, states]
    return finished(layered(*layers), heading(row, curves, points), data(row, curves, points))


def data(row: pd.DataFrame, curves: pd.DataFrame, points: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """The rows drawn: the curve with its band, the weighings, and the goal."""
    curves = _cut(row, curves, points)
    return {
        "curve": curves[["on", "weight_g", "low_g", "high_g"]],
        "weighings": _worded(row, curves, points),
        "goal": _goal(row, curves),
    }


def heading(row: pd.DataFrame, curves: pd.DataFrame, points: pd.DataFrame) -> Heading:
    """The words of the chart of this animal."""
    if row.empty:
        return Heading("Growth", "no weighing yet", "A growth chart without weighings.")
    animal = row.iloc[0]
    goal = "" if pd.isna(animal.target_g) else f" toward {animal.target_g:,.0f} g"
    title = f"{animal.animal}: growth{goal}"
    weighings = f"{animal.n} weighing{'' if animal.n == 1 else 's'}"
    diamond = "" if pd.isna(animal.ready_on) else "; diamond: ready"
    curve = "no curve" if animal.curve == "none" else f"{animal.curve} curve, band 80 %"
    ready = _ready(animal)
    latest = (
        "" if pd.isna(animal.latest_g) else f" Latest {animal.latest_g:,.0f} g on {_iso(animal.latest_on)}."
    )
    return Heading(
        title,
        f"g by day; {weighings}; {curve}{diamond}",
        f"{title}; {weighings}, {curve}.{latest} {ready}.",
    )


def _ready(animal: pd.Series) -> str:
    if pd.isna(animal.ready_on):
        return "No ready date"
    late = "perhaps never" if pd.isna(animal.ready_late) else _iso(animal.ready_late)
    return f"Ready {_iso(animal.ready_on)}, 80 % from {_iso(animal.ready_early)} to {late}"


def _iso(day: pd.Timestamp) -> str:
    return f"{day:%Y-%m-%d}"


def _cut(row: pd.DataFrame, curves: pd.DataFrame, points: pd.DataFrame) -> pd.DataFrame:
    return curves.assign(high_g=curves["high_g"].clip(upper=_top(row, curves, points)))


def _worded(row: pd.DataFrame, curves: pd.DataFrame, points: pd.DataFrame) -> pd.DataFrame:
    """The weighings with their state in words; a doubted one far above all others stands at the edge, its value said."""
    words = points["state"].astype(str).where(points["state"] != "doubted")
    doubts = [f"doubted: {grams:,.6g} g" for grams in points["weight_g"]]
    words = words.fillna(pd.Series(doubts, index=points.index, dtype="str"))
    high = points["weight_g"].clip(upper=_top(row, curves, points))
    return points[["on", "state"]].assign(weight_g=high, words=words)


def _top(row: pd.DataFrame, curves: pd.DataFrame, points: pd.DataFrame) -> float:
    sound = points.loc[points["state"] != "doubted", "weight_g"]
    tops = [sound.max(), curves["weight_g"].max(), row["target_g"].max()]
    return _HEADROOM * max((float(value) for value in tops if pd.notna(value)), default=0.0)


def _goal(row: pd.DataFrame, curves: pd.DataFrame) -> pd.DataFrame:
    """The target with its words and the ready date; an open end runs to the edge of the drawn curve."""
    goal = row[["target_g", "ready_on", "ready_early", "ready_late"]].dropna(subset=["target_g"])
    edge = curves["on"].max() if len(curves) else pd.NaT
    late = goal["ready_late"].fillna(edge).where(goal["ready_early"].notna())
    words = [f"breeding weight {target:,.0f} g" for target in goal["target_g"]]
    return goal.assign(ready_late=late, words=pd.Series(words, index=goal.index, dtype="str"))


def _plain() -> Expression:
    return alt.datum.state == "plain"


def _goal_marks() -> list[alt.Chart]:
    base = named("goal").encode(y=_weight("target_g"))
    rule = base.mark_rule(style="target")
    words = base.mark_text(style="aside", align="left", baseline="bottom", dy=-4).encode(
        x=alt.value(2), text="words:N"
    )
    dated = base.transform_filter("isValid(datum.ready_on)")
    span = dated.mark_rule(style="target", strokeDash=[1, 0], strokeWidth=6, opacity=0.45)
    span = span.encode(x=_day("ready_early"), x2="ready_late:T")
    ready = dated.mark_point(style="outlier", shape=SHAPES[1], size=90).encode(
        x=_day("ready_on"), tooltip=[alt.Tooltip("ready_on:T", title="ready", format="%Y-%m-%d")]
    )
    return [rule, words, span, ready]


def _aside(marks: alt.Chart) -> alt.Chart:
    """The weighings that are not plain, each state in a shape of its own."""
    shapes = alt.Scale(domain=list(_STATE_SHAPES), range=list(_STATE_SHAPES.values()))
    left_out = marks.transform_filter(~_plain()).mark_point(style="set-aside", size=60)
    return left_out.encode(shape=alt.Shape("state:N", scale=shapes, legend=None))


def _day(field: str) -> alt.X:
    return alt.X(f"{field}:T", title=None, axis=day_axis())


def _weight(field: str) -> alt.Y:
    return alt.Y(f"{field}:Q", title="weight (g)", axis=alt.Axis(tickCount=6), scale=alt.Scale(zero=True))


def _tooltip() -> list[alt.Tooltip]:
    return [
        alt.Tooltip("on:T", title="day", format="%Y-%m-%d"),
        alt.Tooltip("weight_g:Q", title="weight (g)", format=",.0f"),
        alt.Tooltip("words:N", title="state"),
    ]
