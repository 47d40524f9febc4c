"""The Genes sheet: names that a label can tell apart, and records of inheritance that can be so."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from pipeline.genetics.genes import Inheritance
from pipeline.genetics.label_words import CONNECTORS, SUPER
from pipeline.workbook.checks.inspection import Inspection, Row
from pipeline.workbook.checks.wording import fold, rows_of

_RESERVED = SUPER | CONNECTORS | {
    "normal", "wild type", "wildtype", "classic", "het", "het for", "hets", "ph", "dh", "th", "double het", "triple het",
    "possible", "possible het", "not",
}  # fmt: skip
_LEADING = ("het ", "not ", "possible ", "super ", "double het ", "triple het ", "ph ")
"""Words that a label is read by (contract of labels: pipeline/genetics/labels.py); no name may be or begin with them."""


def is_reserved(name: str) -> bool:
    """Whether labels use the name as a word of their own."""
    return fold(name) in _RESERVED


def check_genes(inspection: Inspection) -> None:
    """All rules of the Genes sheet but links between loci (links.py)."""
    if not inspection.has("genes"):
        return
    _check_names(inspection)
    inspection.settle("genes")
    _check_other_names(inspection)
    inspection.settle("genes")
    _set_aside(inspection)
    inspection.settle("genes")
    _canonical_loci(inspection)
    inspection.settle("genes")
    _check_two_copies(inspection)
    _check_sex_linkage(inspection)
    inspection.settle("genes")
    _check_ranks(inspection)


def genes_by_species(inspection: Inspection) -> dict[str, list[Row]]:
    """Rows of the Genes sheet, species by species."""
    grouped: dict[str, list[Row]] = defaultdict(list)
    for row in inspection.rows("genes"):
        grouped[row.species].append(row)
    return grouped


def loci_of(rows: Iterable[Row]) -> dict[str, list[Row]]:
    """Rows of one species by locus; a blank locus is the gene's own name. Line-bred names have none."""
    loci: dict[str, list[Row]] = defaultdict(list)
    for row in rows:
        if row.inheritance != Inheritance.LINE_BRED:
            loci[row.locus or row.gene].append(row)
    return loci


def _check_names(inspection: Inspection) -> None:
    for rows in genes_by_species(inspection).values():
        by_name = {fold(row.gene): row for row in rows}
        for row in rows:
            name = fold(row.gene)
            base = by_name.get(name.removeprefix("super ")) if name.startswith("super ") else None
            if base is not None:
                inspection.error(
                    row,
                    "gene",
                    f"'{row.gene}' is what two copies of {base.gene} (row {base.row}) are called, no gene of its own; the row is left out.",
                    f"Delete the row; labels can say '{row.gene}' without it.",
                )
            elif is_reserved(row.gene) or name.startswith(_LEADING):
                inspection.error(
                    row,
                    "gene",
                    f"A gene can't be called '{row.gene}': labels use those words themselves; the row is left out.",
                    "Give the gene a name of its own, which does not begin with het, not, possible or super.",
                )


def _check_other_names(inspection: Inspection) -> None:
    """Aliases and two-copies names that could mean something else are left out; gene names come first."""
    for species, rows in genes_by_species(inspection).items():
        taken = {fold(row.gene): f"the gene {row.gene} (row {row.row})" for row in rows}
        morphs = {
            fold(row.name): f"the morph name {row.name} (Morph names, row {row.row})"
            for row in inspection.rows("morph_names")
            if row.species == species
        }
        for row in rows:
            _check_two_copies_name(inspection, row, taken)
        for row in rows:
            _check_aliases(inspection, row, taken, morphs)


def _check_two_copies_name(inspection: Inspection, row: Row, taken: dict[str, str]) -> None:
    if row.two_copies_name is None:
        return
    clash = _clash(row.two_copies_name, taken)
    own_name = fold(row.two_copies_name) == fold(row.gene) and row.inheritance != Inheritance.INCOMPLETE
    if own_name:
        return
    if clash:
        inspection.replace(row, "two_copies_name", None)
        inspection.warning(
            row,
            "two_copies_name",
            f"Two copies of {row.gene} can't be called '{row.two_copies_name}': that is {clash}; the name is not used.",
            f"Give two copies another name, or leave it blank for 'Super {row.gene}'.",
        )
    else:
        taken[fold(row.two_copies_name)] = f"what two copies of {row.gene} (row {row.row}) are called"


