"""Shows what one morph was offered and sold for over the years, the trend with its band, and where it turned."""

from __future__ import annotations

import pandas as pd

from charts.later import alt
from charts.theme import SHAPES, Heading, day_axis, finished, layered, named

_OFFERS = {"sold": (SHAPES[0], True), "asked": (SHAPES[1], False)}


def price_trend(trend: pd.DataFrame, points: pd.DataFrame, bands: pd.DataFrame) -> alt.LayerChart:
    """Prices (filled circle: sold, open diamond: asked), the trend line and its 95 % band; a turn as an upright line in
    the span of its 95 % interval.

    `trend` is one row of findings.price_trends, `points` and `bands` its rows of price_points and price_bands. Prices in
    the trend's currency, asking prices as it scales them. Empty tables give an empty chart.
    """
    line = named("band").encode(x=_day())
    band = line.mark_area(style="range").encode(y=_price("low"), y2="high:Q")
    middle = line.mark_line(style="curve").encode(y=_price("price"))
    marks = named("offers").encode(x=_day(), y=_price("scaled"), tooltip=_tooltip())
    offers = [_offers(marks, offer) for offer in _OFFERS]
    return finished(
        layered(band, middle, *offers, *_turn()), heading(trend, points, bands), data(trend, points, bands)
    )


def data(trend: pd.DataFrame, points: pd.DataFrame, bands: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """The rows drawn: the trend with its band, the single prices, and the turn if there is one."""
    turns = trend[["turned_on", "turned_low", "turned_high"]]
    return {
        "turn": turns[turns["turned_on"].notna()],
        "band": bands[["on", "price", "low", "high"]],
        "offers": points[["on", "offer", "price", "scaled"]],
    }


def heading(trend: pd.DataFrame, points: pd.DataFrame, bands: pd.DataFrame) -> Heading:
    """The words of the chart of this trend."""
    if trend.empty:
        return Heading("Price trend", "no price yet", "A price chart without prices.")
    row = trend.iloc[0]
    title = f"{row.morph}: prices"
    seen = points["offer"].value_counts()
    counts = ", ".join(f"{seen[offer]} {offer}" for offer in _OFFERS if offer in seen)
    change = ""
    if pd.notna(row.change_per_year):
        change = (
            f" {_signed(row.change_per_year)} a year, 95 % from {_signed(row.change_low)} to {_signed(row.change_high)}."
        )
    scale = f" Asking prices times {row.asked_scale:.2f}." if pd.notna(row.asked_scale) else ""
    return Heading(
        title,
        f"{row.species}; {row.currency}; {row.n} adverts and sales; circle sold, diamond asked"
        + ("; band 95 %" if len(bands) else "")
        + (f"; turned {row.turned_on:%B %Y}" if pd.notna(row.turned_on) else ""),
        f"{title} in {row.currency}, {row.species}: {counts}. Trend: {row.direction}.{change}{_turned(row)}{scale}",
    )


def _signed(share: float) -> str:
    return f"{share:+.0%}".replace("%", " %")


def _turned(row: pd.Series) -> str:
    if pd.isna(row.turned_on):
        return ""
    return f" Turned on {row.turned_on:%Y-%m-%d}, 95 % from {row.turned_low:%Y-%m-%d} to {row.turned_high:%Y-%m-%d}."


def _turn() -> tuple[alt.Chart, alt.Chart]:
    """The day of the turn, and the span it lies in."""
    turn = named("turn")
    span = turn.mark_rect(style="range", opacity=0.12).encode(x="turned_low:T", x2="turned_high:T")
    return span, turn.mark_rule(style="target").encode(x="turned_on:T")


def _offers(marks: alt.Chart, offer: str) -> alt.Chart:
    """The prices of one kind in a shape of their own."""
    shape, filled = _OFFERS[offer]
    mark = marks.transform_filter(alt.datum.offer == offer)
    return mark.mark_point(style="observed", shape=shape, filled=filled, size=45)


def _day() -> alt.X:
    return alt.X("on:T", title=None, axis=day_axis())


def _price(field: str) -> alt.Y:
    return alt.Y(f"{field}:Q", title="price", axis=alt.Axis(tickCount=6), scale=alt.Scale(zero=True))


def _tooltip() -> list[alt.Tooltip]:
    return [
        alt.Tooltip("on:T", title="day", format="%Y-%m-%d"),
        alt.Tooltip("offer:N", title="kind"),
        alt.Tooltip("price:Q", title="price", format=",.0f"),
        alt.Tooltip("scaled:Q", title="as the trend counts it", format=",.0f"),
    ]
