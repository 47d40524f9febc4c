"""The growth chart: built from sample and from empty tables, its words, and what it draws."""

import pytest

from charts.growth import data, growth, heading
from charts.theme import config
from tests.charts.growth_tables import growth_tables, no_growth


@pytest.mark.parametrize("tables", [growth_tables(), no_growth()], ids=["sample", "empty"])
def test_growth__builds_and_says_what_it_shows(tables):
    spec = growth(*tables).to_dict()
    assert spec["title"]["text"] and spec["description"]
    assert spec["layer"][0]["mark"]["style"] == "range"


def test_growth__renders_to_svg():
    import vl_convert

    chart = growth(*growth_tables()).properties(width=360).to_dict() | {"config": config()}
    svg = vl_convert.vegalite_to_svg(chart)
    assert "breeding weight 1,800 g" in svg and "gravid" in svg and "NaN" not in svg


def test_growth__cuts_a_band_that_would_flatten_the_rest():
    data = growth(*growth_tables()).to_dict()["datasets"].values()
    highs = [row["high_g"] for rows in data for row in rows if "high_g" in row]
    assert max(highs) == pytest.approx(1.6 * 1800)


def test_growth__an_open_end_runs_to_the_edge():
    data = growth(*growth_tables()).to_dict()["datasets"].values()
    (goal,) = [row for rows in data for row in rows if "ready_late" in row]
    assert goal["ready_late"].startswith("2026-03-21")  # the last day of the curve


def test_heading__names_animal_target_n_and_dates():
    words = heading(*growth_tables())
    assert words.title == "B1: growth toward 1,800 g"
    assert "10 weighings; Gompertz curve, band 80 %" in words.subtitle
    assert "80 % from 2026-04-10 to perhaps never" in words.description


def test_heading__without_a_target_or_curve():
    row, curves, points = growth_tables()
    row = row.assign(target_g=None, curve="none", ready_on=row.ready_late)
    words = heading(row, curves[:0], points)
    assert (
        words.title == "B1: growth" and "no curve" in words.subtitle and "No ready date" in words.description
    )
    assert growth(row, curves[:0], points).to_dict()["layer"]


def test_data__a_doubted_weighing_stands_at_the_edge_and_says_its_value():
    row, curves, points = growth_tables()
    points.loc[4, ["weight_g", "state", "used"]] = [18_000.0, "doubted", False]
    drawn = data(row, curves, points)["weighings"]
    assert drawn["weight_g"][4] == pytest.approx(1.6 * 1800)
    assert drawn["words"][4] == "doubted: 18,000 g" and drawn["words"][9] == "gravid"
