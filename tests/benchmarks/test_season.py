"""A season of ratios, growth and prices at most three times as long as what can't be avoided."""

import pytest

from tests.benchmarks.season import AT_MOST, SIZES, big_book, measure
from tests.endtoend.running import findings_of
from tests.simulate.colony import AS_OF, colony

pytestmark = pytest.mark.benchmark


def test_season__at_most_three_times_importing_and_reading(tmp_path):
    measured = measure(tmp_path, repetitions=7, whole=False)
    ratio = measured.ratio()
    print(f"{ratio.elapsed:.2f} on the clock, {ratio.computing:.2f} of computing")
    assert ratio.elapsed <= AT_MOST, measured


def test_big_book__has_the_stated_sizes_and_sound_young(tmp_path):
    """Nothing is planted in it: what is called a departure is chance, of which there is little."""
    rows = colony(**SIZES, seed=1)
    assert [len(rows[s]) for s in ("Animals", "Hatch results", "Weights", "Prices")] == list(SIZES.values())
    tests = findings_of(big_book(tmp_path), AS_OF)["ratio_tests"]
    assert not tests["verdict"].isin(["impossible", "departs"]).any()
    assert len(tests) > 1000
