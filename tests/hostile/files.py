"""Files to beware of, each written by a function of the path where it is to lie."""

import zipfile
from collections.abc import Iterator, Mapping
from pathlib import Path

from openpyxl import Workbook

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
SHEET = "xl/worksheets/sheet1.xml"
HEAD = f'<?xml version="1.0" encoding="UTF-8"?><worksheet xmlns="{MAIN}"><sheetData>'
TAIL = "</sheetData></worksheet>"
HEADER = '<row r="1"><c r="A1" t="inlineStr"><is><t>ID</t></is></c><c r="B1" t="inlineStr"><is><t>Species</t></is></c></row>'
_KIND = "application/vnd.openxmlformats-officedocument.spreadsheetml"
_PIECE = 1 << 20


def repeated(text: str, size: int) -> Iterator[bytes]:
    """The text over and over, about `size` bytes in pieces."""
    piece = (text * (_PIECE // len(text) + 1)).encode()
    for _ in range(size // len(piece) + 1):
        yield piece


def book(path: Path, parts: Mapping[str, Iterator[bytes] | bytes | str], title: str = "Animals") -> Path:
    """A workbook of one sheet with some of its parts replaced or added; they are streamed, however large."""
    plain = {
        "[Content_Types].xml": f'<Types xmlns="{PACKAGE}/content-types"><Default Extension="xml" ContentType="application/xml"/>'
        f'<Override PartName="/xl/workbook.xml" ContentType="{_KIND}.sheet.main+xml"/></Types>',
        "_rels/.rels": _relations("officeDocument", "xl/workbook.xml"),
        "xl/workbook.xml": f'<workbook xmlns="{MAIN}" xmlns:r="{OFFICE}"><sheets><sheet name="{title}" sheetId="1" r:id="rId1"/></sheets></workbook>',
        "xl/_rels/workbook.xml.rels": _relations("worksheet", "worksheets/sheet1.xml"),
        SHEET: HEAD + HEADER + TAIL,
    }
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for name, content in (plain | dict(parts)).items():
            with archive.open(name, "w", force_zip64=True) as part:
                if isinstance(content, str | bytes):
                    content = [content.encode() if isinstance(content, str) else content]
                part.writelines(content)
    return path


def tabs_of(*relations: str) -> str:
    """The list of sheets: a tab for each relation."""
    tabs = "".join(f'<sheet name="Animals {r}" sheetId="{r[3:]}" r:id="{r}"/>' for r in relations)
    return f'<workbook xmlns="{MAIN}" xmlns:r="{OFFICE}"><sheets>{tabs}</sheets></workbook>'


def _relations(kind: str, target: str) -> str:
    return f'<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="rId1" Type="{OFFICE}/{kind}" Target="{target}"/></Relationships>'


def sheet_of(rows: str, size: int, tail: str = TAIL) -> Iterator[bytes]:
    """A sheet with a header and the rows over and over."""
    yield (HEAD + HEADER).encode()
    yield from repeated(rows, size)
    yield tail.encode()


def lying(path: Path, declared: int = 1000) -> Path:
    """A sheet that declares a small size in the archive and unpacks to far more."""
    book(path, {SHEET: sheet_of("<row/>", 50_000_000)})
    data = bytearray(path.read_bytes())
    with zipfile.ZipFile(path) as archive:
        info = archive.getinfo(SHEET)
    size = info.file_size.to_bytes(4, "little")
    at = data.rfind(size)
    data[at : at + 4] = declared.to_bytes(4, "little")
    path.write_bytes(data)
    return path


def many_members(path: Path, count: int) -> Path:
    """An archive of very many empty members."""
    book(path, {})
    with zipfile.ZipFile(path, "a") as archive:
        for number in range(count):
            archive.writestr(f"x/{number}", b"")
    return path


def wide(path: Path, rows: int) -> Path:
    """A sheet whose rows fill all 16,384 columns, each with a header of its own."""
    workbook = Workbook(write_only=True)
    tab = workbook.create_sheet("Animals")
    tab.append(["ID", "Species", *(f"Column {number}" for number in range(3, 16_385))])
    for row in range(rows):
        tab.append([f"B{row}", "Boa", *range(3, 16_385)])
    workbook.save(path)
    return path
