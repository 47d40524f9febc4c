"""Large sheets without their empty rows."""

from io import BytesIO

import pytest

from pipeline.workbook import slimming
from pipeline.workbook.package import open_package
from pipeline.workbook.slimming import filled_rows, slimmed

FULL = b'<row r="2"><c r="A2" s="1"/><c r="B2"><v>1</v></c></row>'
EMPTY = b'<row r="3" s="1"><c r="A3" s="1"/><c r="B3"></c></row><row r="4"/><row s="1" r="5"></row>'
LAST = b'<row r="6"><c r="A6"><f>1+1</f></c></row>'
HEAD, TAIL = b"<worksheet><sheetData>", b'</sheetData><rowBreaks count="0"/></worksheet>'


def slim(xml: bytes) -> bytes:
    return b"".join(filled_rows(BytesIO(xml)))


@pytest.mark.parametrize("size", [1, 5, 50, 1000])
def test_filled_rows__drops_numbered_rows_without_content(monkeypatch, size):
    monkeypatch.setattr(slimming, "CHUNK", size)
    assert slim(HEAD + FULL + EMPTY + LAST + TAIL) == HEAD + FULL + LAST + TAIL


def test_filled_rows__keeps_rows_without_numbers_for_the_count():
    rows = b"<row/><row><c/></row>" + FULL
    assert slim(HEAD + rows + TAIL) == HEAD + rows + TAIL


def test_filled_rows__knows_tags_with_a_prefix():
    head, tail = b"<x:worksheet><x:sheetData>", b"</x:sheetData></x:worksheet>"
    assert slim(
        head + b'<x:row r="1"><x:c r="A1" s="2"/></x:row><x:row r="2"><x:c><x:v>1</x:v></x:c></x:row>' + tail
    ) == (head + b'<x:row r="2"><x:c><x:v>1</x:v></x:c></x:row>' + tail)


def test_slimmed__leaves_small_books_alone(make_book, monkeypatch):
    package = open_package(make_book({"Weights": [["Animal", "Date"], ["B1", 2024]]}))
    assert slimmed(package) is package
    monkeypatch.setattr(slimming, "LARGE", 10)
    assert slimmed(package).sheets == package.sheets
