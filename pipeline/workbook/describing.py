"""What a column asks of a cell, in words: for the notes in the blank book and for the reference."""

from pipeline.workbook.sheets import Column, Kind, Setting, Sheet

_HOW_TO_WRITE = {
    Kind.IDS: "Several IDs are separated by semicolons.",
    Kind.NAMES: "Several names are separated by semicolons.",
    Kind.PERCENT: "A plain number: 5 means 5 %.",
    Kind.DATE: "A date (2024-05-31), or a bare year (2024).",
}


def number(value: float) -> str:
    """A number without a needless '.0': 50.0 becomes '50', 0.1 stays '0.1'."""
    return f"{value:.15g}"


def bounds(item: Column | Setting) -> str:
    """'0 to 50', 'from 0', 'up to 50', or '' where any number will do."""
    low, high = item.minimum, item.maximum
    if low is not None and high is not None:
        return f"{number(low)} to {number(high)}"
    if low is not None:
        return f"from {number(low)}"
    return f"up to {number(high)}" if high is not None else ""


def allowed(column: Column) -> str:
    """What a cell may hold, in short: its words, its bounds, or the column it repeats; '' for no limit."""
    if column.choices:
        return ", ".join(column.choices)
    if column.refers_to:
        sheet, name = column.refers_to.split(".")
        return f"{name} on the {sheet} sheet" if sheet != name else f"as on the {sheet} sheet"
    return bounds(column)


def header_note(column: Column) -> str:
    """The note on a header cell: meaning, whether it must be filled, what it may hold, and an example."""
    lines = [column.meaning]
    if column.required:
        lines.append("Must be filled.")
    if column.kind in _HOW_TO_WRITE:
        lines.append(_HOW_TO_WRITE[column.kind])
    if allowed(column):
        lines.append(f"Allowed: {allowed(column)}.")
    if column.default is not None:
        lines.append(f"Blank means {column.default}.")
    if column.example:
        lines.append(f"Example: {column.example}")
    return "\n".join(lines)


def example_row(sheet: Sheet) -> str:
    """A whole row as it might stand, below a line that says so; '' where the registry has no example for the sheet."""
    cells = [f"{column.name}: {column.example}" for column in sheet.columns if column.example]
    return "\n".join(["", "", "An example row (invented)", *cells]) if len(cells) > 1 else ""
