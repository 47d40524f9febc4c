"""How the blank book looks: colours, fonts and number formats.

Colours are those of Okabe and Ito (2008), "Color Universal Design", and tints of them. Nothing is said by colour
alone: columns that must be filled also carry white letters on a dark ground, and say so in their note.
"""

from collections.abc import Iterable
from math import ceil

from openpyxl.styles import Alignment, Border, Font, PatternFill, Side

from pipeline.problems import Severity
from pipeline.workbook.sheets import Column, Kind

BLUE, PALE_BLUE, GREEN, ORANGE, GREY = "0072B2", "DCEBF5", "009E73", "E69F00", "7F7F7F"

FONT = "Calibri"
TITLE = Font(name=FONT, size=20, bold=True, color=BLUE)
HEADING = Font(name=FONT, size=13, bold=True, color=BLUE)
TERM = Font(name=FONT, bold=True)
LINK = Font(name=FONT, bold=True, color=BLUE, underline="single")
QUIET = Font(name=FONT, italic=True, color="595959")

REQUIRED_FONT = Font(name=FONT, bold=True, color="FFFFFF")
REQUIRED_FILL = PatternFill("solid", fgColor=BLUE)
OPTIONAL_FONT = Font(name=FONT, bold=True, color="1F3B4D")
OPTIONAL_FILL = PatternFill("solid", fgColor=PALE_BLUE)
HEADER_BORDER = Border(bottom=Side("medium", color="1F3B4D"), right=Side("thin", color="9DB8CC"))
HEADER_ALIGNMENT = Alignment(vertical="top", wrap_text=True)
HEADER_HEIGHT = 34
_LINE_POINTS, _HIGHEST = 15, 409
"""Points of a line of text, and of the highest row that Excel has (its published limit)."""

WRAPPED = Alignment(vertical="top", wrap_text=True)
INDENTED = Alignment(vertical="top", wrap_text=True, indent=1)
TOP = Alignment(vertical="top")
CENTRED = Alignment(vertical="top", horizontal="center")
_RIGHT = Alignment(vertical="top", horizontal="right", indent=1)

TAB_COLOURS = {
    "Start here": GREY, "Lists": GREY, "Settings": GREY, "Totals": GREY, "Shared animals": GREY, "Brought in": GREY, "Left over": GREY,
    "Species": ORANGE, "Genes": ORANGE, "Morph names": ORANGE,
    "Animals": BLUE, "Pairings": BLUE, "Hatch results": BLUE,
    "Weights": GREEN, "Prices": GREEN, "Goals": GREEN,
}  # fmt: skip
"""What you breed with, what you breed, what you measure, and the rest."""

MARKS = {
    Severity.ERROR: PatternFill("solid", fgColor="EAAE7F"),
    Severity.WARNING: PatternFill("solid", fgColor="F7F1A0"),
    Severity.NOTE: PatternFill("solid", fgColor="AAD9F4"),
}
"""Marked cells: half-way tints of vermilion, yellow and sky blue, dark enough to see and light enough to read on."""

WRONG_FONT = Font(bold=True, underline="single", color="7A2E00")
WRONG_FILL = PatternFill("solid", fgColor="F6CDB0", bgColor="F6CDB0")
WAITING_FILL = PatternFill("solid", fgColor="CFE8F7", bgColor="CFE8F7")
"""While typing: what can't be so (a tint of vermilion), and what a begun row still lacks (a tint of sky blue)."""

DATE_FORMAT = "[>=2300]yyyy\\-mm\\-dd;0"
"""Dates as 2024-05-31, and a bare year as typed: a plain yyyy-mm-dd would show 2024 as a day of July 1905."""

ISO_FORMAT = "yyyy\\-mm\\-dd"
TEXT_FORMAT, YEAR_FORMAT, MONEY_FORMAT, GENERAL = "@", "0", "#,##0.00", "General"
_MONEY_FIELDS = {"price", "paid"}


def is_prose(column: Column) -> bool:
    """Whether a column is for whole sentences: wide text, wrapped."""
    return column.kind is Kind.TEXT and column.width >= 40


def number_format(column: Column) -> str:
    """The number format of a column's cells.

    Names, IDs and labels are text: a spreadsheet program would take the pairing '24-03' for a day in March.
    """
    if column.kind is Kind.DATE:
        return DATE_FORMAT
    if column.kind in (Kind.INTEGER, Kind.YEAR):
        return YEAR_FORMAT
    if column.field in _MONEY_FIELDS:
        return MONEY_FORMAT
    if column.kind in (Kind.ID, Kind.IDS, Kind.NAMES, Kind.GENES) or (
        column.kind is Kind.TEXT and not is_prose(column)
    ):
        return TEXT_FORMAT
    return GENERAL


def alignment(column: Column) -> Alignment:
    """Prose wraps, dates and counts stand in the middle, measures on the right, the rest on the left."""
    if is_prose(column):
        return WRAPPED
    if column.kind in (Kind.DATE, Kind.YEAR, Kind.INTEGER):
        return CENTRED
    return _RIGHT if column.kind in (Kind.NUMBER, Kind.PERCENT) else TOP


def row_height(texts: Iterable[tuple[str, float]]) -> float | None:
    """How many points high a row must be for its wrapped texts, each in a column so many characters wide; None for one line.

    LibreOffice grows no row of a book that it opens, and writes each text over the rows below.
    """
    lines = max(
        (sum(max(1, ceil(len(line) / (width - 2))) for line in text.split("\n")) for text, width in texts), default=1
    )
    return None if lines == 1 else min(lines * _LINE_POINTS + 3, _HIGHEST)


def column_width(column: Column) -> float:
    """At least the registry's width; a short header, or a long one's longest word, fits beside the filter's button."""
    one_line = column.header if len(column.header) <= 18 else max(column.header.split(), key=len)
    return max(column.width, len(one_line) * 1.1 + 4)
