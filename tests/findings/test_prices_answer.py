"""Price findings of a small invented book: labels, currencies, kinds, directions, silence."""

from datetime import date

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from pipeline.findings.prices import price_findings
from pipeline.findings.prices.reconciling import asked_to_sold
from pipeline.genetics.collection import Settings
from pipeline.genetics.genes import Catalogue, Gene, Inheritance
from pipeline.store.database import Store
from pipeline.store.tables import PRICE_BANDS, PRICE_POINTS, PRICE_TRENDS

AS_OF = date(2026, 6, 1)
GENES = (
    Gene("Albino", Inheritance.RECESSIVE, "Albino"),
    Gene("Motley", Inheritance.INCOMPLETE, "Motley", aliases=("Mot",)),
)
BOAS = {"Common boa": Catalogue("Common boa", GENES)}


def _prices(n=12, change=0.0, start=2020.0, end=2026.4, noise=0.1, genes="Motley", kind="asked", currency=None, level=300.0):  # fmt: skip
    years = np.linspace(start, end, n)
    on = pd.Timestamp(2020, 1, 1) + pd.to_timedelta(((years - 2020) * 365.25).round(), unit="D")
    price = level * np.exp(np.log1p(change) * (years - 2020) + noise * np.sin(2.3 * np.arange(n)))
    return pd.DataFrame(
        {"date": on, "date_year": on.year, "species": "Common boa", "genes": genes, "price": price, "currency": currency, "kind": kind}
    )  # fmt: skip


def _answer(*parts, settings=None):
    return price_findings(pd.concat(parts, ignore_index=True), BOAS, settings or Settings(), AS_OF)


def test_price_findings__columns_are_the_registry_s_and_the_store_takes_them():
    found = _answer(_prices(change=-0.1))
    frames = ((PRICE_TRENDS, found.trends), (PRICE_POINTS, found.points), (PRICE_BANDS, found.bands))
    with Store() as store:
        for table, frame in frames:
            assert ["book", *frame.columns] == table.names and len(frame)
            store.save(table.name, frame)


@pytest.mark.parametrize(("change", "direction"), [(-0.15, "falling"), (0.15, "rising"), (0.0, "flat")])
def test_price_findings__direction_and_change_a_year(change, direction):
    row = _answer(_prices(n=25, change=change)).trends.iloc[0]
    assert row.direction == direction and row.change_low <= change <= row.change_high
    assert row.change_per_year == pytest.approx(change, abs=0.03)


def test_price_findings__one_spelling_of_a_label():
    spellings = [
        _prices(genes=text) for text in ("Motley het Albino", "mot, HET albino", "Motley, het Albino")
    ]
    trends = _answer(*spellings, _prices(genes="Motley")).trends
    assert list(trends.n) == [12, 36] and len(trends.morph.unique()) == 2


def test_price_findings__an_unreadable_label_stands_as_typed():
    assert list(_answer(_prices(genes=" Zebra moon ")).trends.morph) == ["Zebra moon"]


def test_price_findings__currencies_join_by_rate_or_stay_apart():
    parts = [_prices(currency=c, level=level) for c, level in ((None, 110.0), ("eur", 100.0), ("CHF", 100.0))]
    trends = _answer(*parts, settings=Settings(rates={"EUR": 1.1})).trends
    assert trends.set_index("currency").n.to_dict() == {"CHF": 12, "USD": 24}
    assert trends.set_index("currency").typical["USD"] == pytest.approx(110, rel=0.1)


def test_price_findings__asked_and_sold_apart_without_a_ratio():
    trends = _answer(_prices(), _prices(n=5, kind="sold", level=240.0)).trends
    assert list(trends.kind) == ["asked", "sold"] and trends.asked_scale.isna().all()


def test_price_findings__asked_scaled_to_sold_by_the_book_s_own_ratio():
    found = _answer(
        _prices(n=40, noise=0), _prices(n=12, kind="sold", level=240.0, noise=0), _prices(n=9, genes="Albino")
    )
    assert found.trends.kind.to_list() == [
        "both",
        "both",
    ]  # the Albino adverts too: the ratio is the species'
    assert found.trends.asked_scale.to_list() == pytest.approx([0.8, 0.8])
    assert "Asking prices times 0.80, as 12 sales" in found.trends.note[1]
    motley = found.points[found.points.morph == "Motley"]
    assert motley.scaled.to_numpy() == pytest.approx(np.full(52, 240.0))


def test_asked_to_sold__a_trend_is_no_discount():
    """Adverts of earlier years are not held against a sale of today."""
    early = pd.DataFrame({"morph": "Motley", "offer": "asked", "day": np.arange(10.0), "price": 500.0})
    late = pd.DataFrame({"morph": "Motley", "offer": "sold", "day": np.arange(1000.0, 1010), "price": 200.0})
    ratio, sales = asked_to_sold(pd.concat([early, late], ignore_index=True))
    assert np.isnan(ratio) and sales == 0


def test_price_findings__too_few_prices():
    row = _answer(_prices(n=4)).trends.iloc[0]
    assert row.direction == "too few" and np.isnan(row.change_per_year)
    assert "4 prices within 6.4 years; it takes 5 over a year" in row.note


