"""Sheets read by calamine, an order of magnitude sooner than by openpyxl, where it surely reads the same.

calamine never sees the keeper's file. It gets a book made here of the plain sheets, the texts they share, and styles that
say nothing but which cells are dates, by openpyxl's own rule. Whatever it reads that openpyxl might read otherwise is
not handed out.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from io import BytesIO
from itertools import chain
from zipfile import ZipFile

from openpyxl.styles.numbers import is_date_format, is_timedelta_format
from python_calamine import CalamineError, CalamineWorkbook

from pipeline.workbook.package import MEGABYTE, Package, SheetPart
from pipeline.workbook.plainness import plain_sheet, plain_texts

LARGEST_COPY = 150 * MEGABYTE
"""Sheets are held in memory up to this size in all; what is beyond it is not read here."""

_LAST_SERIAL = 2_957_003
"""From here on a number may lie beyond the last date there is, or beyond the whole numbers that a float holds."""
_KINDS = frozenset({str, float, bool, date, datetime})
_GENERAL, _DATE, _SPAN = 0, 14, 46
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"

Grid = list[list]
"""Every row of a sheet from row 1, all of one length from column A; '' for a blank cell."""


class QuickBook:
    """The sheets of a book that calamine may read, by the part they lie in."""

    def __init__(self, package: Package, parts: Sequence[SheetPart]) -> None:
        self._sheets: list[str] = []
        texts, styles = package.related("sharedStrings"), _styles(package.number_formats)
        if styles is not None and (texts is None or plain_texts(texts)):
            sheets = dict(_plain_sheets(package, parts))
            self._open(_copy(sheets, texts, styles, package.epoch_1904), list(sheets))

    def _open(self, copy: BytesIO, sheets: list[str]) -> None:
        try:
            self._workbook = CalamineWorkbook.from_filelike(copy)
        except CalamineError:
            return
        self._sheets = sheets

    def grid(self, part: SheetPart) -> Grid | None:
        """All cells of a sheet; None where openpyxl must be asked."""
        if part.part not in self._sheets:
            return None
        try:
            sheet = self._workbook.get_sheet_by_index(self._sheets.index(part.part))
            grid = sheet.to_python(skip_empty_area=False)
        except (CalamineError, ArithmeticError, ValueError):
            return None
        return grid if _same_in_both(grid) else None


def _plain_sheets(package: Package, parts: Sequence[SheetPart]) -> Iterator[tuple[str, bytes]]:
    """Part and XML of the plain sheets, as far as they may be held in memory."""
    room = LARGEST_COPY
    with package.archive() as archive:
        for part in parts:
            size = archive.getinfo(part.part).file_size
            if size <= room and plain_sheet(xml := archive.read(part.part)):
                room -= size
                yield part.part, xml


def _styles(formats: Sequence[str]) -> str | None:
    """A styles part in which a style is a date, a span of time or nothing; None where cells without a style are dates."""
    numbers = [
        _GENERAL if not is_date_format(code) else _SPAN if is_timedelta_format(code) else _DATE
        for code in formats
    ]
    if numbers[:1] not in ([], [_GENERAL]):
        return None
    cells = "".join(f'<xf numFmtId="{number}"/>' for number in numbers)
    return f'<styleSheet xmlns="{_MAIN}"><cellXfs>{cells}</cellXfs></styleSheet>'


def _copy(sheets: Mapping[str, bytes], texts: bytes | None, styles: str, epoch_1904: bool) -> BytesIO:
    """A workbook file of these sheets, in their order, and nothing besides."""
    names = [f"sheet{number}" for number in range(len(sheets))]
    tabs = "".join(f'<sheet name="{name}" sheetId="{i}" r:id="{name}"/>' for i, name in enumerate(names, 1))
    targets = [(name, "worksheet", f"worksheets/{name}.xml") for name in names]
    copy = BytesIO()
    with ZipFile(copy, "w") as archive:
        archive.writestr("_rels/.rels", _relations([("book", "officeDocument", "xl/workbook.xml")]))
        archive.writestr("xl/_rels/workbook.xml.rels", _relations(targets))
        epoch = '<workbookPr date1904="1"/>' if epoch_1904 else ""
        book = f'<workbook xmlns="{_MAIN}" xmlns:r="{_OFFICE}">{epoch}<sheets>{tabs}</sheets></workbook>'
        archive.writestr("xl/workbook.xml", book)
        archive.writestr("xl/styles.xml", styles)
        if texts is not None:
            archive.writestr("xl/sharedStrings.xml", texts)
        for name, xml in zip(names, sheets.values(), strict=True):
            archive.writestr(f"xl/worksheets/{name}.xml", xml)
    copy.seek(0)
    return copy


def _relations(targets: Sequence[tuple[str, str, str]]) -> str:
    each = "".join(
        f'<Relationship Id="{i}" Type="{_OFFICE}/{kind}" Target="{to}"/>' for i, kind, to in targets
    )
    return f'<Relationships xmlns="{_PACKAGE}">{each}</Relationships>'


def _same_in_both(grid: Grid) -> bool:
    """Whether the two libraries agree on such values: times of day, spans and far-off numbers are left to openpyxl."""
    if set(map(type, chain.from_iterable(grid))) - _KINDS:
        return False
    columns = [column for column in zip(*grid, strict=True) if float in set(map(type, column))]
    far = (
        value
        for column in columns
        for value in column
        if type(value) is float and not -_LAST_SERIAL < value < _LAST_SERIAL
    )
    return next(far, None) is None
