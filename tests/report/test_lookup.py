"""Rows found by what they hold are those that a comparison of every row finds."""

import pandas as pd

from pipeline.report.lookup import Lookup

FRAME = pd.DataFrame({"book": ["a", "b", "a", None], "animal": ["x", "x", "x", "y"], "n": [1, 2, 3, 4]})


def test_rows__hold_the_values_in_their_order():
    lookup = Lookup({"growth": FRAME})
    for _ in range(2):  # asked again, it answers again
        assert lookup.rows("growth", {"book": "a", "animal": "x"})["n"].tolist() == [1, 3]
    assert lookup.rows("growth", {"animal": "y"})["n"].tolist() == [4]


def test_rows__none_where_nothing_holds_them():
    found = Lookup({"growth": FRAME}).rows("growth", {"book": "c", "animal": "x"})
    assert found.empty and list(found.columns) == list(FRAME.columns)
