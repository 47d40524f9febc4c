"""Gene premiums, prices by genes, prices out of line and seasons, in invented markets whose truth is known."""

from itertools import combinations

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from pipeline.findings.prices import Setting, price_findings, prices_of
from pipeline.findings.prices.model import price_model
from pipeline.findings.prices.offers import read_offers
from pipeline.findings.prices.premiums import factor_rows, outlier_rows, premium_rows
from pipeline.findings.prices.seasonal import FEWEST_YEARS, friedman, quarter_table, season_rows
from pipeline.genetics.collection import Settings
from pipeline.genetics.genes import Catalogue, Gene, Inheritance
from pipeline.genetics.labels import read_label
from pipeline.store.database import Store
from pipeline.store.tables import GENE_PREMIUMS, PRICE_FACTORS, PRICE_OUTLIERS
from tests.findings.price_books import AS_OF, SPECIES, Market, catalogue, market


def _model(made: Market):
    offers = read_offers(made.prices, {SPECIES: made.catalogue}, Settings(), AS_OF)
    return price_model(offers, SPECIES, "USD", made.catalogue, AS_OF)


def _book(rows, genes=4, swing=0.1):
    """A market of (label, price, how many), adverts spread over three years, log prices moved by `swing` up and down."""
    labels = [label for label, _, count in rows for _ in range(count)]
    price = np.array([price for _, price, count in rows for _ in range(count)], dtype=float)
    n = len(labels)
    on = pd.Timestamp(AS_OF) - pd.to_timedelta((np.arange(n) * 37) % 1095, unit="D")
    prices = pd.DataFrame({"row": np.arange(2, n + 2), "date": on, "date_year": on.year, "species": SPECIES, "genes": labels, "sex": None, "age_class": "hatchling", "price": price * np.exp(swing * np.sin(2.4 * np.arange(n))), "currency": None, "kind": "asked"})  # fmt: skip
    return Market(catalogue(genes), {}, prices, {}, 0.0)


def _premiums(made):
    return {(row["gene"], row["standing"]): row for row in premium_rows(_model(made))}


def test_price_findings__tables_are_the_registry_s_and_the_store_takes_them():
    made = market(np.random.default_rng(1))
    made.prices.loc[5, "price"] *= 10
    found = price_findings(made.prices, {SPECIES: made.catalogue}, Settings(), AS_OF)
    with Store() as store:
        for table, frame in ((GENE_PREMIUMS, found.premiums), (PRICE_FACTORS, found.factors), (PRICE_OUTLIERS, found.outliers)):  # fmt: skip
            assert ["book", *frame.columns] == table.names and len(frame)
            store.save(table.name, frame)


def test_premium_rows__say_what_genes_are_worth():
    rows = _premiums(_book([("Normal", 50, 15), ("G0", 100, 15), ("G1", 150, 15), ("G0 G1", 300, 15)]))
    for gene, factor in (("G0", 2.0), ("G1", 3.0)):
        row = rows[gene, "shows"]
        assert row["factor"] == pytest.approx(factor, rel=0.15) and row["n"] == 30 and not row["note"]
        assert row["factor_low"] <= factor <= row["factor_high"]


def test_premium_rows__two_copies_hets_and_their_share():
    rows = [("Normal", 50, 15), ("G1", 100, 15), ("Super G1", 250, 15), ("Normal, het G0", 80, 15), ("Normal, 50% het G0", 63, 15)]  # fmt: skip
    found = _premiums(_book(rows))
    assert found["G1", "two copies"]["factor"] == pytest.approx(5, rel=0.2)
    assert found["G0", "het"]["factor"] == pytest.approx(1.6, rel=0.15) and found["G0", "het"]["n"] == 30


def test_premium_rows__a_gene_on_two_adverts_does_not_rule():
    steady = [("Normal", 50, 20), ("G0", 75, 20), ("G1", 100, 20), ("G2", 75, 20)]
    rows = _premiums(_book([*steady, ("G3", 400, 2)], swing=0.5))
    drawn = {gene: row["factor"] for (gene, _), row in rows.items()}
    assert drawn["G3"] < 6.4 and drawn["G1"] == pytest.approx(2, rel=0.12)  # adverts alone: 8 and 2
    wide = {gene: row["factor_high"] / row["factor_low"] for (gene, _), row in rows.items()}
    assert wide["G3"] > max(wide[gene] for gene in ("G0", "G1", "G2"))


