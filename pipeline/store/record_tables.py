"""The findings tables of the records behind an answer and of the runs (use store/tables.py, which names them all)."""

from pipeline.store.findings_table import FindingsTable, columns

RECORD_PLACES = FindingsTable(
    "record_places",
    "Where each record stands",
    "The rows of your book behind each animal, pairing, gene, goal and price, and behind each sum.",
    columns("""
        kind | VARCHAR | animal, hatched (the hatch row of an animal), weights, offspring (hatch rows of its pairings), pairing, young (hatch rows of a pairing), gene, goal or price; and what is summed: season (pairings and hatch rows), parents (of its live young), sexed (young of known sex), crosses (hatch rows of pairings tested for a gene), market (prices in one currency), or book (animals, pairings and hatch rows).
        species | VARCHAR | The species; empty for goals and books, and where the animal is not in the book.
        id | VARCHAR | The animal, pairing, gene, goal, or the label of the price; the season, species, currency or book of a sum.
        sheet | VARCHAR | The sheet.
        first_row | INTEGER | The first row.
        last_row | INTEGER | The last row.
        records | INTEGER | How many rows; fewer than from first to last where others stand between them.
    """),
)
RUNS = FindingsTable(
    "runs",
    "This run",
    "The day this run speaks of, and that of the earlier run it was compared with.",
    columns("""
        as_of | DATE | The day this run speaks of.
        compared_with | DATE | The day the earlier run in the same folder spoke of; empty: there was none.
        remark | VARCHAR | Why an earlier run can't be compared with, or what is odd about comparing; empty: nothing.
    """),
)
CHANGES = FindingsTable(
    "changes",
    "What changed",
    "Answers that are not what they were in the earlier run of the same folder.",
    columns("""
        kind | VARCHAR | suspicion, verdict, carrier, growth, price, or problem.
        what | VARCHAR | new, gone, changed, settled, open again, ready, no longer ready, turned, now told, or mended.
        species | VARCHAR | The species.
        subject | VARCHAR | What it is about.
        before | VARCHAR | The answer then.
        now | VARCHAR | The answer now.
    """),
)
BOOKS = FindingsTable(
    "books",
    "The books",
    "Each book of the run: what it holds, and what was found in it.",
    columns("""
        answered | BOOLEAN | Whether it could be answered; if not, a problem says why.
        animals | INTEGER | Animals on record.
        pairings | INTEGER | Pairings on record.
        clutches | INTEGER | Litters or clutches with a result.
        young | INTEGER | Eggs or young in all, slugs included.
        suspicions | INTEGER | Records that are likely wrong.
        departures | INTEGER | Pairings whose ratios depart from what their parents allow.
        errors | INTEGER | Problems that left a row out.
        warnings | INTEGER | Problems to look at.
        shared | INTEGER | Animals it shares with other books.
    """),
)
SHARED_ANIMALS = FindingsTable(
    "shared_animals",
    "Shared animals",
    "Animals that two books record on purpose: their evidence was weighed together.",
    columns("""
        species | VARCHAR | The species.
        animal | VARCHAR | The animal's ID in the book.
        other_book | VARCHAR | Another book that has it.
        other_animal | VARCHAR | Its ID there.
    """),
)
