"""A keeper's records as plain objects: animals, pairings and young of one book, with their genes understood.

Built from the workbook's tables once they are checked (pipeline/workbook/collecting.py); every question of
schema `findings` that concerns genes starts from it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from pipeline.genetics.genes import Catalogue, Sex
from pipeline.genetics.statements import Statement


class Basis(StrEnum):
    """What an animal's label rests on."""

    PROVED = "proved"
    BRED_HERE = "bred here"
    SELLER = "seller"


class Outcome(StrEnum):
    """What became of an egg or young."""

    LIVE = "live"
    STILLBORN = "stillborn"
    DIED_IN_EGG = "died in egg"
    SLUG = "slug"


@dataclass(frozen=True)
class Settings:
    """The Settings sheet with its defaults; percentages as shares (0..1). Names follow workbook/sheets.py."""

    keeper: str = ""
    currency: str = "USD"
    background_carrier: float = 0.01
    level: float = 0.05
    misread: float = 0.01
    wrong_sire: float = 0.02
    wrong_label_proved: float = 0.001
    wrong_label_bred_here: float = 0.01
    wrong_label_seller: float = 0.05
    wrong_gene_record: float = 0.01
    report_suspicion_from: float = 0.5
    seed: int = 1
    pairs_per_male: int = 3
    hatchling_places: int | None = None
    inbreeding_at_most: float = 0.125
    season_starts: int = 1
    never_pair: str = ""
    rates: Mapping[str, float] = field(default_factory=dict)
    """What one unit of a currency is worth in `currency`, by its three letters."""


GONE = ("sold", "died")
"""Statuses of animals that are no longer here."""


@dataclass(frozen=True)
class Animal:
    """One row of the Animals sheet. `label` is None where nobody looked; `row` is its row in the book."""

    id: str
    species: str
    sex: Sex | None = None
    label: Statement | None = None
    basis: Basis = Basis.SELLER
    sire: str | None = None
    dam: str | None = None
    born: date | None = None
    born_year: int | None = None
    status: str = "keeping"
    name: str = ""
    row: int = 0

    @property
    def known_sex(self) -> Sex:
        """Its sex, of an animal that is known to have one. LookupError where none is recorded."""
        if self.sex is None:
            raise LookupError(f"the sex of {self.id} is not recorded")
        return self.sex

    @property
    def known_label(self) -> Statement:
        """Its label, of an animal that is known to have one. LookupError where nobody looked."""
        if self.label is None:
            raise LookupError(f"nobody has looked at {self.id}")
        return self.label


@dataclass(frozen=True)
class Pairing:
    """One row of the Pairings sheet; dam, sire and other sires are animals of the collection."""

    id: str
    species: str
    season: int
    dam: str
    sire: str
    other_sires: tuple[str, ...] = ()
    first_paired: date | None = None
    last_paired: date | None = None
    ovulated_or_laid: date | None = None
    row: int = 0


@dataclass(frozen=True)
class Young:
    """One row of the Hatch results sheet: `count` young alike, or one with a record of its own (`animal`).

    `label` is None where nobody looked; slugs never have one. `unreadable` are names of genes that could not be told.
    """

    pairing: str
    label: Statement | None
    count: int = 1
    clutch: int = 1
    sex: Sex | None = None
    outcome: Outcome = Outcome.LIVE
    animal: str | None = None
    unreadable: frozenset[str] = frozenset()
    born: date | None = None
    row: int = 0

    @property
    def known_label(self) -> Statement:
        """Their label, of young known to have one. LookupError where nobody looked."""
        if self.label is None:
            raise LookupError(f"nobody has looked at these young of {self.pairing}")
        return self.label


@dataclass(frozen=True)
class Collection:
    """One book. Parents that a row names but the book lacks are None there; `animals` holds parents before young."""

    book: str
    catalogues: Mapping[str, Catalogue]
    animals: Mapping[str, Animal]
    pairings: Mapping[str, Pairing]
    young: tuple[Young, ...] = ()
    settings: Settings = Settings()
    breeding_months: Mapping[tuple[str, Sex], float] = field(default_factory=dict)
    """The age from which a species' females and males breed, where the Species sheet gives one."""
