"""The range of a litter's value, against enumeration of what its parents may be."""

from itertools import product

import pytest

from tests.findings.pair_books import animal, book, pairs_of

PRICES = {
    "Normal, het Ash": 60.0, "Ash": 200.0, "Normal, het Ash Fog": 80.0, "Ash, het Fog": 210.0, "Fog, het Ash": 160.0,
    "Ash Fog": 600.0,
}  # fmt: skip
LITTER = 20


def _option(dam, sire):
    adverts = [(label, price) for label, price in PRICES.items() for _ in range(3)]
    found = pairs_of(book(animal("D", "F", dam), animal("S", "M", sire)), prices=adverts, litter=LITTER)
    return found.options.iloc[0]


def _spread(fetches):
    """Mean and standard deviation of a litter; `fetches` by what the parents may be, each alike: the prices of four young
    of whom each is as likely as the others."""
    means = [sum(four) / 4 for four in fetches]
    within = [sum(p**2 for p in four) / 4 - m**2 for four, m in zip(fetches, means, strict=True)]
    mean = sum(means) / len(means)
    between = sum(m**2 for m in means) / len(means) - mean**2
    return LITTER * mean, (LITTER * sum(within) / len(within) + LITTER**2 * between) ** 0.5


def test_litter_values__littermates_share_a_possible_het():
    """A litter of a 50 % het and a visual holds about ten visuals or none, hardly ever five."""
    option = _option("50% het Ash", "Ash")
    mean, deviation = _spread([[200, 200, 60, 60], [60, 60, 60, 60]])
    assert option["expected_value"] == pytest.approx(mean)
    assert option["value_high"] - mean == pytest.approx(1.2816 * deviation, rel=0.001)
    assert mean - option["value_low"] == pytest.approx(1.2816 * deviation, rel=0.001)


def test_litter_values__two_possible_hets_are_added_up():
    """The parts of two genes are added; that both together are worth more than each is left out."""
    option = _option("50% het Ash, 50% het Fog", "Ash Fog")
    names = {(0, 0): "Normal, het Ash Fog", (1, 0): "Ash, het Fog", (0, 1): "Fog, het Ash", (1, 1): "Ash Fog"}
    fetches = [
        [PRICES[names[i * ash, j * fog]] for i, j in product((0, 1), repeat=2)]
        for ash, fog in product((0, 1), repeat=2)
    ]
    mean, deviation = _spread(fetches)
    assert option["expected_value"] == pytest.approx(mean)
    assert option["value_high"] - mean == pytest.approx(1.2816 * deviation, rel=0.05)
