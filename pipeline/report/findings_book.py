"""findings.xlsx: a sheet of contents, then a sheet for each table of answers, ready to filter and sort.

Nothing that a keeper typed becomes a formula or a link in it, and the same findings give the same file.
"""

from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pandas as pd
import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from pipeline.report.book_links import LOOKED_AT, BookLinks
from pipeline.report.context import Context, complete
from pipeline.report.excel_charts import TITLE, excel_charts, write_excel_charts
from pipeline.report.head import PageHead
from pipeline.report.readable import PERCENT
from pipeline.report.sheet_formats import Formats, is_long, is_number, number_format
from pipeline.report.table_sheet import TableSheet
from pipeline.report.verdicts import VERDICTS
from pipeline.store.foremost import Cut
from pipeline.store.tables import FINDINGS, FindingsColumn, FindingsTable

DRAWN = frozenset({"growth_curves", "growth_points", "price_bands", "price_points"})
"""Tables that only serve to draw a chart, the keeper's own records among them: in season.duckdb, not here."""
_UNLINKED = frozenset({"ratio_classes", "ratio_resolutions", "ratio_parts", "pair_outcomes"})
"""Rows behind a row of another table, which has the link."""
HEADER = 3
"""The header's row, counted from 0; the rows of the table follow."""
_LONGEST = 32_767
_DAY_ZERO = date(1899, 12, 30).toordinal()
"""Excel counts days from here."""
_WIDTHS = (8, 46)
_CONTENTS_WIDTH = 90
_LINE, _MOST_LINES = 15.5, 26
"""The height of a line of text in points, and how many fit into the tallest row that Excel allows."""


def write_findings_book(
    findings: Mapping[str, pd.DataFrame],
    path: Path,
    *,
    as_of: date,
    books: Mapping[str, str] | None = None,
    cuts: Sequence[Cut] = (),
) -> None:
    """Write findings (frames by findings table name) as an Excel workbook. `as_of` is its date of making.

    Cells that speak of a record link to it in the keeper's book: `books` are the ways to the books by file name, relative
    to the folder of the findings (see book_links.py). `cuts` are the tables of which only the most telling rows are here;
    the contents say so.
    """
    told = tuple(sorted(set(findings["record_places"]["book"]))) if "record_places" in findings else ()
    context = Context(complete(findings), PageHead(told, as_of))
    tables, links = context.tables, BookLinks(context.records, books or {})
    # the library's temporary files lie beside the workbook: on the disk that is named where there is no room, swept with it
    options = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    with xlsxwriter.Workbook(str(path), {**options, "tmpdir": str(path.parent)}) as book:
        book.set_properties(
            {"title": "Findings", "created": datetime(as_of.year, as_of.month, as_of.day, tzinfo=UTC)}
        )
        formats = Formats(book)
        shown = [table for table in FINDINGS if table.name not in DRAWN]
        filled = [table for table in shown if len(tables[table.name])]
        names = _sheet_names(filled)
        drawn = excel_charts(context)
        contents = book.add_worksheet("Contents")
        _write_contents(contents, shown, tables, names, formats, as_of, {cut.table.name: cut for cut in cuts})
        if drawn:
            contents.write_url(1, 0, f"internal:'{TITLE}'!A1", formats.link, TITLE)
        if drawn:
            write_excel_charts(book, book.add_worksheet(TITLE), drawn, formats)
        for table in filled:
            sheet = book.add_worksheet(names[table.name], TableSheet)
            _write_table(sheet, table, tables[table.name], formats, links)


def _sheet_names(tables: list[FindingsTable]) -> dict[str, str]:
    """Sheet names by table: the title as far as Excel allows (31 characters, none of []:*?/\\), each once."""
    names: dict[str, str] = {}
    for table in tables:
        title = "".join(c for c in table.title if c not in "[]:*?/\\'")
        while len(title) > 31:
            title = title.rpartition(" ")[0] or title[:31]
        names[table.name] = title if title not in names.values() else table.name[:31]
    return names


def _write_contents(
    sheet: Worksheet,
    shown: list[FindingsTable],
    tables: Mapping[str, pd.DataFrame],
    names: Mapping[str, str],
    formats: Formats,
    as_of: date,
    cuts: Mapping[str, Cut],
) -> None:
    """One row a table: its sheet, how many rows, what it tells; an empty table says so, and one that is not whole."""
    sheet.set_column(0, 0, 34)
    sheet.set_column(1, 1, 10)
    sheet.set_column(2, 2, _CONTENTS_WIDTH)
    sheet.write_string(0, 0, f"Findings as of {as_of:%Y-%m-%d}", formats.title)
    said = "What the words and the numbers mean stands in the note of each heading; a link leads to the row of your book."
    sheet.write_string(1, 2, said, formats.meaning)
    for at, name in enumerate(("Sheet", "Rows", "What it tells")):
        sheet.write_string(HEADER, at, name, formats.number_header if name == "Rows" else formats.header)
    for row, table in enumerate(shown, start=HEADER + 1):
        count = len(tables[table.name])
        if count:
            link = f"internal:'{names[table.name]}'!A1"
            sheet.write_url(row, 0, link, formats.link, names[table.name])
        else:
            sheet.write_string(row, 0, table.title, formats.plain)
        sheet.write_number(row, 1, count, formats.whole)
        cut = (
            f"The most telling of {cuts[table.name].rows:,} rows; season.duckdb has all. "
            if table.name in cuts
            else ""
        )
        found = cut if count else "Nothing found. "
        sheet.write_string(row, 2, f"{found}{table.meaning}", formats.wrapped)
        sheet.set_row(row, _height(_lines(f"{found}{table.meaning}", _CONTENTS_WIDTH)))
    _write_verdicts(sheet, HEADER + len(shown) + 3, formats)
    sheet.freeze_panes(HEADER + 1, 0)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)


