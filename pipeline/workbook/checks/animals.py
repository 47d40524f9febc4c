"""The Animals sheet, row by row: parents that exist, birth dates that have come, labels that can be read."""

from __future__ import annotations

from pipeline.workbook.checks.inspection import Inspection, Row
from pipeline.workbook.checks.labels import Labels, check_labels
from pipeline.workbook.checks.references import Directory, resolve_id, unknown_hint
from pipeline.workbook.checks.spans import Span, in_words, span, surely_before

PARENTS = {"sire": "sire", "dam": "dam"}


def check_animals(inspection: Inspection, labels: Labels) -> Directory:
    """Check the rows of the Animals sheet but for the pedigree as a whole; returns the directory of animal IDs."""
    rows = inspection.rows("animals")
    known = Directory((row.id for row in rows), called=((row.id, row.name) for row in rows if row.name))
    today = Span(inspection.as_of, inspection.as_of)
    for row in rows:
        for parent in PARENTS:
            _check_parent(inspection, row, parent, known)
        check_labels(inspection, labels, row, row.species, f"Animal {row.id}")
        if surely_before(today, born(row)):
            inspection.warning(
                row,
                "born",
                f"Animal {row.id} is born in the future: {in_words(born(row))} is after {inspection.as_of}.",
                "Correct the date.",
            )
    inspection.settle("animals")
    return known


def born(animal: Row) -> Span | None:
    """When the animal was born, as the first and last day its row can mean."""
    return span(animal.born, animal.born_year)


def animals_by_id(inspection: Inspection) -> dict[str, Row]:
    """Rows of the Animals sheet by ID."""
    return {row.id: row for row in inspection.rows("animals")}


def _check_parent(inspection: Inspection, row: Row, parent: str, known: Directory) -> None:
    text = getattr(row, parent)
    if text is None or resolve_id(inspection, row, parent, known):
        return
    inspection.replace(row, parent, None)
    inspection.warning(
        row,
        parent,
        f"The {parent} of animal {row.id}, '{text}', is not on the Animals sheet and counts as not recorded.",
        unknown_hint(inspection, text, known, "animals"),
    )
