"""Charts as files, and the choice of which."""

import xml.etree.ElementTree as ET

import pytest

from charts import growth, price_trend, ratio_bars
from pipeline.report.chart_files import write_charts
from pipeline.report.chosen_charts import chosen_charts
from pipeline.report.figures import Picture
from tests.charts.growth_tables import growth_tables, price_tables
from tests.report.invented import HEAD, findings


def classes(number=0):
    rows = findings(pairings=3)["ratio_classes"]
    return rows[
        (rows["scope"] == "pairing") & rows["gene"].isna() & (rows["pairing"] == f"P{number + 1:03d}")
    ]


def test_write_charts__each_is_a_picture_with_words_and_without_links(tmp_path):
    pictures = {
        "ratio/P001": Picture(ratio_bars, (classes(),)),
        "growth/B1": Picture(growth, growth_tables()),
        "price/Motley": Picture(price_trend, price_tables()),
    }
    paths = write_charts(pictures, tmp_path / "charts")
    assert [path.name for path in paths] == ["ratio-P001.svg", "growth-B1.svg", "price-Motley.svg"]
    for path, title in zip(paths, ("Pairing P001", "B1: growth", "Motley: prices"), strict=True):
        text = path.read_text(encoding="utf-8")
        ET.fromstring(text)
        assert title in text and "aria-label" in text and "NaN" not in text and "href" not in text


def test_write_charts__shared_specifications_keep_their_own_rows(tmp_path):
    both = {name: Picture(ratio_bars, (classes(number),)) for number, name in enumerate(("a", "b"))}
    alone = write_charts({"b": both["b"]}, tmp_path / "alone")[0].read_text(encoding="utf-8")
    assert write_charts(both, tmp_path / "both")[1].read_text(encoding="utf-8") == alone


@pytest.mark.parametrize("name", ["../../up", "con/a:b*?", "<script>", "", "x" * 300, "\U0001f40d"])
def test_write_charts__names_stay_inside_the_folder(tmp_path, name):
    (path,) = write_charts({name: Picture(ratio_bars, (classes(),))}, tmp_path / "charts")
    assert path.parent == tmp_path / "charts" and len(path.name) < 100
    assert not set(path.name) & set('<>:"/\\|?*')


def test_write_charts__stops_at_its_limit_for_each_kind(tmp_path):
    ratios = {f"ratio/{number}": Picture(ratio_bars, (classes(),)) for number in range(4)}
    paths = write_charts({**ratios, "growth/B1": Picture(growth, growth_tables())}, tmp_path, most=2)
    assert [path.name for path in paths] == ["ratio-0.svg", "ratio-1.svg", "growth-B1.svg"]


def test_write_charts__names_that_collide_get_a_number(tmp_path):
    picture = Picture(ratio_bars, (classes(),))
    paths = write_charts({"a/b": picture, "a-b": picture, "A:B": picture}, tmp_path)
    assert [path.name for path in paths] == ["a-b.svg", "a-b-2.svg", "A-B-3.svg"]


def test_chosen_charts__takes_what_stands_out_and_counts_the_rest():
    chosen = chosen_charts(findings(animals=10), HEAD, {"ratio": 1, "carrier": 1, "growth": 4, "price": 1})
    names = ["ratio/P001", "carrier/A001 Albino", "readiness/Corn snake", "growth/A000"]
    assert list(chosen.pictures)[:4] == names
    left = {"ratio": 1, "carrier": 2, "readiness": 0, "growth": 6, "price": 1, "premium": 0, "route": 0}
    assert chosen.left_out == left
    assert list(chosen.pictures)[-1] == "price/Corn snake Albino USD asked"


def test_chosen_charts__nothing_found_nothing_drawn():
    assert chosen_charts({}, HEAD).pictures == {}
