"""One tab of the book as one table of the registry, with every problem of its cells."""

from collections.abc import Mapping
from itertools import compress

import pandas as pd
from openpyxl.utils import get_column_letter

from pipeline.problems import Severity
from pipeline.workbook.cells import CellFault, shown
from pipeline.workbook.columns import UNSTORED, Cells, convert, parser, severity
from pipeline.workbook.frames import frame_of
from pipeline.workbook.headers import HEADER_WITHIN, MONEY, Header, find_header, missing_columns
from pipeline.workbook.merging import spread_merges
from pipeline.workbook.sheets import GENES, SETTINGS_SHEET, Column, Kind
from pipeline.workbook.tab import Rows, Tab

_BLANK = (None, "")


def read_tab(tab: Tab) -> tuple[pd.DataFrame | None, dict[str, str]]:
    """The tab's table and the letters of its columns; None where it can't be read. Problems go to `tab.problems`."""
    top = list(tab.source(1, min(tab.scan.last_row, HEADER_WITHIN), None))
    if not any(value not in _BLANK for row in top for value in row):
        return None, {}
    header = find_header(tab.place, tab.sheet, top)
    tab.problems += header.problems if header else []
    lacking = missing_columns(header, tab.place, tab.sheet, top)
    if header is None or lacking:
        tab.problems += lacking
        return None, {}
    if tab.scan.hidden_rows:
        many = f"{tab.scan.hidden_rows} hidden rows were" if tab.scan.hidden_rows > 1 else "A hidden row was"
        tab.tell(Severity.NOTE, f"{many} read like the others.")
    rows = _filled_rows(tab, header)
    spread_merges(tab, header, rows)
    _scale_percentages(tab, header, rows)
    read = {
        column.field: _converted(tab, header, column, rows)
        for column in tab.sheet.columns
        if column.field in header.position
    }
    _settle_currency(tab, read)
    dropped = _judge(tab, header, read, rows) | _half_blank(tab, header, read, rows)
    if tab.sheet is GENES:
        dropped -= _unsettled_genes(read, dropped)
    return frame_of(tab.place, tab.sheet, read, rows.numbers, dropped), header.letters


def _filled_rows(tab: Tab, header: Header) -> Rows:
    """Rows in which any column of the sheet holds something."""
    numbers, kept = [], []
    for number, row in enumerate(tab.source(header.row + 1, tab.scan.last_row, header.width), header.row + 1):
        if row.count(None) + row.count("") < len(row):
            numbers.append(number)
            kept.append(row)
    columns = list(zip(*kept, strict=True)) or [()] * header.width
    return Rows(numbers, {name: list(columns[index]) for name, index in header.position.items()})


def _scale_percentages(tab: Tab, header: Header, rows: Rows) -> None:
    """A cell shown as 1 % holds 0.01; the tables hold the 1 that the keeper sees."""
    if not tab.scan.percentages:
        return
    at = {number: index for index, number in enumerate(rows.numbers)}
    fields = {header.position[c.field] + 1: c for c in tab.sheet.columns if c.field in header.position}
    for row, position in tab.scan.percentages:
        column = fields.get(position)
        if row not in at or column is None:
            continue
        cells, index = rows.raw[column.field], at[row]
        if isinstance(cells[index], (int, float)) and not isinstance(cells[index], bool):
            points = round(cells[index] * 100, 10)
            if column.kind is Kind.PERCENT:
                cells[index] = points
            elif tab.sheet is SETTINGS_SHEET:
                cells[index] = f"{points:g} %"


def _converted(tab: Tab, header: Header, column: Column, rows: Rows) -> Cells:
    parse = parser(column, header_unit=header.unit[column.field], epoch_1904=tab.epoch_1904, home=tab.home)
    found = convert(rows.raw[column.field], parse)
    position = header.position[column.field] + 1
    unstored = (
        sorted(row for row, place in tab.scan.unstored if place == position and row > header.row)
        if tab.scan.unstored
        else []
    )
    if unstored:
        at = {number: index for index, number in enumerate(rows.numbers)}
        found.faults |= {at[row]: UNSTORED for row in unstored if row in at}
        _tell_unstored(tab, column, unstored, get_column_letter(position))
    return found


