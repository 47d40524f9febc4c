"""Hatch results clutch by clutch: sizes that can be, dates that follow the pairing, rows entered twice."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pipeline.workbook.checks.animals import animals_by_id
from pipeline.workbook.checks.hatch import record
from pipeline.workbook.checks.inspection import Inspection, Row, selected
from pipeline.workbook.checks.pairings import paired_from
from pipeline.workbook.checks.spans import in_words, span, surely_before
from pipeline.workbook.checks.wording import rows_of

if TYPE_CHECKING:
    import pandas as pd

_TIMES_TYPICAL = 4
_LARGE = 60
_DUE_SHARE = 0.35
_DUE_DAYS = 30
"""Young may come this share of the Days to young, or this many days, off the due date without a question."""


def check_litters(inspection: Inspection) -> None:
    """Warnings only: the rows themselves are sound."""
    if not inspection.has("hatch_results"):
        return
    animals = animals_by_id(inspection)
    species = {row.species: row for row in inspection.rows("species")}
    pairings = {row.pairing: row for row in inspection.rows("pairings")}
    kinds = {name: species.get(animals[row.dam].species) for name, row in pairings.items()}
    clutches: dict[tuple[str, int], list[Row]] = {}
    for row in inspection.rows("hatch_results"):
        clutches.setdefault((row.pairing, row.clutch or 1), []).append(row)
    for (pairing, clutch), rows in clutches.items():
        _check_size(inspection, f"Clutch {clutch} of pairing {pairing}", rows, kinds[pairing])
        _check_dates(inspection, rows, pairings[pairing], kinds[pairing])
    _check_repeats(inspection, inspection.tables["hatch_results"])


def _check_size(inspection: Inspection, name: str, rows: list[Row], species: Row | None) -> None:
    total = sum(1 if row.count is None else row.count for row in rows)
    typical = species and species.typical_litter
    if typical and total > _LARGE and total > _TIMES_TYPICAL * typical:
        largest = max(rows, key=lambda row: row.count or 1)
        inspection.warning(
            largest,
            "count",
            f"{name} has {total} young in all ({rows_of(rows)}), more than {_TIMES_TYPICAL} times the {typical:g} of a typical litter.",
            "Check the counts, and whether several clutches share one number.",
        )


def _check_dates(inspection: Inspection, rows: list[Row], pairing: Row, species: Row | None) -> None:
    """Each distinct date of a clutch once, at the first row that has it."""
    first_of = {(row.date, row.date_year): row for row in reversed(rows) if row.date or row.date_year}
    for row in first_of.values():
        came = span(row.date, row.date_year)
        laid = span(pairing.ovulated_or_laid, pairing.ovulated_or_laid_year)
        if surely_before(came, paired_from(pairing)):
            inspection.warning(
                row,
                "date",
                f"Young of pairing {row.pairing} came {in_words(came)}, before the pair was together ({in_words(paired_from(pairing))}).",
                "Correct one of the two dates.",
            )
        elif surely_before(came, laid):
            inspection.warning(
                row,
                "date",
                f"Young of pairing {row.pairing} came {in_words(came)}, before the dam ovulated or laid ({in_words(laid)}).",
                "Correct one of the two dates.",
            )
        elif species is not None and species.days_to_young and row.date and pairing.ovulated_or_laid:
            _check_due(inspection, row, (row.date - pairing.ovulated_or_laid).days, species.days_to_young)


def _check_due(inspection: Inspection, row: Row, days: int, usual: float) -> None:
    if abs(days - usual) > max(_DUE_DAYS, _DUE_SHARE * usual):
        inspection.warning(
            row,
            "date",
            f"Young of pairing {row.pairing} came {days} days after ovulation or laying; {usual:g} are usual by the Species sheet.",
            "Check both dates, and the species' Days to young.",
        )


def _check_repeats(inspection: Inspection, frame: pd.DataFrame) -> None:
    """Tallies that repeat another row in every cell; single young alike are nothing unusual."""
    if "count" not in frame.columns:
        return
    fields = [column for column in frame.columns if column not in ("book", "sheet", "row")]
    repeated = frame.duplicated(fields) & (frame["count"] > 1).fillna(False)
    if not repeated.any():
        return
    first = frame["row"].groupby([frame[field] for field in fields], dropna=False).transform("first")
    for row, first_row in zip(selected("hatch_results", frame, repeated), first[repeated], strict=True):
        inspection.warning(
            row,
            "count",
            f"{record(row)} repeats row {first_row} in every cell; both are counted.",
            "Delete one of them if the tally was entered twice.",
        )
