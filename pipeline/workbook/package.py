"""What a file is, before a cell of it is read: a workbook, or something that only looks like one.

Every refusal is one BookError whose sentence says what to do. The file is read into memory once, so nothing is held
open, and nothing that is done later can touch it.
"""

import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from io import BytesIO
from pathlib import Path, PurePosixPath
from typing import NoReturn
from xml.etree.ElementTree import Element, ParseError
from zipfile import BadZipFile, ZipFile, ZipInfo

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import fromstring
from openpyxl.styles.numbers import BUILTIN_FORMATS

from pipeline.errors import BookError
from pipeline.workbook.scan import too_deep

MEGABYTE = 1_000_000
LARGEST_FILE = 200 * MEGABYTE
LARGEST_SHEET = 1_000 * MEGABYTE
LARGEST_PART = 100 * MEGABYTE
LARGEST_TREE = 16 * MEGABYTE
"""Unpacked sizes beyond these are refused: no keeper's book comes near, a file made to exhaust a computer does. All sheets
together count as one; a tree is a part that is held in memory as a whole (styles, the list of sheets, relations)."""
MOST_PARTS, MOST_TABS = 10_000, 1_000
_ENTRY = b"PK\x01\x02"

BROKEN = (
    BadZipFile,
    zlib.error,
    EOFError,
    ParseError,
    LookupError,
    ValueError,
    TypeError,
    AttributeError,
    OSError,
    ArithmeticError,
    NotImplementedError,
    RecursionError,
)
"""What the zip, XML and Excel libraries raise on damaged content."""

_COMPOUND = bytes.fromhex("D0CF11E0A1B11AE1")
_AS_XLSX = "open it in Excel or LibreOffice and save it as an Excel workbook (.xlsx)"


@dataclass(frozen=True)
class SheetPart:
    """A worksheet: its name on the tab, where it lies in the package, and whether the tab is hidden."""

    name: str
    part: str
    hidden: bool


@dataclass(frozen=True)
class Package:
    """A readable workbook file: `data` is the whole file, `name` its file name."""

    name: str
    data: bytes

    @contextmanager
    def archive(self) -> Iterator[ZipFile]:
        """The zip archive; BookError where its content turns out to be damaged."""
        with self.guarded(), ZipFile(BytesIO(self.data)) as archive:
            yield archive

    @contextmanager
    def guarded(self) -> Iterator[None]:
        """Turns what the libraries raise on damaged or hostile content into one sentence."""
        try:
            yield
        except BROKEN as error:
            if isinstance(error, DefusedXmlException) or isinstance(error.__cause__, DefusedXmlException):
                raise BookError(
                    f"{self.name} holds XML entities, which no workbook needs and which can exhaust a computer; "
                    "get a clean copy from whoever made it."
                ) from error
            raise BookError(
                f"{self.name} is damaged inside; open it in Excel, let it repair the book, and save it, "
                "or take an older copy."
            ) from error

    @cached_property
    def sheets(self) -> tuple[SheetPart, ...]:
        """The worksheets in the order of their tabs; chart sheets left out. BookError where one is lost from the archive."""
        with self.archive() as archive:
            main = main_part(archive)
            _check_size(self.name, archive.getinfo(main).file_size, LARGEST_TREE)
            book = fromstring(_shallow(archive.read(main)))
            if "purl.oclc.org" in book.tag:
                raise BookError(
                    f"{self.name} is saved as 'Strict Open XML'; save it in Excel as an ordinary Excel workbook (.xlsx)."
                )
            targets = relations(archive.read, main)
            tabs = [element for element in book.iter() if _tag(element) == "sheet"]
            if len(tabs) > MOST_TABS:
                raise BookError(
                    f"{self.name} has more than {MOST_TABS:,} sheets; copy those with your records into a new book."
                )
            found = ((tab, targets[_attribute(tab, "id")]) for tab in tabs)
            return tuple(
                SheetPart(
                    tab.get("name", ""),
                    archive.getinfo(part).filename,
                    tab.get("state", "visible") != "visible",
                )
                for tab, (kind, part) in found
                if kind.endswith("/worksheet")
            )

    @cached_property
    def number_formats(self) -> tuple[str, ...]:
        """The number format of each cell style; '' for one that only the program knows."""
        xml = self.related("styles")
        if xml is None:
            return ()
        _check_size(self.name, len(xml), LARGEST_TREE)
        with self.guarded():
            groups = {_tag(group): list(group) for group in fromstring(xml)}
            custom = {int(e.get("numFmtId", 0)): e.get("formatCode", "") for e in groups.get("numFmts", ())}
            numbers = [int(e.get("numFmtId", 0)) for e in groups.get("cellXfs", ()) if _tag(e) == "xf"]
        return tuple(custom.get(number, BUILTIN_FORMATS.get(number, "")) for number in numbers)

    @cached_property
    def percent_styles(self) -> frozenset[int]:
        """Numbers of the cell styles that show a number as a percentage."""
        return frozenset(style for style, code in enumerate(self.number_formats) if "%" in code)

    @cached_property
    def epoch_1904(self) -> bool:
        """Whether days are counted from 1904, as old books from a Mac do."""
        with self.archive() as archive:
            book = fromstring(archive.read(main_part(archive)))
        stated = [e.get("date1904", "0") for e in book if _tag(e) == "workbookPr"]
        return bool(stated) and stated[0].lower() in {"1", "true"}

    def related(self, kind: str) -> bytes | None:
        """The part of that kind ('styles', 'sharedStrings') that the book refers to; None where there is none."""
        with self.archive() as archive:
            found = relations(archive.read, main_part(archive)).values()
            parts = [part for key, part in found if key.endswith(f"/{kind}") and part in archive.namelist()]
            return _shallow(archive.read(parts[0])) if parts else None


