"""Small collections for the ratio tests, written the way a keeper would, and Mendel's counts as young of one pairing."""

from collections.abc import Mapping, Sequence

import pandas as pd

from pipeline.findings.ratios import ratio_findings
from pipeline.genetics.collection import Animal, Basis, Collection, Pairing, Settings
from pipeline.genetics.genes import Catalogue, Gene, Inheritance, Sex, SexChromosomes
from pipeline.genetics.labels import read_label

COLUMNS = ["pairing", "clutch", "sex", "genes", "unreadable", "grown", "young"]


def recessive(name: str, **more) -> Gene:
    return Gene(name, Inheritance.RECESSIVE, more.pop("locus", name), **more)


def incomplete(name: str, **more) -> Gene:
    return Gene(name, Inheritance.INCOMPLETE, more.pop("locus", name), **more)


def dominant(name: str, **more) -> Gene:
    return Gene(name, Inheritance.DOMINANT, more.pop("locus", name), **more)


def catalogue(*genes: Gene, sex_chromosomes: SexChromosomes = SexChromosomes.UNKNOWN) -> Catalogue:
    return Catalogue("Pea", genes, sex_chromosomes)


GENES = catalogue(recessive("Albino"), recessive("Anery"), incomplete("Motley"))


def animal(
    id: str, sex: Sex, label: str | None, genes: Catalogue, sire: str | None = None, dam: str | None = None
) -> Animal:
    statement = None if label is None else read_label(label, genes)
    return Animal(id, genes.species, sex, statement, Basis.SELLER, sire, dam)


def collection(
    genes: Catalogue, animals: Sequence[Animal], pairings: Sequence[Pairing], **settings
) -> Collection:
    return Collection(
        "book.xlsx",
        {genes.species: genes},
        {one.id: one for one in animals},
        {one.id: one for one in pairings},
        settings=Settings(**settings),
    )


def pair(
    genes: Catalogue,
    dam: str,
    sire: str,
    *,
    pairings: Sequence[str] = ("P1",),
    others: Mapping[str, str] | None = None,
) -> Collection:
    """One dam D and sire S with these labels, in as many pairings as named; `others` are other sires and their labels."""
    more = dict(others or {})
    animals = [animal("D", "F", dam, genes), animal("S", "M", sire, genes)]
    animals += [animal(id, "M", label, genes) for id, label in more.items()]
    return collection(
        genes, animals, [Pairing(name, genes.species, 2024, "D", "S", tuple(more)) for name in pairings]
    )


def young(rows: Sequence[tuple]) -> pd.DataFrame:
    """Counts as young_counts.sql gives them, from (genes, young) or (genes, young, {column: value}) rows."""
    full = [
        {
            "pairing": "P1",
            "clutch": 1,
            "sex": None,
            "genes": row[0],
            "unreadable": None,
            "grown": False,
            "young": row[1],
        }
        | (row[2] if len(row) > 2 else {})
        for row in rows
    ]
    return pd.DataFrame(full, columns=COLUMNS)


def two_pairings(genes: Catalogue, dam: str, first: str, second: str) -> Collection:
    """A dam D with sire S in pairing P1 and with T in P2."""
    animals = [animal("D", "F", dam, genes), animal("S", "M", first, genes), animal("T", "M", second, genes)]
    return collection(
        genes, animals, [Pairing("P1", "Pea", 2024, "D", "S"), Pairing("P2", "Pea", 2024, "D", "T")]
    )


def litters(*rows: Sequence[tuple[str, int]]) -> pd.DataFrame:
    """Counts of the pairings P1, P2, ... from the (genes, young) of each."""
    return young([(*one, {"pairing": f"P{i}"}) for i, own in enumerate(rows, start=1) for one in own])


def row(frame: pd.DataFrame, **where: object) -> dict:
    """The one row of a findings frame with these values; None stands for an empty cell."""
    for column, value in where.items():
        frame = frame[frame[column].isna() if value is None else frame[column] == value]
    (found,) = frame.to_dict("records")
    return found


def asked(dam: str, sire: str, rows: Sequence[tuple], genes: Catalogue = GENES, **where: object) -> dict:
    """The one test of these young with these values."""
    tests = ratio_findings(pair(genes, dam, sire), young(rows), seed=1).tests
    return row(tests, scope="pairing", **where)
