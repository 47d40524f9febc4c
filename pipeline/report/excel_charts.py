"""The sheet Charts of findings.xlsx: Excel's own charts of growth and prices, beside the few numbers they draw."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

import pandas as pd
from xlsxwriter import Workbook
from xlsxwriter.worksheet import Worksheet

from pipeline.report.chosen_charts import growth_rows, price_rows
from pipeline.report.context import Context
from pipeline.report.lookup import Lookup
from pipeline.report.sections.part import counted
from pipeline.report.sheet_formats import Formats

TITLE = "Charts"
MOST = 6
"""Charts of each kind."""
_DAY_ZERO = date(1899, 12, 30).toordinal()
_WIDE, _TALL = 620, 320
_ROWS_EACH = 18
"""Rows of the sheet that a chart takes, heading included."""
_CHART_COLUMNS = 11
"""Columns that a chart covers; its numbers stand to the right, so that both are in sight."""
_LONGEST_NAME = 60
_INK, _POINT, _BAND = "#14574A", "#D55E00", "#A8A49A"
_LINE = {"color": _INK, "width": 2}
_EDGE = {"color": _BAND, "width": 1, "dash_type": "dash"}
_MARK = {"type": "circle", "size": 6, "border": {"color": _POINT}, "fill": {"color": _POINT}}


Block = tuple[str, pd.DataFrame]
"""'points' or 'curve' and its numbers: a day, then one column a series."""
Drawn = tuple[str, str, Sequence[Block]]
"""Title, unit of the vertical axis, blocks."""


def excel_charts(context: Context) -> list[Drawn]:
    """The animals next to be ready (weighings, curve, 80 % interval) and the surest price trends (95 %)."""
    return [one for one in (*_growth(context), *_prices(context)) if all(len(frame) for _, frame in one[2])]


def write_excel_charts(book: Workbook, sheet: Worksheet, drawn: Sequence[Drawn], formats: Formats) -> None:
    """One chart below the other, each beside its numbers."""
    sheet.write_string(0, 0, "Charts of growth and prices", formats.title)
    said = "Circles are your records, the line is what they say, dashed lines bound it. The numbers stand at the right."
    sheet.write_string(1, 0, said, formats.meaning)
    sheet.set_column(_CHART_COLUMNS, _CHART_COLUMNS + 7, 11)
    for number, (title, unit, blocks) in enumerate(drawn):
        top = 3 + number * _ROWS_EACH
        _write_chart(book, sheet, top, title, unit, blocks, formats)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)


def _growth(context: Context) -> list[Drawn]:
    drawn: list[Drawn] = []
    lookup = Lookup(context.tables)
    for row in growth_rows(context).head(MOST).itertuples(index=False):
        keys = {"book": row.book, "animal": row.animal}
        points = _own(lookup, "growth_points", keys)
        points = points[points["used"].fillna(False).astype(bool)]
        curve = _own(lookup, "growth_curves", keys)
        blocks = [
            ("points", points[["on", "weight_g"]].set_axis(["day", "weighings"], axis=1)),
            (
                "curve",
                curve[["on", "weight_g", "low_g", "high_g"]].set_axis(
                    ["day", "curve", "low", "high"], axis=1
                ),
            ),
        ]
        drawn.append(
            (
                f"Growth of {_short(row.animal)}: {counted(len(points), 'weighing')}, 80 % interval",
                "Weight (g)",
                blocks,
            )
        )
    return drawn


def _short(name: object) -> str:
    """A name as a title bears it. A title must not begin with one: text that begins with = would be a formula. Nor may it
    hold an exclamation mark, by which the writing library knows a reference."""
    text = str(name).replace("!", "")
    return text if len(text) <= _LONGEST_NAME else f"{text[:_LONGEST_NAME]}…"


def _prices(context: Context) -> list[Drawn]:
    drawn: list[Drawn] = []
    lookup = Lookup(context.tables)
    for row in price_rows(context).head(MOST).itertuples(index=False):
        keys = {name: getattr(row, name) for name in ("book", "species", "morph", "currency", "kind")}
        points, band = _own(lookup, "price_points", keys), _own(lookup, "price_bands", keys)
        blocks = [
            ("points", points[["on", "scaled"]].set_axis(["day", "prices"], axis=1)),
            ("curve", band[["on", "price", "low", "high"]].set_axis(["day", "trend", "low", "high"], axis=1)),
        ]
        title = f"Prices of {_short(row.morph)} ({_short(row.species)}): {counted(len(points), 'advert or sale', 'adverts and sales')}, 95 % interval"
        drawn.append((title, f"Price ({row.currency})", blocks))
    return drawn


def _own(lookup: Lookup, table: str, keys: Mapping[str, Any]) -> pd.DataFrame:
    return lookup.rows(table, keys).sort_values("on", kind="stable")


def _write_chart(
    book: Workbook,
    sheet: Worksheet,
    top: int,
    title: str,
    unit: str,
    blocks: Sequence[Block],
    formats: Formats,
) -> None:
    """One chart at the left and its numbers at the right of the same rows; a long curve is thinned to fit them."""
    chart = book.add_chart({"type": "scatter", "subtype": "straight_with_markers"})
    chart.set_title({"name": title, "name_font": {"size": 12}, "overlay": False})
    chart.set_x_axis({"num_format": "yyyy-mm", "major_gridlines": {"visible": False}})
    chart.set_y_axis({"name": unit, "num_format": "#,##0", "min": 0})
    chart.set_legend({"position": "bottom"})
    chart.set_size({"width": _WIDE, "height": _TALL})
    column = _CHART_COLUMNS
    for kind, frame in blocks:
        frame = frame if kind == "points" else _thinned(frame)
        _write_block(sheet, top, column, frame, formats)
        for at, name in enumerate(frame.columns[1:], start=1):
            chart.add_series(_series(kind, name, (sheet.get_name(), top, column, at, len(frame))))
        column += len(frame.columns) + 1
    sheet.insert_chart(top, 0, chart, {"description": f"Chart: {title}. Its numbers stand at its right."})


def _thinned(frame: pd.DataFrame) -> pd.DataFrame:
    """At most as many rows as stand beside a chart, the first and the last among them."""
    most = _ROWS_EACH - 3
    if len(frame) <= most:
        return frame
    return frame.iloc[[round(step * (len(frame) - 1) / (most - 1)) for step in range(most)]]


def _write_block(sheet: Worksheet, top: int, column: int, frame: pd.DataFrame, formats: Formats) -> None:
    for at, name in enumerate(frame.columns):
        sheet.write_string(top, column + at, name, formats.number_header)
        style = formats.number("#,##0") if at else formats.date
        for row, value in enumerate(frame[name].tolist(), start=top + 1):
            if pd.notna(value):
                sheet.write_number(row, column + at, value if at else value.toordinal() - _DAY_ZERO, style)


def _series(kind: str, name: str, where: tuple[str, int, int, int, int]) -> dict[str, Any]:
    """A series whose numbers stand `at` columns right of its days."""
    sheet, top, column, at, rows = where
    last = top + max(rows, 1)
    drawn: dict[str, Any] = {
        "name": [sheet, top, column + at],
        "categories": [sheet, top + 1, column, last, column],
        "values": [sheet, top + 1, column + at, last, column + at],
    }
    if kind == "points":
        return {**drawn, "line": {"none": True}, "marker": _MARK}
    return {**drawn, "line": _EDGE if name in ("low", "high") else _LINE, "marker": {"type": "none"}}
