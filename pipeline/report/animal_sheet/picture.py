"""The weights chart as inline SVG, for light and for dark paper: a page that draws nothing prints everywhere."""

from dataclasses import dataclass
from typing import Any

import pandas as pd
from markupsafe import Markup

from charts import growth
from charts.theme import Heading, config, records
from pipeline.report.figures import Picture

_WIDTH, _HEIGHT = 440, 190
"""Pixels: readable on a phone's 330 and in half a printed page."""


@dataclass(frozen=True)
class Drawn:
    """A chart's words, and its drawing for light and for dark paper."""

    heading: Heading
    light: Markup
    dark: Markup


def growth_picture(row: pd.DataFrame, curves: pd.DataFrame, points: pd.DataFrame) -> Drawn | None:
    """The growth chart of one animal (its rows of growth, growth_curves and growth_points); None without a weighing."""
    if row.empty or points.empty:
        return None
    picture = Picture(growth, (row, curves, points))
    spec = _specification(picture)
    return Drawn(picture.heading, _svg(spec, dark=False), _svg(spec, dark=True))


def _specification(picture: Picture) -> dict[str, Any]:
    """Without the title, which the page writes."""
    return {
        **picture.specification(),
        "width": _WIDTH,
        "height": _HEIGHT,
        "datasets": {name: records(frame) for name, frame in picture.data.items()},
    }


def _svg(spec: dict[str, Any], *, dark: bool) -> Markup:
    """Safe as it is: Vega escapes every text of the data."""
    import vl_convert

    return Markup(vl_convert.vegalite_to_svg(spec, config=config(dark=dark) | {"aria": False}))