def test_premium_rows__genes_always_together_say_so_and_have_numbers():
    rows = _premiums(_book([("Normal", 50, 12), ("G0 G2", 200, 12), ("G1", 80, 12)]))
    assert "can't tell it apart from G2 (shows)" in rows["G0", "shows"]["note"]
    assert rows["G0", "shows"]["factor"] == pytest.approx(rows["G2", "shows"]["factor"])
    assert not rows["G1", "shows"]["note"]
    assert np.isfinite([row["factor_high"] for row in rows.values()]).all()


def test_premium_rows__a_gene_on_every_advert():
    rows = _premiums(_book([("G0", 50, 12), ("G0 G1", 90, 12), ("G0 G2", 90, 12)]))
    assert "none without it" in rows["G0", "shows"]["note"] and not rows["G1", "shows"]["note"]


@pytest.mark.parametrize(("offers", "labels"), [(11, 4), (40, 2)])
def test_price_model__silent_on_few_adverts_or_labels(offers, labels):
    assert _model(market(np.random.default_rng(2), offers=offers, labels=labels)) is None


def test_price_model__row_order_does_not_matter():
    made = market(np.random.default_rng(3))
    back = Market(made.catalogue, made.worth, made.prices[::-1].reset_index(drop=True), {}, 0)
    one, other = (_model(each).fit.coefficients for each in (made, back))
    assert one == pytest.approx(other, abs=1e-12)


def _covered(books, rng, **kinds):
    """Shares of: gene factors within their 95 % intervals, prices to come within their 80 % ones."""
    factors, prices = [], []
    for _ in range(books):
        made = market(rng, **kinds)
        model = _model(made)
        factors += [
            r["factor_low"] <= np.exp(made.worth[r["gene"]]) <= r["factor_high"] for r in premium_rows(model)
        ]
        for genes in combinations(made.worth, 2):
            label = " ".join(genes)
            beyond = made.extra.get(label, rng.normal(0, 0.1))
            truth = made.base - 0.15 + sum(made.worth[g] for g in genes) + beyond + rng.normal(0, 0.15)
            found = _price(label, made, model)
            prices.append(found.low <= np.exp(truth) <= found.high)
    return np.mean(factors), np.mean(prices)


def _price(label, made, model, **setting):
    (found,) = prices_of([read_label(label, made.catalogue)], model, Setting(**setting))
    return found


def test_prices_of__intervals_hold_what_they_promise():
    factors, prices = _covered(12, np.random.default_rng(4))
    assert factors >= 0.9 and 0.72 <= prices <= 0.92


@pytest.mark.study
@pytest.mark.parametrize(
    "kinds", [{"offers": 40}, {"offers": 120}, {"offers": 400, "genes": 10, "labels": 40}]
)
def test_prices_of__coverage_over_many_books(kinds):
    factors, prices = _covered(150, np.random.default_rng(5), **kinds)
    assert 0.94 <= factors <= 0.995 and 0.77 <= prices <= 0.91


def test_prices_of__a_combination_never_advertised_says_so_and_is_less_sure():
    made = _book([("Normal", 50, 15), ("G0", 100, 15), ("G1", 150, 15), ("G2", 100, 15), ("G0 G2", 200, 15)])
    model = _model(made)
    labels = [read_label(text, made.catalogue) for text in ("G0 G1", "G0 G2")]
    strange, known = prices_of(labels, model)
    assert [strange, known] == [_price(text, made, model) for text in ("G0 G1", "G0 G2")]
    assert strange.adverts == 0 and "Never advertised" in strange.note
    assert strange.high / strange.low > known.high / known.low
    assert known.adverts == 15 and not known.note
    assert strange.low < 300 < strange.high and strange.price == pytest.approx(300, rel=0.25)


