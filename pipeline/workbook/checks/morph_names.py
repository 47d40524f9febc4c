"""The Morph names sheet: names that clash with no gene, and genes that can be read without going in a circle."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from pipeline.genetics.genes import Catalogue, Gene, Inheritance
from pipeline.genetics.labels import LabelError, LabelFault, read_label
from pipeline.workbook.checks.genes import is_reserved
from pipeline.workbook.checks.inspection import Inspection, Row
from pipeline.workbook.checks.wording import fold, listed


def check_morph_names(inspection: Inspection, genes_only: Mapping[str, Catalogue]) -> None:
    """Leave out morph names that can't be used; `genes_only` are the catalogues before any morph name."""
    _check_clashes(inspection, genes_only)
    inspection.settle("morph_names")
    for species, catalogue in genes_only.items():
        rows = [row for row in inspection.rows("morph_names") if row.species == species]
        if catalogue.genes:
            _check_readable(inspection, rows, catalogue)
    inspection.settle("morph_names")


def _check_clashes(inspection: Inspection, catalogues: Mapping[str, Catalogue]) -> None:
    for row in inspection.rows("morph_names"):
        names = {
            fold(name): gene
            for gene in catalogues[row.species].genes
            for name in (gene.name, gene.super_name)
        }
        gene = names.get(fold(row.name))
        if gene:
            inspection.error(
                row,
                "name",
                f"The morph name '{row.name}' is also a name of the gene {gene.name}; the row is left out.",
                "Rename one of the two; a single gene needs no morph name.",
            )
        elif is_reserved(row.name):
            inspection.error(
                row,
                "name",
                f"A morph can't be called '{row.name}': labels use that word themselves; the row is left out.",
                "Give it another name.",
            )


def _check_readable(inspection: Inspection, rows: list[Row], catalogue: Catalogue) -> None:
    """Accept names whose genes can be read with those accepted before, until nothing moves; report the rest."""
    accepted: dict[str, str] = {}
    waiting = rows
    while waiting:
        known = replace(catalogue, morphs=dict(accepted))
        ready = [row for row in waiting if _fault(row.genes, known) is None]
        if not ready:
            break
        accepted |= {row.name: row.genes for row in ready}
        waiting = [row for row in waiting if row.name not in accepted]
    _report(inspection, waiting, replace(catalogue, morphs=accepted))


def _report(inspection: Inspection, waiting: list[Row], known: Catalogue) -> None:
    """Names left over stand for each other in a circle where they can be read once all of them count as plain words."""
    stand_ins = tuple(Gene(row.name, Inheritance.LINE_BRED, row.name) for row in waiting)
    widened = replace(known, genes=known.genes + stand_ins)
    for row in waiting:
        fault = _fault(row.genes, widened)
        if fault is None:
            others = listed(
                [f"'{other.name}'" for other in waiting if _names(row.genes, other.name, widened)]
            )
            inspection.error(
                row,
                "genes",
                f"The morph name '{row.name}' stands for {others}, whose own genes can't be told without it or can't be read; the row is left out.",
                "Let every morph name stand for genes in the end, never for itself.",
            )
        else:
            message, _, _ = fault.message.partition("; did you mean")
            inspection.error(
                row,
                "genes",
                f"The genes of the morph name '{row.name}' can't be read: {message}; the row is left out.",
                f"Did you mean '{fault.nearest}'?"
                if fault.nearest
                else "Write its genes by the names of the Genes sheet.",
            )


def _fault(text: str, catalogue: Catalogue) -> LabelFault | None:
    try:
        read_label(text, catalogue)
    except LabelError as error:
        return error.faults[0]
    return None


def _names(text: str, name: str, catalogue: Catalogue) -> bool:
    return name in read_label(text, catalogue).lines
