"""How cells of findings.xlsx look: number formats by what a column holds, and the marks of the verdicts."""

from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from pipeline.report.verdicts import VERDICTS
from pipeline.store.tables import FindingsColumn

_LONG = {
    "meaning", "message", "hint", "note", "resolution", "expected", "value", "evidence", "next_step", "reason", "cautions",
}  # fmt: skip
_SHARES = ("success", "change", "recombination", "share")
_WHOLE = ("_g", "typical")
_KINSHIP = {"f", "f_young"}
_AS_IT_IS = {"observed", "low", "high"}
# Okabe and Ito 2008, dark enough for text on white; the mark and the word say the same.
_COLOURS = {
    "impossible": "#8F2D56",
    "departs": "#A84300",
    "strained": "#775200",
    "too few": "#5D5F57",
    "fits": "#00674B",
}


def is_long(column: FindingsColumn) -> bool:
    """Whether a column holds sentences, which wrap."""
    return column.name in _LONG


def is_number(column: FindingsColumn) -> bool:
    """Whether a column holds numbers or dates, which stand at the right of their cell."""
    return column.type in ("INTEGER", "DOUBLE", "DATE")


def number_format(column: FindingsColumn) -> str:
    """The Excel number format of a number column, by its name and type."""
    name = column.name
    if column.type == "INTEGER":
        return "0"
    if name in ("p", "q", "from_ancestors") or name.startswith("p_"):
        return "0.0000"
    if name in _KINSHIP:
        return '0.00"\u00a0"%'
    if name.startswith(_SHARES):
        return '0"\u00a0"%'
    if name in _AS_IT_IS:
        return "General"
    return "#,##0" if name.endswith(_WHOLE) else "0.00"


class Formats:
    """The cell formats of one workbook, each made once."""

    def __init__(self, book: Workbook) -> None:
        self._book = book
        self._numbers: dict[str, Format] = {}
        self.title = book.add_format({"bold": True, "font_size": 15})
        self.meaning = book.add_format({"italic": True, "font_color": "#5D5F57"})
        header = {"bold": True, "bottom": 2, "bg_color": "#F0EDE4", "valign": "top", "text_wrap": True}
        self.header = book.add_format({**header, "align": "left", "indent": 1})
        self.number_header = book.add_format({**header, "align": "right"})
        self.plain = book.add_format({"valign": "top", "align": "left", "indent": 1})
        self.wrapped = book.add_format({"valign": "top", "align": "left", "text_wrap": True, "indent": 1})
        self.date = book.add_format({"valign": "top", "num_format": "yyyy-mm-dd"})
        link = {"valign": "top", "font_color": "#14574A", "underline": 1}
        self.link = book.add_format({**link, "align": "left", "indent": 1})
        self.number_link = book.add_format({**link, "num_format": "0"})
        self.whole = self.number("#,##0")
        self._verdicts = {
            one.word: book.add_format({
                "bold": True, "font_color": _COLOURS[one.word], "num_format": f'"{one.mark} "@',
            })
            for one in VERDICTS
        }  # fmt: skip

    def number(self, pattern: str) -> Format:
        """The format of numbers written in this pattern."""
        if pattern not in self._numbers:
            self._numbers[pattern] = self._book.add_format({"valign": "top", "num_format": pattern})
        return self._numbers[pattern]

    def mark_verdicts(self, sheet: Worksheet, first: int, column: int, last: int) -> None:
        """Verdicts of a column get their mark and colour; the cells keep the bare word."""
        for word, style in self._verdicts.items():
            rule = {"type": "cell", "criteria": "==", "value": f'"{word}"', "format": style}
            sheet.conditional_format(first, column, last, column, rule)
