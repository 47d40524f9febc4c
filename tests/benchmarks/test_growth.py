"""The growth benchmark holds what it prints."""

import pytest

from tests.benchmarks.growth import AT_MOST, COVERS, held_back, speed


def test_held_back__intervals_cover_and_the_error_is_least():
    """R data set ChickWeight (Crowder & Hand 1990), later halves held back."""
    found = held_back()
    assert found.dates > 100
    assert COVERS[0] <= found.covered <= COVERS[1]
    assert found.pooled < min(found.own, found.mean_curve)


def test_held_back__whole_records_of_others_do_as_well():
    found = held_back(others_whole=True)
    assert COVERS[0] <= found.covered
    assert found.pooled < min(found.own, found.mean_curve)


@pytest.mark.benchmark
def test_speed__at_most_a_fifth_of_curve_fit_in_a_loop():
    ours, loop = speed(repetitions=7)
    assert min(ours) / min(loop) <= AT_MOST, (ours, loop)
