"""Records that are there twice."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pipeline.workbook.checks.inspection import Inspection, selected
from pipeline.workbook.checks.wording import fold, spaceless
from pipeline.workbook.sheets import SHEETS, Kind, Sheet

if TYPE_CHECKING:
    import pandas as pd


def check_keys(inspection: Inspection) -> None:
    """Leave out the later of two rows with one key; warn where two IDs differ only in case or spaces.

    IDs are compared as typed; names (species, genes, morph names, goals, settings) without case and punctuation.
    """
    for sheet in SHEETS:
        if sheet.key and inspection.has(sheet.table):
            _check_duplicates(inspection, sheet)
            inspection.settle(sheet.table)
            if sheet.column(sheet.key[-1]).kind is Kind.ID:
                _check_variants(inspection, sheet)


def _check_duplicates(inspection: Inspection, sheet: Sheet) -> None:
    frame = inspection.tables[sheet.table]
    keys = _keys(frame, sheet)
    repeated = keys.duplicated(keep="first")
    if not repeated.any():
        return
    first_rows = frame["row"].groupby(keys).transform("first")
    field = sheet.key[-1]
    for row, first in zip(selected(sheet.table, frame, repeated), first_rows[repeated], strict=True):
        name = sheet.column(field).name
        inspection.error(
            row,
            field,
            f"{name} '{getattr(row, field)}' stands in row {first} and again in row {row.row}; row {row.row} is left out.",
            f"Delete one of the two rows, or give one another {name}.",
        )


def _check_variants(inspection: Inspection, sheet: Sheet) -> None:
    frame = inspection.tables[sheet.table]
    field = sheet.key[-1]
    alike = frame[field].map(spaceless)
    again = alike.duplicated(keep="first")
    if not again.any():
        return
    first = frame[["row", field]].groupby(alike).transform("first")
    for row, first_row, first_id in zip(
        selected(sheet.table, frame, again), first["row"][again], first[field][again], strict=True
    ):
        inspection.warning(
            row,
            field,
            f"'{getattr(row, field)}' (row {row.row}) and '{first_id}' (row {first_row}) differ only in case or spaces and count as two.",
            "If they are one, delete a row; if not, make the two easier to tell apart.",
        )


def _keys(frame: pd.DataFrame, sheet: Sheet) -> pd.Series:
    """One text a row; parts of a key are joined by a character that no cell holds."""
    exact = sheet.column(sheet.key[-1]).kind is Kind.ID
    parts = [
        frame[field].astype(object) if exact else frame[field].map(fold).astype(object) for field in sheet.key
    ]
    return parts[0] if len(parts) == 1 else parts[0] + "\x1f" + parts[1]
