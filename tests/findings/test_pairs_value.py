"""The range of a litter's value, against litters drawn from what the parents may be."""

import numpy as np
import pytest

from tests.findings.pair_books import animal, book, pairs_of

HETS = {(0,): "Normal, het Ash", (1,): "Ash"}
BOTH = {(0, 0): "Normal, het Ash Fog", (1, 0): "Ash, het Fog", (0, 1): "Fog, het Ash", (1, 1): "Ash Fog"}
PRICES = {
    "Normal, het Ash": 60.0, "Ash": 200.0, "Normal, het Ash Fog": 80.0, "Ash, het Fog": 210.0, "Fog, het Ash": 160.0,
    "Ash Fog": 600.0,
}  # fmt: skip
LITTER, RUNS = 20, 20_000


def _drawn(names, chance):
    """The values of litters of a dam that is het for each gene with `chance`, on a sire that shows all: of a het's young a
    gene shows in half."""
    rng = np.random.default_rng(6)
    genes = len(next(iter(names)))
    het = rng.random((RUNS, 1, genes)) < chance
    shows = het & (rng.random((RUNS, LITTER, genes)) < 0.5)
    worth = np.zeros((2,) * genes)
    for look, name in names.items():
        worth[look] = PRICES[name]
    return worth[tuple(np.moveaxis(shows.astype(int), -1, 0))].sum(axis=1)


@pytest.mark.parametrize(
    ("dam", "sire", "names", "chance"),
    [
        ("50% het Ash", "Ash", HETS, 0.5),
        ("80% het Ash", "Ash", HETS, 0.8),
        ("95% het Ash", "Ash", HETS, 0.95),
        ("het Ash", "Ash", HETS, 1.0),
        ("50% het Ash, 50% het Fog", "Ash Fog", BOTH, 0.5),
    ],
)
def test_litter_values__the_range_holds_four_litters_in_five(dam, sire, names, chance):
    """A litter of a 50 % het and a visual has about ten visuals or none, hardly ever five: littermates share their dam."""
    adverts = [(label, price) for label, price in PRICES.items() for _ in range(3)]
    found = pairs_of(book(animal("D", "F", dam), animal("S", "M", sire)), prices=adverts, litter=LITTER)
    option, litters = found.options.iloc[0], _drawn(names, chance)
    assert option["expected_value"] == pytest.approx(litters.mean(), rel=0.02)
    held = (option["value_low"] <= litters) & (litters <= option["value_high"])
    assert 0.7 <= held.mean() <= 0.98  # a count of visuals moves in steps: of 20 by halves, 8 to 12 are 74 %
