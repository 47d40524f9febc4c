"""Labels in every sheet that has a Genes column: readable, and possible for the animal's sex."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from pipeline.genetics.genes import SEX_WORDS, Catalogue, Inheritance, Sex
from pipeline.genetics.labels import LabelError, LabelFault, find_gene, miscounted, read_label
from pipeline.genetics.statements import Statement, genotypes_at, shown_at
from pipeline.workbook.checks.inspection import Inspection, Row, selected
from pipeline.workbook.checks.wording import left_out_rows

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True)
class Judged:
    """One text as read: its statement (None for a blank or unreadable one), what is wrong, what is doubtful."""

    statement: Statement | None = None
    faults: tuple[LabelFault, ...] = ()
    doubts: tuple[str, ...] = ()


class Labels:
    """Reads each distinct text of a species once; a species without genes has no readable labels, and no faults."""

    def __init__(self, catalogues: Mapping[str, Catalogue]) -> None:
        self.catalogues = catalogues
        self._single_copy_sex = {
            name: catalogue.sex_chromosomes.single_copy_sex
            for name, catalogue in catalogues.items()
            if any(gene.sex_linked for gene in catalogue.genes)
        }
        self._judged: dict[tuple[str, str, Sex | None], Judged] = {}
        self._genes: dict[tuple[str, str], tuple[frozenset[str], tuple[str, ...]]] = {}

    def judged(self, species: str, text: str | None, sex: Sex | None = None) -> Judged:
        """The label of an animal of that sex, with its faults and doubts."""
        if text is None or not self.catalogues[species].genes:
            return Judged()
        single_copy_sex = sex if sex == self._single_copy_sex.get(species) else None
        key = (species, text, single_copy_sex)
        if key not in self._judged:
            self._judged[key] = _judge(text, self.catalogues[species], single_copy_sex)
        return self._judged[key]

    def statement(self, species: str, text: str | None, sex: Sex | None = None) -> Statement | None:
        """What the label states; None where it is blank or can't be read."""
        return self.judged(species, text, sex).statement

    def genes_named(self, species: str, text: str | None) -> tuple[frozenset[str], tuple[str, ...]]:
        """Genes of a list separated by semicolons, by their own names, and the words that are no gene."""
        if text is None:
            return frozenset(), ()
        key = (species, text)
        if key not in self._genes:
            words = [part.strip() for part in text.split(";") if part.strip()]
            found = {word: find_gene(word, self.catalogues[species]) for word in words}
            self._genes[key] = (
                frozenset(gene.name for gene in found.values() if gene),
                tuple(word for word, gene in found.items() if gene is None),
            )
        return self._genes[key]


def check_labels(inspection: Inspection, labels: Labels, row: Row, species: str, record: str) -> Judged:
    """Report what is wrong with the Genes of one row. Only an animal's row survives an unreadable label, unlabelled."""
    judged = labels.judged(species, row.genes, getattr(row, "sex", None))
    is_animal = row.table == "animals"
    then = "the animal counts as unlabelled" if is_animal else "the row is left out"
    for fault in judged.faults:
        message, _, _ = fault.message.partition("; did you mean")
        remedy = _remedy(fault)
        inspection.error(
            row,
            "genes",
            f"{record}: {message}; {then}.",
            remedy + left_out_rows(inspection, "genes"),
            keep_row=is_animal,
        )
    for doubt in judged.doubts:
        inspection.warning(
            row, "genes", f"{record}: {doubt}.", "Correct the label, the sex, or the row on the Genes sheet."
        )
    return judged


def _remedy(fault: LabelFault) -> str:
    if fault.nearest:
        return f"Did you mean '{fault.nearest}'?"
    unknown = "is no gene or morph name of" in fault.message
    return f"Correct the label{', or add the name to Genes or Morph names' if unknown else ''}."


def check_labels_of_table(inspection: Inspection, labels: Labels, table: str, record: str) -> None:
    """The same for a long table: each distinct label is judged once, and only faulty rows are looked at."""
    if not inspection.has(table):
        return
    frame = inspection.tables[table]
    by = [column for column in ("species", "genes", "sex") if column in frame.columns]
    distinct = frame[["sheet", "row", *by]].drop_duplicates(by)
    faulty = [row for row in selected(table, distinct, distinct["genes"].notna()) if _is_faulty(labels, row)]
    if faulty:
        texts = {row.genes for row in faulty}
        for row in selected(table, frame, frame["genes"].isin(texts)):
            check_labels(inspection, labels, row, row.species, f"{record} {row.row}")
    inspection.settle(table)


