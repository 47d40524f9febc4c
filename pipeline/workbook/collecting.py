"""From checked tables to a Collection: plain objects, defaults filled, genes understood. Checks nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from pipeline.genetics.collection import Animal, Basis, Collection, Outcome, Pairing, Settings, Young
from pipeline.genetics.genes import Catalogue, Gene, Inheritance, Sex, SexChromosomes
from pipeline.genetics.pedigree import parents_first
from pipeline.workbook.checks.inspection import Inspection, Row
from pipeline.workbook.checks.labels import Labels
from pipeline.workbook.checks.pairings import other_sires
from pipeline.workbook.checks.pedigree import Parents
from pipeline.workbook.ordering import natural


def catalogues_of(
    inspection: Inspection, species: Iterable[str], *, morphs: bool = True
) -> dict[str, Catalogue]:
    """The genes and morph names of each species, all in the order of their names; `morphs` False leaves these out.

    Genes whose record can't be used are kept unsettled, so that labels that name them stay readable.
    """
    rows = [(row, False) for row in inspection.rows("genes")] + [(row, True) for row in inspection.unusable]
    genes: dict[str, list[Gene]] = {}
    for row, unusable in sorted(rows, key=lambda entry: natural(entry[0].gene)):
        genes.setdefault(row.species, []).append(_gene(row, unusable=unusable))
    names: dict[str, dict[str, str]] = {}
    for row in sorted(inspection.rows("morph_names"), key=lambda row: natural(row.name)) if morphs else ():
        names.setdefault(row.species, {})[row.name] = row.genes
    chromosomes = {row.species: row.sex_chromosomes for row in inspection.rows("species")}
    return {
        name: Catalogue(
            name,
            tuple(genes.get(name, ())),
            SexChromosomes(chromosomes.get(name) or SexChromosomes.UNKNOWN),
            names.get(name, {}),
        )
        for name in sorted(species, key=natural)
    }


def _gene(row: Row, *, unusable: bool) -> Gene:
    inheritance = Inheritance.LINE_BRED if unusable else Inheritance(row.inheritance)
    if inheritance is Inheritance.LINE_BRED:
        return Gene(
            name=row.gene,
            inheritance=inheritance,
            locus=row.gene,
            aliases=names_in(row.also_written),
            two_copies_name=(row.two_copies_name or "") if unusable else "",
            welfare=row.welfare_note or "",
            unsettled=unusable,
        )
    return Gene(
        name=row.gene,
        inheritance=inheritance,
        locus=row.locus or row.gene,
        aliases=names_in(row.also_written),
        rank=row.dominance_rank,
        two_copies_name=row.two_copies_name or "",
        lethal=row.two_copies == "lethal",
        sex_linked=row.sex_linked == "yes",
        linked_locus=row.linked_locus,
        recombination=None if row.recombination is None else row.recombination / 100,
        later=row.readable == "later",
        misread=None if row.misread is None else row.misread / 100,
        welfare=row.welfare_note or "",
    )


def names_in(text: str | None) -> tuple[str, ...]:
    """The parts of a cell that lists names or IDs separated by semicolons."""
    return tuple(part.strip() for part in (text or "").split(";") if part.strip())


def collected(
    inspection: Inspection, labels: Labels, parents: Mapping[str, Parents], settings: Settings
) -> Collection:
    """The book as plain objects, from tables and parents that passed the checks; animals come parents first."""
    rows = {row.id: row for row in inspection.rows("animals")}
    order = parents_first({name: (own.sire, own.dam) for name, own in parents.items()})
    animals = {name: _animal(rows[name], parents[name], labels) for name in order}
    pairings = {row.pairing: _pairing(row, animals) for row in inspection.rows("pairings")}
    young = tuple(
        _young(row, pairings[row.pairing].species, labels) for row in inspection.rows("hatch_results")
    )
    name, months = inspection.book.name, _breeding_months(inspection)
    return Collection(name, labels.catalogues, animals, pairings, young, settings, months)


def _breeding_months(inspection: Inspection) -> dict[tuple[str, Sex], float]:
    ages: dict[tuple[str, Sex], float | None] = {}
    for row in inspection.rows("species"):
        ages[row.species, "F"], ages[row.species, "M"] = row.female_breeding_age, row.male_breeding_age
    return {key: months for key, months in ages.items() if months is not None}


def _animal(row: Row, parents: Parents, labels: Labels) -> Animal:
    bred_here = parents.sire is not None and parents.dam is not None
    return Animal(
        id=row.id,
        species=row.species,
        sex=row.sex,
        label=labels.statement(row.species, row.genes, row.sex),
        basis=Basis(row.label_basis) if row.label_basis else Basis.BRED_HERE if bred_here else Basis.SELLER,
        sire=parents.sire,
        dam=parents.dam,
        born=row.born,
        born_year=row.born_year,
        status=row.status or "keeping",
        name=row.name or "",
        row=row.row,
    )


def _pairing(row: Row, animals: Mapping[str, Animal]) -> Pairing:
    return Pairing(
        id=row.pairing,
        species=animals[row.dam].species,
        season=row.season,
        dam=row.dam,
        sire=row.sire,
        other_sires=tuple(other_sires(row)),
        first_paired=row.first_paired,
        last_paired=row.last_paired,
        ovulated_or_laid=row.ovulated_or_laid,
        row=row.row,
    )


def _young(row: Row, species: str, labels: Labels) -> Young:
    outcome = Outcome(row.outcome or Outcome.LIVE)
    unreadable, _ = labels.genes_named(species, row.unreadable)
    return Young(
        pairing=row.pairing,
        label=None if outcome is Outcome.SLUG else labels.statement(species, row.genes, row.sex),
        count=1 if row.count is None else row.count,
        clutch=row.clutch or 1,
        sex=row.sex,
        outcome=outcome,
        animal=row.animal,
        unreadable=unreadable,
        born=row.date,
        row=row.row,
    )
