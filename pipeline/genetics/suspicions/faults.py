"""Structural faults, what may be so at one place, and the structures of a species."""

from collections.abc import Mapping
from dataclasses import dataclass

from pipeline.genetics.carriers.families import Family
from pipeline.genetics.genes import Catalogue
from pipeline.genetics.suspicions.alternatives import Alternative, Variant
from pipeline.genetics.suspicions.bench import Weighed


@dataclass(frozen=True)
class GeneFault:
    """One variant of one alternative of a gene record."""

    alternative: Alternative
    variant: Variant

    @property
    def genes(self) -> tuple[str, ...]:
        """Names of the genes whose record would be another."""
        return self.alternative.genes


@dataclass(frozen=True)
class NoSire:
    """A clutch without a sire: the family's position, the clutch's."""

    family: int
    clutch: int


Move = GeneFault | NoSire


@dataclass(frozen=True)
class Option:
    """What may be so at one place. `fault` is None for as recorded; `weighed` the families that differ from the best."""

    fault: Move | None
    probability: float
    weighed: Mapping[int, Weighed]


@dataclass(frozen=True)
class Place:
    """Structural faults of which at most one is so; their probabilities and that of none sum to 1."""

    options: tuple[Option, ...]
    best: int


@dataclass(frozen=True)
class Structures:
    """The answer for one species. `families` are the recorded ones, `best` each as weighed in the best structure."""

    species: str
    catalogue: Catalogue
    families: tuple[Family, ...]
    best: Mapping[int, Weighed]
    places: tuple[Place, ...]
