"""From a book as read to a book that adds up: every rule that looks at more than one cell, in order.

Each step leaves out what it finds faulty, so that the next one can rely on what is left. One bad record costs its own
row; where only a cell of it is wrong (a parent that can't be, a label that can't be read) the row stays without it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from pipeline.genetics.collection import Collection, Settings
from pipeline.problems import Problem, sorted_problems
from pipeline.workbook.book import Book
from pipeline.workbook.checks.animals import check_animals
from pipeline.workbook.checks.causes import doubt_births, doubt_sexes
from pipeline.workbook.checks.dates import check_future
from pipeline.workbook.checks.genes import check_genes
from pipeline.workbook.checks.goals import check_goals
from pipeline.workbook.checks.hatch import check_hatch_rows
from pipeline.workbook.checks.inspection import Inspection
from pipeline.workbook.checks.keys import check_keys
from pipeline.workbook.checks.labels import Labels, note_species_without_genes
from pipeline.workbook.checks.links import check_links
from pipeline.workbook.checks.litters import check_litters
from pipeline.workbook.checks.measurements import check_measurements
from pipeline.workbook.checks.morph_names import check_morph_names
from pipeline.workbook.checks.never_pair import check_never_pair
from pipeline.workbook.checks.pairings import check_pair_references, check_pairs
from pipeline.workbook.checks.pedigree import adopted_parents, check_pedigree
from pipeline.workbook.checks.prices import check_prices
from pipeline.workbook.checks.references import check_species_references
from pipeline.workbook.checks.units import check_units
from pipeline.workbook.collecting import catalogues_of, collected
from pipeline.workbook.settings import read_settings


@dataclass(frozen=True)
class Checked:
    """A book without its faulty rows (blank where a faulty cell stood, defaults not filled), what it says, and all problems.

    The tables are in an order that does not depend on where the rows stand in the book. In them, references to animals, pairings, species and loci are spelt as the sheet they refer to spells them.
    """

    book: Book
    collection: Collection
    problems: tuple[Problem, ...]


def checked(book: Book, as_of: date) -> Checked:
    """Check a book as it stood on a day. Problems of the reading come along, all in order of severity and place."""
    inspection = Inspection(book, as_of)
    check_keys(inspection)
    settings = _settings(inspection)
    labels = _labels(inspection)
    known = check_animals(inspection, labels)
    check_pair_references(inspection, known)
    doubt_sexes(inspection)
    check_pairs(inspection, known, settings.season_starts)
    check_never_pair(inspection)
    check_hatch_rows(inspection, labels, known)
    parents = adopted_parents(inspection)
    doubt_births(inspection, parents)
    check_pedigree(inspection, parents)
    check_litters(inspection)
    check_future(inspection, "hatch_results")
    check_measurements(inspection, known)
    check_units(inspection)
    check_prices(inspection, labels, settings)
    check_goals(inspection, labels)
    inspection.put_in_order()
    collection = collected(inspection, labels, parents, settings)
    problems = tuple(sorted_problems([*book.problems, *inspection.problems]))
    return Checked(replace(book, tables=inspection.tables, problems=problems), collection, problems)


def _settings(inspection: Inspection) -> Settings:
    """The settings that can be used; the rows of the others are left out."""
    table = inspection.tables.get("settings")
    settings, problems = read_settings(table, inspection.book.columns.get("settings"))
    inspection.problems += problems
    if table is not None and problems:
        inspection.tables["settings"] = table[~table["row"].isin([p.place.row for p in problems])]
    return settings


def _labels(inspection: Inspection) -> Labels:
    """The genes of every species, checked, and ready to read labels with."""
    species = check_species_references(inspection).names
    check_genes(inspection)
    check_links(inspection)
    check_morph_names(inspection, catalogues_of(inspection, species, morphs=False))
    labels = Labels(catalogues_of(inspection, species))
    note_species_without_genes(inspection, labels)
    return labels