def test_prices_of__a_gene_on_no_advert_is_taken_for_one_like_the_others():
    made = _book([("Normal", 50, 15), ("G0", 100, 15), ("G2", 100, 15)])
    found = _price("G3", made, _model(made))
    assert "No advert bears G3 (shows)" in found.note and found.price == pytest.approx(100, rel=0.25)
    assert found.high / found.low > 3


def test_prices_of__names_what_can_t_be_told_apart():
    made = _book([("Normal", 50, 12), ("G0 G2", 200, 12), ("G1", 80, 12)])
    assert "can't tell what G0 is worth alone" in _price("G0", made, _model(made)).note


def test_prices_of__asked_or_sold_and_the_sexes():
    made = market(np.random.default_rng(6), offers=200)
    made.prices.loc[made.prices.sex == "F", "price"] *= 1.5
    model = _model(made)
    settings = {}, {"offer": "asked"}, {"sex": "F"}
    sold, asked, female = (_price("G0", made, model, **own).price for own in settings)
    assert sold / asked == pytest.approx(np.exp(-0.15), abs=0.06)
    assert female / sold == pytest.approx(1.5**0.5, abs=0.06)
    (row,) = [row for row in factor_rows(model) if row["what"] == "female against male"]
    assert row["factor_low"] <= 1.5 <= row["factor_high"] and row["n"] == 200


def test_outlier_rows__a_slipped_decimal_and_nothing_else():
    made = market(np.random.default_rng(7))
    made.prices.loc[50, "price"] *= 10
    (row,) = outlier_rows(_model(made))
    assert row["row"] == 52 and row["times"] == pytest.approx(10, rel=0.6) and "digit" in row["note"]
    assert row["low"] < row["expected"] < row["high"] < row["price"]


def test_outlier_rows__rare_in_books_without_any():
    rng = np.random.default_rng(8)
    assert sum(len(list(outlier_rows(_model(market(rng))))) for _ in range(25)) <= 4


@pytest.mark.parametrize("shape", [(5, 4), (7, 3), (12, 4)])
def test_friedman__equals_scipy(shape):
    rng = np.random.default_rng(9)
    for table in (rng.normal(size=shape), rng.integers(0, 4, shape).astype(float)):
        assert friedman(table) == pytest.approx(stats.friedmanchisquare(*table.T).pvalue)


def test_friedman__no_order_no_season():
    assert friedman(np.ones((5, 4))) == 1.0


def test_season_rows__a_dear_spring():
    rows = list(season_rows({1: _model(market(np.random.default_rng(10), offers=300, years=6, season=0.3))}))
    assert [row["what"].split(" to ")[0] for row in rows] == ["January", "April", "July", "October"]
    assert rows[1]["factor"] == max(row["factor"] for row in rows) and rows[1]["factor_low"] > 1


def test_season_rows__silent_without_a_season_or_with_few_years():
    rng = np.random.default_rng(11)
    flat = [list(season_rows({1: _model(market(rng, offers=200, years=6))})) for _ in range(15)]
    assert sum(map(bool, flat)) <= 3
    short = _model(market(rng, offers=300, years=2, season=0.5))
    assert len(quarter_table(short)) < FEWEST_YEARS and not list(season_rows({1: short}))


def test_quarter_table__bare_years_say_nothing_of_quarters():
    made = market(np.random.default_rng(12), years=6)
    made.prices["date"] = pd.NaT
    assert len(quarter_table(_model(made))) == 0


def test_price_model__line_bred_names_and_unreadable_labels():
    book = _book([("Normal", 50, 12), ("G0", 100, 12), ("G0 Tiger", 140, 12), ("Zebra moon", 9, 5)])
    genes = (*book.catalogue.genes, Gene("Tiger", Inheritance.LINE_BRED, "Tiger"))
    offers = read_offers(book.prices, {}, Settings(), AS_OF)
    model = price_model(offers, SPECIES, "USD", Catalogue(SPECIES, genes), AS_OF)
    rows = {(row["gene"], row["standing"]): row["factor"] for row in premium_rows(model)}
    assert rows["Tiger", "line-bred"] == pytest.approx(1.4, rel=0.15) and len(model.offers) == 36
