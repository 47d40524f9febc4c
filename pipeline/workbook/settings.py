"""The Settings sheet as the settings of an analysis, defaults filled in."""

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from pipeline.genetics.collection import Settings
from pipeline.problems import Place, Problem, Severity
from pipeline.workbook import cells, money
from pipeline.workbook.cells import CellFault
from pipeline.workbook.sheets import SETTINGS, Kind, Setting
from pipeline.workbook.words import nearest

if TYPE_CHECKING:
    import pandas as pd

_RATE = re.compile(r"rate[\s:_-]*(?:\(?\s*)(.+?)\)?", re.IGNORECASE)
_NO_LIMIT = frozenset({"no limit", "unlimited", "no"})
_SHARE = 0.01


def read_settings(
    frame: "pd.DataFrame | None", letters: Mapping[str, str] | None = None
) -> tuple[Settings, list[Problem]]:
    """The settings of table `settings` (None: no such sheet) and a problem for each line that can't be used.

    Names are matched without case, spaces and a unit in brackets; a blank value keeps the default; percentages become
    shares. `letters` gives the spreadsheet letters of fields `setting` and `value`.
    """
    if frame is None:
        return Settings(), []
    values: dict[str, Any] = {}
    rates: dict[str, float] = {}
    problems: list[Problem] = []
    seen: set[str] = set()
    for book, sheet, row, name, value in frame[["book", "sheet", "row", "setting", "value"]].itertuples(
        index=False
    ):
        place = Place(book, sheet, int(row), (letters or {}).get("value"))
        written = value if isinstance(value, str) else None
        try:
            _take(name, written, seen, values, rates)
        except CellFault as fault:
            problems.append(
                Problem(
                    Severity.ERROR,
                    place,
                    f"Setting '{name}' {fault.message}; {_instead(name)}.",
                    fault.hint,
                    written or "",
                )
            )
    return replace(Settings(), **values, rates=rates), problems


def find_setting(name: str) -> Setting | None:
    """The setting of that name, case, spaces and a unit in brackets aside."""
    return next((setting for setting in SETTINGS if _key(setting.name) == _key(name)), None)


def _take(
    name: str, written: str | None, seen: set[str], values: dict[str, Any], rates: dict[str, float]
) -> None:
    setting, rate = find_setting(name), _RATE.fullmatch(name.strip())
    if setting is None and rate is None:
        near = nearest(name, [known.name for known in SETTINGS])
        raise CellFault(
            "is none of those that are known",
            f"Did you mean '{near}'?" if near else "See the blank book for their names.",
        )
    if _key(name) in seen:
        raise CellFault("stands twice", "Keep one of the lines.")
    seen.add(_key(name))
    if written is None:
        return
    if setting is None and rate is not None:
        rates[_currency(rate[1])] = _rate(written)
    if setting is not None:
        values[setting.field] = _value(setting, written)


def _value(setting: Setting, written: str) -> object:
    if setting.name == "Currency":
        return _currency(written)
    if setting.kind is Kind.TEXT:
        return written
    if setting.default is None and written.lower() in _NO_LIMIT | cells.BLANKS:
        return None
    found = cells.whole(written) if setting.kind is Kind.INTEGER else cells.percentage(written)
    if found is None:
        raise CellFault(f"has '{written}' for its value", "Type a number, or leave the cell blank.")
    if (setting.minimum is not None and found < setting.minimum) or (
        setting.maximum is not None and found > setting.maximum
    ):
        raise CellFault(
            f"is {found:g}, which lies outside {_range(setting)}",
            "Check the value; percentages are plain numbers, 5 for 5 %.",
        )
    return found * _SHARE if setting.kind is Kind.PERCENT else found


def _rate(written: str) -> float:
    found = cells.number(written)
    if found is None or found <= 0:
        raise CellFault("needs a number above zero", "Type what one unit of that currency is worth in yours.")
    return found


def _currency(words: str) -> str:
    found = money.currency(words)
    if found is None:
        raise CellFault("names no currency", "Write three letters, such as USD or EUR.")
    return found


def _range(setting: Setting) -> str:
    if setting.maximum is None:
        return f"{setting.minimum:g} or more"
    return f"{setting.minimum:g} to {setting.maximum:g}"


def _instead(name: str) -> str:
    return "the default is used" if find_setting(name) else "the line is left out"


def _key(name: str) -> str:
    return re.sub(r"[\W_]+", "", re.sub(r"\s*\((%|month)\)\s*$", "", name.strip()).casefold())
