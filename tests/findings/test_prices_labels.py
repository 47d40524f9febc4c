"""Prices of labels hardly ever advertised, and the speed of a large book's prices."""

import numpy as np
import pandas as pd
import pytest

from pipeline.findings.prices import label_prices, price_findings
from pipeline.genetics.collection import Animal, Collection, Settings
from pipeline.genetics.labels import read_label
from pipeline.store.database import Store
from pipeline.store.tables import LABEL_PRICES
from tests.findings.price_books import AS_OF, SPECIES, market


def _collection(made, labels, status="keeping"):
    animals = {f"A{i}": Animal(f"A{i}", SPECIES, label=read_label(label, made.catalogue), status=status) for i, label in enumerate(labels)}  # fmt: skip
    return Collection("book", {SPECIES: made.catalogue}, animals, {}, (), Settings())


def _answer(made):
    return price_findings(made.prices, {SPECIES: made.catalogue}, Settings(), AS_OF)


def test_label_prices__only_labels_that_adverts_of_the_year_don_t_price():
    made = market(np.random.default_rng(1), offers=300)
    found = label_prices(
        _collection(made, ["Normal", "G0 G1 G2 G3", "G0, het G2", "G0, het G2"]), _answer(made)
    )
    assert ["book", *found.columns] == LABEL_PRICES.names
    assert found.label.to_list() == ["G0 G1 G2 G3", "G0, het G2"] and (found.adverts == 0).all()
    assert (found.low < found.price).all() and (found.price < found.high).all()
    with Store() as store:
        store.save("label_prices", found)


def test_label_prices__animals_sold_or_dead_and_books_without_a_model():
    made = market(np.random.default_rng(2), offers=300)
    assert label_prices(_collection(made, ["G0 G1 G2 G3"], status="sold"), _answer(made)).empty
    few = market(np.random.default_rng(2), offers=8)
    assert label_prices(_collection(few, ["G0"]), _answer(few)).empty


@pytest.mark.benchmark
def test_price_findings__three_thousand_prices_of_sixty_morphs_in_half_a_second():
    from time import perf_counter

    made = market(np.random.default_rng(3), genes=30, labels=60, offers=3000)
    _answer(made)
    took = []
    for _ in range(5):
        start = perf_counter()
        found = _answer(made)
        took.append(perf_counter() - start)
    print(f"price_findings, 3,000 prices, {len(found.trends)} trends: {min(took):.2f} s")
    assert min(took) < 0.5 and isinstance(found.trends, pd.DataFrame)
