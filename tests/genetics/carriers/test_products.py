"""Tables of a clique multiplied, summed and derived in whatever order, against all multiplied at full size."""

from functools import reduce

import numpy as np
import pytest

from pipeline.genetics.carriers import arithmetic, products
from pipeline.genetics.carriers.arithmetic import LANES, Arithmetic, Logs, Plain
from pipeline.genetics.carriers.products import Product

WHOLE = (2, 3, 3, 4, 2, 5)
SHAPES = [(2, 1, 3, 1, 1, 1), (1, 1, 3, 4, 1, 1), (2, 1, 3, 1, 2, 5), (1, 3, 1, 4, 1, 5), (2, 1, 3, 4, 2, 1)]


@pytest.mark.parametrize("by", [Plain(), Logs()])
@pytest.mark.parametrize(("small", "wide"), [(10**9, 10**9), (0, 10**9), (0, 0)])
@pytest.mark.parametrize("count", range(1, len(SHAPES) + 1))
def test_product__its_sum_and_derivatives_are_those_of_all_tables_at_full_size(
    by: Arithmetic, small: int, wide: int, count: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(products, "SMALL", small)
    monkeypatch.setattr(products, "WIDE", wide)
    monkeypatch.setattr(arithmetic, "LARGE", wide)
    rng = np.random.default_rng(count)
    tables = [rng.random(shape) for shape in SHAPES[:count]]
    own = Product([by.table(np.log(table)) for table in tables], by)
    whole = reduce(np.multiply, tables)
    np.testing.assert_allclose(by.plain(own.whole()), whole, rtol=1e-12)
    np.testing.assert_allclose(by.plain(own.summed()), whole.sum(axis=LANES), rtol=1e-12)
    outer = rng.random(tuple(map(max, *(table.shape for table in tables), (1,) * whole.ndim)))
    outer = outer.sum(axis=LANES, keepdims=True)
    gradients = own.told(by.table(np.log(outer)), [False] * count)
    beliefs = own.told(by.table(np.log(outer)), [True] * count)
    for i, (table, gradient, belief) in enumerate(zip(tables, gradients, beliefs, strict=True)):
        away = tuple(axis for axis in range(LANES, whole.ndim) if table.shape[axis] == 1)
        others = reduce(np.multiply, (*tables[:i], *tables[i + 1 :]), outer)
        expected = (others * np.ones_like(whole)).sum(axis=away, keepdims=True)
        np.testing.assert_allclose(by.plain(gradient) * np.ones_like(expected), expected, rtol=1e-12)
        np.testing.assert_allclose(by.plain(belief) * np.ones_like(expected), expected * table, rtol=1e-12)


@pytest.mark.parametrize("large", [0, 10**9])
@pytest.mark.parametrize("by", [Plain(), Logs()])
def test_contracted__is_the_sum_of_the_product_whatever_axes_fall_away(
    by: Arithmetic, large: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Against numpy.einsum, over random shapes, axes and layouts in memory."""
    monkeypatch.setattr(arithmetic, "LARGE", large)
    rng = np.random.default_rng(0)
    for _ in range(200):
        one, other = (rng.random(np.where(rng.random(6) < 0.3, 1, WHOLE)) for _ in range(2))
        layout = rng.permutation(6)
        one = np.ascontiguousarray(one.transpose(layout)).transpose(np.argsort(layout))
        away = tuple(int(a) for a in np.flatnonzero(rng.random(4) < 0.5) + LANES)
        expected = np.einsum(one, range(6), other, range(6), [a for a in range(6) if a not in away])
        found = by.contracted(by.table(np.log(one)), by.table(np.log(other)), away)
        np.testing.assert_allclose(by.plain(found), np.expand_dims(expected, away), rtol=1e-12)
