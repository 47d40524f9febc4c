"""The Weights sheet, whole columns at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from pipeline.workbook.checks.animals import animals_by_id
from pipeline.workbook.checks.dates import check_full_dates, check_future
from pipeline.workbook.checks.inspection import Inspection, Row, selected
from pipeline.workbook.checks.references import Directory, resolve_id, unknown_hint

if TYPE_CHECKING:
    import pandas as pd

_VALUES = ("weight", "length")


def check_measurements(inspection: Inspection, known: Directory) -> None:
    """Leave out weighings of no animal, without a value or a day, or before birth; doubt two weights on one day."""
    if not inspection.has("weights"):
        return
    _check_animals(inspection, known)
    _check_values(inspection)
    check_full_dates(inspection, "weights", "Weighing in row")
    _check_births(inspection)
    check_future(inspection, "weights")
    _check_same_day(inspection)


def _check_animals(inspection: Inspection, known: Directory) -> None:
    frame = inspection.tables["weights"]
    for row in selected("weights", frame, ~frame["animal"].isin(known.names)):
        if not resolve_id(inspection, row, "animal", known):
            inspection.error(
                row,
                "animal",
                f"Row {row.row} of Weights weighs the animal '{row.animal}', which is not on the Animals sheet; the row is left out.",
                unknown_hint(inspection, row.animal, known, "animals"),
            )
    inspection.settle("weights")


def _check_values(inspection: Inspection) -> None:
    """A zero is no weight; a row with neither a weight nor a length says nothing."""
    frame = inspection.tables["weights"]
    values = [field for field in _VALUES if field in frame.columns]
    zero = (frame[values] <= 0).any(axis=1)
    for row in selected("weights", frame, zero):
        column = next(
            field for field in values if (getattr(row, field) or 1) <= 0 or getattr(row, field) == 0
        )
        inspection.error(
            row,
            column,
            f"The {column} of animal {row.animal} in row {row.row} must be above zero; the row is left out.",
            "Write the value, or leave the cell blank if it was not taken.",
        )
    for row in selected("weights", frame, frame[values].isna().all(axis=1)):
        inspection.error(
            row,
            "weight",
            f"Row {row.row} of Weights has neither a weight nor a length of animal {row.animal}; the row is left out.",
            "Write the weight in grams or the length in centimetres, or delete the row.",
        )
    inspection.settle("weights")


def _check_births(inspection: Inspection) -> None:
    """Before the day, or the first day of the year, in which the animal was born."""
    animals = animals_by_id(inspection)
    births = {
        name: row.born or (row.born_year and np.datetime64(f"{row.born_year}-01-01"))
        for name, row in animals.items()
    }
    frame = inspection.tables["weights"]
    birth = frame["animal"].map({name: np.datetime64(day) for name, day in births.items() if day})
    for row in selected("weights", frame, frame["date"] < birth.astype("datetime64[us]")):
        animal = animals[row.animal]
        inspection.error(
            row,
            "date",
            f"Animal {row.animal} was weighed {row.date}, before it was born ({animal.born or animal.born_year}; Animals, row {animal.row}); the row is left out.",
            "Correct one of the two dates, or the ID.",
        )
    inspection.settle("weights")


def _check_same_day(inspection: Inspection) -> None:
    frame = inspection.tables["weights"]
    weighed = frame[frame["weight"].notna()] if "weight" in frame.columns else frame[:0]
    day = weighed.groupby(["animal", "date"], sort=False)
    first = day[["row", "weight"]].transform("first")
    differs = weighed["weight"] != first["weight"]
    for row, (first_row, weight) in zip(
        selected("weights", weighed, differs), _pairs(first[differs]), strict=True
    ):
        inspection.warning(
            row,
            "weight",
            f"Animal {row.animal} has two weights on {row.date}: {weight:g} g (row {first_row:.0f}) and {row.weight:g} g (row {row.row}).",
            "Delete the wrong one, or correct the date.",
        )


def _pairs(frame: pd.DataFrame) -> list[Row]:
    return list(frame.itertuples(index=False, name=None))
