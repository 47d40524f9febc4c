"""What next season is planned from: the keeper's records, and what is known of genes and descent, worked out once."""

from collections.abc import Mapping
from dataclasses import dataclass

from pipeline.findings.pairs.kinship import Kinship
from pipeline.findings.pairs.spaces import Odds, odds_by_animal
from pipeline.genetics.carriers.odds import Carriers
from pipeline.genetics.collection import Collection


@dataclass(frozen=True)
class Breeding:
    """`collection` is what is planned with; `carriers`, the `odds` of every animal and `kinship` are of it, or of a whole that
    it is a part of."""

    collection: Collection
    carriers: Carriers
    odds: Mapping[str, Odds]
    kinship: Kinship

    @classmethod
    def of(cls, collection: Collection, carriers: Carriers) -> "Breeding":
        """Of a collection by itself."""
        return cls(collection, carriers, odds_by_animal(carriers, collection), Kinship.of(collection))
