"""What the season's young are worth: labels, sums, sales and Paid of a small invented collection."""

from datetime import date

import numpy as np
import pandas as pd
import pytest

from pipeline.findings.prices import price_findings, season_value
from pipeline.genetics.collection import Animal, Collection, Outcome, Pairing, Settings, Young
from pipeline.genetics.labels import read_label
from pipeline.store.database import Store
from pipeline.store.tables import SEASON_VALUE
from tests.findings.price_books import SPECIES, catalogue

AS_OF = date(2026, 6, 1)
GENES = catalogue(4)


def _prices(label, price, count=12, kind="asked", months=11):
    on = pd.Timestamp(AS_OF) - pd.to_timedelta(np.linspace(5, months * 30, count).round(), unit="D")
    swing = np.exp(0.1 * np.sin(2.4 * np.arange(count)))
    return pd.DataFrame({"row": np.arange(count) + 2, "date": on, "date_year": on.year, "species": SPECIES, "genes": label, "sex": None, "age_class": None, "price": price * swing, "currency": None, "kind": kind})  # fmt: skip


def _young(label, count=1, season="P26", **more):
    return Young(season, read_label(label, GENES) if label else None, count, **more)


def _value(young, prices, paid=(100.0, None), animals=()):
    keepers = {name: Animal(name, SPECIES) for name in ("D", "S")} | {animal.id: animal for animal in animals}
    pairings = {f"P{year}": Pairing(f"P{year}", SPECIES, 2000 + year, "D", "S") for year in (25, 26)}
    collection = Collection("book", {SPECIES: GENES}, keepers, pairings, tuple(young), Settings())
    found = price_findings(pd.concat(prices, ignore_index=True), {SPECIES: GENES}, Settings(), AS_OF)
    records = pd.DataFrame({"id": ["D", "S"], "paid": list(paid)})
    return season_value(collection, records, found)


MARKET = [_prices("Normal", 50), _prices("G0", 100), _prices("G1", 150), _prices("G2", 90, 20, months=30)]


def test_season_value__typical_prices_and_their_sum():
    found = _value([_young("G0", 3), _young("Normal", 2), _young("G0")], MARKET)
    assert ["book", *found.columns] == SEASON_VALUE.names
    assert found.label.fillna("all").to_list() == ["G0", "Normal", "all"] and found.young.to_list() == [
        4,
        2,
        6,
    ]
    assert found.value.to_list() == pytest.approx([400, 100, 500], rel=0.1)
    total = found.iloc[2]
    down = np.hypot(*(found.value - found.value_low)[:2])
    assert total.value_low == pytest.approx(total.value - down) and total.priced == 6
    with Store() as store:
        store.save("season_value", found)


def test_season_value__seasons_apart_and_only_what_lived():
    young = [_young("G0"), _young("G0", season="P25"), _young("G1", outcome=Outcome.STILLBORN)]
    found = _value(young, MARKET)
    assert found.season.to_list() == [2025, 2025, 2026, 2026] and found.young.to_list() == [1, 1, 1, 1]


def test_season_value__a_label_without_prices_is_priced_by_its_genes():
    row = _value([_young("G0 G1")], MARKET).iloc[0]
    assert row.source == "genes" and "Never advertised" in row.note and "Asking prices" in row.note
    assert row.low < 300 < row.high


def test_season_value__says_where_no_price_is_known():
    found = _value([_young("G0"), _young(None, 2)], MARKET[:1])
    assert found.source.to_list()[:2] == ["none", "none"] and found.value.isna().all()
    assert "too few adverts" in found.note[0] and "Nobody looked" in found.note[1]
    assert found.priced[2] == 0 and "No price known of 3 young" in found.note[2]


def test_season_value__the_animal_s_own_row_counts():
    grown = Animal("A7", SPECIES, label=read_label("G1", GENES))
    found = _value([_young("G0", animal="A7")], MARKET, animals=[grown])
    assert found.label[0] == "G1"


def test_season_value__sales_of_the_season_and_paid():
    early, now = _prices("G0", 80, 2, "sold", 11), _prices("G0", 80, 3, "sold", 3)
    found = _value([_young("G0", 3)], [*MARKET, early, now])
    assert found.sold[0] == 4 and found.sold_for[0] == pytest.approx(320, rel=0.15)
    total = found.iloc[1]
    assert (total.paid, total.paid_known, total.parents) == (100, 1, 2)


def test_season_value__nothing_from_nothing():
    assert _value([], MARKET).empty
