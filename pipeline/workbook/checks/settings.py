"""The Settings sheet: known names, values in range, and what a blank leaves."""

from __future__ import annotations

import re
from typing import Any

from pipeline.genetics.collection import Settings
from pipeline.workbook.checks.inspection import Inspection, Row
from pipeline.workbook.checks.wording import did_you_mean, fold
from pipeline.workbook.sheets import SETTINGS, Kind, Setting

_BY_NAME = {fold(setting.name): setting for setting in SETTINGS} | {
    fold(setting.field): setting for setting in SETTINGS
}
_RATE = re.compile(r"rate\s+([a-z]{3})", re.IGNORECASE)
_CURRENCY = re.compile(r"[A-Za-z]{3}")


def check_settings(inspection: Inspection) -> Settings:
    """The settings of the book; what is unknown, unreadable or out of range is told and its default holds."""
    values: dict[str, Any] = {}
    rates: dict[str, float] = {}
    for row in inspection.rows("settings"):
        rate, setting = _RATE.fullmatch(row.setting.strip()), _BY_NAME.get(fold(row.setting))
        if rate:
            value = _rate(inspection, row)
            rates |= {} if value is None else {rate[1].upper(): value}
        elif setting is None:
            _unknown(inspection, row)
        elif row.value is not None:
            value = _value(inspection, row, setting)
            values |= {} if value is None else {setting.field: value}
    return Settings(**values, rates=rates)


def _unknown(inspection: Inspection, row: Row) -> None:
    names = [setting.name for setting in SETTINGS] + ["Rate EUR"]
    inspection.warning(
        row,
        "setting",
        f"There is no setting '{row.setting}'; the row is not used.",
        did_you_mean(row.setting, names, "The first page of a blank book lists the settings."),
    )


def _rate(inspection: Inspection, row: Row) -> float | None:
    value = number(row.value)
    if value is None or value <= 0:
        inspection.warning(
            row,
            "value",
            f"'{row.setting}' must be a number above zero, not '{row.value or ''}'; prices in that currency are kept apart.",
            "Write what one unit of it is worth in your own currency, such as 1.08.",
        )
        return None
    return value


def _value(inspection: Inspection, row: Row, setting: Setting) -> Any:
    """The setting's value, percentages as shares; None (so the default) with a warning where it can't be used."""
    text = str(row.value).strip()
    if setting.name == "Currency":
        return (
            text.upper()
            if _CURRENCY.fullmatch(text)
            else _unusable(inspection, row, setting, "three letters, such as USD")
        )
    if setting.kind is Kind.TEXT:
        return text
    value = number(text)
    if value is None:
        return _unusable(inspection, row, setting, "a number")
    if setting.kind is Kind.INTEGER and value != int(value):
        return _unusable(inspection, row, setting, "a whole number")
    if not _within(value, setting):
        return _unusable(inspection, row, setting, _range(setting))
    if setting.kind is Kind.PERCENT:
        return value / 100
    return int(value) if setting.kind is Kind.INTEGER else value


def _unusable(inspection: Inspection, row: Row, setting: Setting, must_be: str) -> None:
    default = "no limit" if setting.default is None else setting.default
    inspection.warning(
        row,
        "value",
        f"'{setting.name}' must be {must_be}, not '{row.value}'; the default, {default}, is used.",
        f"Write {must_be}, or leave the value blank.",
    )


def _within(value: float, setting: Setting) -> bool:
    low = setting.minimum is None or value >= setting.minimum
    return low and (setting.maximum is None or value <= setting.maximum)


def _range(setting: Setting) -> str:
    if setting.maximum is None:
        return f"{setting.minimum:g} or more"
    return f"between {setting.minimum:g} and {setting.maximum:g}"


def number(text: str | None) -> float | None:
    """A number as a keeper types it ('5', '5 %', '0,5'); None where it is none."""
    cleaned = (text or "").strip().removesuffix("%").strip().replace(",", ".")
    try:
        value = float(cleaned)
    except ValueError:
        return None
    return value if abs(value) < float("inf") else None
