"""Every stage of the table runs, at sizes that cost nothing; the answers of both are compared as at any other."""

import pytest

from pipeline.genetics.pedigree import Parents
from tests.benchmarks import carriers
from tests.benchmarks.__main__ import STAGES, measured
from tests.genetics.test_pedigree import tabular


def by_hand(parents: Parents):
    """Kinship of all pairs; the tabular method's first animal is one that these pedigrees lack."""
    return tabular(parents)[1][1:, 1:]


TINY = {
    "reading": {"sizes": (8, 16)},
    "counting": {"sizes": (40, 80)},
    "testing": {"sizes": (4, 8)},
    "growing": {"sizes": (4, 8)},
    "kinship": {"sizes": (60, 120), "matrix": by_hand},
    "drawing": {"sizes": (1, 2)},
    "carriers": {"sizes": {carriers.CLOSED: (30, 60), carriers.IN_FAMILIES: (50, 100)}},
}


@pytest.mark.parametrize("stage", STAGES)
def test_stage__runs_and_finds_what_the_other_library_finds(stage):
    found = list(measured(stage, **TINY[stage]))
    assert all(len({row.size for row in found if row.stage == one}) == 2 for one in {row.stage for row in found})
