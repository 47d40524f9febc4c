"""The routes' benchmark holds what it prints."""

import pytest

from tests.benchmarks.routes import AT_MOST, seconds


@pytest.mark.benchmark
def test_seconds__six_genes_and_200_animals_in_under_five():
    quickest, _, steps = min(seconds() for _ in range(2))
    assert steps > 3
    assert quickest < AT_MOST
