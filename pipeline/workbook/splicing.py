"""Changes to a sheet's XML that leave every byte but theirs as it was: a cell's style, a reference to its notes."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from xml.parsers.expat import ParserCreate

from openpyxl.utils import get_column_letter
from openpyxl.utils.cell import column_index_from_string as number_of
from openpyxl.utils.cell import coordinate_from_string, range_boundaries

from pipeline.workbook.parts import RELATIONS

Cell = tuple[int, int]
"""Row and column, both from 1."""
_AFTER_NOTES = frozenset(
    [
        "legacyDrawingHF",
        "drawingHF",
        "picture",
        "oleObjects",
        "controls",
        "webPublishItems",
        "tableParts",
        "extLst",
        "AlternateContent",
    ]
)
"""What must stand behind the reference to the notes' boxes (ECMA-376 part 1, 18.3.1.99, CT_Worksheet)."""
_STYLE = re.compile(rb"\ss\s*=\s*(\"\d*\"|'\d*')")


def cell_of(place: str) -> Cell:
    """(12, 6) of 'F12'."""
    letters, row = coordinate_from_string(place)
    return row, number_of(letters)


@dataclass
class _Found:
    """Where a cell stands, or where one would have to: its first byte, and the style it has there."""

    at: int
    style: int
    exists: bool


@dataclass
class SheetXml:
    """One sheet's XML and what is to be known of it to mark `wanted` cells; read once, by `of`."""

    content: bytes
    cells: dict[Cell, _Found] = field(default_factory=dict)
    merged: list[tuple[int, int, int, int]] = field(default_factory=list)
    notes_at: int = 0
    prefix: str = ""
    _closed: bool = False

    @classmethod
    def of(cls, content: bytes, wanted: frozenset[Cell]) -> "SheetXml":
        """Read a sheet. A cell of a row that is not in the sheet is not found; one missing in its row is, as a place."""
        sheet = cls(content)
        _Walk(sheet, wanted).run()
        return sheet

    def anchor(self, cell: Cell) -> Cell:
        """The cell that holds the value where `cell` is one of several merged."""
        row, column = cell
        for left, top, right, bottom in self.merged:
            if top <= row <= bottom and left <= column <= right:
                return top, left
        return cell

    def changed(self, styles: Mapping[Cell, Callable[[int], int]], notes: str | None) -> bytes:
        """The sheet with other styles for these cells, and, where `notes` is given, a reference to boxes of that ID."""
        edits = [(self.cells[cell], cell, new) for cell, new in styles.items() if cell in self.cells]
        pieces: list[tuple[int, int, bytes]] = [self._restyled(*edit) for edit in edits]
        if notes is not None:
            tag = f'<{self.prefix}legacyDrawing xmlns:r="{RELATIONS}" r:id="{notes}"/>'
            pieces.append((self.notes_at, self.notes_at, tag.encode()))
        out, done = [], 0
        for start, end, piece in sorted(pieces):
            out += [self.content[done:start], piece]
            done = end
        return b"".join([*out, self.content[done:]])

    def _restyled(self, found: _Found, cell: Cell, new: Callable[[int], int]) -> tuple[int, int, bytes]:
        style = new(found.style)
        if not found.exists:
            place = f"{get_column_letter(cell[1])}{cell[0]}"
            return found.at, found.at, f'<{self.prefix}c r="{place}" s="{style}"/>'.encode()
        tag = self.content[found.at : self.content.index(b">", found.at) + 1]
        said = f' s="{style}"'.encode()
        changed, there = _STYLE.subn(said, tag)
        if not there:
            changed = re.sub(rb"(\s*/?>)$", said + rb"\1", tag)
        return found.at, found.at + len(tag), changed


class _Walk:
    """One pass over a sheet's XML; remembers where the wanted cells stand."""

    def __init__(self, sheet: SheetXml, wanted: frozenset[Cell]) -> None:
        self.sheet = sheet
        self.waiting: dict[int, list[int]] = {}
        for row, column in sorted(wanted):
            self.waiting.setdefault(row, []).append(column)
        self.depth = self.row = self.column = 0
        self.row_style: int | None = None
        self.column_styles: list[tuple[int, int, int]] = []
        self.parser = ParserCreate()
        self.parser.StartElementHandler = self.start
        self.parser.EndElementHandler = self.end
        self.parser.StartDoctypeDeclHandler = _refuse

    def run(self) -> None:
        """Walk the whole sheet. ExpatError where its XML is broken."""
        self.parser.Parse(self.sheet.content, True)

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """Note what begins here, as expat calls it."""
        prefix, _, local = name.rpartition(":")
        self.depth += 1
        if self.depth == 1:
            self.sheet.prefix = f"{prefix}:" if prefix else ""
        elif self.depth == 2 and local in _AFTER_NOTES and not self.sheet.notes_at:
            self.sheet.notes_at = self.parser.CurrentByteIndex
        elif local == "c":
            self._cell(attributes)
        elif local == "row":
            self._row(attributes)
        elif local == "col" and attributes.get("style"):
            ends = int(attributes["min"]), int(attributes["max"])
            self.column_styles.append((*ends, int(attributes["style"])))
        elif local == "mergeCell":
            self.sheet.merged.append(range_boundaries(attributes["ref"]))

    def end(self, name: str) -> None:
        """Place what a row that ends here still lacks, and the notes before the sheet's own end."""
        local = name.rpartition(":")[2]
        self.depth -= 1
        if local == "row" and self.waiting.get(self.row):
            self._place_missing(before=None)
        elif self.depth == 0 and not self.sheet.notes_at:
            self.sheet.notes_at = self.parser.CurrentByteIndex

    def _row(self, attributes: dict[str, str]) -> None:
        self.row = int(attributes.get("r", self.row + 1))
        self.column = 0
        self.row_style = (
            int(attributes["s"]) if attributes.get("s") and "customFormat" in attributes else None
        )

    def _cell(self, attributes: dict[str, str]) -> None:
        self.column = cell_of(attributes["r"])[1] if "r" in attributes else self.column + 1
        waiting = self.waiting.get(self.row)
        if not waiting:
            return
        self._place_missing(before=self.column)
        if waiting and waiting[0] == self.column:
            style = int(attributes.get("s") or 0)
            self.sheet.cells[self.row, waiting.pop(0)] = _Found(self.parser.CurrentByteIndex, style, True)

    def _place_missing(self, before: int | None) -> None:
        """Places for wanted cells that would stand before this byte; none in a row that holds no cell at all."""
        waiting = self.waiting[self.row]
        while waiting and (before is None or waiting[0] < before):
            column = waiting.pop(0)
            if self.column:
                self.sheet.cells[self.row, column] = _Found(
                    self.parser.CurrentByteIndex, self._style(column), False
                )

    def _style(self, column: int) -> int:
        """The style that an empty cell takes from its row, else from its column."""
        if self.row_style is not None:
            return self.row_style
        return next((style for first, last, style in self.column_styles if first <= column <= last), 0)


def _refuse(*_: object) -> None:
    raise ValueError("a sheet with a document type")
