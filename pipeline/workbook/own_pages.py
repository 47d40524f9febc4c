"""Pages of a new book that hold no records of ours: what was brought in from an old list, and what was left over."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from openpyxl import Workbook
from openpyxl.utils import get_column_letter

from pipeline.workbook import styles
from pipeline.workbook.xstring import encoded


@dataclass(frozen=True)
class OwnPage:
    """A table under a title of OWN_SHEETS; `widths` are those of its columns, in characters."""

    title: str
    headers: tuple[str, ...]
    rows: tuple[Sequence, ...]
    widths: tuple[float, ...]


def write_page(book: Workbook, own: OwnPage) -> None:
    """Add the page as the last one. Text stays text, also where it begins with '='."""
    page = book.create_sheet(own.title)
    for number, (header, width) in enumerate(zip(own.headers, own.widths, strict=True), start=1):
        cell = page.cell(1, number, header)
        cell.font, cell.fill = styles.OPTIONAL_FONT, styles.OPTIONAL_FILL
        cell.border, cell.alignment = styles.HEADER_BORDER, styles.HEADER_ALIGNMENT
        page.column_dimensions[get_column_letter(number)].width = width
    for number, row in enumerate(own.rows, start=2):
        for place, value in enumerate(row, start=1):
            if value is not None and value != "":
                cell = page.cell(number, place, value)
                cell.alignment = styles.WRAPPED
                if isinstance(value, str):
                    cell.value, cell.data_type = encoded(value), "s"
                elif isinstance(value, (date, datetime)):
                    cell.number_format = styles.ISO_FORMAT
                elif isinstance(value, (time, timedelta)):
                    cell.number_format = "[h]:mm:ss"
        texts = ((value, width) for value, width in zip(row, own.widths, strict=False) if isinstance(value, str))
        page.row_dimensions[number].height = styles.row_height(texts)
    page.freeze_panes = "A2"
    page.auto_filter.ref = f"A1:{get_column_letter(len(own.headers))}{len(own.rows) + 1}"
