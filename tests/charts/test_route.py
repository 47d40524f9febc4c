"""What the chart of a way to a goal draws and says."""

import pytest

from charts.route import data, heading
from tests.charts.route_tables import outlook, steps


def test_data__bars_run_from_pairing_to_birth_to_grown():
    rows = data(steps(), outlook())["steps"]
    assert rows["begins"].tolist() == [2027, 2027, 2031]
    assert (rows["born"] - rows["begins"]).tolist() == pytest.approx([0.6, 0.6, 0.6])
    assert rows["ends"].tolist() == pytest.approx([2031, 2030, 2031.6])
    assert rows["keep"].tolist()[1:] == ["keep son, Normal, het Ash Fog", "keep Ash Fog"]


def test_data__goal_has_its_range():
    (goal,) = data(steps(), outlook())["goal"].to_dict("records")
    assert (goal["low"], goal["high"], goal["season"]) == pytest.approx((2031.6, 2035.6, 2031))


def test_heading__tells_years_range_and_every_step():
    words = heading(steps(), outlook())
    assert words.title == "Double: quickest"
    assert words.subtitle.startswith("5 years, 8 of 10 within 5 to 9")
    assert "3. young of step 1 x young of step 2, keep Ash Fog" in words.description
