"""The store: what is written is read back, and a file that is cut off holds nothing by halves."""

import duckdb
import pandas as pd
import pytest

from pipeline.store.database import Store

ODDS = pd.DataFrame([{"book": "b.xlsx", "species": "Boa", "animal": "B1", "gene": "Albino", "p_none": 0.5}])


def test_findings__are_read_anew_where_they_were_saved_to():
    with Store() as store:
        store.save("carrier_odds", ODDS)
        first = store.findings()
        store.save("carrier_odds", ODDS.assign(animal="B2"))
        second = store.findings()
    assert first["carrier_odds"]["animal"].tolist() == ["B1"]
    assert second["carrier_odds"]["animal"].tolist() == ["B1", "B2"]
    assert first["growth"] is second["growth"]


def test_store__left_whole_holds_all_and_left_with_an_error_nothing(tmp_path):
    with Store(tmp_path / "whole.duckdb") as store:
        store.save("carrier_odds", ODDS)
    with duckdb.connect(str(tmp_path / "whole.duckdb"), read_only=True) as kept:
        assert kept.execute("SELECT animal FROM findings.carrier_odds").fetchall() == [("B1",)]
    with pytest.raises(OSError, match="cut off"), Store(tmp_path / "half.duckdb") as store:
        store.save("carrier_odds", ODDS)
        raise OSError("cut off")
    with duckdb.connect(str(tmp_path / "half.duckdb"), read_only=True) as kept:
        assert kept.execute("SELECT count(*) FROM information_schema.tables").fetchone() == (0,)
