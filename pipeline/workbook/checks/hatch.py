"""The Hatch results sheet, row by row: pairing, animal, label, and genes that could not be read."""

from __future__ import annotations

from collections import defaultdict

from pipeline.genetics.genes import SEX_WORDS
from pipeline.workbook.checks.animals import animals_by_id, born
from pipeline.workbook.checks.inspection import Inspection, Row
from pipeline.workbook.checks.labels import Labels, check_labels
from pipeline.workbook.checks.pairings import other_sires
from pipeline.workbook.checks.references import (
    Directory,
    leave_out_stranger,
    needs_sheet,
    resolve_id,
    unknown_hint,
)
from pipeline.workbook.checks.spans import in_words, span
from pipeline.workbook.checks.wording import did_you_mean, listed, rows_of


def check_hatch_rows(inspection: Inspection, labels: Labels, known: Directory) -> None:
    """Leave out rows that belong to no pairing, can't be read, or count a young twice."""
    if not needs_sheet(inspection, "hatch_results", "pairings"):
        return
    _check_pairings(inspection)
    inspection.settle("hatch_results")
    for row in inspection.rows("hatch_results"):
        if row.animal is not None:
            _check_animal_known(inspection, row, known)
    inspection.settle("hatch_results")
    _check_animals(inspection)
    inspection.settle("hatch_results")
    species = _species_of_pairings(inspection)
    for row in inspection.rows("hatch_results"):
        _check_genes(inspection, labels, row, species[row.pairing])
    inspection.settle("hatch_results")


def record(row: Row) -> str:
    """How a hatch row is named: by its animal where it has one."""
    return (
        f"Hatch row {row.row} (pairing {row.pairing})"
        if row.animal is None
        else f"Hatch row {row.row} (animal {row.animal})"
    )


def _species_of_pairings(inspection: Inspection) -> dict[str, str]:
    animals = animals_by_id(inspection)
    return {row.pairing: animals[row.dam].species for row in inspection.rows("pairings")}


def _check_pairings(inspection: Inspection) -> None:
    """Rows of an unknown pairing are told one by one; those of a pairing that was left out, once for all."""
    known = Directory(row.pairing for row in inspection.rows("pairings"))
    typed = inspection.book.tables.get("pairings")
    recorded = Directory([] if typed is None else typed["pairing"])
    orphans: dict[str, list[Row]] = defaultdict(list)
    for row in inspection.rows("hatch_results"):
        if row.pairing in known:
            continue
        if known.find(row.pairing) is None and recorded.find(row.pairing) is not None:
            orphans[row.pairing].append(row)
        elif not resolve_id(inspection, row, "pairing", known):
            says = f"Hatch row {row.row} belongs to pairing"
            leave_out_stranger(inspection, row, "pairing", "pairings", known, says)
    for pairing, rows in orphans.items():
        inspection.error(
            rows[0],
            "pairing",
            f"Pairing {pairing} was left out for an error of its own, and with it its hatch {rows_of(rows)}.",
            "Mend the pairing first.",
        )
        for row in rows[1:]:
            inspection.leave_out(row)


def _check_animal_known(inspection: Inspection, row: Row, known: Directory) -> None:
    if resolve_id(inspection, row, "animal", known):
        return
    inspection.replace(row, "animal", None)
    inspection.warning(
        row,
        "animal",
        f"Hatch row {row.row} names the animal '{row.animal}', which is not on the Animals sheet; the young counts without a record of its own.",
        unknown_hint(inspection, row.animal, known, "animals"),
    )


def _check_animals(inspection: Inspection) -> None:
    """One young, one row: count, double naming, and agreement with its row on the Animals sheet."""
    animals = animals_by_id(inspection)
    pairings = {row.pairing: row for row in inspection.rows("pairings")}
    seen: dict[str, Row] = {}
    for row in inspection.rows("hatch_results"):
        if row.animal is None:
            continue
        animal, pairing = animals[row.animal], pairings[row.pairing]
        if row.count not in (None, 1):
            inspection.error(
                row,
                "count",
                f"Hatch row {row.row} names the animal {row.animal} and counts {row.count} young; the row is left out.",
                "Write 1, and give the other young rows of their own.",
            )
        elif row.animal in seen:
            inspection.error(
                row,
                "animal",
                f"Animal {row.animal} hatched in row {seen[row.animal].row} and again in row {row.row}; row {row.row} is left out.",
                "Delete one of the two rows, or correct the ID.",
            )
        elif animal.species != animals[pairing.dam].species:
            inspection.replace(row, "animal", None)
            inspection.warning(
                row,
                "animal",
                f"Animal {row.animal} is a {animal.species}, but pairing {row.pairing} is of {animals[pairing.dam].species}; the young counts without a record of its own.",
                "Correct the ID or the species.",
            )
        else:
            seen[row.animal] = row
            _check_agreement(inspection, row, animal, pairing)


def _check_agreement(inspection: Inspection, row: Row, animal: Row, pairing: Row) -> None:
    if row.sex and animal.sex and row.sex != animal.sex:
        inspection.warning(
            row,
            "sex",
            f"Animal {animal.id} is {SEX_WORDS[row.sex]} in its hatch row and {SEX_WORDS[animal.sex]} on the Animals sheet (row {animal.row}).",
            "Correct one of the two.",
        )
    sires = [pairing.sire, *other_sires(pairing)]
    for parent, allowed in (("dam", [pairing.dam]), ("sire", sires)):
        named = getattr(animal, parent)
        if named is not None and named not in allowed:
            inspection.warning(
                row,
                "animal",
                f"The Animals sheet (row {animal.row}) calls {named} the {parent} of {animal.id}, but pairing {row.pairing} has {listed(allowed)}; "
                "the Animals sheet counts for its ancestors, the pairing for the ratios.",
                "Correct one of the two.",
            )
    hatched, recorded = span(row.date, row.date_year), born(animal)
    if hatched and recorded and (hatched.last < recorded.first or recorded.last < hatched.first):
        inspection.warning(
            row,
            "date",
            f"Animal {animal.id} hatched {in_words(hatched)} by this row, but was born {in_words(recorded)} by the Animals sheet (row {animal.row}).",
            "Correct one of the two.",
        )


def _check_genes(inspection: Inspection, labels: Labels, row: Row, species: str) -> None:
    if row.outcome == "slug":
        if row.genes is not None:
            inspection.replace(row, "genes", None)
            inspection.warning(
                row,
                "genes",
                f"{record(row)} is a slug and yet has genes, '{row.genes}'; they are not counted.",
                "Clear the genes, or correct the outcome.",
            )
        return
    judged = check_labels(inspection, labels, row, species, record(row)) if row.genes is not None else None
    if row.unreadable is None or not labels.catalogues[species].genes:
        return
    genes, strange = labels.genes_named(species, row.unreadable)
    for word in strange:
        inspection.error(
            row,
            "unreadable",
            f"{record(row)}: '{word}' under Unreadable is no gene of {species}; the row is left out.",
            did_you_mean(
                word,
                labels.catalogues[species].by_name,
                "Name genes of the Genes sheet, separated by semicolons.",
            ),
        )
    stated = genes & (judged.statement.genes() if judged and judged.statement else frozenset())
    if stated:
        inspection.replace(row, "unreadable", "; ".join(sorted(genes - stated)) or None)
        inspection.warning(
            row,
            "unreadable",
            f"{record(row)} calls {listed(sorted(stated))} unreadable, yet its genes state it; what the genes state counts.",
            "Remove the gene from one of the two cells.",
        )
