"""Shows, class by class, whether the young of a clutch or pairing came in the numbers its labels predict."""

from __future__ import annotations

import pandas as pd

from charts.later import alt
from charts.theme import SHAPES, Heading, finished, layered, named

_ROW = 50
"""Pixels a class takes: a line of words and a bar."""
_FATES = ["within the range", "outside the range", "cannot occur by the labels"]
_FATE = (
    "datum.expected == 0 && datum.observed > 0 ? 'cannot occur by the labels' : "
    "datum.observed < datum.low || datum.observed > datum.high ? 'outside the range' : 'within the range'"
)
_WORDS = "datum.class + (datum.fate == 'within the range' ? '' : ' · ' + datum.fate)"
_INSIDE = "datum.fate == 'within the range'"
_COLUMNS = ["class", "observed", "expected", "low", "high"]


def ratio_bars(classes: pd.DataFrame) -> alt.LayerChart:
    """Observed young (point), expected young (upright line) and the 95 % range (bar) of one ratio test.

    `classes` are the rows of findings.ratio_classes of one test: species, scope, pairing, clutch, gene, class,
    observed, expected, low, high. Counts of young. An empty table gives an empty chart.
    """
    base = named("classes").transform_calculate(fate=_FATE, words=_WORDS, inside=_INSIDE)
    base = base.encode(y=alt.Y("class:N", axis=None, sort=None), tooltip=_tooltip())
    spread = base.mark_bar(style="range", height=12, yOffset=9).encode(x=_count("low"), x2="high:Q")
    expected = base.mark_tick(style="expected", thickness=2, size=20, yOffset=9).encode(x=_count("expected"))
    figure = base.mark_text(style="figure", align="left", yOffset=-12).encode(
        x=alt.value(0), text="observed:Q"
    )
    name = base.mark_text(
        style="words", align="left", yOffset=-12, dx=34, limit={"expr": "max(60, width - 36)"}
    )
    name = name.encode(x=alt.value(0), text="words:N")
    return finished(layered(spread, expected, _points(base), figure, name), heading(classes), data(classes))


def data(classes: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """The rows drawn."""
    return {"classes": classes[_COLUMNS]}


def heading(classes: pd.DataFrame) -> Heading:
    """The words of the chart of these classes."""
    if classes.empty:
        return Heading("Observed and expected young", "no young counted yet", "A chart without young.")
    title = _subject(classes.iloc[0])
    n = classes["observed"].sum()
    counts = zip(classes["class"], classes["observed"], classes["expected"], strict=True)
    lines = (f"{name}: {observed:g} observed, {expected:.1f} expected" for name, observed, expected in counts)
    return Heading(
        title,
        f"n = {n:g} young; point: observed, line: expected, bar: 95 % range",
        f"{title}, {n:g} young. {'; '.join(lines)}.",
        height=_ROW * len(classes),
    )


def _subject(row: pd.Series) -> str:
    """'Pairing P07, clutch 2: Albino'."""
    place = f"Pairing {row.pairing}" if row.scope != "gene" else str(row.species)
    place += f", clutch {row.clutch:.0f}" if row.scope == "clutch" else ""
    return f"{place}: {'all genes' if pd.isna(row.gene) else row.gene}"


def _count(field: str) -> alt.X:
    """A count of young along the one axis that all layers share."""
    axis = alt.Axis(tickMinStep=1, grid=False)
    return alt.X(
        f"{field}:Q", title="young (count)", axis=axis, scale=alt.Scale(zero=True, padding=8, nice=False)
    )


def _points(base: alt.Chart) -> alt.Chart:
    """The observed young; a class outside its range in a shape, and in a colour, of its own."""
    shapes = alt.Scale(domain=_FATES, range=[SHAPES[0], SHAPES[1], SHAPES[4]])
    inside = alt.Scale(domain=[True, False], range="category")
    return base.mark_point(style="observed", size=90, yOffset=9).encode(
        x=_count("observed"),
        shape=alt.Shape("fate:N", scale=shapes, legend=None),
        color=alt.Color("inside:N", scale=inside, legend=None),
    )


def _tooltip() -> list[alt.Tooltip]:
    return [
        alt.Tooltip("class:N", title="class"),
        alt.Tooltip("observed:Q", title="observed", format=","),
        alt.Tooltip("expected:Q", title="expected", format=",.1f"),
        alt.Tooltip("low:Q", title="95 % from", format=","),
        alt.Tooltip("high:Q", title="95 % to", format=","),
        alt.Tooltip("fate:N", title="observed is"),
    ]
