"""The timeline of readiness: its words, its open ends, and how many it draws."""

import pandas as pd

from charts.readiness import MOST, data, heading, readiness
from charts.theme import config
from tests.charts.growth_tables import growth_tables, no_growth


def _rows(n=1, **change):
    row = growth_tables()[0].assign(season_on=pd.Timestamp(2027, 1, 1), **change)
    many = pd.concat([row] * n, ignore_index=True)
    return many.assign(animal=[f"B{i}" for i in range(n)])


def test_readiness__renders_to_svg():
    import vl_convert

    chart = readiness(_rows(3)).properties(width=480).to_dict() | {"config": config()}
    svg = vl_convert.vegalite_to_svg(chart)
    assert "; weight" in svg and "B2 (F)" in svg and "NaN" not in svg


def test_data__an_open_end_runs_to_the_last_day_drawn():
    later = _rows(1).assign(animal="B9", ready_late=pd.Timestamp(2029, 5, 1))
    drawn = data(pd.concat([_rows(1), later], ignore_index=True))["animals"]
    assert list(drawn["ready_late"]) == [pd.Timestamp(2029, 5, 1)] * 2
    assert "maybe never" in drawn["words"][0] and "2029-05;" in drawn["words"][1]


def test_data__a_known_day_needs_no_interval():
    day = pd.Timestamp(2027, 2, 1)
    words = data(_rows(1, ready_on=day, ready_early=day, ready_late=day, blocked_by="rest"))["animals"][
        "words"
    ][0]
    assert words == "B0 (F) 2027-02-01; rest"


def test_data__an_interval_within_a_month_is_told_by_its_days():
    early, day, late = (pd.Timestamp(2027, 8, number) for number in (9, 12, 24))
    words = data(_rows(1, ready_on=day, ready_early=early, ready_late=late, blocked_by="age"))["animals"][
        "words"
    ]
    assert words[0] == "B0 (F) 2027-08-12, 08-09 to 08-24; age"


def test_heading__says_how_many_more():
    words = heading(_rows(MOST + 2))
    assert words.title == "Common boa: who becomes ready when"
    assert "B0 (F)" in words.description and "; waits for weight." in words.description
    assert "2 more later" in words.subtitle and "season begins 1\u00a0January\u00a02027" in words.subtitle
    assert len(data(_rows(MOST + 2))["animals"]) == MOST
    assert heading(no_growth()[0]).subtitle == "nobody is on the way"
