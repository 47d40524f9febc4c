"""What the charts' own expressions write, drawn by the library that draws the pages' charts."""

import re

import altair as alt
import pandas as pd
import pytest
import vl_convert

from charts.theme import in_percent


@pytest.mark.parametrize(
    ("share", "form", "told"),
    [
        (0.0, ".0f", "0"), (1.0, ".0f", "100"), (0.66, ".0f", "66"), (0.004, ".0f", "0.4"), (0.996, ".0f", "99.6"),
        (0.0001, ".0f", "under 0.1"), (0.9999, ".1f", "over 99.9"), (0.1234, ".1f", "12.3"), (1 - 1e-12, ".0f", "100"),
    ],
)  # fmt: skip
def test_in_percent__tells_what_is_not_certain_from_what_is(share, form, told):
    rows = pd.DataFrame({"share": [share]})
    chart = (
        alt.Chart(rows)
        .transform_calculate(text=in_percent("datum.share", form))
        .mark_text()
        .encode(text="text:N")
    )
    drawn = vl_convert.vegalite_to_svg(chart.to_json())
    assert re.findall(r">([^<>]*%)<", drawn) == [f"{told}\u00a0%"]
