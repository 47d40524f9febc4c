"""Growth curves of invented animals, drawn toward each other, beside scipy's curve_fit animal by animal."""

from collections.abc import Iterator
from functools import partial

import numpy as np

from tests.benchmarks.growth import invented, one_by_one, pooled
from tests.benchmarks.measuring import Row, seconds

SIZES = (200, 2_000, 20_000)
LOOPED = 50
OTHER = "scipy's curve_fit in a loop"


def rows() -> Iterator[Row]:
    """Ten weighings an animal, three curves each; the loop is run on a few animals and scaled."""
    for size in SIZES:
        animals = invented(size)
        few = animals.take(np.arange(LOOPED))
        loop = seconds(partial(one_by_one, few)) * size / LOOPED
        yield Row("growth curves", size, "animals", seconds(partial(pooled, animals)), OTHER, loop)
