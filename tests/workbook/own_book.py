"""A keeper's book with what no table holds: charts, a picture, a shape, sparklines, data bars, a note, a link."""

import base64
from io import BytesIO
from pathlib import Path

import xlsxwriter

PICTURE = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg=="
)
"""One dot."""


def write_own_book(path: Path) -> None:
    """Sheets Animals, with all of that, and Own, with a chart and no note."""
    book = xlsxwriter.Workbook(path)
    bold, euros = book.add_format({"bold": True}), book.add_format({"num_format": "#,##0.00 €"})
    page = book.add_worksheet("Animals")
    page.set_column("C:C", 14, euros)
    page.write_row("A1", ["ID", "Weight (g)", "Paid"], bold)
    for row, weight in enumerate((310, 420, 530), start=1):
        page.write_row(row, 0, [f"B{row}", weight])
    page.write_formula("B6", "=SUM(B2:B4)", bold, 1260)
    page.merge_range("D2:E3", "two cells wide")
    page.conditional_format("B2:B4", {"type": "data_bar", "data_bar_2010": True})
    page.add_sparkline("F2", {"range": "Animals!B2:B4"})
    page.insert_image("H2", "dot.png", {"image_data": BytesIO(PICTURE)})
    page.insert_textbox("H6", "Feed on Sundays")
    line, pie = (book.add_chart({"type": kind}) for kind in ("line", "pie"))
    for chart in (line, pie):
        chart.add_series({"values": "=Animals!$B$2:$B$4"})
    page.insert_chart("H10", line)
    page.write_comment("A2", "Bites.")
    page.write_url("A4", "internal:'Own'!A1", string="B3")
    page.data_validation("A2:A9", {"validate": "list", "source": ["B1", "B2"]})
    own = book.add_worksheet("Own")
    own.write("A1", "own")
    own.insert_chart("B2", pie)
    book.close()
