"""Dates of long tables, whole columns at once: bare years where a day is needed, days that have not come."""

from __future__ import annotations

import numpy as np

from pipeline.workbook.checks.inspection import Inspection, selected
from pipeline.workbook.checks.wording import rows_of
from pipeline.workbook.sheets import sheet


def check_full_dates(inspection: Inspection, table: str, what: str) -> None:
    """Leave out rows whose date is a bare year, or blank, where only a day can be used."""
    frame = inspection.tables[table]
    for row in selected(table, frame, frame["date"].isna()):
        inspection.error(
            row,
            "date",
            f"{what} {row.row} needs a full date, not {'a bare year' if row.date_year else 'a blank'}; the row is left out.",
            "Write the day, such as 2024-05-31; the first of the month will do if only the month is known.",
        )
    inspection.settle(table)


def check_future(inspection: Inspection, table: str) -> None:
    """One warning for all rows of a sheet dated after the day of the analysis."""
    if not inspection.has(table) or "date" not in inspection.tables[table].columns:
        return
    frame = inspection.tables[table]
    rows = selected(table, frame, frame["date"] > np.datetime64(inspection.as_of))
    if rows:
        subject = (
            f"Row {rows[0].row} of {sheet(table).name} is"
            if len(rows) == 1
            else f"{len(rows)} rows of {sheet(table).name} ({rows_of(rows)}) are"
        )
        inspection.warning(
            rows[0],
            "date",
            f"{subject} dated after {inspection.as_of}, the day of this analysis.",
            "Correct the date, unless the analysis is meant to look back.",
        )
