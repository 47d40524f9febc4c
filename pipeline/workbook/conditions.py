"""Colours that come while a keeper types: cells whose content can't be so, or that still wait to be filled.

The rules look other sheets up by defined names, since not every spreadsheet program lets a colour rule reach into
another sheet. Colours are never alone: bold and underlined letters say the same, and 'Start here' says what they mean.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from openpyxl import Workbook
from openpyxl.formatting.rule import FormulaRule
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.worksheet import Worksheet

from pipeline.workbook import styles
from pipeline.workbook.lists_page import ID_ROWS, letters
from pipeline.workbook.sheets import ANIMALS, PAIRINGS, SPECIES, Column, Kind, Sheet

_KNOWN = {
    "Known_animals": (ANIMALS, "id"),
    "Known_sexes": (ANIMALS, "sex"),
    "Known_pairings": (PAIRINGS, "pairing"),
    "Known_species": (SPECIES, "species"),
}
"""Whole columns, header included, so that a row put in at the top belongs to them."""
_LOOKED_UP = {
    "Animals.ID": "Known_animals",
    "Pairings.Pairing": "Known_pairings",
    "Species.Species": "Known_species",
}
_WRONG_SEX = {"sire": "F", "dam": "M"}
_PAST = frozenset({("animals", "born"), ("hatch_results", "date"), ("weights", "date"), ("prices", "date")})


@dataclass(frozen=True)
class Rule:
    """A formula about row 2 of a column; the cells below follow. `wrong` False: still to be filled."""

    field: str
    formula: str
    wrong: bool = True


def define_known(book: Workbook) -> None:
    """Add the names by which the rules look up other sheets."""
    for name, (sheet, field) in _KNOWN.items():
        place = letters(sheet, field)
        book.defined_names[name] = DefinedName(
            name, attr_text=f"'{sheet.name}'!${place}$1:${place}${ID_ROWS}"
        )


def add_conditions(page: Worksheet, sheet: Sheet) -> None:
    """Colour the sheet's cells by its rules; the first rule that holds for a cell stands."""
    for rule in rules(sheet):
        place = letters(sheet, rule.field)
        font, fill = (styles.WRONG_FONT, styles.WRONG_FILL) if rule.wrong else (None, styles.WAITING_FILL)
        shown = FormulaRule(formula=[rule.formula], font=font, fill=fill, stopIfTrue=True)
        page.conditional_formatting.add(f"{place}2:{place}{ID_ROWS}", shown)


def rules(sheet: Sheet) -> Iterator[Rule]:
    """Unknown and doubled IDs, parents of the wrong sex, days to come, and cells that a begun row still lacks."""
    for column in sheet.columns:
        cell = f"${letters(sheet, column.field)}2"
        several = column.kind in (Kind.IDS, Kind.NAMES)
        if sheet.key == (column.field,) and column.kind is Kind.ID:
            yield Rule(column.field, _doubled(cell, _own_name(sheet, column)))
        if column.refers_to in _LOOKED_UP and not several:
            yield Rule(column.field, _unknown(cell, _LOOKED_UP[column.refers_to]))
        if column.field in _WRONG_SEX and column.refers_to == "Animals.ID":
            sex = _WRONG_SEX[column.field]
            at = _position(cell, "Known_animals")
            yield Rule(column.field, f'AND({cell}<>"",IFERROR(INDEX(Known_sexes,{at})="{sex}",FALSE))')
        if (sheet.table, column.field) in _PAST:
            yield Rule(column.field, f"AND(ISNUMBER({cell}),{cell}>IF({cell}<2300,YEAR(TODAY()),TODAY()))")
        if column.required:
            last = get_column_letter(len(sheet.columns))
            yield Rule(column.field, f'AND({cell}="",COUNTA($A2:${last}2)>0)', wrong=False)


def _own_name(sheet: Sheet, column: Column) -> str:
    return _LOOKED_UP[f"{sheet.name}.{column.name}"]


def _position(cell: str, known: str) -> str:
    """The row at which a cell's ID stands; an ID of digits may be a number here and a text there."""
    return f'IFERROR(MATCH({cell},{known},0),MATCH({cell}&"",{known},0))'


def _unknown(cell: str, known: str) -> str:
    return f'AND({cell}<>"",ISERROR({_position(cell, known)}))'


def _doubled(cell: str, known: str) -> str:
    """The later of two rows, which the check leaves out."""
    return f'AND({cell}<>"",IFERROR({_position(cell, known)}<ROW(),FALSE))'