def _tell_unstored(tab: Tab, column: Column, unstored: list[int], letter: str) -> None:
    """One problem for the whole column: one act mends it."""
    many = f"{column.name} {UNSTORED.message}"
    if len(unstored) > 1:
        many = f"{len(unstored)} cells of {column.name}, {letter}{unstored[0]} to {letter}{unstored[-1]}, hold formulas without a stored value"
    level = severity(column)
    tab.tell(
        level,
        f"{many}; {_cost(level, column, len(unstored) > 1)}.",
        UNSTORED.hint,
        row=unstored[0],
        column=letter,
    )


def _unsettled_genes(read: Mapping[str, Cells], dropped: set[int]) -> set[int]:
    """Indices of rows at fault that name their gene all the same: they stay, without inheritance.

    Else each label that has the name would be at fault with it, and one slip on this sheet tell of itself a hundred times.
    """
    named = {index for index in dropped if all(read[key].values[index] is not None for key in GENES.key)}
    for index in named:
        read["inheritance"].values[index] = None
    return named


def _cost(level: Severity, column: Column, several: bool = False) -> str:
    if level is Severity.ERROR and column in GENES.columns and column.field not in GENES.key:
        genes = "the genes are read on labels but take" if several else "the gene is read on labels but takes"
        return f"until then {genes} no part in ratios"
    if level is Severity.ERROR:
        return "the rows are left out" if several else "the row is left out"
    return "the cells are taken as blank" if several else "the cell is taken as blank"


def _settle_currency(tab: Tab, read: dict[str, Cells]) -> None:
    """Split prices into amount and currency; the currency fills a blank one, and may not contradict a filled one."""
    has_column = any(column.field == "currency" for column in tab.sheet.columns)
    for name in MONEY & set(read):
        prices = read[name]
        stated = [found and found[1] for found in prices.values]
        prices.values = [found and found[0] for found in prices.values]
        if any(stated):
            size = len(stated)
            own = (
                read.setdefault("currency", Cells([None] * size)) if has_column else Cells([tab.home] * size)
            )
            for index in compress(range(size), stated):
                _settle(prices, own, index, stated[index], tab.home if not has_column else "")


def _settle(prices: Cells, own: Cells, index: int, stated: str, home: str) -> None:
    """`home` is the book's currency where the sheet has no column for another."""
    if own.values[index] is None and index not in own.faults:
        own.values[index] = stated
    elif own.values[index] not in (None, stated):
        prices.values[index] = None
        prices.faults[index] = (
            CellFault(f"is in {stated}, but the book's currency is {home}", f"Write the amount in {home}.")
            if home
            else CellFault(f"is in {stated}, but its currency is {own.values[index]}", "Mend one of the two.")
        )


def _judge(tab: Tab, header: Header, read: Mapping[str, Cells], rows: Rows) -> set[int]:
    """Tell of every faulty cell; the indices of rows that are left out for one."""
    dropped: set[int] = set()
    letters = header.letters
    for column in tab.sheet.columns:
        faults = read[column.field].faults if column.field in read else {}
        level = severity(column)
        for index, fault in faults.items():
            if level is Severity.ERROR:
                dropped.add(index)
            if fault is not UNSTORED:
                value = shown(rows.raw[column.field][index])
                message = f"{column.name} '{value}' {fault.message}; {_cost(level, column)}."
                tab.tell(
                    level,
                    message,
                    fault.hint,
                    row=rows.numbers[index],
                    column=letters[column.field],
                    value=value,
                )
    return dropped


def _half_blank(tab: Tab, header: Header, read: Mapping[str, Cells], rows: Rows) -> set[int]:
    """Indices of rows that lack a required cell: told, unless all they hold are formulas or nothing."""
    letters, dropped = header.letters, set()
    for column in tab.sheet.columns:
        if not column.required or None not in read[column.field].values:
            continue
        for index, value in enumerate(read[column.field].values):
            if value is not None or index in read[column.field].faults:
                continue
            dropped.add(index)
            if _holds_records(tab, header, read, rows, index):
                message = f"{column.name} is empty; {_cost(Severity.ERROR, column)}."
                tab.tell(
                    Severity.ERROR,
                    message,
                    f"Fill in {column.name}, or clear the row.",
                    row=rows.numbers[index],
                    column=letters[column.field],
                )
    return dropped


def _holds_records(tab: Tab, header: Header, read: Mapping[str, Cells], rows: Rows, index: int) -> bool:
    """Whether the row holds anything typed; UNSTORED faults are told once for their column."""
    return any(
        (read[name].values[index] is not None or index in read[name].faults)
        and (rows.numbers[index], position + 1) not in tab.scan.formulas
        for name, position in header.position.items()
    )
