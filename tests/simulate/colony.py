"""A large invented collection, young drawn from the crosses their parents really are; no fault is planted.

Size is the point here: benchmarks read and analyse it. Founders are paired season after season; part of the young are
kept, and once grown take their place as breeders.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction
from math import exp
from random import Random

from pipeline.genetics.crosses import Cross, Parent, cross, genotype, parent_from
from pipeline.genetics.genes import Catalogue, Gene, Inheritance, Sex, SexChromosomes
from pipeline.genetics.labels import read_label, write_label
from pipeline.genetics.statements import Statement

Row = dict[str, object]
SPECIES = "Common boa"
LAST_SEASON = 2025
AS_OF = date(LAST_SEASON, 12, 31)
RECESSIVE = ("Anery", "Leopard", "Albino", "Ladder")
INCOMPLETE = ("Motley", "Hypo", "Arrow")
CATALOGUE = Catalogue(
    SPECIES,
    (
        *(Gene(name, Inheritance.RECESSIVE, name) for name in RECESSIVE),
        *(Gene(name, Inheritance.INCOMPLETE, name) for name in INCOMPLETE),
    ),
    SexChromosomes.XY,
)
_FOUNDER_LABELS = (
    "Anery", "Leopard", "Albino", "het Anery", "het Anery Leopard", "het Albino", "Motley, het Anery", "Hypo",
    "Hypo, het Leopard", "Motley Hypo", "Arrow", "Arrow, het Albino", "het Ladder", "Ladder", "normal",
)  # fmt: skip
_MORPHS = (
    "normal",
    "Anery",
    "Leopard",
    "Albino",
    "Motley",
    "Hypo",
    "Arrow",
    "Motley Hypo",
    "Anery Motley",
    "Hypo Anery",
)


@dataclass(frozen=True)
class Hatchling:
    """A young animal as it really is, what it shows, and the label that its parents' labels entitle it to."""

    parent: Parent
    look: str
    label: str


