"""The Weights sheet, whole columns at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pipeline.workbook.checks.animals import animals_by_id, born
from pipeline.workbook.checks.dates import check_full_dates, check_future
from pipeline.workbook.checks.inspection import Inspection, Row, selected
from pipeline.workbook.checks.references import Directory, leave_out_stranger, needs_sheet, resolve_id
from pipeline.workbook.checks.spans import in_words

if TYPE_CHECKING:
    import pandas as pd

_VALUES = ("weight", "length")
_MOST = 0.5


def check_measurements(inspection: Inspection, known: Directory) -> None:
    """Leave out weighings of no animal, without a value or a day, or before birth; doubt two weights on one day."""
    if not needs_sheet(inspection, "weights", "animals"):
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
            says = f"Row {row.row} of Weights weighs the animal"
            leave_out_stranger(inspection, row, "animal", "animals", known, says)
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
    """Weighings before birth go; where most of an animal's are, it is the birth date that is doubted, and they stay."""
    animals = animals_by_id(inspection)
    births = {name: span.first for name, row in animals.items() if (span := born(row))}
    frame = inspection.tables["weights"]
    before = frame["date"] < frame["animal"].map(births).astype("datetime64[us]")
    if not before.any():
        return
    most = before.groupby(frame["animal"]).transform("mean") > _MOST
    several = before.groupby(frame["animal"]).transform("sum") > 1
    for row in selected("weights", frame, before & ~(most & several)):
        inspection.error(
            row,
            "date",
            f"Animal {row.animal} was weighed {row.date}, before it was born ({_birth(animals[row.animal])}); the row is left out.",
            "Correct one of the two dates, or the ID.",
        )
    doubted = before & most & several
    for row in selected("weights", frame, doubted & ~frame["animal"].where(doubted).duplicated()):
        inspection.warning(
            row,
            "date",
            f"Most weighings of animal {row.animal} are from before it was born ({_birth(animals[row.animal])}).",
            "Correct its birth date, or the dates of the weighings.",
        )
    inspection.settle("weights")


def _birth(animal: Row) -> str:
    return f"{in_words(born(animal))}; Animals, row {animal.row}"


def _check_same_day(inspection: Inspection) -> None:
    frame = inspection.tables["weights"]
    weighed = frame[frame["weight"].notna()] if "weight" in frame.columns else frame[:0]
    weighed = weighed[weighed.duplicated(["animal", "date"], keep=False)]
    if weighed.empty:
        return
    first = weighed.groupby(["animal", "date"], sort=False)[["row", "weight"]].transform("first")
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
