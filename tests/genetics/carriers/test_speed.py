"""How long a pedigree takes that is too tangled for exact work; run with -m benchmark -s. For all others see tests/benchmarks."""

from time import process_time

import pytest

from pipeline.genetics.carriers.odds import carriers
from pipeline.genetics.carriers.posterior import SAMPLED
from pipeline.workbook.checking import checked
from pipeline.workbook.reading import read_book
from pipeline.workbook.template import write_book
from tests.simulate.colony import AS_OF, colony

pytestmark = pytest.mark.benchmark


def test_carriers__a_closed_tangle_of_five_hundred_takes_half_a_minute_at_most(tmp_path):
    """350 breeders mated at random: exact tables would take over 10^30 entries."""
    path = tmp_path / "tangle.xlsx"
    write_book(path, colony(500, 3000, 10, 10, seed=1, lines=1))
    start = process_time()
    found = carriers(checked(read_book(path), AS_OF).collection)
    took = process_time() - start
    known = max((s.posterior for s in found.solved), key=lambda own: len(own.states))
    print(f"\na tangle of 500 animals: {took:.1f} s, error {known.error:.3f}, {known.withheld} odds withheld")
    assert known.method == SAMPLED
    assert took < 30
