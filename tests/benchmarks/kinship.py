"""Inbreeding of all animals and kinship of those kept, beside sgkit's full matrix; needs the extra reference-kin."""

from collections.abc import Callable, Iterator, Sequence

import numpy as np
import pandas as pd

from pipeline.genetics.pedigree import Parents, Pedigree
from tests.benchmarks.measuring import Row, seconds
from tests.genetics.kin_reference import by_sgkit, random_pedigree

SIZES = (500, 2_000, 8_000)
KEPT = 200
"""The last born, half of either sex: the pairs that a season asks about."""


def rows(
    sizes: Sequence[int] = SIZES, matrix: Callable[[Parents], np.ndarray] = by_sgkit
) -> Iterator[Row]:
    """Herds of six or seven generations; the full matrix of kinship is by another hand, sgkit's where not said."""
    try:
        matrix(random_pedigree(50))  # sgkit compiles first, which is left out
    except ModuleNotFoundError as missing:
        raise SystemExit("kinship is measured beside sgkit: pip install -e '.[reference-kin]'") from missing
    for size in sizes:
        parents = random_pedigree(size, founders=size // 12, window=size // 4)
        kept = list(parents)[-KEPT:]
        theirs = pd.DataFrame(matrix(parents), list(parents), list(parents))
        if not np.allclose(_kin(parents, kept), theirs.loc[kept[::2], kept[1::2]]):
            raise AssertionError("the full matrix has other kinship")
        yield Row(
            "inbreeding and kinship",
            size,
            "animals",
            seconds(lambda p=parents, k=kept: _kin(p, k)),
            "sgkit, the full matrix",
            seconds(lambda p=parents: matrix(p), times=2),
        )


def _kin(parents: Parents, kept: Sequence[str]) -> np.ndarray:
    """Everybody's inbreeding, and the kinship of every second of those kept with the others."""
    pedigree = Pedigree(parents)
    pedigree.inbreeding()
    return pedigree.matrix(kept[::2], kept[1::2])
