"""The curve of an open het: its odds by Bayes' rule, and its words."""

import pytest

from charts.carrier_curve import carrier_curve, data, heading, odds_after
from charts.theme import config
from tests.report.invented import carrier_odds


def open_het():
    return carrier_odds().iloc[:1]


@pytest.mark.parametrize("young, risk", [(0, 2 / 3), (1, 1 / 2), (2, 1 / 3), (3, 1 / 5), (4, 1 / 9)])
def test_odds_after__unaffected_young_of_an_affected_mate(young, risk):
    """2/3 of the unaffected young of two hets carry; then 2 / (2 + 2^n): Bayes' rule, arithmetic exact."""
    assert odds_after(2 / 3, young, 1 / 2) == pytest.approx(risk)


def test_data__falls_to_where_a_het_partner_has_ruled_it_out():
    curve = data(open_het())["curve"]
    assert list(curve["young"]) == list(range(14))
    assert curve.iloc[0].tolist() == [0, 0.66, 0.66]
    assert (
        curve["a visual partner"].is_monotonic_decreasing and curve["a het partner"].is_monotonic_decreasing
    )
    assert curve["a het partner"].iloc[-1] <= 0.05 < curve["a het partner"].iloc[-2]


def test_heading__tells_animal_gene_odds_and_young():
    words = heading(open_het())
    assert words.title == "A001: het Albino?" and words.subtitle.startswith("66 % now")
    assert "under 5 % after 6 young of a visual partner or 13 of a het one" in words.description


def test_carrier_curve__renders_to_svg():
    import vl_convert

    chart = carrier_curve(open_het()).properties(width=360).to_dict() | {"config": config()}
    svg = vl_convert.vegalite_to_svg(chart)
    assert "further young, none showing it" in svg and "NaN" not in svg