def _check_aliases(inspection: Inspection, row: Row, taken: dict[str, str], morphs: dict[str, str]) -> None:
    aliases = [part.strip() for part in (row.also_written or "").split(";") if part.strip()]
    kept = []
    for alias in aliases:
        own = fold(alias) == fold(row.gene)
        clash = None if own else _clash(alias, taken) or morphs.get(fold(alias))
        if clash:
            inspection.warning(
                row,
                "also_written",
                f"'{alias}', another spelling of {row.gene}, is also {clash}; it is not read as {row.gene}.",
                f"Remove '{alias}' here, or rename the other.",
            )
        else:
            kept.append(alias)
            taken.setdefault(fold(alias), f"another spelling of {row.gene} (row {row.row})")
    if len(kept) < len(aliases):
        inspection.replace(row, "also_written", "; ".join(kept) or None)


def _set_aside(inspection: Inspection) -> None:
    """Genes without inheritance, which the reading has told of: their names stay readable."""
    for row in inspection.rows("genes"):
        if row.inheritance is None:
            inspection.unusable.append(row)
            inspection.leave_out(row)


def _clash(name: str, taken: dict[str, str]) -> str | None:
    return "a word that labels use themselves" if is_reserved(name) else taken.get(fold(name))


def _canonical_loci(inspection: Inspection) -> None:
    """One spelling for each locus: the first one met, or the name of a gene that has the locus to itself."""
    for rows in genes_by_species(inspection).values():
        spelling = {fold(row.gene): row.gene for row in rows if row.locus is None}
        for row in rows:
            if row.locus is not None:
                first = spelling.setdefault(fold(row.locus), row.locus)
                if first != row.locus:
                    inspection.replace(row, "locus", first)


def _check_two_copies(inspection: Inspection) -> None:
    for row in inspection.rows("genes"):
        lethal = row.two_copies == "lethal"
        if row.inheritance == Inheritance.LINE_BRED and (
            lethal or row.locus or row.sex_linked == "yes" or row.linked_locus
        ):
            inspection.note(
                row,
                "inheritance",
                f"{row.gene} is line-bred, so its locus, two copies and links are not used.",
                "Leave those cells blank, or choose another inheritance.",
            )
        elif row.inheritance == Inheritance.RECESSIVE and lethal:
            inspection.warning(
                row,
                "two_copies",
                f"{row.gene} is recessive and two copies are lethal, so no living animal can ever show it.",
                "Check both: a gene that shows with one copy is dominant or incomplete dominant.",
            )
        elif (
            row.inheritance in (Inheritance.RECESSIVE, Inheritance.DOMINANT)
            and row.two_copies_name
            and not lethal
        ):
            inspection.note(
                row,
                "two_copies_name",
                f"{row.gene} is {row.inheritance}: two copies need no other name, as they look like what '{row.gene}' says.",
                "If two copies look different from one, the inheritance is incomplete dominant.",
            )


def _check_sex_linkage(inspection: Inspection) -> None:
    chromosomes = {row.species: row.sex_chromosomes for row in inspection.rows("species")}
    for species, rows in genes_by_species(inspection).items():
        known = chromosomes.get(species) in ("XY", "ZW")
        for locus, members in loci_of(rows).items():
            for row in members:
                if (row.sex_linked == "yes") != (members[0].sex_linked == "yes"):
                    _unusable(
                        inspection,
                        row,
                        "sex_linked",
                        f"{row.gene} and {members[0].gene} (row {members[0].row}) are alleles of the locus {locus}, yet only one is marked sex-linked",
                        "Alleles of one locus are all sex-linked or none: correct one of the two, or the locus.",
                    )
                elif row.sex_linked == "yes" and not known:
                    _unusable(
                        inspection,
                        row,
                        "sex_linked",
                        f"{row.gene} is sex-linked, but the sex chromosomes of {species} are not recorded",
                        f"Write XY or ZW under 'Sex chromosomes' for {species} on the Species sheet.",
                    )


def _unusable(inspection: Inspection, row: Row, column: str, message: str, hint: str) -> None:
    """Leave the gene out of every ratio, but keep its name readable, lest all labels that name it fall as well."""
    inspection.error(
        row, column, f"{message}; until then {row.gene} is read on labels but takes no part in ratios.", hint
    )
    inspection.unusable.append(row)


def _check_ranks(inspection: Inspection) -> None:
    for rows in genes_by_species(inspection).values():
        for locus, members in loci_of(rows).items():
            ranked = [row for row in members if row.dominance_rank is not None]
            blank = [row for row in members if row.dominance_rank is None]
            if len(members) == 1 and ranked:
                inspection.note(
                    ranked[0],
                    "dominance_rank",
                    f"{ranked[0].gene} is the only gene of its locus, so its dominance rank has no effect.",
                    "Name the same Locus for its alleles, or leave the rank blank.",
                )
            elif ranked and blank:
                inspection.warning(
                    blank[0],
                    "dominance_rank",
                    f"Of the alleles of {locus}, {rows_of(ranked)} have a dominance rank and {rows_of(blank)} have none; a blank one shows together with any other.",
                    "Rank all alleles of the locus, or none.",
                )