def open_package(path: Path) -> Package:
    """The workbook file at `path`; BookError, in one sentence with its remedy, where it is none."""
    name = path.name
    if name.startswith(("~$", ".~lock.")):
        raise BookError(
            f"{name} is only the marker of a book that is open in Excel or LibreOffice; give the book itself."
        )
    package = Package(name, content_of(path))
    if package.data.startswith(_COMPOUND):
        _refuse_compound(package)
    if not package.data.startswith(b"PK"):
        _refuse_other(package, path.suffix.lower())
    if package.data.count(_ENTRY) > MOST_PARTS:
        raise BookError(
            f"{name} holds more than {MOST_PARTS:,} files in one archive, as no workbook does; copy its sheets into a new book."
        )
    try:
        with ZipFile(BytesIO(package.data)) as archive:
            _check_archive(name, archive)
    except BROKEN as error:
        raise BookError(
            f"{name} is broken or was cut short in copying; copy it again, or take an older copy."
        ) from error
    if not package.sheets:
        raise BookError(
            f"{name} holds no worksheet; open it in Excel and check that it is the book you mean."
        )
    return package


def content_of(path: Path) -> bytes:
    """The bytes of the file at `path`; BookError, in one sentence, where there is none to be had."""
    try:
        if path.is_dir():
            raise BookError(f"{path.name} is a folder; give the workbook (.xlsx) inside it.")
        if path.exists() and not path.is_file():
            raise BookError(f"{path.name} is a device or a pipe, no file; give the workbook itself.")
        if path.stat().st_size > LARGEST_FILE:
            raise BookError(
                f"{path.name} is larger than {LARGEST_FILE // MEGABYTE} MB; take pictures out of it, or split it by year."
            )
        data = path.read_bytes()
    except (FileNotFoundError, ValueError) as error:
        raise BookError(f"There is no file {path}; check the name and the folder.") from error
    except PermissionError as error:
        raise BookError(
            f"{path.name} may not be opened; close it in Excel, and check that you are allowed to read it."
        ) from error
    except OSError as error:
        raise BookError(
            f"{path.name} could not be read ({error.strerror or error}); copy it to this computer and try again."
        ) from error
    if not data:
        raise BookError(f"{path.name} is an empty file; copy it again, or take an older copy.")
    return data


def _refuse_compound(package: Package) -> NoReturn:
    if "EncryptedPackage".encode("utf-16-le") in package.data:
        raise BookError(
            f"{package.name} is protected by a password; open it in Excel, take the password off (File, Info, Protect Workbook), and save it."
        )
    raise BookError(f"{package.name} is in Excel's old .xls format or no workbook; {_AS_XLSX}.")


