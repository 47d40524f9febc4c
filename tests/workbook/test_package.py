"""What is refused before a cell is read, and with which sentence."""

import zipfile
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter

from pipeline.errors import BookError
from pipeline.workbook import package as packages
from pipeline.workbook.package import open_package
from pipeline.workbook.reading import read_book

COMPOUND = bytes.fromhex("D0CF11E0A1B11AE1") + bytes(600)
ENTITIES = '<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'


def refusal(path: Path) -> str:
    with pytest.raises(BookError) as caught:
        read_book(path)
    sentence = str(caught.value)
    assert sentence.endswith(".") and "\n" not in sentence
    return sentence


def archive(path: Path, **parts: str | bytes) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as target:
        for name, content in parts.items():
            target.writestr(name, content)
    return path


def changed(path: Path, part: str, change) -> Path:
    """The workbook with one part of it changed."""
    with zipfile.ZipFile(path) as source:
        parts = {name: source.read(name) for name in source.namelist()}
    parts[part] = change(parts[part])
    return archive(path, **parts)


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [
        ("old.xls", COMPOUND, "old .xls format"),
        (
            "locked.xlsx",
            COMPOUND + "EncryptedPackage".encode("utf-16-le"),
            "protected by a password; open it in Excel, take the password off",
        ),
        (
            "weights.csv",
            b"Animal;Date\nB1;2024",
            "text file with a single sheet; open it in Excel or LibreOffice and save it as an Excel workbook",
        ),
        ("page.xlsx", b"<html><table>", "is no Excel workbook"),
        ("empty.xlsx", b"", "is an empty file"),
        ("cut.xlsx", b"PK\x03\x04" + bytes(50), "broken or was cut short"),
        ("~$book.xlsx", b"x" * 165, "only the marker of a book that is open"),
    ],
)
def test_open_package__refuses_other_files(tmp_path, name, content, sentence):
    path = tmp_path / name
    path.write_bytes(content)
    assert sentence in refusal(path)


@pytest.mark.parametrize(
    ("parts", "sentence"),
    [
        ({"mimetype": "application/vnd.oasis.opendocument.spreadsheet"}, "OpenDocument file (.ods)"),
        ({"Index/Document.iwa": "x"}, "Numbers document; export it as Excel"),
        ({"xl/workbook.bin": "x", "[Content_Types].xml": "x"}, "binary Excel workbook (.xlsb)"),
        ({"word/document.xml": "x", "[Content_Types].xml": "x"}, "zip archive but no Excel workbook"),
        ({"book.xlsx": "x"}, "unpack it and give the .xlsx file inside"),
        ({"xl/workbook.xml": "x", "[Content_Types].xml": "x"}, "damaged inside"),
    ],
)
def test_open_package__refuses_other_archives(tmp_path, parts, sentence):
    assert sentence in refusal(archive(tmp_path / "book.xlsx", **parts))


def test_open_package__refuses_folders_and_missing_files(tmp_path):
    assert "is a folder; give the workbook" in refusal(tmp_path)
    assert "There is no file" in refusal(tmp_path / "none.xlsx")


def test_open_package__says_when_a_file_may_not_be_opened(make_book, monkeypatch):
    path = make_book({"Notes": [["x"]]})

    def refuse(_: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)
    assert "may not be opened; close it in Excel" in refusal(path)


def test_open_package__says_when_a_disk_fails(make_book, monkeypatch):
    path = make_book({"Notes": [["x"]]})

    def fail(_: Path) -> bytes:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(Path, "read_bytes", fail)
    assert "could not be read (Input/output error)" in refusal(path)


def test_open_package__refuses_a_truncated_book(make_book):
    path = make_book({"Animals": [["ID", "Species"], *([f"B{i}", "Boa"] for i in range(500))]})
    path.write_bytes(path.read_bytes()[:-400])
    assert "broken or was cut short" in refusal(path)


def test_read_book__refuses_damage_inside_a_sheet(make_book):
    path = make_book({"Animals": [["ID", "Species"], ["B1", "Boa"]]})
    assert "damaged inside" in refusal(
        changed(path, "xl/worksheets/sheet1.xml", lambda xml: xml[: len(xml) // 2])
    )


def test_read_book__refuses_a_byte_flipped_in_a_compressed_part(make_book):
    path = make_book({"Animals": [["ID", "Species"], *([f"B{i}", "Boa"] for i in range(500))]})
    data = bytearray(path.read_bytes())
    with zipfile.ZipFile(path) as source:
        offset = source.getinfo("xl/worksheets/sheet1.xml").header_offset
    data[offset + 200] ^= 0xFF
    path.write_bytes(data)
    assert "damaged inside" in refusal(path)


def test_open_package__refuses_strict_open_xml(make_book):
    path = make_book({"Animals": [["ID", "Species"], ["B1", "Boa"]]})
    ordinary, strict = (
        b"http://schemas.openxmlformats.org/spreadsheetml/2006/main",
        b"http://purl.oclc.org/ooxml/spreadsheetml/main",
    )
    assert "'Strict Open XML'" in refusal(
        changed(path, "xl/workbook.xml", lambda xml: xml.replace(ordinary, strict))
    )


def test_open_package__refuses_what_would_unpack_without_end(make_book, monkeypatch):
    monkeypatch.setattr(packages, "LARGEST_SHEET", 5_000_000)
    path = make_book({"Animals": [["ID", "Species"], ["B1", "Boa"]]})
    bomb = changed(path, "xl/worksheets/sheet1.xml", lambda xml: xml + b" " * 20_000_000)
    assert bomb.stat().st_size < 100_000
    assert "would unpack to 20 MB in one part, and at most 5 MB are read" in refusal(bomb)


def test_open_package__refuses_huge_files(make_book, monkeypatch):
    monkeypatch.setattr(packages, "LARGEST_FILE", 1000)
    assert "is larger than" in refusal(make_book({"Animals": [["ID"]]}))


@pytest.mark.parametrize(
    "part", ["xl/workbook.xml", "xl/styles.xml", "xl/sharedStrings.xml", "xl/worksheets/sheet1.xml"]
)
def test_read_book__refuses_xml_entities(tmp_path, part):
    path = tmp_path / "book.xlsx"
    with xlsxwriter.Workbook(path) as workbook:
        workbook.add_worksheet("Animals").write_row(0, 0, ["ID", "Species"])
    declared = changed(path, part, lambda xml: ENTITIES.encode() + xml.split(b"?>", 1)[-1].lstrip())
    assert "XML entities" in refusal(declared)


def test_openpyxl__parses_through_defusedxml():
    assert openpyxl.DEFUSEDXML is True


def test_open_package__lists_tabs_and_percent_styles(tmp_path):
    workbook = openpyxl.Workbook()
    workbook.active["A1"] = 0.01
    workbook.active["A1"].number_format = "0.0 %"
    workbook.create_sheet("Old").sheet_state = "hidden"
    workbook.create_chartsheet("Chart")
    workbook.save(tmp_path / "book.xlsx")
    package = open_package(tmp_path / "book.xlsx")
    assert [(sheet.name, sheet.hidden) for sheet in package.sheets] == [("Sheet", False), ("Old", True)]
    assert package.percent_styles == {1}
