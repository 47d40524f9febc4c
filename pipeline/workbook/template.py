"""The blank book: every sheet of the registry with headers, notes, drop-downs and formats, and records where given."""

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from pipeline.errors import RequestError
from pipeline.workbook import styles
from pipeline.workbook.conditions import add_conditions, define_known
from pipeline.workbook.describing import example_row, header_note
from pipeline.workbook.help_page import write_help
from pipeline.workbook.lists_page import write_lists
from pipeline.workbook.notes import note
from pipeline.workbook.own_pages import OwnPage, write_page
from pipeline.workbook.saving import STAMP, refuse_existing, save_book
from pipeline.workbook.sheets import (
    OWN_COLUMNS,
    SETTINGS,
    SETTINGS_SHEET,
    SHEETS,
    TOTALS,
    Column,
    Kind,
    Sheet,
)
from pipeline.workbook.totals_page import write_totals
from pipeline.workbook.validation import LAST_ROW, column_validation, setting_validation
from pipeline.workbook.xstring import encoded

Records = Mapping[str, Sequence[Mapping[str, object]]]
_TAKEN = "give the new book another name, or move the old one away"


def write_book(
    path: Path, rows: Records | None = None, *, title_note: str = "", pages: Sequence[OwnPage] = ()
) -> None:
    """Write a new workbook to `path`, whole or not at all.

    `rows` maps a sheet's name ("Animals") to its records, each keyed by column name without unit ("ID", "Born");
    None writes a blank book. The Settings sheet lists every setting with its default, or with the value that
    `rows` gives it. `title_note` is a line below the title of the help page; `pages` come last. Rows are as
    high as their wrapped text needs. Same input, same bytes.

    RequestError where `path` exists, its folder does not, or it does not end in .xlsx; ValueError for a sheet or column that the book lacks.
    """
    refuse_existing(path, _TAKEN)
    if path.suffix.lower() != ".xlsx":
        raise RequestError(f"{path.name} must end in .xlsx, as Excel workbooks do; try {path.stem}.xlsx.")
    rows = rows or {}
    if unknown := set(rows) - {sheet.name for sheet in SHEETS}:
        raise ValueError(f"the workbook has no sheet {', '.join(sorted(unknown))}")
    book = Workbook()
    book.remove(book.active)
    _set_properties(book)
    for sheet in SHEETS:
        page = book.create_sheet(sheet.name)
        _write_headers(page, sheet)
        _set_view(page, sheet)
        records = rows.get(sheet.name, ())
        _write_records(page, sheet, _settings(records) if sheet is SETTINGS_SHEET else records)
        add_conditions(page, sheet)
        _grow_rows(page, sheet, records)
    _finish_settings(book[SETTINGS_SHEET.name])
    write_help(book, title_note)
    stored = write_totals(book, rows)
    write_lists(book)
    define_known(book)
    for own in pages:
        write_page(book, own)
    for page in book:
        page.sheet_properties.tabColor = styles.TAB_COLOURS[page.title]
        page.sheet_view.tabSelected = page is book.worksheets[0]
        _set_print(page)
    book.active = 0
    save_book(book, path, _TAKEN, stored={TOTALS: stored})


def _set_properties(book: Workbook) -> None:
    book.properties.creator = "proveout"
    book.properties.title = "Breeding records"
    book.properties.created = STAMP


def _write_headers(page: Worksheet, sheet: Sheet) -> None:
    for number, column in enumerate(sheet.columns, start=1):
        cell = page.cell(1, number, column.header)
        _dress_header(cell, column.required)
        cell.comment = note(header_note(column) + (example_row(sheet) if number == 1 else ""))
        dimension = page.column_dimensions[get_column_letter(number)]
        dimension.width = styles.column_width(column)
        dimension.number_format = styles.number_format(column)
        dimension.alignment = styles.alignment(column)
        if rule := column_validation(sheet, column):
            page.add_data_validation(rule)
    page.row_dimensions[1].height = styles.HEADER_HEIGHT


def _dress_header(cell: Cell, required: bool) -> None:
    cell.font = styles.REQUIRED_FONT if required else styles.OPTIONAL_FONT
    cell.fill = styles.REQUIRED_FILL if required else styles.OPTIONAL_FILL
    cell.border, cell.alignment = styles.HEADER_BORDER, styles.HEADER_ALIGNMENT
    cell.number_format = styles.GENERAL


def _set_view(page: Worksheet, sheet: Sheet) -> None:
    """Keep the header in sight, and the first column where it names the record."""
    page.freeze_panes = "B2" if sheet.key == (sheet.columns[0].field,) else "A2"
    page.auto_filter.ref = f"A1:{get_column_letter(len(sheet.columns))}{LAST_ROW}"


def _set_print(page: Worksheet) -> None:
    page.page_setup.orientation = "landscape"
    page.page_setup.fitToWidth, page.page_setup.fitToHeight = 1, 0
    page.sheet_properties.pageSetUpPr.fitToPage = True
    if page.auto_filter.ref:
        page.print_title_rows = "1:1"


def _write_records(page: Worksheet, sheet: Sheet, records: Sequence[Mapping[str, object]]) -> None:
    places = {column.name: (number, column) for number, column in enumerate(sheet.columns, start=1)}
    for row, record in enumerate(records, start=2):
        for name, value in record.items():
            if name not in places:
                raise ValueError(f"the sheet {sheet.name} has no column {name}")
            number, column = places[name]
            if value is not None:
                _write_cell(page.cell(row, number), column, value)


def _grow_rows(page: Worksheet, sheet: Sheet, records: Sequence[Mapping[str, object]]) -> None:
    prose = {column.name: styles.column_width(column) for column in sheet.columns if styles.is_prose(column)}
    for row, record in enumerate(records, start=2):
        texts = ((text, width) for name, width in prose.items() if isinstance(text := record.get(name), str))
        page.row_dimensions[row].height = styles.row_height(texts)


def _write_cell(cell: Cell, column: Column, value: object) -> None:
    """Text stays text, also where it begins with '='; a bare year among dates stays a plain number."""
    cell.value = value
    if isinstance(value, str):
        cell.value, cell.data_type = encoded(value), "s"
    is_year = column.kind is Kind.DATE and not isinstance(value, date)
    cell.number_format = styles.YEAR_FORMAT if is_year else styles.number_format(column)
    cell.alignment = styles.alignment(column)


def _settings(records: Sequence[Mapping[str, object]]) -> list[dict[str, object]]:
    """A row for every setting the pipeline knows, then for those only the records name (rates of exchange)."""
    values: dict[str, object] = {setting.name: setting.default for setting in SETTINGS}
    values |= {str(record["Setting"]): record.get("Value") for record in records}
    return [{"Setting": name, "Value": None if value == "" else value} for name, value in values.items()]


def _finish_settings(page: Worksheet) -> None:
    """Explain each setting in a column of ours, bound its value, and offer the names."""
    (title,) = OWN_COLUMNS[SETTINGS_SHEET.name]
    _dress_header(page.cell(1, 3, title), required=False)
    page.cell(1, 3).comment = note("What each setting does. For you to read; the analysis passes over it.")
    page.column_dimensions["C"].width = 84
    page.column_dimensions["B"].number_format = styles.GENERAL
    for row in range(2, page.max_row + 1):
        page.cell(row, 2).number_format, page.cell(row, 2).alignment = styles.GENERAL, styles.CENTRED
    for row, setting in enumerate(SETTINGS, start=2):
        page.cell(row, 3, setting.meaning).font = styles.QUIET
        if rule := setting_validation(setting):
            rule.add(f"B{row}")
            page.add_data_validation(rule)