def _refuse_other(package: Package, suffix: str) -> NoReturn:
    if suffix in {".csv", ".tsv", ".txt"}:
        raise BookError(
            f"{package.name} is a text file with a single sheet; {_AS_XLSX}, with each topic on a sheet of its own."
        )
    raise BookError(
        f"{package.name} is no Excel workbook; if it opens in Excel, save it there as an Excel workbook (.xlsx)."
    )


def _check_archive(name: str, archive: ZipFile) -> None:
    members = {info.filename: info for info in archive.infolist()}
    if any(info.flag_bits & 1 for info in members.values()):
        raise BookError(f"{name} is protected by a password; save a copy without one.")
    if any(member.endswith(".iwa") or member == "Index.zip" for member in members):
        raise BookError(f"{name} is a Numbers document; export it as Excel (File, Export To, Excel).")
    if "xl/workbook.bin" in members:
        raise BookError(f"{name} is a binary Excel workbook (.xlsb); {_AS_XLSX}.")
    if "mimetype" in members and b"opendocument" in archive.read("mimetype")[:200]:
        raise BookError(
            f"{name} is an OpenDocument file (.ods); open it in LibreOffice and save it as Excel 2007-365 (.xlsx)."
        )
    if "[Content_Types].xml" not in members or not any(member.endswith("workbook.xml") for member in members):
        raise BookError(
            f"{name} is a zip archive but no Excel workbook; unpack it and give the .xlsx file inside."
        )
    for info in members.values():
        _check_size(name, info.file_size, _limit(info))
    _check_size(name, sum(info.file_size for info in members.values() if _is_sheet(info)), LARGEST_SHEET)


def _is_sheet(info: ZipInfo) -> bool:
    return "/worksheets/" in info.filename and not info.filename.endswith(".rels")


def _limit(info: ZipInfo) -> int:
    """The most that a part may unpack to, by where it lies."""
    if _is_sheet(info):
        return LARGEST_SHEET
    shallow = len(PurePosixPath(info.filename).parts) <= 2 and not info.filename.endswith("sharedStrings.xml")
    return LARGEST_TREE if shallow or info.filename.endswith(".rels") else LARGEST_PART


def _check_size(name: str, size: int, limit: int) -> None:
    """Declared sizes are enough: reading never unpacks more of a part than it declares."""
    if size > limit:
        remedy = (
            "delete the empty rows below your records and save it"
            if limit == LARGEST_SHEET
            else "copy its sheets into a new book"
        )
        raise BookError(
            f"{name} would unpack to {size // MEGABYTE:,} MB in one part, and at most {limit // MEGABYTE:,} MB are read; {remedy}."
        )


def _shallow(xml: bytes) -> bytes:
    """The part itself; ValueError where its tags lie too deep in one another for memory to hold."""
    if too_deep(xml):
        raise ValueError("tags lie too deep in one another")
    return xml


def main_part(archive: ZipFile) -> str:
    """The part that says which sheets there are; KeyError where none is named."""
    for kind, part in relations(archive.read, "").values():
        if kind.endswith("/officeDocument"):
            return part
    raise KeyError("no main part")


def relations(read: Callable[[str], bytes], part: str) -> dict[str, tuple[str, str]]:
    """Relations of a part of the package ('' for the package itself): id to (type, target); `read` gives a part's bytes."""
    folder, file = PurePosixPath(part).parent, PurePosixPath(part).name
    root = fromstring(read(str(folder / "_rels" / f"{file}.rels")))
    return {e.get("Id", ""): (e.get("Type", ""), _resolved(folder, e.get("Target", ""))) for e in root}


def _resolved(folder: PurePosixPath, target: str) -> str:
    steps: list[str] = []
    for step in (PurePosixPath("/") / folder / target).parts[1:]:
        if step == "..":
            steps = steps[:-1]
        else:
            steps.append(step)
    return "/".join(steps)


def _tag(element: Element) -> str:
    return element.tag.rpartition("}")[2]


def _attribute(element: Element, name: str) -> str:
    """An attribute by its local name, whatever its namespace."""
    return next((value for key, value in element.items() if key.rpartition("}")[2] == name), "")
