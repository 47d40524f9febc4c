"""Inbreeding of all animals and kinship of those kept, beside sgkit's full matrix; needs the extra reference-kin."""

from collections.abc import Iterator
from importlib.util import find_spec

from pipeline.genetics.pedigree import Pedigree
from tests.benchmarks.measuring import Row, seconds
from tests.genetics.kin_reference import by_sgkit, random_pedigree

SIZES = (500, 2_000, 8_000)
KEPT = 200
"""The last born, half of either sex: the pairs that a season asks about."""


def rows() -> Iterator[Row]:
    """Herds of six or seven generations. sgkit compiles first, which is left out."""
    if find_spec("sgkit") is None:
        raise SystemExit("kinship is measured beside sgkit: pip install -e '.[reference-kin]'")
    by_sgkit(random_pedigree(50))
    for size in SIZES:
        parents = random_pedigree(size, founders=size // 12, window=size // 4)
        ours, theirs = seconds(lambda p=parents: _kin(p)), seconds(lambda p=parents: by_sgkit(p), times=2)
        yield Row("inbreeding and kinship", size, "animals", ours, "sgkit, the full matrix", theirs)


def _kin(parents: dict) -> None:
    pedigree = Pedigree(parents)
    pedigree.inbreeding()
    last = list(parents)[-KEPT:]
    pedigree.kin(last[::2], last[1::2])
