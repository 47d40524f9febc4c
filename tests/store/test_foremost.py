"""What a page has room for: short tables whole, of long ones the most telling rows, with what explains them."""

import pandas as pd
import pytest

from pipeline.store.database import Store
from pipeline.store.foremost import foremost

BOOKS = ("a.xlsx", "b.xlsx", "c.xlsx")


@pytest.fixture
def store():
    with Store() as store:
        for number, book in enumerate(BOOKS):
            animals = [f"{book[0]}{k}" for k in range(40)]
            store.save(
                "inbreeding",
                pd.DataFrame({"animal": animals, "f": [k / 100 for k in range(40)]}).assign(book=book),
            )
            store.save("growth_alerts", pd.DataFrame({"animal": animals, "kind": "none"}).assign(book=book))
            ranks = range(1, 31)
            store.save(
                "suspicions",
                pd.DataFrame({"rank": ranks, "probability": [0.9 - number / 10] * 30}).assign(book=book),
            )
            rivals = pd.DataFrame(
                {"rank": [*ranks, *ranks], "explanation": ["as read"] * 30 + ["misread"] * 30}
            )
            store.save("suspicion_rivals", rivals.assign(book=book))
        store.save("problems", pd.DataFrame({"book": BOOKS, "severity": "note"}))
        yield store


def test_foremost__all_rows_where_there_is_room(store):
    found = foremost(store, 10_000)
    assert found.cuts == ()
    pd.testing.assert_frame_equal(found.findings["inbreeding"], store.findings()["inbreeding"])


def test_foremost__short_tables_stay_whole_and_long_ones_share_what_is_left(store):
    found = foremost(store, 63)
    assert {cut.table.name: (cut.taken, cut.rows) for cut in found.cuts} == {
        "inbreeding": (20, 120), "growth_alerts": (20, 120), "suspicions": (20, 90), "suspicion_rivals": (40, 180),
    }  # fmt: skip
    assert len(found.findings["problems"]) == 3


def test_foremost__the_most_telling_rows_come_whatever_book_has_them(store):
    found = foremost(store, 63).findings
    assert found["inbreeding"]["f"].min() == 0.33
    assert set(found["suspicions"]["book"]) == {"a.xlsx"}


def test_foremost__else_each_book_has_as_many(store):
    store.connection.execute("UPDATE findings.growth_alerts SET date = '2025-01-01'")
    counts = foremost(store, 63).findings["growth_alerts"]["book"].value_counts()
    assert sorted(counts) == [6, 7, 7]


def test_foremost__what_explains_a_row_comes_with_it(store):
    found = foremost(store, 63).findings
    keys = [tuple(row) for row in found["suspicions"][["book", "rank"]].values]
    assert {tuple(row) for row in found["suspicion_rivals"][["book", "rank"]].values} == set(keys)
    assert len(found["suspicion_rivals"]) == 2 * len(keys)
