"""Shows how the odds that an animal carries a gene fall with each further young that does not show it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pandas as pd

from charts.later import alt
from charts.theme import DASHES, SHAPES, Heading, finished, in_percent, layered, named

_PARTNERS = {"a visual partner": 1 / 2, "a het partner": 1 / 4}
"""The share of young that shows a recessive gene where the animal is het, by what the other parent is."""
_SURE = 0.05
"""Below this it is 95 % sure that the animal does not carry the gene."""


def carrier_curve(row: pd.DataFrame) -> alt.LayerChart:
    """Odds of carrying (0..1) by further young, none of which shows the gene: a line for each kind of partner.

    `row` is one row of findings.carrier_odds that names how many young would settle it. No row gives an empty chart.
    """
    fold = named("curve").transform_fold(list(_PARTNERS), as_=["partner", "carries"])
    fold = fold.transform_calculate(chance=in_percent("datum.carries", ".1f"))
    line = fold.encode(
        x=alt.X("young:Q", title="further young, none showing it", axis=alt.Axis(tickMinStep=1, grid=False)),
        y=_odds("carries"),
        strokeDash=alt.StrokeDash("partner:N", scale=_by_partner(DASHES[:2]), legend=_legend()),
        color=alt.Color("partner:N", scale=alt.Scale(domain=list(_PARTNERS)), legend=_legend()),
    )
    marks = line.mark_point(filled=True, size=45, opacity=1).encode(
        shape=alt.Shape("partner:N", scale=_by_partner(SHAPES[:2]), legend=_legend()),
        tooltip=[
            alt.Tooltip("young:Q", title="further young"),
            alt.Tooltip("partner:N", title="of"),
            alt.Tooltip("chance:N", title="carries it"),
        ],
    )
    once = named("curve").transform_filter(alt.datum.young == 0)
    sure = once.mark_rule(style="target").encode(y=alt.datum(_SURE))
    layers = [sure, line.mark_line(strokeWidth=2), marks]
    return finished(layered(*layers), heading(row), data(row))


def data(row: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """The rows drawn: odds after 0, 1, 2 ... further young of either partner."""
    return {"curve": pd.DataFrame(_points(row.iloc[0]) if len(row) else [], columns=["young", *_PARTNERS])}


def heading(row: pd.DataFrame) -> Heading:
    """The words of the chart of this animal and gene."""
    if row.empty:
        return Heading(
            "Odds of carrying a gene", "no open het", "A chart of carrier odds without an open het."
        )
    one = row.iloc[0]
    title = f"{one.animal}: het {one.gene}?"
    now = f"{100 * _carries(one):.0f} % now"
    return Heading(
        title,
        f"{now}; falls so while no young shows it; under the dashed line 95 % sure that it carries none",
        f"{title} {now}. With no young showing it, under 5 % after {one.on_visual_95} young of a visual partner or "
        f"{one.on_het_95} of a het one, under 1 % after {one.on_visual_99} or {one.on_het_99}.",
    )


def odds_after(carries: float, young: int, share: float) -> float:
    """The odds of carrying after so many young, none showing, where a carrier's young would show with `share` (Bayes)."""
    unseen = carries * (1 - share) ** young
    return unseen / (unseen + 1 - carries)


def _carries(one: pd.Series) -> float:
    return float(one.p_one + one.p_two)


def _points(one: pd.Series) -> list[list[float]]:
    carries = _carries(one)
    return [
        [young, *(round(odds_after(carries, young, share), 4) for share in _PARTNERS.values())]
        for young in range(max(int(one.on_het_95), 6) + 1)
    ]


def _odds(field: str) -> alt.Y:
    axis = alt.Axis(labelExpr=in_percent("datum.value"), tickCount=5)
    return alt.Y(f"{field}:Q", title="carries it", axis=axis, scale=alt.Scale(domain=[0, 1]))


def _by_partner(values: Sequence[Any]) -> alt.Scale:
    return alt.Scale(domain=list(_PARTNERS), range=list(values))


def _legend() -> alt.Legend:
    return alt.Legend(title="young of")
