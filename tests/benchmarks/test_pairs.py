"""Next season's pairs of a large herd: all 7,200 pairs of six genes told and planned within seconds."""

from time import perf_counter

import pytest

from tests.findings.pair_books import herd, pairs_of

pytestmark = pytest.mark.benchmark
AT_MOST = 10.0
"""Seconds, prices and carrier odds included."""
PRICES = (
    [("Ash", 200 + i) for i in range(6)] + [("normal", 50)] * 5 + [("Fog", 150)] * 5 + [("Ember", 300)] * 4
)
GOALS = [("Three", "Ash Fog Moss", 1), ("Two", "Bark Ember", 2)]


def test_pair_findings__sixty_males_and_a_hundred_and_twenty_females_in_ten_seconds():
    collection = herd(60, 120, hatchling_places=400)
    start = perf_counter()
    found = pairs_of(collection, goals=GOALS, prices=PRICES)
    seconds = perf_counter() - start
    assert len(found.options) == 7_200
    assert found.plan["dam"].is_unique
    assert found.plan["sire"].value_counts().max() <= 3
    assert found.plan["young"].sum() <= 400
    assert seconds <= AT_MOST
