"""The look of every chart: one palette, one type size ladder, for light and for dark paper.

A chart module holds one chart in three functions that take the same tables: the one with the module's name draws it,
`heading` words it, and `data` gives the rows it draws, by name. What is drawn depends on the tables through these two
alone, so that many charts of a kind can share one specification. A chart names styles ('observed', 'target') and never colours: the colours come from `config`, which
whoever draws the chart hands over, so that one specification serves a light page, a dark one and a printed SVG.
Nothing is told by colour alone: shapes and dashes say it a second time.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeVar

import pandas as pd

from charts.later import alt

# Okabe & Ito (2008), "Color Universal Design (CUD): How to make figures and presentations that are friendly to
# colorblind people", J*FLY Data Depository, University of Tokyo.
BLACK = "#000000"
ORANGE = "#E69F00"
SKY = "#56B4E9"
GREEN = "#009E73"
YELLOW = "#F0E442"
BLUE = "#0072B2"
VERMILION = "#D55E00"
PURPLE = "#CC79A7"
PALETTE = (BLUE, VERMILION, GREEN, PURPLE, ORANGE, SKY, BLACK)
DARK_PALETTE = (SKY, ORANGE, GREEN, PURPLE, YELLOW, VERMILION, BLUE)

# The second channel, in the same order.
SHAPES = (
    "circle",
    "diamond",
    "square",
    "triangle-up",
    "cross",
    "triangle-down",
    "triangle-left",
    "triangle-right",
)
DASHES = ([1, 0], [6, 3], [2, 2], [8, 3, 2, 3], [1, 3], [10, 4], [4, 1], [3, 6])

FONT = "system-ui, -apple-system, 'Segoe UI', Roboto, 'Liberation Sans', Arial, sans-serif"

_Chart = TypeVar("_Chart", bound="alt.TopLevelMixin")


@dataclass(frozen=True)
class Heading:
    """What a chart says in words: its title, a line with units and n, the alternative text; and its height in pixels."""

    title: str
    subtitle: str
    description: str
    height: int = 240


def named(name: str) -> alt.Chart:
    """A chart of the rows that `finished` is given under that name."""
    return alt.Chart(alt.NamedData(name=name))


def day_axis(*, grid: bool = False) -> alt.Axis:
    """An axis of days with short labels, each with its year, since a narrow chart shows but some: 2026, 2026-04."""
    short = "{year: '%Y', quarter: '%Y-%m', month: '%Y-%m', week: '%Y-%m-%d', date: '%Y-%m-%d'}"
    return alt.Axis(tickCount=6, grid=grid, labelExpr=f"timeFormat(datum.value, {short})")


def day(when: date) -> str:
    """A day in a caption, where no line ends within it: '1 January 2027'."""
    return f"{when.day}\u00a0{when:%B}\u00a0{when.year}"


def in_percent(share: str, form: str = ".0f") -> str:
    """A Vega expression that writes the share of that expression as '66 %'; what is short of 1 is never told as 100 %, nor what
    is above 0 as 0 %."""
    told = f"{share} > 0 && {share} < 0.0005 ? 'under 0.1' : {share} > 0.9995 && {share} < 1 - 1e-9 ? 'over 99.9'"
    fine = f"{share} < 0.01 || {share} > 0.99 && {share} < 1 - 1e-9"
    return f"({told} : format(100 * {share}, {share} > 0 && ({fine}) ? '.1f' : '{form}')) + '\u00a0%'"


def layered(*charts: alt.Chart) -> alt.LayerChart:
    """The charts one upon another, the first at the bottom. Unlike altair's `layer` it is no grid of facets, ever."""
    return alt.LayerChart(layer=list(charts))


def finished(chart: _Chart, heading: Heading, data: Mapping[str, pd.DataFrame]) -> _Chart:
    """The chart with its words and its rows, as wide as whatever holds it."""
    return chart.properties(
        title=alt.TitleParams(text=heading.title, subtitle=heading.subtitle),
        description=heading.description,
        width="container",
        autosize=alt.AutoSizeParams(type="fit-x", contains="padding"),
        height=heading.height,
        datasets={name: records(frame) for name, frame in data.items()},
    )


def records(frame: pd.DataFrame) -> list[dict[str, Any]]:
    """A frame's rows as JSON holds them."""
    names = list(frame.columns)
    return [dict(zip(names, row, strict=True)) for row in values(frame)]


def values(frame: pd.DataFrame) -> list[tuple[Any, ...]]:
    """A frame's rows without names: missing values are None, dates ISO texts at local midnight."""
    return list(zip(*(_column(frame[name]) for name in frame.columns), strict=True))


def _column(column: pd.Series) -> list[Any]:
    missing = column.isna().tolist()
    if pd.api.types.is_datetime64_any_dtype(column.dtype):
        column = column.dt.strftime("%Y-%m-%dT00:00:00")
    return [None if gone else value for value, gone in zip(column.tolist(), missing, strict=True)]


def config(*, dark: bool = False) -> dict[str, Any]:
    """The Vega-Lite configuration: type, lines and the named styles, on light or on dark paper."""
    ink, faint, line = ("#e9e6df", "#a8a49a", "#4a4a45") if dark else ("#22241f", "#5d5f57", "#d9d6cc")
    main = SKY if dark else BLUE
    loud = ORANGE if dark else VERMILION
    return {
        "background": "transparent",
        "font": FONT,
        "padding": 4,
        "view": {"stroke": None, "continuousWidth": 560},
        "title": {
            "anchor": "start", "color": ink, "fontSize": 14, "fontWeight": 600, "offset": 12,
            "subtitleColor": faint, "subtitleFontSize": 12, "subtitlePadding": 4, "frame": "group",
        },
        "axis": {
            "domainColor": line, "gridColor": line, "gridOpacity": 0.6, "tickColor": line,
            "labelColor": faint, "titleColor": faint, "labelFontSize": 11, "titleFontSize": 11,
            "titleFontWeight": "normal", "titlePadding": 8, "labelOverlap": True, "labelSeparation": 4,
        },
        "legend": {
            "orient": "bottom", "labelColor": faint, "titleColor": faint, "labelFontSize": 11, "titleFontSize": 11,
            "titleFontWeight": "normal", "labelLimit": 260, "columns": 2,
        },
        "range": {"category": list(DARK_PALETTE if dark else PALETTE), "symbol": list(SHAPES)},
        "style": _styles(ink, faint, line, main, loud),
    }  # fmt: skip


def _styles(ink: str, faint: str, line: str, main: str, loud: str) -> dict[str, object]:
    """Marks by what they mean. A chart asks for one with `mark_point(style="observed")`."""
    return {
        "observed": {"color": main, "filled": True, "opacity": 1},
        "outlier": {"color": loud, "filled": True, "opacity": 1},
        "set-aside": {"color": faint, "filled": False, "strokeWidth": 1.4, "opacity": 1},
        "expected": {"color": ink, "strokeWidth": 2, "opacity": 1},
        "range": {"color": main, "opacity": 0.22},
        "curve": {"color": main, "strokeWidth": 2, "opacity": 1},
        "target": {"color": loud, "strokeWidth": 1.5, "strokeDash": [6, 3], "opacity": 1},
        "words": {"color": ink, "fontSize": 12, "font": FONT},
        "figure": {"color": ink, "fontSize": 12, "fontWeight": 700, "font": FONT},
        "aside": {"color": faint, "fontSize": 11, "font": FONT},
        "guide": {"color": line, "strokeWidth": 1},
    }
