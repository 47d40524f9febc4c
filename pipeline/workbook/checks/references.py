"""Names in one sheet that must stand in another."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable

from pipeline.workbook.checks.inspection import Inspection, Row
from pipeline.workbook.checks.wording import did_you_mean, fold, left_out_rows, listed, spaceless
from pipeline.workbook.sheets import sheet
from pipeline.workbook.words import nearest

_CLOSE_CODES = 50.0
"""Short codes differ in one sign of two or three."""


class Directory:
    """Known names, found as typed, else by the one name that differs only as `alike` allows.

    `called` are pairs of a known name and what else its record is called: no reference, yet a hint of the one meant.
    """

    def __init__(
        self,
        names: Iterable[str],
        alike: Callable[[str], str] = spaceless,
        called: Iterable[tuple[str, str]] = (),
    ) -> None:
        self.names = tuple(dict.fromkeys(names))
        self._exact = set(self.names)
        self._alike = alike
        self._hints: dict[str, str] = {}
        self._folded: dict[str, list[str]] = defaultdict(list)
        for name in self.names:
            self._folded[alike(name)].append(name)
        self._called: dict[str, list[str]] = defaultdict(list)
        for name, other in called:
            self._called[fold(other)].append(name)

    def __contains__(self, name: str) -> bool:
        return name in self._exact

    def find(self, text: str) -> str | None:
        """The known name meant by a text; None where there is none, or more than one that is only alike."""
        if text in self._exact:
            return text
        candidates = self._folded.get(self._alike(text), [])
        return candidates[0] if len(candidates) == 1 else None

    def hint(self, text: str, sheet_name: str) -> str:
        """The nearest known names, or that a row may be missing; worked out once for each text."""
        if meant := self._called.get(fold(text)):
            quoted = [f"'{name}'" for name in meant]
            return f"That is the name of {listed(meant)}; write the ID, {listed(quoted, joint='or')}."
        if text not in self._hints:
            remedy = f"Correct it, or add a row for it on the {sheet_name} sheet."
            self._hints[text] = did_you_mean(text, self.names, remedy, cutoff=_CLOSE_CODES)
        return self._hints[text]


def resolve_id(inspection: Inspection, row: Row, column: str, known: Directory) -> bool:
    """Whether the ID in a cell is known; one that differs only in case or spaces is corrected, with a warning."""
    text = getattr(row, column)
    found = known.find(text)
    if found is not None and found != text:
        inspection.replace(row, column, found)
        inspection.warning(
            row,
            column,
            f"'{text}' is taken for '{found}', which differs only in case or spaces.",
            f"Write '{found}' here.",
        )
    return found is not None


def unknown_hint(inspection: Inspection, text: str, known: Directory, table: str) -> str:
    """The remedy for a name that a sheet lacks: the nearest known one, or a row to add."""
    return known.hint(text, sheet(table).name) + left_out_rows(inspection, table)


def leave_out_stranger(
    inspection: Inspection, row: Row, column: str, table: str, known: Directory, says: str
) -> None:
    """Leave out a row whose cell names nothing of another sheet; `says` is what the row says of that name."""
    text = getattr(row, column)
    inspection.error(
        row,
        column,
        f"{says} '{text}', which is not on the {sheet(table).name} sheet; the row is left out.",
        unknown_hint(inspection, text, known, table),
    )


def needs_sheet(inspection: Inspection, table: str, other: str) -> bool:
    """Whether the other sheet is there for a sheet's rows to refer to; if not, one error speaks for all of them."""
    if not inspection.has(table) or inspection.has(other):
        return inspection.has(table)
    rows = inspection.rows(table)
    inspection.error_on_sheet(
        table,
        f"The book has no {sheet(other).name} sheet with rows that can be used, so the {len(rows)} rows of {sheet(table).name} are left out.",
        f"Add the {sheet(other).name} sheet, or mend its rows." + left_out_rows(inspection, other),
    )
    for row in rows:
        inspection.leave_out(row)
    inspection.settle(table)
    return False


def check_species_references(inspection: Inspection) -> Directory:
    """Species named on every sheet: spellings made one, unknown ones left out. Returns the species of the book.

    A species that the Genes sheet names and the Species sheet lacks is taken as known, unless it looks like a slip. Where the
    book has no Species sheet, the species are those that its other sheets name.
    """
    known = _known_species(inspection)
    for table in ("genes", "morph_names", "animals", "prices", "goals"):
        for row in _with_strange_species(inspection, table, known):
            found = known.find(row.species)
            if found is None:
                leave_out_stranger(
                    inspection, row, "species", "species", known, f"{_record(row)} names the species"
                )
            else:
                inspection.replace(row, "species", found)
        inspection.settle(table)
    return known


def _with_strange_species(inspection: Inspection, table: str, known: Directory) -> list[Row]:
    """Rows whose species is not spelt as the Species sheet spells it."""
    if not inspection.has(table) or set(inspection.tables[table]["species"].unique()) <= set(known.names):
        return []
    return [row for row in inspection.rows(table) if row.species not in known]


def _known_species(inspection: Inspection) -> Directory:
    if inspection.has("species"):
        listed = [row.species for row in inspection.rows("species")]
        return Directory([*listed, *_species_of_genes(inspection, Directory(listed, fold))], fold)
    tables = [
        table for table in ("genes", "animals", "morph_names", "prices", "goals") if inspection.has(table)
    ]
    spellings: dict[str, str] = {}
    for table in tables:
        for name in inspection.tables[table]["species"].unique():
            spellings.setdefault(fold(name), name)
    if spellings and not inspection.read_with_errors("species"):
        inspection.note_on_sheet(
            "species",
            "The book has no Species sheet with rows; species are taken from the other sheets, their young and sex chromosomes unknown.",
            "Fill a Species sheet for growth, due dates and sex-linked genes.",
        )
    return Directory(spellings.values(), fold)


def _species_of_genes(inspection: Inspection, known: Directory) -> list[str]:
    added: dict[str, str] = {}
    for row in inspection.rows("genes"):
        if (
            known.find(row.species)
            or fold(row.species) in added
            or nearest(row.species, known.names, cutoff=80)
        ):
            continue
        added[fold(row.species)] = row.species
        inspection.warning(
            row,
            "species",
            f"The Genes sheet names the species '{row.species}', which the Species sheet lacks; its young and sex chromosomes count as unknown.",
            f"Add a row for '{row.species}' on the Species sheet.",
        )
    return list(added.values())


def _record(row: Row) -> str:
    key = {"genes": "gene", "morph_names": "name", "animals": "id", "goals": "goal"}.get(row.table)
    return f"'{getattr(row, key)}'" if key else f"Row {row.row}"