def note_species_without_genes(inspection: Inspection, labels: Labels) -> None:
    """Say once for each species whose labels can't be read because the Genes sheet has none of its genes."""
    for species, catalogue in labels.catalogues.items():
        if not catalogue.genes and _has_labels(inspection, species):
            inspection.note_on_sheet(
                "genes",
                f"The Genes sheet lists no gene of {species} that can be used, so its labels are not read.",
                "List its genes, each with its Inheritance, to have ratios and odds worked out.",
            )


def _has_labels(inspection: Inspection, species: str) -> bool:
    frames = [inspection.tables[table] for table in ("animals", "prices", "goals") if inspection.has(table)]
    return any(((frame["species"] == species) & frame["genes"].notna()).any() for frame in frames)


def _is_faulty(labels: Labels, row: Row) -> bool:
    judged = labels.judged(row.species, row.genes, row.sex if hasattr(row, "sex") else None)
    return bool(judged.faults or judged.doubts)


def _judge(text: str, catalogue: Catalogue, sex: Sex | None) -> Judged:
    """One text as a label of an animal of the sex with one copy of sex-linked genes, or of any other (None)."""
    try:
        statement = read_label(text, catalogue)
    except LabelError as error:
        return Judged(faults=error.faults)
    doubts = [*_lethal(statement, catalogue), *miscounted(text, catalogue), *_unfitting(statement, catalogue)]
    if sex is None:
        return Judged(statement, (), tuple(doubts))
    statement, sex_doubts = _possible_for_sex(statement, catalogue, sex)
    crowded = _crowded(statement, catalogue, sex)
    return Judged(faults=crowded) if crowded else Judged(statement, (), (*sex_doubts, *doubts))


def _possible_for_sex(statement: Statement, catalogue: Catalogue, sex: Sex) -> tuple[Statement, list[str]]:
    """The statement without claims that the sex with one copy can't meet: a hidden copy, or two copies."""
    linked = {gene.name for gene in catalogue.genes if gene.sex_linked}
    word, doubts = SEX_WORDS[sex], []
    for claim in statement.carries:
        if claim.gene in linked:
            doubts.append(
                f"a {word} has one copy of the sex-linked {claim.gene}, so it shows or is not there; 'het {claim.gene}' is not counted"
            )
    for shown in statement.shows:
        if shown.gene in linked and shown.copies == 2:
            doubts.append(f"a {word} has one copy of the sex-linked {shown.gene}, so two are not counted")
    kept = replace(
        statement,
        carries=tuple(claim for claim in statement.carries if claim.gene not in linked),
        shows=tuple(
            replace(s, copies=_single(catalogue, s.gene)) if s.gene in linked and s.copies == 2 else s
            for s in statement.shows
        ),
    )
    return kept, doubts


def _single(catalogue: Catalogue, gene: str) -> int | None:
    """The copies that a label states of a shown gene in the sex with one: of a dominant gene its look tells none."""
    return 1 if catalogue.by_name[gene].inheritance is Inheritance.INCOMPLETE else None


def _crowded(statement: Statement, catalogue: Catalogue, sex: Sex) -> tuple[LabelFault, ...]:
    """Sex-linked loci at which the sex with one copy is said to show two variants."""
    faults = []
    for locus in catalogue.loci:
        if catalogue.single_copy(locus, sex) and not genotypes_at(statement, locus, single_copy=True):
            words = " and ".join(shown_at(statement, locus))
            faults.append(
                LabelFault(
                    words,
                    f"a {SEX_WORDS[sex]} has one copy of the sex-linked {locus.name}, so {words} can't both show",
                )
            )
    return tuple(faults)


def _unfitting(statement: Statement, catalogue: Catalogue) -> list[str]:
    """Loci of which the label claims what no genotype has, such as one hidden copy each of two alleles."""
    named = statement.genes()
    doubts = []
    for locus in catalogue.loci:
        own = [gene.name for gene in locus.genes if gene.name in named]
        if len(own) > 1 and not genotypes_at(statement, locus):
            doubts.append(
                f"{' and '.join(own)} are alleles of one locus, and no animal has what is said of them together"
            )
    return doubts


def _lethal(statement: Statement, catalogue: Catalogue) -> list[str]:
    """Two copies shown where the Genes sheet says that they die; the record stays, for the Genes sheet may be wrong."""
    doubts = []
    for shown in statement.shows:
        gene = catalogue.by_name[shown.gene]
        if gene.lethal and (shown.copies == 2 or gene.inheritance is Inheritance.RECESSIVE):
            doubts.append(f"it shows two copies of {gene.name}, which the Genes sheet calls lethal")
    return doubts
