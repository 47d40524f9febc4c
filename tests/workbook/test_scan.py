"""What a look through a sheet's XML finds."""

from io import BytesIO

import pytest

from pipeline.workbook import scan as scans
from pipeline.workbook.scan import Merge, scan_sheet

HEAD = b'<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
TAIL = b"</sheetData></worksheet>"


def scanned(rows: bytes, tail: bytes = TAIL, **options):
    return scan_sheet(BytesIO(HEAD + rows + tail), **options)


def test_scan_sheet__finds_the_last_row_with_content():
    rows = b'<row r="1"><c r="A1"><v>1</v></c></row><row r="7"><c r="A7" t="inlineStr"><is><t>x</t></is></c></row>'
    empty = b'<row r="8" s="1"/><row r="9"><c r="A9" s="1"/></row>'
    assert scanned(rows + empty).last_row == 7
    assert scanned(empty).last_row == 0


def test_scan_sheet__counts_rows_without_numbers():
    assert scanned(b"<row><c><v>1</v></c></row>" * 5 + b"<row/>" * 9).last_row == 5


@pytest.mark.parametrize("size", [1, 7, 64, 1000])
def test_scan_sheet__does_not_depend_on_where_blocks_end(monkeypatch, size):
    monkeypatch.setattr(scans, "CHUNK", size)
    rows = b"".join(
        b'<row r="%d" hidden="1"><c r="B%d"><f>1+1</f></c><c r="C%d" s="3"><v>1</v></c></row>' % (i, i, i)
        for i in range(2, 9)
    )
    tail = b'</sheetData><mergeCells count="1"><mergeCell ref="A2:A5"/></mergeCells><rowBreaks count="0"/></worksheet>'
    found = scanned(rows, tail, percent_styles=frozenset({3}))
    assert (found.last_row, found.hidden_rows, len(found.unstored), len(found.percentages)) == (8, 7, 7, 7)
    assert found.merges == [Merge(2, 1, 5, 1)]


@pytest.mark.parametrize(
    ("cell", "stored"),
    [
        (b'<c r="B2"><f>1+1</f><v>2</v></c>', True), (b'<c r="B2"><f>1+1</f><v></v></c>', False), (b'<c r="B2"><f>1+1</f><v/></c>', False),
        (b'<c r="B2"><f>1+1</f></c>', False), (b'<c r="B2"><f t="shared" si="0"/><v>2</v></c>', True), (b'<c r="B2"><f t="shared" si="0"/></c>', False),
        (b'<c r="B2" t="str"><f>A1</f><v></v></c>', True), (b'<c t="str" r="B2"><f>A1</f><v xml:space="preserve"> x</v></c>', True),
    ],
)  # fmt: skip
def test_scan_sheet__tells_formulas_without_a_stored_value(cell, stored):
    """A formula whose result is the empty text is stored as such (t="str" with an empty value)."""
    found = scanned(b'<row r="2"><c r="A2" s="1"/>' + cell + b"</row>")
    assert found.formulas == {(2, 2)}
    assert found.unstored == (set() if stored else {(2, 2)})


def test_scan_sheet__places_formulas_in_cells_without_references():
    found = scanned(b"<row><c><v>1</v></c></row><row><c><v>1</v></c><c/><c><f>A1</f></c></row>")
    assert found.unstored == {(2, 3)}


def test_scan_sheet__reads_tags_with_a_prefix():
    xml = b'<x:worksheet xmlns:x="u"><x:sheetData><x:row r="3"><x:c r="AA3"><x:f>1</x:f><x:v>1</x:v></x:c></x:row></x:sheetData>'
    found = scan_sheet(
        BytesIO(xml + b'<x:mergeCells><x:mergeCell ref="A1:B1"/></x:mergeCells></x:worksheet>')
    )
    assert (found.last_row, found.formulas, found.merges) == (3, {(3, 27)}, [Merge(1, 1, 1, 2)])


def test_scan_sheet__counts_hidden_rows_down_to_the_last_filled_one():
    rows = b'<row r="1"><c r="A1"><v>1</v></c></row><row r="2" hidden="1"><c r="A2"><v>1</v></c></row><row r="3" hidden="true"/>'
    assert scanned(rows).hidden_rows == 1


def test_scan_sheet__refuses_a_row_without_end(monkeypatch):
    monkeypatch.setattr(scans, "LONGEST_ROW", 10_000)
    with pytest.raises(ValueError, match="does not end"):
        scanned(b"<row>" + b"<c/>" * 1_000_000)


def test_scan_sheet__refuses_other_encodings():
    with pytest.raises(ValueError, match="not written in UTF-8"):
        scan_sheet(BytesIO("<worksheet/>".encode("utf-16")))


def test_scan_sheet__tells_an_empty_sheet_from_one_that_breaks_off():
    assert scan_sheet(BytesIO(b"<worksheet><sheetData/></worksheet>")).last_row == 0
    for cut in (b"<worksheet><sheetD", HEAD + b'<row r="1"><c r="A1"><v>1</v></c></row>'):
        with pytest.raises(ValueError, match="breaks off"):
            scan_sheet(BytesIO(cut))
