"""Kinship and inbreeding of 2,000 animals against a population-genetics library.

The pinned values are sgkit 0.10.0's (pedigree_kinship) of the pedigree that `random_pedigree(2_000)` draws;
`pytest -m reference_kin` asks the library again.
"""

from itertools import product

import numpy as np
import pytest

from pipeline.genetics.pedigree import inbreeding, kinship
from tests.genetics.kin_reference import VERSION, by_sgkit, random_pedigree

SIZE = 2_000
PINNED = {
    ("A1999", "A1998"): 0.04090386891812679,
    ("A1999", "A0"): 0.003004318437435984,
    ("A1999", "A1999"): 0.5458040820767941,
    ("A1989", "A1883"): 0.04338449734554008,
    ("A1985", "A1869"): 0.049702657709528614,
    ("A1528", "A1093"): 0.03056650706863976,
    ("A1543", "A1369"): 0.07158606041885135,
    ("A1927", "A1173"): 0.0,
    ("A1876", "A1828"): 0.0792378030888295,
    ("A1842", "A1874"): 0.0769040752612635,
    ("A1657", "A1257"): 0.036809850996904654,
    ("A1810", "A1217"): 0.03416097881994305,
}
SUM_OF_INBREEDING, HIGHEST_INBREEDING, INBRED = 82.1780599813631, 0.35117573822293613, 1559


def test_kinship__of_two_thousand_animals_is_sgkits():
    parents = random_pedigree(SIZE)
    found = kinship(parents, PINNED)
    assert found == pytest.approx(PINNED, abs=1e-12)


def test_inbreeding__of_two_thousand_animals_is_sgkits():
    found = inbreeding(random_pedigree(SIZE))
    assert sum(found.values()) == pytest.approx(SUM_OF_INBREEDING, abs=1e-9)
    assert max(found.values()) == pytest.approx(HIGHEST_INBREEDING, abs=1e-12)
    assert sum(value > 1e-9 for value in found.values()) == INBRED


@pytest.mark.reference_kin
def test_kinship__is_sgkits_for_every_pair_of_the_last_three_hundred():
    sgkit = pytest.importorskip("sgkit")
    parents = random_pedigree(SIZE)
    theirs = by_sgkit(parents)
    last = [f"A{number}" for number in range(SIZE - 300, SIZE)]
    ours = np.array(list(kinship(parents, product(last, last)).values())).reshape(300, 300)
    assert ours == pytest.approx(theirs[-300:, -300:], abs=1e-12)
    found = inbreeding(parents)
    assert [found[one] for one in parents] == pytest.approx(2 * np.diag(theirs) - 1, abs=1e-12)
    pinned = {pair: theirs[int(pair[0][1:]), int(pair[1][1:])] for pair in PINNED}
    assert sgkit.__version__ != VERSION or pinned == pytest.approx(PINNED, abs=1e-12)
