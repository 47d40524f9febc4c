"""Tables of a clique multiplied and summed, in whatever order, against all multiplied at full size."""

from functools import reduce

import numpy as np
import pytest

from pipeline.genetics.carriers import products
from pipeline.genetics.carriers.arithmetic import LANES, Arithmetic, Logs, Plain
from pipeline.genetics.carriers.products import product, summed

WHOLE = (1, 1, 3, 4, 2, 5)
SHAPES = [(2, 1, 3, 1, 1, 1), (1, 1, 3, 4, 1, 1), (2, 1, 3, 1, 2, 5), (1, 3, 3, 4, 1, 5), (2, 1, 3, 4, 2, 1)]


@pytest.mark.parametrize("by", [Plain(), Logs()])
@pytest.mark.parametrize("wide", [0, 10**9])
@pytest.mark.parametrize("count", range(len(SHAPES) + 1))
def test_product__and_its_sum_are_those_of_all_tables_at_full_size(
    by: Arithmetic, wide: int, count: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(products, "WIDE", wide)
    rng = np.random.default_rng(count)
    tables = [rng.random(shape) for shape in SHAPES[:count]]
    parts = [by.table(np.log(table)) for table in tables]
    expected = reduce(np.multiply, tables, np.ones(WHOLE))
    np.testing.assert_allclose(by.plain(product(parts, WHOLE, by)), expected, rtol=1e-12)
    found = np.broadcast_to(by.plain(summed(parts, WHOLE, by)), expected.sum(axis=LANES).shape)
    np.testing.assert_allclose(found, expected.sum(axis=LANES), rtol=1e-12)