def test_price_findings__too_short_a_time():
    row = _answer(_prices(n=20, start=2025.9, change=-0.5)).trends.iloc[0]
    assert row.direction == "too few" and "20 prices within 183 days" in row.note
    assert row.typical > 0


def test_price_findings__too_wide_to_call_flat():
    found = _answer(_prices(n=6, start=2024.0, noise=0.5))
    row = found.trends.iloc[0]
    assert row.direction == "too few" and row.p > 0.05 and "No clear trend" in row.note
    assert found.bands.empty


def test_price_findings__prices_ten_years_apart_have_a_trend_that_can_be_drawn():
    """Five adverts on a day of 2016, five in a row of 2026: pairs days apart allow any slope (scipy: e^29 a year)."""
    early, late = _prices(n=5, start=2016.0, end=2016.0), _prices(n=5, start=2026.0, end=2026.011)
    found = _answer(early.assign(price=[50, 60, 70, 80, 90]), late.assign(price=[100, 110, 120, 130, 140]))
    row = found.trends.iloc[0]
    days = found.points["on"].map(pd.Timestamp.toordinal) / 365.25
    theirs = stats.theilslopes(np.log(found.points["price"]), days)
    assert row["change_per_year"] == pytest.approx(np.expm1(theirs.slope)) and theirs.high_slope > 25
    assert row["change_low"] > 0 and row["change_high"] == pytest.approx(9)
    assert (found.bands["high"] <= 100.01 * found.bands["price"]).all()


def test_price_findings__nothing_typical_without_prices_of_the_last_year():
    row = _answer(_prices(end=2024.0, change=-0.2)).trends.iloc[0]
    assert row.direction == "falling" and row.n_last_year == 0 and np.isnan(row.typical)
    assert "no price in the last year, the latest on 2024-01-01" in row.note


def test_price_findings__bare_years_stand_at_their_middle_and_later_prices_stay_out():
    bare = _prices(n=3).assign(date=pd.NaT, date_year=[2022, 2024, 2026])
    points = _answer(bare, _prices(n=1, start=2026.8)).points
    assert list(points.on) == [pd.Timestamp(2022, 7, 1), pd.Timestamp(2024, 7, 1), pd.Timestamp(AS_OF)]


def test_price_findings__row_order_does_not_matter():
    prices = pd.concat([_prices(change=-0.1), _prices(n=30, kind="sold"), _prices(genes="Albino")])
    forth, back = (
        price_findings(p.reset_index(drop=True), BOAS, Settings(), AS_OF) for p in (prices, prices[::-1])
    )
    pd.testing.assert_frame_equal(forth.trends, back.trends)
    pd.testing.assert_frame_equal(forth.points, back.points)


def test_price_findings__band_holds_the_line_and_mostly_the_truth():
    rng = np.random.default_rng(2)
    held = []
    for _ in range(60):
        prices = _prices(n=20, change=-0.1, noise=0)
        prices["price"] *= np.exp(rng.normal(0, 0.2, 20))
        bands = _answer(prices).bands
        if bands.empty:
            continue
        assert ((bands.low <= bands.price) & (bands.price <= bands.high)).all()
        years = (bands.on.iloc[-1] - pd.Timestamp(2020, 1, 1)).days / 365.25
        held.append(bands.low.iloc[-1] <= 300 * 0.9**years <= bands.high.iloc[-1])
    assert len(held) > 50 and np.mean(held) >= 0.88


def test_price_findings__nothing_from_nothing():
    found = price_findings(_prices()[:0], BOAS, Settings(), AS_OF)
    assert found.trends.empty and found.points.empty and found.bands.empty


def _turning(at=3.2, after=0.25, n=40):
    prices = _prices(n=n, noise=0.06)
    years = np.linspace(0, 6.4, n)
    prices["price"] *= np.exp(-0.2 * np.minimum(years, at) + after * np.maximum(years - at, 0))
    return prices


def test_price_findings__a_turn_is_dated_and_the_direction_is_that_since():
    found = _answer(_turning())
    row = found.trends.iloc[0]
    assert row.direction == "rising" and row.change_low <= np.expm1(0.25) <= row.change_high and row.p < 0.01
    assert row.turned_low <= pd.Timestamp(2023, 3, 14) <= row.turned_high and row.turned_low < row.turned_on
    assert row.change_before == pytest.approx(np.expm1(-0.2), abs=0.04) and "Turned: -1" in row.note
    assert found.bands.price.idxmin() not in (0, len(found.bands) - 1)


def test_price_findings__a_fall_that_ends_has_no_turn_but_says_so():
    row = _answer(_turning(after=0.0)).trends.iloc[0]
    assert pd.isna(row.turned_on) and row.direction == "flat" and "Another pace since about" in row.note


def test_price_findings__a_step_is_named():
    prices = _prices(n=40, noise=0.06)
    prices.loc[17:, "price"] *= 0.6
    row = _answer(prices).trends.iloc[0]
    assert pd.isna(row.turned_on) and "one step about September 2022" in row.note


def test_price_findings__no_turn_on_a_straight_road():
    row = _answer(_prices(n=40, change=-0.1)).trends.iloc[0]
    assert pd.isna(row.turned_on) and pd.isna(row.change_before)
