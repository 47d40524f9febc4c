"""The hidden sheet 'Lists' and the named ranges: what the drop-downs of the other sheets offer.

A drop-down may not reach into another sheet in every spreadsheet program unless it goes by a name, so all go by
names. Words that a cell may hold stand here as they are; IDs are read off their own sheet, down to the last one
filled; and for each species a column gathers its genes, then its morph names, from the sheets where a keeper lists
them. The formulas find rows by number (INDEX), so that a keeper may sort, delete and insert rows.
"""

from collections.abc import Iterator

from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.worksheet import Worksheet

from pipeline.workbook.sheets import (
    ANIMALS,
    GENES,
    HATCH_RESULTS,
    MORPH_NAMES,
    OWN_SHEETS,
    PAIRINGS,
    SETTINGS,
    SHEETS,
    Column,
    Sheet,
)
from pipeline.workbook.styles import QUIET, TERM

LISTS = OWN_SHEETS[1]
_SPECIES_COLUMNS, _NAMES_A_SPECIES = 12, 150
_SOURCE_ROWS, _PAIRING_ROWS, HATCH_ROWS, ID_ROWS = 600, 2_000, 5_000, 20_000
_TOP = 4
_GENE_KEYS, _MORPH_KEYS, _NUMBERS, _OF_PAIRING, _OF_YOUNG = "A", "B", "C", "D", "E"
_FIRST_SPECIES = 6


def letters(sheet: Sheet, field: str) -> str:
    """The spreadsheet letters of a column in the blank book."""
    return get_column_letter([column.field for column in sheet.columns].index(field) + 1)


def name_of(sheet: Sheet, field: str) -> str:
    """The defined name of a column of IDs or names: 'Animals_id'."""
    return f"{sheet.name}_{field}".replace(" ", "_")


def words_name(words: tuple[str, ...]) -> str:
    """The defined name of a list of allowed words: 'Words_eggs_live'."""
    return "Words_" + "_".join(words).replace(" ", "_").replace("-", "_")


def label_list(of: Sheet, *, genes_only: bool) -> str:
    """The source of a drop-down of the genes (then the morph names) of the species of row 2 of a sheet.

    Hatch results name no species: there it is that of the pairing's dam. Where the species is unknown, the first
    one's names are offered.
    """
    if of is HATCH_RESULTS:
        row = f"MATCH(${letters(of, 'pairing')}2,{name_of(PAIRINGS, 'pairing')},0)"
        place = f"IFERROR(INDEX(List_of_pairing,{row}),1)"
    else:
        place = f"IFERROR(MATCH(${letters(of, 'species')}2,List_species,0),1)"
    height = "List_genes" if genes_only else "List_labels"
    return f"OFFSET(List_top,0,{place}-1,INDEX({height},{place}),1)"


def write_lists(book: Workbook) -> None:
    """Add the hidden sheet 'Lists' as the last one, and the defined names."""
    lists = book.create_sheet(LISTS)
    lists.sheet_state = "hidden"
    _write_species_lists(book, lists)
    _write_words(book, lists, _FIRST_SPECIES + _SPECIES_COLUMNS + 1)
    for sheet, field in ((s, c.field) for s, c in _repeated()):
        _define(book, name_of(sheet, field), _filled_part(sheet, letters(sheet, field)))


def _repeated() -> Iterator[tuple[Sheet, Column]]:
    """The columns whose values other sheets repeat: Species.Species, Animals.ID, Pairings.Pairing."""
    targets = {column.refers_to for sheet in SHEETS for column in sheet.columns}
    return ((s, c) for s in SHEETS for c in s.columns if f"{s.name}.{c.name}" in targets)


def _define(book: Workbook, name: str, formula: str) -> None:
    book.defined_names[name] = DefinedName(name, attr_text=formula)


def _range(sheet: str, column: str, first: int, last: int, last_column: str = "") -> str:
    return f"'{sheet}'!${column}${first}:${last_column or column}${last}"


def _filled_part(sheet: Sheet, column: str) -> str:
    """A column from row 2 down to its last filled cell, at least one cell: no blank tail in the drop-down."""
    whole = _range(sheet.name, column, 2, ID_ROWS)
    last = f'SUMPRODUCT(MAX(({whole}<>"")*(ROW({whole})-1)))'
    return f"'{sheet.name}'!${column}$2:INDEX({whole},MAX(1,{last}))"


