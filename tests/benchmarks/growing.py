"""Growth curves of invented animals, drawn toward each other, beside scipy's curve_fit animal by animal."""

from collections.abc import Iterator, Sequence
from functools import partial

import numpy as np

from tests.benchmarks.growth import invented, one_by_one, pooled
from tests.benchmarks.measuring import Row, seconds

SIZES = (200, 2_000, 20_000)
LOOPED = 50
OTHER = "scipy's curve_fit in a loop"


def rows(sizes: Sequence[int] = SIZES) -> Iterator[Row]:
    """Ten weighings an animal, three curves each; the loop is run on a few animals and scaled."""
    for size in sizes:
        animals = invented(size)
        looped = min(LOOPED, size)
        few = animals.take(np.arange(looped))
        loop = seconds(partial(one_by_one, few)) * size / looped
        yield Row("growth curves", size, "animals", seconds(partial(pooled, animals)), OTHER, loop)