def _write_verdicts(sheet: Worksheet, start: int, formats: Formats) -> None:
    """What each verdict means and what it does not."""
    sheet.write_string(start, 0, "Verdict", formats.header)
    sheet.write_string(start, 1, "", formats.header)
    sheet.write_string(start, 2, "What it means, and what it does not", formats.header)
    for row, verdict in enumerate(VERDICTS, start=start + 1):
        sheet.write_string(row, 0, f"{verdict.mark} {verdict.word}", formats.plain)
        text = f"{verdict.means} {verdict.not_means}"
        sheet.write_string(row, 2, text, formats.wrapped)
        sheet.set_row(row, _height(_lines(text, _CONTENTS_WIDTH)))


def _write_table(
    sheet: TableSheet, table: FindingsTable, frame: pd.DataFrame, formats: Formats, links: BookLinks
) -> None:
    """Title, meaning, header with notes, rows; filters on, header and first columns in sight."""
    sheet.write_string(0, 0, table.title, formats.title)
    sheet.write_string(1, 0, table.meaning, formats.meaning)
    last = HEADER + len(frame)
    lines = [1] * len(frame)
    for at, column in enumerate(table.columns):
        heading = column.name.replace("_", " ")
        sheet.write_string(
            HEADER, at, heading, formats.number_header if is_number(column) else formats.header
        )
        sheet.write_comment(HEADER, at, column.meaning, {"x_scale": 1.6, "font_size": 10})
        cells, sample = _write_column(sheet, at, column, frame[column.name], formats)
        width = _width([heading + "   ", *sample])
        sheet.set_column(at, at, width)
        if is_long(column) and not is_number(column):
            lines = [max(most, _lines(cell or "", width)) for most, cell in zip(lines, cells, strict=True)]
        if column.name == "verdict":
            formats.mark_verdicts(sheet, HEADER + 1, at, last)
    sheet.heighten([_height(many) for many in lines])
    _write_links(sheet, table, frame, formats, links)
    sheet.autofilter(HEADER, 0, last, len(table.columns) - 1)
    sheet.freeze_panes(HEADER + 1, 0)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(HEADER)


def _write_column(
    sheet: TableSheet, at: int, column: FindingsColumn, values: pd.Series, formats: Formats
) -> tuple[list[Any], list[str]]:
    """Write one column; missing cells stay empty. Returns its cells, and the texts by which the width is set."""
    make, style, sample = _written(column, formats)
    present = zip(values.tolist(), values.notna().tolist(), strict=True)
    cells = [make(value) if known else None for value, known in present]
    sheet.fill(HEADER + 1, at, cells, style)
    return cells, [sample] if sample else [cell for cell in cells[:200] if cell is not None]


def _written(column: FindingsColumn, formats: Formats) -> tuple[Callable[[Any], Any], Format, str]:
    """What makes a cell of a value, how it looks, and the longest text that a number or a date comes to."""
    if column.type == "DATE":
        return lambda day: day.toordinal() - _DAY_ZERO, formats.date, "2026-01-01"
    if column.type == "BOOLEAN":
        return bool, formats.plain, "FALSE"
    if column.type in ("INTEGER", "DOUBLE"):
        return float, formats.number(number_format(column)), "123,456"
    if is_long(column) and column.name != "value":  # that is what the keeper's cell holds, to the letter
        return lambda value: PERCENT.sub("\u00a0", str(value))[:_LONGEST], formats.wrapped, ""
    return lambda value: str(value)[:_LONGEST], formats.wrapped if is_long(column) else formats.plain, ""


def _write_links(
    sheet: TableSheet, table: FindingsTable, frame: pd.DataFrame, formats: Formats, links: BookLinks
) -> None:
    """One cell of each row that speaks of a record becomes a link to it.

    It is the first whose turn it is (see BookLinks.turn); rows behind a test have none, since the test has it.
    """
    if table.name in _UNLINKED:
        return
    turns = [(links.turn(table.name, column.name), at) for at, column in enumerate(table.columns)]
    fields = [(at, table.columns[at]) for turn, at in sorted((t, at) for t, at in turns if t is not None)]
    asked = {*LOOKED_AT, *(column.name for _, column in fields)}
    known = frame[[name for name in frame.columns if name in asked]]
    for row, record in enumerate(known.to_dict("records") if fields else (), start=HEADER + 1):
        for at, column in fields:
            place = links.cell_of(table.name, column.name, record)
            if place is None:
                continue
            text = str(record[column.name])[:_LONGEST]
            style = formats.number_link if is_number(column) else formats.link
            if links.write(sheet, (row, at), text, place, style):
                break


def _lines(text: str, width: float) -> int:
    """Lines that a wrapped text takes in a column of that width, about."""
    room = max(1, int(width))
    return sum(1 + len(line) // room for line in text.split("\n"))


def _height(lines: int) -> float | None:
    """The height of a row of so many lines; the usual one for a single line."""
    return _LINE * min(lines, _MOST_LINES) if lines > 1 else None


def _width(texts: list[str]) -> float:
    """A width that shows most texts whole; the rest wrap or are cut by the cell."""
    lowest, highest = _WIDTHS
    return min(highest, max(lowest, max(len(text) for text in texts) + 2))
