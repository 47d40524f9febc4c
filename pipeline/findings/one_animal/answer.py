"""What the findings of a book say of one of its animals; nothing here is reckoned anew but the label as a whole."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import pandas as pd

from pipeline.findings.one_animal.ancestors import Ancestor, ancestors
from pipeline.findings.one_animal.litters import Litter, Offspring, litters, offspring
from pipeline.genetics.collection import Animal, Collection
from pipeline.genetics.genes import Catalogue, Gene, Inheritance
from pipeline.genetics.labels import canonical, write_label
from pipeline.genetics.statements import Carried, Shown, Statement

TABLES = frozenset(
    {
        "ratio_tests", "carrier_odds", "suspicions", "inbreeding", "problems",
        "growth", "growth_curves", "growth_points", "growth_alerts",
    }
)  # fmt: skip
"""The findings tables that a sheet is made from; a run that makes no `suspicions` has none to tell."""
_HETS = {"100% het": Fraction(1), "66% het": Fraction(66, 100), "50% het": Fraction(1, 2)}


@dataclass(frozen=True)
class OneAnimal:
    """One animal as its sheet tells it. Frames hold the animal's own rows of the findings tables of their names.

    `book_label` is what the book says, '' where nobody looked; `claim` what may honestly be written, '' where there is
    nothing to claim. `genes` are its rows of carrier_odds. `welfare` are gene and note, `lethal` genes that kill in two
    copies, of genes it has or may have. `care` is its row of the Species sheet, by field.
    """

    animal: Animal
    book_label: str
    claim: str
    genes: pd.DataFrame
    ancestors: tuple[Ancestor, ...]
    inbreeding: pd.DataFrame
    growth: pd.DataFrame
    growth_curves: pd.DataFrame
    growth_points: pd.DataFrame
    growth_alerts: pd.DataFrame
    litters: tuple[Litter, ...]
    offspring: Offspring
    suspicions: pd.DataFrame
    problems: pd.DataFrame
    welfare: tuple[tuple[str, str], ...]
    lethal: tuple[str, ...]
    care: Mapping[str, Any]


def one_animal(
    collection: Collection, animal: Animal, findings: Mapping[str, pd.DataFrame], species: pd.DataFrame
) -> OneAnimal:
    """Gather an animal of the collection. `findings` holds TABLES by name, `species` the records of the Species sheet."""
    catalogue = collection.catalogues[animal.species]
    own = {name: _rows(findings, name, "animal", [animal.id]) for name in TABLES}
    found = litters(collection, animal.id, findings["ratio_tests"])
    genes = own["carrier_odds"].reset_index(drop=True)
    present = _present(animal, genes, catalogue)
    return OneAnimal(
        animal=animal,
        book_label=write_label(animal.label, catalogue) if animal.label else "",
        claim=_claim(collection, animal, genes, catalogue),
        genes=genes,
        ancestors=ancestors(collection, animal.id),
        litters=found,
        offspring=offspring(collection, animal.id, found),
        suspicions=_suspicions(findings, animal, found),
        problems=_of_its_row(findings["problems"], animal),
        welfare=tuple((gene.name, gene.welfare) for gene in present if gene.welfare),
        lethal=tuple(gene.name for gene in present if gene.lethal),
        care=_care(species, animal.species),
        **{
            name: own[name]
            for name in ("inbreeding", "growth", "growth_curves", "growth_points", "growth_alerts")
        },
    )


def _rows(findings: Mapping[str, pd.DataFrame], table: str, column: str, values: list[str]) -> pd.DataFrame:
    """The table's rows with one of these values; empty where the run made no such table."""
    frame = findings.get(table)
    if frame is None or column not in frame:
        return pd.DataFrame(columns=[] if frame is None else frame.columns)
    return frame[frame[column].isin(values)]


def _suspicions(
    findings: Mapping[str, pd.DataFrame], animal: Animal, found: Sequence[Litter]
) -> pd.DataFrame:
    """Those of its own records, and those of the parentage or the reading of its pairings."""
    table = findings.get("suspicions")
    if table is None:
        return pd.DataFrame()
    pairings = [one.pairing for one in found]
    of_pairing = table["kind"].isin(["parentage", "reading"]) & table["pairing"].isin(pairings)
    return table[(table["subject"] == animal.id) | of_pairing].sort_values("rank", kind="stable")


def _of_its_row(problems: pd.DataFrame, animal: Animal) -> pd.DataFrame:
    """Problems of the animal's own row on the Animals sheet."""
    row = problems["cell"].astype("str").str.extract(r"(\d+)$", expand=False)
    return problems[(problems["sheet"] == "Animals") & (row == str(animal.row))]


def _claim(collection: Collection, animal: Animal, genes: pd.DataFrame, catalogue: Catalogue) -> str:
    """The label that the odds bear out, line-bred names as the book has them; '' where nobody looked and no gene is claimed."""
    said = [
        (catalogue.by_name[gene], label)
        for gene, label in zip(genes["gene"], genes["label"].fillna(""), strict=True)
    ]
    shows = [_shown(gene, label) for gene, label in said if label and label not in _HETS]
    carries = [Carried(gene.name, _HETS[label]) for gene, label in said if label in _HETS]
    lines = animal.label.lines if animal.label else ()
    looked = animal.label is not None or any(
        y.label is not None for y in collection.young if y.animal == animal.id
    )
    weighed = genes["p_none"].notna().any() or genes.empty
    if not (shows or carries or lines or (looked and weighed)):
        return ""
    return write_label(canonical(Statement(tuple(shows), tuple(carries), (), lines), catalogue), catalogue)


def _shown(gene: Gene, label: str) -> Shown:
    """The gene as carrier_odds says it shows: two copies by that name, else one copy of an incomplete dominant."""
    if gene.inheritance is Inheritance.RECESSIVE:
        return Shown(gene.name)
    if label == gene.super_name:
        return Shown(gene.name, 2)
    return Shown(gene.name, 1 if gene.inheritance is Inheritance.INCOMPLETE else None)


def _present(animal: Animal, genes: pd.DataFrame, catalogue: Catalogue) -> list[Gene]:
    """Genes it has or may have: on its label, line-bred ones too, or not ruled out by the odds."""
    labelled = (
        animal.label.genes() - set(animal.label.lacks) | set(animal.label.lines) if animal.label else set()
    )
    open_still = set(genes.loc[(genes["settled"] != "ruled out") | (genes["label"].fillna("") != ""), "gene"])
    return [gene for gene in catalogue.genes if gene.name in labelled | open_still]


def _care(species: pd.DataFrame, name: str) -> dict[str, Any]:
    """The fields of the species' row that are filled."""
    rows = species[species["species"] == name] if "species" in species else species
    if rows.empty:
        return {}
    return {field: value for field, value in rows.iloc[0].items() if not pd.isna(value)}
