"""The price chart: built from sample and from empty tables, its words, and what it draws."""

import pandas as pd
import pytest

from charts.price_trend import heading, price_trend
from charts.theme import config
from tests.charts.growth_tables import no_prices, price_tables


@pytest.mark.parametrize("tables", [price_tables(), no_prices()], ids=["sample", "empty"])
def test_price_trend__builds_and_says_what_it_shows(tables):
    spec = price_trend(*tables).to_dict()
    assert spec["title"]["text"] and spec["description"]
    assert [layer["mark"].get("shape") for layer in spec["layer"][2:4]] == ["circle", "diamond"]


def test_price_trend__renders_to_svg():
    import vl_convert

    chart = price_trend(*price_tables()).properties(width=360).to_dict() | {"config": config()}
    svg = vl_convert.vegalite_to_svg(chart)
    assert "USD" in svg and "10 adverts" in svg and "NaN" not in svg


def test_heading__says_counts_change_and_scale():
    words = heading(*price_tables())
    assert words.subtitle == "Common boa; USD; 10 adverts and sales; circle sold, diamond asked; band 95 %; turned June 2025"
    assert "Motley: prices in USD, Common boa: 5 sold, 5 asked. Trend: falling." in words.description
    assert (
        "-10 % a year, 95 % from -15 % to -5 %. Turned on 2025-06-24, 95 % from 2025-03-26 to 2025-12-21. Asking prices times 0.80."
        in words.description
    )


def test_heading__no_band_without_a_trend():
    row, points, bands = price_tables()
    row = row.assign(direction="too few", change_per_year=None, asked_scale=None, turned_on=pd.NaT)
    words = heading(row, points, bands[:0])
    assert "band" not in words.subtitle and words.description.endswith("Trend: too few.")
