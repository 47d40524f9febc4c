"""The carriers' benchmark holds what it prints; run with -m benchmark -s."""

import pytest

from tests.benchmarks import carriers
from tests.benchmarks.measuring import exponent, table
from tests.genetics.carriers.books import book
from tests.genetics.carriers.random_books import closed_pedigree

pytestmark = pytest.mark.benchmark
AT_MOST = 5.0
"""Seconds of computing for ten genes and 1,000 animals."""


@pytest.mark.parametrize("seed", [0, 1, 2, 4, 5])  # 3 is too tangled for exact tables
def test_beside__a_closed_thousand_of_sixty_breeders_is_faster(seed):
    """pyAgrum's inference alone against all of ours; how much faster depends on the pedigree."""
    rows = carriers.sixty_breeders(1_000, seed)
    row = carriers.beside(carriers.CLOSED, [book(rows, settings=carriers.CERTAIN)])
    print(f"\n{row.ours * 1000:.0f} ms beside {row.theirs * 1000:.0f} ms, {row.ratio:.0f} times as fast")
    assert len({parent for *_, sire, dam in rows for parent in (sire, dam)} - {None}) <= 60
    assert row.ratio > 1.5


def test_beside__a_narrow_thousand_is_no_slower():
    """138 breeders of which only the latest are paired: tables are small, and what is left is a pass through Python."""
    row = carriers.beside("narrow", [book(closed_pedigree(1_000, 1), settings=carriers.CERTAIN)])
    print(f"\n{row.ours * 1000:.0f} ms beside {row.theirs * 1000:.0f} ms, {row.ratio:.1f} times as fast")
    assert row.ratio > 1.5


def test_ten_genes__a_thousand_animals_in_under_five_seconds():
    taken, found = min((carriers.ten_genes() for _ in range(3)), key=lambda pair: pair[0])
    print(f"\n10 genes, 1,000 animals, sires in doubt: {taken:.1f} s")
    assert len(found.odds) == 10_000
    assert taken < AT_MOST


def test_rows__families_take_time_in_proportion_to_animals():
    rows = list(carriers.rows(carriers.SIZES | {carriers.CLOSED: ()}))
    print(f"\n{table(rows)}")
    assert rows[-1].size >= 100_000
    assert exponent(rows) < 1.15
