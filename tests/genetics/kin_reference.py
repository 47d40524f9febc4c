"""Kinship of a random pedigree by sgkit, a population-genetics library: an extra of its own, as it brings a compiler.

`pip install -e '.[reference-kin]'`, then `pytest -m reference_kin`.
"""

from random import Random

import numpy as np

from pipeline.genetics.pedigree import Parents

VERSION = "0.10.0"
"""Of the library from which the pinned values are."""


def random_pedigree(size: int, seed: int = 1, founders: int = 40, window: int = 120) -> Parents:
    """Animals with parents among the last born, so that they are inbred; a tenth lack a parent, one in fifty both."""
    rng = Random(seed)
    parents: dict[str, tuple[str | None, str | None]] = {}
    for number in range(size):
        if number < founders or rng.random() < 0.02:
            parents[f"A{number}"] = None, None
            continue
        first = max(0, number - window)
        sire, dam = (f"A{2 * rng.randrange(first // 2, number // 2) + side}" for side in (0, 1))
        lost = rng.random()
        parents[f"A{number}"] = None if lost < 0.05 else sire, None if lost > 0.95 else dam
    return parents


def by_sgkit(parents: Parents) -> np.ndarray:
    """Kinship of every two animals, in the order of the pedigree."""
    import sgkit
    import xarray

    order = {animal: place for place, animal in enumerate(parents)}
    table = [[-1 if one is None else order[one] for one in pair] for pair in parents.values()]
    data = xarray.Dataset({"parent": (("samples", "parents"), np.array(table))})
    return sgkit.pedigree_kinship(data, allow_half_founders=True)["stat_pedigree_kinship"].to_numpy()
