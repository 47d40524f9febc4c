"""What a page packs of a long table is what it would have written."""

import json

import pandas as pd

from pipeline.report import formats
from pipeline.report.grid import WRITTEN, GridColumn, grid
from pipeline.report.packing import packed
from pipeline.report.records import Records

ROWS = WRITTEN + 30
PLACES = pd.DataFrame(
    [("animal", f"A{at}", "Animals", at, at, 1) for at in range(2, ROWS + 2)],
    columns=["kind", "id", "sheet", "first_row", "last_row", "records"],
).assign(book="b.xlsx", species="Boa")


def long_grid(rows=ROWS, **columns):
    frame = pd.DataFrame({"book": "b.xlsx", "animal": [f"A{at}" for at in range(2, rows + 2)]}).assign(
        **columns
    )
    shown = [
        GridColumn("animal", "Animal"),
        GridColumn("n", "Young", formats.counts),
        GridColumn("verdict", "Verdict", formats.verdicts),
    ]
    ids = [f"animal-{at}" for at in range(rows)]
    return grid("long", "Long", frame, [one for one in shown if one.field in frame], empty="", ids=ids)


def unpacked(made):
    return json.loads(str(packed(made, Records(PLACES))))


def said(column):
    return [column["words"][at] for at in column["at"]] if "at" in column else column["words"]


def test_packed__holds_the_rows_that_are_not_written():
    made = long_grid(n=[1000.0 + at for at in range(ROWS)])
    rest = unpacked(made)
    assert rest["rows"] == 30 and rest["ids"][0] == f"animal-{WRITTEN}" and rest["figures"] == []
    animals, young = rest["columns"]
    assert said(animals)[0] == f"A{WRITTEN + 2}" and len(said(animals)) == 30
    assert said(young)[0] == f"{1000 + WRITTEN:,}" and young["keys"][0] == str(1000 + WRITTEN)


def test_packed__names_lead_to_their_records():
    animals, _ = unpacked(long_grid(n=1.0))["columns"]
    known = [Records(PLACES).of("animal", "b.xlsx", "Boa", name).number for name in said(animals)]
    assert animals["links"] == known


def test_packed__writes_a_text_that_comes_again_once():
    verdicts = unpacked(long_grid(verdict=["fits", "too few"] * (ROWS // 2)))["columns"][1]
    assert len(verdicts["words"]) == 2 and verdicts["html"] and verdicts["at"][:3] == [0, 1, 0]
    assert verdicts["words"][0] == formats.verdicts(pd.Series(["fits"]))[0]


def test_packed__a_hostile_text_is_escaped_as_markup_and_can_not_end_the_script():
    hostile = "</script><b>"
    names = [hostile] * (ROWS - 1) + ["fits"]
    text = str(packed(long_grid(verdict=names), Records(PLACES)))
    assert "</script" not in text
    assert json.loads(text)["columns"][1]["words"][0] == "&lt;/script&gt;&lt;b&gt;"


def test_grid__a_short_table_is_written_whole():
    made = long_grid(WRITTEN, n=1.0)
    assert made.written == len(made) == WRITTEN and unpacked(made)["rows"] == 0
