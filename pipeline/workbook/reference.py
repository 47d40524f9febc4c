"""The reference of sheets, columns and settings, written from the registry for DEVELOPERS.md."""

from collections.abc import Iterable, Sequence

from pipeline.workbook.describing import allowed, bounds, number
from pipeline.workbook.sheets import SETTINGS, SHEETS, Column, Setting, Sheet


def column_reference() -> str:
    """Markdown: a table for every sheet of the workbook, then one of the settings; ends in one newline."""
    parts = [_sheet_part(sheet) for sheet in SHEETS]
    parts.append(_settings_part())
    return "\n\n".join(parts) + "\n"


def _sheet_part(sheet: Sheet) -> str:
    key = " and ".join(sheet.column(field).name for field in sheet.key)
    identified = f" A row is known by its {key}." if key else ""
    head = ("Column", "Field", "Must be filled", "Holds", "Allowed", "Blank means", "Meaning", "Example")
    table = _table(head, (_column_row(column) for column in sheet.columns))
    return f"### {sheet.name}\n\n{sheet.meaning} Stored as `records.{sheet.table}`.{identified}\n\n{table}"


def _column_row(column: Column) -> tuple[str, ...]:
    return (
        column.header,
        f"`{column.field}`",
        "yes" if column.required else "",
        column.kind.value,
        allowed(column),
        "" if column.default is None else str(column.default),
        column.meaning,
        column.example,
    )


def _settings_part() -> str:
    table = _table(("Setting", "Holds", "Default", "Allowed", "Meaning"), map(_setting_row, SETTINGS))
    rates = "Besides these, `Rate CUR` (the worth of one CUR in the currency of the settings) may stand once for each currency."
    return f"### The settings\n\n{table}\n\n{rates}"


def _setting_row(setting: Setting) -> tuple[str, ...]:
    default = setting.default
    shown = number(default) if isinstance(default, int | float) else default or "(blank)"
    return setting.name, setting.kind.value, shown, bounds(setting), setting.meaning


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(_cell(text) for text in line) + " |" for line in lines)


def _cell(text: str) -> str:
    return text.replace("|", "\\|")
