"""A copy of the keeper's workbook with its problems marked where they are."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import partial
from pathlib import Path

from pipeline.errors import RequestError
from pipeline.problems import Place, Problem, Severity, sorted_problems
from pipeline.workbook.mark_notes import EMPTY_BOXES, EMPTY_NOTES, with_boxes, with_notes
from pipeline.workbook.mark_styles import MarkStyles
from pipeline.workbook.package import SheetPart, open_package
from pipeline.workbook.parts import Parts
from pipeline.workbook.saving import refuse_existing, write_whole
from pipeline.workbook.sheets import snake
from pipeline.workbook.splicing import Cell, SheetXml, cell_of

_TAKEN = "give the marked copy another name"
_NOTES_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.comments+xml"
_BOXES_TYPE = "application/vnd.openxmlformats-officedocument.vmlDrawing"
_FIRST: Cell = (1, 1)

Marks = Mapping[Cell, list[Problem]]


def mark_copy(book: Path, problems: Iterable[Problem], copy: Path) -> int:
    """Write `copy`, a copy of the workbook `book` with every problem's cell coloured and noted.

    A problem of a row marks the row's first cell; one of a whole sheet is a note on its A1, one of a sheet that the
    book lacks a note on the first sheet's. Only problems of that book are marked. Returns how many cells were marked.
    The original is only read. Nothing of the copy but those cells' colours and notes differs from the book: not its
    formats, formulas and their values, drop-downs, colour rules, charts, pictures or macros.

    RequestError where `copy` exists or has another ending than `book`; BookError where `book` can't be read.
    """
    refuse_existing(copy, _TAKEN)
    if copy.suffix.lower() != book.suffix.lower():
        raise RequestError(f"{copy.name} must end in {book.suffix}, as the book does; {_TAKEN}.")
    package = open_package(book)
    with package.guarded():
        parts = Parts(package)
        sheets = _by_sheet(
            package.sheets, [p for p in sorted_problems(problems) if p.place.book == book.name]
        )
        styles = parts.related(parts.main, "styles")
        marks = MarkStyles(parts.document(styles)) if styles else None
        marked = sum(_mark_sheet(parts, sheet, found, marks) for sheet, found in sheets.items())
        if styles and marks and marked:
            parts.write(styles, marks.document.toxml(encoding="utf-8"))
        content = parts.finished()
    write_whole(content, copy, _TAKEN)
    return marked


def _by_sheet(sheets: Iterable[SheetPart], problems: Iterable[Problem]) -> dict[SheetPart, list[Problem]]:
    """Problems by the sheet that they are noted on."""
    listed = list(sheets)
    titles = {snake(sheet.name): sheet for sheet in reversed(listed)}
    found: dict[SheetPart, list[Problem]] = defaultdict(list)
    for problem in problems:
        found[titles.get(snake(problem.place.sheet), listed[0])].append(problem)
    return found


def _mark_sheet(parts: Parts, sheet: SheetPart, problems: list[Problem], styles: MarkStyles | None) -> int:
    """Mark one sheet's cells; returns how many."""
    places = {problem: _cell(sheet, problem.place) for problem in problems}
    xml = SheetXml.of(parts.read(sheet.part), frozenset(places.values()))
    marks: dict[Cell, list[Problem]] = defaultdict(list)
    for problem, cell in places.items():
        marks[xml.anchor(cell)].append(problem)
    if moved := marks.keys() - xml.cells.keys():
        xml = SheetXml.of(xml.content, frozenset(xml.cells) | moved)
    colours = {cell: colour for cell, found in marks.items() if (colour := _colour(found))}
    restyle = {cell: partial(styles.marked, severity=one) for cell, one in colours.items()} if styles else {}
    boxes = _add_notes(parts, sheet, marks)
    parts.write(sheet.part, xml.changed(restyle, boxes))
    return len(marks)


def _cell(sheet: SheetPart, place: Place) -> Cell:
    if snake(sheet.name) != snake(place.sheet):
        return _FIRST
    return cell_of(f"{place.column or 'A'}{place.row or 1}")


def _colour(problems: list[Problem]) -> Severity | None:
    """The worst problem's severity, unless all are about the sheet as a whole."""
    return next((problem.severity for problem in problems if problem.place.row is not None), None)


def _add_notes(parts: Parts, sheet: SheetPart, marks: Marks) -> str | None:
    """Write the notes of a sheet and their boxes; the ID by which the sheet must refer to the boxes where it doesn't yet."""
    texts = {cell: [_words(sheet, problem) for problem in found] for cell, found in marks.items()}
    notes, boxes = parts.related(sheet.part, "comments"), parts.related(sheet.part, "vmlDrawing")
    new = boxes is None
    said, whole = with_notes(parts.read(notes) if notes else EMPTY_NOTES, texts)
    shown = with_boxes(EMPTY_BOXES if boxes is None else parts.read(boxes), whole)
    notes = notes or parts.add(sheet.part, "comments", "xl/comments{}.xml", _NOTES_TYPE)
    boxes = boxes or parts.add(sheet.part, "vmlDrawing", "xl/drawings/vmlDrawing{}.vml", _BOXES_TYPE)
    parts.write(notes, said)
    parts.write(boxes, shown)
    return parts.relation_id(sheet.part, boxes) if new else None


def _words(sheet: SheetPart, problem: Problem) -> str:
    """'Error: ...' and the remedy on a line of its own; names the sheet where the note can't stand on it."""
    elsewhere = snake(sheet.name) != snake(problem.place.sheet)
    named = f"{problem.place.sheet}: " if elsewhere else ""
    return f"{problem.severity.capitalize()}: {named}{problem.message}" + (
        f"\n{problem.hint}" if problem.hint else ""
    )
