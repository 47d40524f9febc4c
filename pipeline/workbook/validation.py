"""Drop-downs and limits: what Excel offers and refuses in the cells of a column."""

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation

from pipeline.workbook.describing import bounds
from pipeline.workbook.lists_page import ID_ROWS, label_list, letters, name_of, words_name
from pipeline.workbook.sheets import (
    HATCH_RESULTS,
    SETTINGS_SHEET,
    Column,
    Kind,
    Setting,
    Sheet,
    sheet,
)

LAST_ROW = ID_ROWS
_SEVERAL = (Kind.IDS, Kind.NAMES, Kind.GENES)


def column_validation(of: Sheet, column: Column) -> DataValidation | None:
    """The validation of a whole column below its header, or None where anything goes.

    Words outside a fixed list are refused; an ID that is not there yet is questioned; a label, which combines
    genes, and a list of several are offered names and never questioned.
    """
    rule = _rule(of, column)
    if rule is None:
        return None
    rule.allow_blank = True
    rule.errorTitle = column.name
    place = get_column_letter(of.columns.index(column) + 1)
    rule.add(f"{place}2:{place}{LAST_ROW}")
    return rule


def setting_validation(setting: Setting) -> DataValidation | None:
    """The bounds of a setting's value, or None for text. A value beyond is questioned, since rows may be moved."""
    if setting.kind not in (Kind.PERCENT, Kind.INTEGER):
        return None
    message = f"{setting.name} is a {setting.kind.value}, {bounds(setting)}."
    rule = _numeric(setting, "information", message)
    rule.allow_blank = True
    rule.errorTitle = "Setting"
    return rule


def _rule(of: Sheet, column: Column) -> DataValidation | None:
    if column.choices:
        words = ", ".join(column.choices)
        return _list(
            words_name(column.choices),
            "stop",
            f"{column.name} is one of: {words}. Leave it blank if unknown.",
        )
    if column.kind is Kind.GENES or (column.kind is Kind.NAMES and of is HATCH_RESULTS):
        return _list(label_list(of, genes_only=column.kind is Kind.NAMES), None, "")
    if column.refers_to:
        return _reference(column)
    if of is SETTINGS_SHEET and column.kind is Kind.TEXT and column.required:
        return _list(
            "Setting_names",
            "information",
            "Besides the listed settings only rates are known, such as 'Rate EUR'.",
        )
    if of.key == (column.field,):
        return _unique(of, column)
    if column.minimum is not None or column.maximum is not None:
        return _bounded(column)
    return None


def _list(source: str, style: str | None, message: str) -> DataValidation:
    """A drop-down; without a style no entry is questioned."""
    rule = DataValidation("list", formula1=source, errorStyle=style, error=message or None)
    rule.showErrorMessage = style is not None
    return rule


def _reference(column: Column) -> DataValidation:
    target, name = column.refers_to.split(".")
    source = name_of(sheet(target), sheet(target).column(name.lower()).field)
    message = f"This is not on the {target} sheet yet. Keep it and add it there, or pick one from the list."
    return _list(source, None if column.kind in _SEVERAL else "information", message)


def _unique(of: Sheet, column: Column) -> DataValidation:
    place = letters(of, column.field)
    count = f"COUNTIF(${place}$2:${place}${LAST_ROW},{place}2)=1"
    message = f"Another row of the {of.name} sheet has this {column.name} already. Give each its own."
    return DataValidation(
        "custom", formula1=count, errorStyle="warning", error=message, showErrorMessage=True
    )


def _bounded(column: Column) -> DataValidation:
    """Measures may be typed with a unit ('1.2 kg'), so that they are questioned, not refused."""
    if column.unit and column.kind is Kind.NUMBER:
        return _numeric(
            column,
            "warning",
            f"{column.name} is a number {bounds(column)}, in {column.unit}, or a number with its unit.",
        )
    kind = "whole number" if column.kind in (Kind.INTEGER, Kind.YEAR) else "number"
    return _numeric(column, "stop", f"{column.name} is a {kind} {bounds(column)}.")


def _numeric(item: Column | Setting, style: str, message: str) -> DataValidation:
    whole = item.kind in (Kind.INTEGER, Kind.YEAR)
    low, high = (None if b is None else f"{b:g}" for b in (item.minimum, item.maximum))
    operator = "between" if low and high else "greaterThanOrEqual" if low else "lessThanOrEqual"
    first, second = (low, high) if low and high else (low or high, None)
    rule = DataValidation("whole" if whole else "decimal", operator=operator, formula1=first, formula2=second)
    rule.errorStyle, rule.error, rule.showErrorMessage = style, message, True
    return rule
