"""Links between loci on the Genes sheet; a link that can't be used is taken off, and its gene counts as unlinked."""

from __future__ import annotations

from pipeline.workbook.checks.genes import genes_by_species, loci_of
from pipeline.workbook.checks.inspection import Inspection, Row
from pipeline.workbook.checks.wording import did_you_mean, fold


class _Loci:
    """Where the genes of one species lie."""

    def __init__(self, rows: list[Row]) -> None:
        loci = loci_of(rows)
        self.home = {row.gene: locus for locus, members in loci.items() for row in members}
        self.sex_linked = {locus: members[0].sex_linked == "yes" for locus, members in loci.items()}
        self.names = (*self.home, *loci)
        self._place = {fold(name): self.home.get(name, name) for name in self.names}

    def find(self, words: str | None) -> str | None:
        """The locus of that name, or of the gene of that name."""
        return self._place.get(fold(words)) if words else None


def check_links(inspection: Inspection) -> None:
    """A linked locus needs a recombination and the other way, a partner that exists, and links that form no ring."""
    for rows in genes_by_species(inspection).values():
        loci = _Loci(rows)
        joined: list[tuple[Row, str, str]] = []
        for row in rows:
            if row.gene not in loci.home or (row.linked_locus is None and row.recombination is None):
                continue
            own, other = loci.home[row.gene], loci.find(row.linked_locus)
            fault = _fault(row, own, other, loci, joined)
            if fault:
                _take_off(inspection, row, *fault)
            else:
                assert other is not None  # a link to no locus is a fault
                joined.append((row, own, other))
                inspection.replace(row, "linked_locus", other)
    inspection.settle("genes")


def _fault(
    row: Row, own: str, other: str | None, loci: _Loci, joined: list[tuple[Row, str, str]]
) -> tuple[str, str, str] | None:
    """The column at fault, what is wrong, and the remedy; None for a link that stands beside those `joined` already."""
    if row.linked_locus is None:
        return (
            "recombination",
            "has a recombination, but names no linked locus",
            "Name the gene or locus it travels with.",
        )
    if row.recombination is None:
        return (
            "recombination",
            f"is linked to {row.linked_locus}, but has no recombination",
            "Write how often the two part, 0 to 50 %; leave the linked locus blank if nobody knows.",
        )
    if other is None:
        return (
            "linked_locus",
            f"is linked to '{row.linked_locus}', which is no gene or locus of {row.species}",
            did_you_mean(row.linked_locus, loci.names, "Name a gene or locus of the Genes sheet."),
        )
    if other == own:
        return (
            "linked_locus",
            f"is linked to {row.linked_locus}, which is its own locus",
            "Name another locus, or leave it blank.",
        )
    if loci.sex_linked[other] != loci.sex_linked[own]:
        return (
            "linked_locus",
            f"is linked to {other}, but only one of the two is sex-linked",
            "Loci on one chromosome are both sex-linked or neither: correct one of them.",
        )
    return _ring(row, own, other, joined)


def _ring(row: Row, own: str, other: str, joined: list[tuple[Row, str, str]]) -> tuple[str, str, str] | None:
    """A link between loci that are joined already; the same link told from the other side, or by an allele, is none."""
    for before, one, two in joined:
        if {one, two} == {own, other}:
            if before.recombination == row.recombination:
                return None
            return (
                "recombination",
                f"is linked to {other} with {row.recombination:g} %, but row {before.row} says {before.recombination:g} %",
                "Give one recombination for the pair; the first one holds.",
            )
    reached, grown = {own}, {own}
    while grown:
        grown = {end for _, *ends in joined for end in ends if reached & set(ends)} - reached
        reached |= grown
    if other not in reached:
        return None
    return (
        "linked_locus",
        f"is linked to {other}, which other links join to {own} already, so that they close a ring",
        "Give links between neighbours on the chromosome only.",
    )


def _take_off(inspection: Inspection, row: Row, column: str, message: str, hint: str) -> None:
    inspection.warning(row, column, f"{row.gene} {message}; the link is not used.", hint)
    inspection.replace(row, "linked_locus", None)
    inspection.replace(row, "recombination", None)
