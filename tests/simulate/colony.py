"""An invented collection of any size, young drawn from the crosses their parents really are.

Founders are paired season after season; part of the young are kept, and once grown take their place as breeders. What
is written down may differ from what is so, as often as `Errors` says: by default never.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction
from functools import cached_property
from random import Random

from pipeline.genetics.crosses import Parent, parent_from
from pipeline.genetics.genes import Catalogue, Gene, Inheritance, Sex, SexChromosomes
from pipeline.genetics.labels import read_label
from tests.simulate.litters import Hatchling, Litter, Looks, appearances
from tests.simulate.records import MORPHS, Row, advertised, weighings

SPECIES = "Common boa"
LAST_SEASON = 2025
AS_OF = date(LAST_SEASON, 12, 31)
RECESSIVE = ("Anery", "Leopard", "Albino", "Ladder")
INCOMPLETE = ("Motley", "Hypo", "Arrow")
_FOUNDER_LABELS = (
    "Anery", "Leopard", "Albino", "het Anery", "het Anery Leopard", "het Albino", "Motley, het Anery", "Hypo",
    "Hypo, het Leopard", "Motley Hypo", "Arrow", "Arrow, het Albino", "het Ladder", "Ladder", "normal",
)  # fmt: skip
SPECIES_ROW: Row = {
    "Species": SPECIES, "Young": "live", "Sex chromosomes": "XY", "Female breeding weight": 2000,
    "Male breeding weight": 700, "Female breeding age": 36, "Male breeding age": 24, "Rest between litters": 12,
    "Days to young": 110, "Typical litter": 18,
}  # fmt: skip


def catalogue_of(recessive: Sequence[str], incomplete: Sequence[str]) -> Catalogue:
    """Genes of the species, each at a locus of its own."""
    genes = [Gene(name, Inheritance.RECESSIVE, name) for name in recessive]
    genes += [Gene(name, Inheritance.INCOMPLETE, name) for name in incomplete]
    return Catalogue(SPECIES, tuple(genes), SexChromosomes.XY)


CATALOGUE = catalogue_of(RECESSIVE, INCOMPLETE)


@dataclass(frozen=True)
class Errors:
    """How often a record is not what is so, or says less than there is; shares of 1."""

    label: Mapping[str, float] = field(default_factory=dict)
    """By its basis: a founder's label claims a gene that is absent, or leaves one out that is carried."""
    sire: float = 0.0
    """Another male than the recorded one is the father of a litter."""
    reading: float = 0.0
    """A gene of one young is taken for something else."""
    unreadable: float = 0.0
    """A gene can't be told on a whole litter."""
    dead: float = 0.0
    """One young is stillborn."""


NONE = Errors()


