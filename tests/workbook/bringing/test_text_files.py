import pytest

from pipeline.errors import BookError
from pipeline.workbook.bringing import text_files
from pipeline.workbook.bringing.text_files import separator, text_rows


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("id;born;wt\nB1;2020;0,5\nB2;2021;0,7\n", ";"),
        ("id,genes\nB1,'Motley; Hypo'\n", ","),
        ("id\tnote\nB1\ta, b, c, d\n", "\t"),
        ("alone\nB1\nB2\n", ","),
    ],
)
def test_separator__is_what_parts_the_rows_alike(text, expected):
    assert separator(text) == expected


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_text_rows__reads_the_usual_encodings(encoding):
    assert text_rows("a.csv", "ID;Größe\nB1;½ m\n".encode(encoding)) == [["ID", "Größe"], ["B1", "½ m"]]


def test_text_rows__keeps_separators_and_lines_within_quotes():
    assert text_rows("a.csv", b'ID;Note\nB1;"eats; well\nand often"\n') == [
        ["ID", "Note"],
        ["B1", "eats; well\nand often"],
    ]


def test_text_rows__refuses_what_is_no_text():
    with pytest.raises(BookError, match="a.csv is no text file; give the workbook or a CSV file"):
        text_rows("a.csv", b"\x00\x01\x02")


def test_text_rows__refuses_more_rows_than_a_sheet_has(monkeypatch):
    """Excel's specification: 1,048,576 rows."""
    assert text_files.MOST_ROWS == 1_048_576
    monkeypatch.setattr(text_files, "MOST_ROWS", 3)
    assert len(text_rows("a.csv", b"B1\n" * 3)) == 3
    with pytest.raises(BookError, match="a.csv has more than the 3 rows of a sheet; part it"):
        text_rows("a.csv", b"B1\n" * 4)
