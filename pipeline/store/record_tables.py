"""The findings table that says where the records behind an answer stand (use store/tables.py, which names them all)."""

from pipeline.store.findings_table import FindingsTable, columns

RECORD_PLACES = FindingsTable(
    "record_places",
    "Where each record stands",
    "The rows of your book behind each animal, pairing, gene, goal and price.",
    columns("""
        kind | VARCHAR | animal, hatched (the hatch row of an animal), weights, pairing, young (hatch rows of a pairing), gene, goal, or price.
        species | VARCHAR | The species; empty for goals, and where the animal is not in the book.
        id | VARCHAR | The animal, pairing, gene, goal, or the label of the price.
        sheet | VARCHAR | The sheet.
        first_row | INTEGER | The first row.
        last_row | INTEGER | The last row.
        records | INTEGER | How many rows; fewer than from first to last where others stand between them.
    """),
)
