"""A store without a file says what one with a file would."""

import re
from importlib.resources import files

import pandas as pd
import pytest

from pipeline.store.database import Store
from pipeline.store.scratch import ASKED, Scratch
from pipeline.store.tables import findings_table

BOOK = {"book": "b.xlsx"}
ODDS = pd.DataFrame([{**BOOK, "species": "Boa", "animal": "B1", "gene": "Albino", "p_none": 0.5}])
RUN = pd.DataFrame([{**BOOK, "as_of": pd.Timestamp(2025, 1, 1), "compared_with": pd.NaT, "remark": None}])


def test_scratch__findings_are_those_of_a_store():
    with Scratch() as scratch, Store() as store:
        for name, frame in (
            ("carrier_odds", ODDS),
            ("runs", RUN),
            ("carrier_odds", ODDS.assign(animal="B2")),
        ):
            scratch.save(name, frame)
            store.save(name, frame)
        for name, frame in scratch.findings().items():
            pd.testing.assert_frame_equal(frame, store.findings()[name])


def test_scratch__saved_frames_have_the_registrys_columns_and_types():
    with Scratch() as scratch:
        scratch.save("carrier_odds", ODDS)
        scratch.save("carrier_odds", ODDS.assign(p_none=None))
        (name,) = scratch.saved()
        frame = scratch.saved()[name]
    assert list(frame) == findings_table("carrier_odds").names
    assert (frame["p_none"].dtype, frame["method"].dtype) == ("float64", "str")
    assert frame["p_none"].tolist()[0] == 0.5 and len(frame) == 2


def test_scratch__refuses_what_a_store_refuses():
    with Scratch() as scratch, pytest.raises(KeyError, match="has no column colour"):
        scratch.save("carrier_odds", ODDS.assign(colour="red"))


def test_scratch__records_come_back_in_the_order_of_loading():
    goals = pd.DataFrame(
        {**BOOK, "sheet": "Goals", "row": [3, 2], "goal": ["b", "a"], "species": "Boa", "genes": "x"}
    )
    with Scratch() as scratch:
        scratch.load({"goals": goals})
        scratch.load({"goals": goals.assign(book="c.xlsx")})
        assert scratch.records("goals", book="b.xlsx")["goal"].tolist() == ["b", "a"]
        assert scratch.all_records()["goals"]["book"].tolist() == ["b.xlsx"] * 2 + ["c.xlsx"] * 2


def test_scratch__knows_nothing_of_another():
    goals = pd.DataFrame(
        {**BOOK, "sheet": "Goals", "row": [2], "goal": ["a"], "species": "Boa", "genes": "x"}
    )
    counted = "SELECT count(*) FROM records.goals"
    with Scratch() as one, Scratch() as other:
        one.load({"goals": goals})
        assert one.connection.execute(counted).fetchall() == [(1,)]
        assert other.connection.execute(counted).fetchall() == [(0,)]
        assert other.records("goals", book="b.xlsx").empty
    with Scratch() as later:
        assert later.connection.execute(counted).fetchall() == [(0,)]


def test_asked__are_the_findings_that_queries_of_one_book_read():
    """Queries of the whole run name no book."""
    folder = files("pipeline.store") / "sql"
    texts = [text for text in (one.read_text() for one in folder.iterdir()) if "$book" in text]
    assert {
        name for text in texts for name in re.findall(r"FROM findings\.(\w+)|JOIN findings\.(\w+)", text)
    } == {(table.name, "") for table in ASKED}