@dataclass
class Colony:
    """Rows by sheet as the keeper writes them, and the real genes behind them by animal."""

    rng: Random
    lines: int
    animals: list[Row] = field(default_factory=list)
    pairings: list[Row] = field(default_factory=list)
    hatch: list[Row] = field(default_factory=list)
    real: dict[str, Parent] = field(default_factory=dict)
    line: dict[str, int] = field(default_factory=dict)

    def animal(self, real: Parent, born: date, label: str, **more: object) -> str:
        """A new animal of those real genes; its ID."""
        own = f"B{len(self.animals) + 1:04d}"
        self.real[own] = real
        self.line[own] = self.line.get(str(more.get("Dam")), len(self.animals) // 2 % self.lines)
        self.animals.append(
            {"ID": own, "Species": SPECIES, "Sex": real.sex, "Born": born, "Genes": label, **more}
        )
        return own

    def hatchlings(self, dam: str, sire: str, number: int) -> list[Hatchling]:
        """Young drawn from the pair's real genes."""
        expected = cross(self.real[dam], self.real[sire], CATALOGUE)
        classes = {tuple(sorted(kind.looks.items())): kind.statement for kind in expected.classes()}
        return [self._hatchling(expected, classes) for _ in range(number)]

    def _hatchling(self, expected: Cross, classes: Mapping[tuple, Statement]) -> Hatchling:
        sex: Sex = self.rng.choice("FM")
        drawn = [self.rng.choices(list(w), [float(p) for p in w.values()])[0] for w in expected.young[sex]]
        looks = {
            locus.name: locus.appearance(genotype(diplotype, 0))
            for locus, diplotype in zip(CATALOGUE.loci, drawn, strict=True)
        }
        statement = classes[tuple(sorted(looks.items()))]
        look, label = (write_label(s, CATALOGUE) for s in (Statement(statement.shows), statement))
        return Hatchling(Parent(sex, tuple({diplotype: Fraction(1)} for diplotype in drawn)), look, label)


def colony(
    animals: int, hatch_rows: int, weights: int, prices: int, *, seed: int, lines: int = 20
) -> Mapping[str, Sequence[Row]]:
    """A book of exactly that many rows on the sheets Animals, Hatch results, Weights and Prices.

    `lines` are bred apart, as keepers' projects are; one line means that every female meets any male.
    """
    grown = Colony(Random(seed), lines)
    _founders(grown, animals // 5)
    _seasons(grown, animals, hatch_rows)
    return {
        "Species": [_SPECIES_ROW],
        "Genes": [{"Species": SPECIES, "Gene": g.name, "Inheritance": g.inheritance.value} for g in CATALOGUE.genes],
        "Animals": grown.animals,
        "Pairings": grown.pairings,
        "Hatch results": grown.hatch,
        "Weights": _weights(grown, weights),
        "Prices": _prices(grown.rng, prices),
    }  # fmt: skip


_SPECIES_ROW: Row = {
    "Species": SPECIES, "Young": "live", "Sex chromosomes": "XY", "Female breeding weight": 2000,
    "Male breeding weight": 700, "Female breeding age": 36, "Male breeding age": 24, "Rest between litters": 12,
    "Days to young": 110, "Typical litter": 18,
}  # fmt: skip


def _founders(grown: Colony, number: int) -> None:
    for i in range(number):
        label = grown.rng.choice(_FOUNDER_LABELS)
        real = parent_from(read_label(label, CATALOGUE), "FM"[i % 2], CATALOGUE)
        grown.animal(real, date(2010 + i % 4, 7, 1), label, **{"Label basis": "seller"})


def _seasons(grown: Colony, animals: int, hatch_rows: int) -> None:
    """Pair every grown female season by season, until both sheets are full."""
    for season in range(2016, LAST_SEASON + 1):
        old = [row for row in grown.animals if row["Born"].year <= season - 4]
        dams, sires = ([row["ID"] for row in old if row["Sex"] == sex] for sex in "FM")
        for dam in grown.rng.sample(dams, len(dams)):
            males = [male for male in sires if grown.line[male] == grown.line[dam]]
            if not males:
                continue
            rows = _litter(
                grown, dam, grown.rng.choice(males), season, keep=min(2, animals - len(grown.animals))
            )
            grown.hatch += rows[: hatch_rows - len(grown.hatch)]
            if len(grown.hatch) == hatch_rows and len(grown.animals) == animals:
                return
    raise ValueError(f"{animals} animals are too few for {hatch_rows} hatch rows, or too many")


def _litter(grown: Colony, dam: str, sire: str, season: int, *, keep: int) -> list[Row]:
    """A new pairing, the young kept from it, and its hatch rows, those of the kept first."""
    rng = grown.rng
    ovulated = date(season, 3, 1) + timedelta(days=rng.randrange(40))
    born = ovulated + timedelta(days=110)
    pairing = f"P{len(grown.pairings) + 1:04d}"
    grown.pairings.append(
        {"Pairing": pairing, "Season": season, "Dam": dam, "Sire": sire, "Ovulated or laid": ovulated}
    )
    young = grown.hatchlings(dam, sire, rng.randrange(10, 26))
    same = {"Pairing": pairing, "Date": born}
    rows: list[Row] = []
    for one in young[:keep]:
        own = grown.animal(one.parent, born, one.label, Sire=sire, Dam=dam)
        rows.append({**same, "Genes": one.look, "Sex": one.parent.sex, "Animal": own})
    counts = Counter((one.look, one.parent.sex) for one in young[keep:])
    return rows + [
        {**same, "Genes": look, "Sex": sex, "Count": n} for (look, sex), n in sorted(counts.items())
    ]


def _weights(grown: Colony, number: int) -> list[Row]:
    """Weighings that follow a logistic curve with scatter, evenly over the animals."""
    rng, rows = grown.rng, []
    full = {a["ID"]: (3400 if a["Sex"] == "F" else 1500) * rng.lognormvariate(0, 0.1) for a in grown.animals}
    while len(rows) < number:
        for animal in grown.animals:
            months = rng.uniform(1, 60)
            day = animal["Born"] + timedelta(days=int(months * 30.4))
            if day <= AS_OF:
                weight = full[animal["ID"]] / (1 + exp((26 - months) / 10.5)) * rng.lognormvariate(0, 0.04)
                rows.append({"Animal": animal["ID"], "Date": day, "Weight": round(weight, 1)})
    return sorted(rows[:number], key=lambda row: (row["Date"], row["Animal"]))


def _prices(rng: Random, number: int) -> list[Row]:
    rows = []
    for i in range(number):
        morph = rng.randrange(len(_MORPHS))
        day = date(2016, 1, 10) + timedelta(days=rng.randrange(3600))
        level = (
            80 * (1 + morph) * exp(-0.06 * (morph - 4) * (day.year - 2016) / 5) * rng.lognormvariate(0, 0.2)
        )
        kind = "sold" if i % 3 == 0 else "asked"
        rows.append(
            {
                "Date": day,
                "Species": SPECIES,
                "Genes": _MORPHS[morph],
                "Price": round(level),
                "Currency": "USD",
                "Kind": kind,
            }
        )
    return sorted(rows, key=lambda row: row["Date"])
