"""The Prices sheet, whole columns at once."""

from __future__ import annotations

from pipeline.genetics.collection import Settings
from pipeline.workbook.checks.dates import check_full_dates, check_future
from pipeline.workbook.checks.inspection import Inspection, selected
from pipeline.workbook.checks.labels import Labels, check_labels_of_table


def check_prices(inspection: Inspection, labels: Labels, settings: Settings) -> None:
    """Leave out prices without a value, a day, a currency or a readable label; note currencies without a rate."""
    if not inspection.has("prices"):
        return
    _check_values(inspection)
    check_full_dates(inspection, "prices", "The price in row")
    _check_currencies(inspection)
    _note_rates(inspection, settings)
    check_future(inspection, "prices")
    check_labels_of_table(inspection, labels, "prices", "The price in row")


def _check_values(inspection: Inspection) -> None:
    frame = inspection.tables["prices"]
    for row in selected("prices", frame, ~(frame["price"] > 0)):
        inspection.error(
            row,
            "price",
            f"The price in row {row.row} must be above zero, not {'blank' if row.price is None else f'{row.price:g}'}; the row is left out.",
            "Write the price, or delete the row; a gift is no price.",
        )
    inspection.settle("prices")


def _check_currencies(inspection: Inspection) -> None:
    """Three letters, written in capitals from here on."""
    frame = inspection.tables["prices"]
    if "currency" not in frame.columns:
        return
    letters = frame["currency"].str.strip().str.upper()
    strange = frame["currency"].notna() & ~letters.str.fullmatch("[A-Z]{3}").fillna(False).astype(bool)
    for row in selected("prices", frame, strange):
        inspection.error(
            row,
            "currency",
            f"The currency of the price in row {row.row} must be three letters, not '{row.currency}'; the row is left out.",
            "Write it as USD, EUR or the like, or leave it blank for your own currency.",
        )
    inspection.tables["prices"] = frame.assign(currency=letters.astype(frame["currency"].dtype))
    inspection.settle("prices")


def _note_rates(inspection: Inspection, settings: Settings) -> None:
    frame = inspection.tables["prices"]
    if "currency" not in frame.columns:
        return
    known = {settings.currency, *settings.rates}
    unrated = frame[frame["currency"].notna() & ~frame["currency"].isin(known)]
    for row in selected("prices", unrated, ~unrated["currency"].duplicated()):
        inspection.note(
            row,
            "currency",
            f"The book gives no rate for {row.currency}, so prices in {row.currency} are kept apart from those in {settings.currency}.",
            f"Add the setting 'Rate {row.currency}': what one {row.currency} is worth in {settings.currency}.",
        )
