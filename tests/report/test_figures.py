"""The charts of a page share specifications, and their data cannot leave its script element."""

import json
import subprocess
import sys

import pandas as pd

import pipeline.report.figures
import pipeline.report.kept
from charts import ratio_bars
from pipeline.report.context import anchor
from pipeline.report.figures import Figures, Picture, script_safe
from tests.report.invented import findings


def test_figures__one_specification_serves_all_charts_of_a_kind():
    classes = findings(pairings=3)["ratio_classes"]
    figures = Figures()
    numbers = [figures.add(Picture(ratio_bars, (own,))) for _, own in classes.groupby(["pairing", "scope"])]
    payload = json.loads(figures.payload())
    assert numbers == list(range(6)) and len(payload["specs"]) == 1
    assert payload["charts"][0]["words"][0].startswith("Pairing P001")
    assert payload["charts"][0]["data"]["classes"]["columns"] == [
        "class",
        "observed",
        "expected",
        "low",
        "high",
    ]


def test_specification__kept_is_the_one_drawn(tmp_path, monkeypatch):
    monkeypatch.setattr(pipeline.report.kept, "_cache", lambda: tmp_path)
    monkeypatch.setattr(pipeline.report.figures, "_SPECIFICATIONS", {})
    picture = Picture(ratio_bars, (findings(pairings=1)["ratio_classes"],))
    drawn = picture.specification()
    assert [path.name for path in tmp_path.iterdir()] == ["ratio_bars.json"]
    monkeypatch.setattr(pipeline.report.figures, "_SPECIFICATIONS", {})
    monkeypatch.setattr(Picture, "_drawn", None)  # not asked again
    assert picture.specification() == drawn and drawn["layer"]


def test_charts__altair_is_imported_when_it_is_first_asked():
    asked = "import sys, charts.growth; print('altair.vegalite' in sys.modules)"
    asked += "; charts.growth.named('rows'); print('altair.vegalite' in sys.modules)"
    said = subprocess.run([sys.executable, "-c", asked], check=True, capture_output=True, text=True)
    assert said.stdout.split() == ["False", "True"]


def test_figures__missing_values_become_null_and_dates_local_midnights():
    from charts.theme import records

    frame = pd.DataFrame(
        {"on": pd.to_datetime(["2026-05-03", None]), "x": [1.5, float("nan")], "w": ["a", None]}
    )
    assert records(frame) == [
        {"on": "2026-05-03T00:00:00", "x": 1.5, "w": "a"},
        {"on": None, "x": None, "w": None},
    ]


def test_script_safe__survives_the_round_trip():
    hostile = {"a": "</script><!-- \u2028\u2029 & ' \""}
    text = script_safe(hostile)
    assert "<" not in text and "\u2028" not in text and json.loads(text) == hostile


def test_anchor__tells_names_apart_that_differ_in_punctuation():
    names = ["A-1", "A 1", "a1", "A/1", "\U0001f40d", "x" * 500]
    ids = [anchor("pairing", "book", name) for name in names]
    assert len(set(ids)) == len(names)
    assert all(one.replace("-", "").isalnum() and len(one) < 70 for one in ids)