def _write_species_lists(book: Workbook, lists: Worksheet) -> None:
    titles = ("Gene rows", "Morph name rows", "Species, numbered", "List of pairing", "Season of young")
    for column, title in zip("ABCDE", titles, strict=True):
        lists[f"{column}1"].value, lists[f"{column}1"].font = title, TERM
    for row in range(2, _SOURCE_ROWS + 1):
        lists[f"{_GENE_KEYS}{row}"] = _key(GENES)
        lists[f"{_MORPH_KEYS}{row}"] = _key(MORPH_NAMES)
        above = f"MAX({_NUMBERS}$1:{_NUMBERS}{row - 1})+1"
        lists[f"{_NUMBERS}{row}"] = f'=IF(RIGHT({_GENE_KEYS}{row},2)="|1",{above},"")'
    for row in range(2, _PAIRING_ROWS + 1):
        lists[f"{_OF_PAIRING}{row}"] = _pairing_list()
    for row in range(2, HATCH_ROWS + 1):
        lists[f"{_OF_YOUNG}{row}"] = _season_of_young()
    for number in range(1, _SPECIES_COLUMNS + 1):
        _write_species_column(lists, number)
    first, last = (get_column_letter(_FIRST_SPECIES + n) for n in (0, _SPECIES_COLUMNS - 1))
    for row, name in enumerate(("List_species", "List_genes", "List_labels"), start=1):
        _define(book, name, _range(LISTS, first, row, row, last))
    _define(book, "List_of_pairing", _range(LISTS, _OF_PAIRING, 2, _PAIRING_ROWS))
    _define(book, "Young_season", _range(LISTS, _OF_YOUNG, 2, HATCH_ROWS))
    _define(book, "List_top", f"{LISTS}!${first}${_TOP}")


def _pairing_list() -> str:
    """Which species' list the pairing in the same row of its sheet goes by: its dam's."""
    dam, species, ids = (
        f"{sheet.name}!${place}:${place}"
        for sheet, place in (
            (PAIRINGS, letters(PAIRINGS, "dam")),
            (ANIMALS, letters(ANIMALS, "species")),
            (ANIMALS, letters(ANIMALS, "id")),
        )
    )
    mother = f"INDEX({dam},ROW())"
    return f'=IF({mother}="","",IFERROR(MATCH(INDEX({species},MATCH({mother},{ids},0)),List_species,0),1))'


def _season_of_young() -> str:
    """The season of the young in the same row of their sheet: their pairing's."""
    own = f"'{HATCH_RESULTS.name}'!${letters(HATCH_RESULTS, 'pairing')}:${letters(HATCH_RESULTS, 'pairing')}"
    names, seasons = (f"{PAIRINGS.name}!${p}:${p}" for p in (letters(PAIRINGS, "pairing"), letters(PAIRINGS, "season")))
    here = f"INDEX({own},ROW())"
    return f'=IF({here}="","",IFERROR(INDEX({seasons},MATCH({here},{names},0)),""))'


def _key(sheet: Sheet) -> str:
    """'Common boa|3' beside the third row of that species on the sheet; blank beside a blank row."""
    column = f"'{sheet.name}'!${letters(sheet, 'species')}:${letters(sheet, 'species')}"
    here = f"INDEX({column},ROW())"
    return f'=IF({here}="","",{here}&"|"&COUNTIF(INDEX({column},2):{here},{here}))'


def _write_species_column(lists: Worksheet, number: int) -> None:
    """Row 1 the species, row 2 how many genes, row 3 how many genes and morph names, then the names themselves."""
    column = get_column_letter(_FIRST_SPECIES + number - 1)
    species = letters(GENES, "species")
    numbers = f"${_NUMBERS}$1:${_NUMBERS}${_SOURCE_ROWS}"
    genes, morphs = (
        f"COUNTIF('{sheet.name}'!${letters(sheet, 'species')}:${letters(sheet, 'species')},{column}$1)"
        for sheet in (GENES, MORPH_NAMES)
    )
    lists[f"{column}1"] = (
        f'=IFERROR(INDEX({GENES.name}!${species}:${species},MATCH({number},{numbers},0)),"")'
    )
    lists[f"{column}1"].font = TERM
    lists[f"{column}2"] = f'=IF({column}$1="",1,MAX(1,{genes}))'
    lists[f"{column}3"] = f'=IF({column}$1="",1,MAX(1,{genes}+{morphs}))'
    for row in range(_TOP, _TOP + _NAMES_A_SPECIES):
        place = f"ROW()-{_TOP - 1}"
        gene = _found(GENES, "gene", f'{column}$1&"|"&({place})', _GENE_KEYS)
        morph = _found(MORPH_NAMES, "name", f'{column}$1&"|"&({place}-{column}$2)', _MORPH_KEYS)
        lists[f"{column}{row}"] = f'=IF({column}$1="","",IFERROR({gene},IFERROR({morph},"")))'


def _found(sheet: Sheet, field: str, key: str, keys: str) -> str:
    column = letters(sheet, field)
    return f"INDEX('{sheet.name}'!${column}:${column},MATCH({key},${keys}$1:${keys}${_SOURCE_ROWS},0))"


def _write_words(book: Workbook, lists: Worksheet, first: int) -> None:
    """The lists of allowed words, each once, and the names of the settings."""
    choices = dict.fromkeys(column.choices for sheet in SHEETS for column in sheet.columns if column.choices)
    named = {words_name(words): words for words in choices} | {
        "Setting_names": tuple(s.name for s in SETTINGS)
    }
    for number, (name, words) in enumerate(named.items(), start=first):
        column = get_column_letter(number)
        lists[f"{column}1"].value, lists[f"{column}1"].font = name, QUIET
        for row, word in enumerate(words, start=2):
            lists[f"{column}{row}"] = word
        _define(book, name, _range(LISTS, column, 2, len(words) + 1))