@dataclass
class Colony:
    """Rows by sheet as the keeper writes them, and the real genes behind them by animal.

    `lines` are bred apart, as keepers' projects are; one line means that every female meets any male.
    """

    rng: Random
    lines: int
    catalogue: Catalogue = CATALOGUE
    errors: Errors = NONE
    animals: list[Row] = field(default_factory=list)
    pairings: list[Row] = field(default_factory=list)
    hatch: list[Row] = field(default_factory=list)
    real: dict[str, Parent] = field(default_factory=dict)
    line: dict[str, int] = field(default_factory=dict)
    _litters: dict[object, Litter] = field(default_factory=dict)
    _parents: dict[object, Parent] = field(default_factory=dict)

    def founder(self, born: date, label: str, sex: Sex, basis: str) -> str:
        """A new animal of unrecorded parents, whose genes are what its label says, or not; its ID."""
        said = parent_from(read_label(label, self.catalogue), sex, self.catalogue)
        wrong = self.errors.label.get(basis, 0.0)
        groups = tuple(self._drawn(weights, wrong) for weights in said.groups)
        return self._animal(Parent(sex, groups), born, label, **{"Label basis": basis})

    def _drawn(self, weights: Mapping, wrong: float) -> Mapping:
        """One genotype of those that a label allows; in error one copy where it claims none, none where it claims some."""
        genotype = next(iter(weights))
        if len(weights) > 1:
            (genotype,) = self.rng.choices(list(weights), [float(p) for p in weights.values()])
        if wrong and self.rng.random() < wrong:
            genotype = ((0,), (0,)) if any(map(any, genotype)) else ((0,), (1,))
        return {genotype: Fraction(1)}

    def _animal(self, real: Parent, born: date, label: str, **more: object) -> str:
        own = f"B{len(self.animals) + 1:04d}"
        self.real[own] = real
        self.line[own] = self.line.get(str(more.get("Dam")), len(self.animals) // 2 % self.lines)
        self.animals.append(
            {"ID": own, "Species": SPECIES, "Sex": real.sex, "Born": born, "Genes": label, **more}
        )
        return own

    def grown(self, season: int) -> tuple[list[str], list[str]]:
        """IDs of the females and the males old enough for that season."""
        old = [row for row in self.animals if row["Born"].year <= season - 4]
        dams, sires = ([row["ID"] for row in old if row["Sex"] == sex] for sex in "FM")
        return dams, sires

    def mates(self, dam: str, sires: Sequence[str]) -> list[str]:
        """Those of the males that are of the female's line."""
        return [male for male in sires if self.line[male] == self.line[dam]]

    def breed(
        self, dam: str, males: Sequence[str], season: int, *, keep: int, size: int | None = None
    ) -> list[Row]:
        """A new pairing with one of the males, the young kept from it, and its hatch rows, those of the kept first."""
        rng, sire = self.rng, self.rng.choice(males)
        ovulated = date(season, 3, 1) + timedelta(days=rng.randrange(40))
        born = ovulated + timedelta(days=110)
        pairing = f"P{len(self.pairings) + 1:04d}"
        self.pairings.append(
            {"Pairing": pairing, "Season": season, "Dam": dam, "Sire": sire, "Ovulated or laid": ovulated}
        )
        same: Row = {"Pairing": pairing, "Date": born}
        if self.errors.unreadable and rng.random() < self.errors.unreadable:
            same["Unreadable"] = rng.choice(self.catalogue.genes).name
        young = self._young(dam, sire, males, size or rng.randrange(10, 26), str(same.get("Unreadable")))
        rows: list[Row] = []
        for one in young[:keep]:
            own = self._animal(one.parent, born, one.label, Sire=sire, Dam=dam)
            rows.append({**same, "Genes": one.look, "Sex": one.parent.sex, "Animal": own})
        counts = Counter(self._kind(one) for one in young[keep:])
        return rows + [
            {**same, "Genes": look, "Sex": sex, "Outcome": outcome, "Count": n}
            for (look, sex, outcome), n in sorted(counts.items())
        ]

    def _kind(self, one: Hatchling) -> tuple[str, str, str]:
        dead = self.errors.dead and self.rng.random() < self.errors.dead
        return one.look, one.parent.sex, "stillborn" if dead else "live"

    def _young(self, dam: str, sire: str, males: Sequence[str], number: int, hidden: str) -> list[Hatchling]:
        """Young drawn from the pair's real genes; an erring keeper knows of the parents only what their labels say."""
        true = self._litter(self.real[dam], self.real[sire])
        told, wrong = true, self.errors.sire
        if self.errors is not NONE:
            told = self._litter(self._labelled(dam), self._labelled(sire))
        if wrong and self.rng.random() < wrong:
            true = self._litter(self.real[dam], self.real[self.rng.choice(males)])
        return [self._hatchling(true, told, hidden) for _ in range(number)]

    def _hatchling(self, true: Litter, told: Litter, hidden: str) -> Hatchling:
        young = true.drawn(self.rng)
        looks = self._read(true.looks(young))
        look, label = told.words(looks, hidden)
        return Hatchling(young, look, label)

    def _read(self, looks: Looks) -> Looks:
        """The looks as the keeper takes them."""
        rate = self.errors.reading
        if not rate:
            return looks
        return tuple(
            (locus, self.rng.choice(self._mistaken[locus, look]) if self.rng.random() < rate else look)
            for locus, look in looks
        )

    @cached_property
    def _mistaken(self) -> Mapping[tuple[str, tuple[str, ...]], list[tuple[str, ...]]]:
        """By locus and what it shows, all else that it can show."""
        shows = {locus.name: appearances(locus) for locus in self.catalogue.loci}
        return {
            (locus, look): [o for o in all_ if o != look] for locus, all_ in shows.items() for look in all_
        }

    def _litter(self, dam: Parent, sire: Parent) -> Litter:
        key = tuple(tuple(tuple(w.items()) for w in parent.groups) for parent in (dam, sire))
        if key not in self._litters:
            self._litters[key] = Litter(dam, sire, self.catalogue)
        return self._litters[key]

    def _labelled(self, animal: str) -> Parent:
        """An animal as its label has it."""
        row = self.animals[int(animal[1:]) - 1]
        key = row["Sex"], row["Genes"]
        if key not in self._parents:
            self._parents[key] = parent_from(
                read_label(row["Genes"], self.catalogue), row["Sex"], self.catalogue
            )
        return self._parents[key]


def colony(
    animals: int, hatch_rows: int, weights: int, prices: int, *, seed: int, lines: int = 20
) -> Mapping[str, Sequence[Row]]:
    """A book of exactly that many rows on the sheets Animals, Hatch results, Weights and Prices, without any error."""
    grown = Colony(Random(seed), lines)
    for i in range(animals // 5):
        label = grown.rng.choice(_FOUNDER_LABELS)
        grown.founder(date(2010 + i % 4, 7, 1), label, "FM"[i % 2], "seller")
    _fill(grown, animals, hatch_rows)
    return book_of(grown, weights=weights, prices=prices)


def book_of(
    grown: Colony, *, weights: int, prices: int, morphs: Sequence[str] = MORPHS
) -> Mapping[str, Sequence[Row]]:
    """A colony's rows by sheet, with so many weighings and prices."""
    return {
        "Species": [SPECIES_ROW],
        "Genes": [
            {"Species": SPECIES, "Gene": g.name, "Inheritance": g.inheritance.value}
            for g in grown.catalogue.genes
        ],
        "Animals": grown.animals,
        "Pairings": grown.pairings,
        "Hatch results": grown.hatch,
        "Weights": weighings(grown.rng, grown.animals, weights, AS_OF),
        "Prices": advertised(grown.rng, SPECIES, prices, morphs),
    }


def _fill(grown: Colony, animals: int, hatch_rows: int) -> None:
    """Pair every grown female season by season, until both sheets are full."""
    for season in range(2016, LAST_SEASON + 1):
        dams, sires = grown.grown(season)
        for dam in grown.rng.sample(dams, len(dams)):
            if males := grown.mates(dam, sires):
                rows = grown.breed(dam, males, season, keep=min(2, animals - len(grown.animals)))
                grown.hatch += rows[: hatch_rows - len(grown.hatch)]
            if len(grown.hatch) == hatch_rows and len(grown.animals) == animals:
                return
    raise ValueError(f"{animals} animals are too few for {hatch_rows} hatch rows, or too many")
