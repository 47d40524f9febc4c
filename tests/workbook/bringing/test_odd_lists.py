"""Lists as they come: another alphabet's bytes, two rows of headers, titles across the sheet. Nothing of them is lost."""

from datetime import date

import pytest
from openpyxl import Workbook, load_workbook

from pipeline.workbook.bringing.bring import bring, write_brought

GERMAN = """Kürzel;Art;Geschlecht;geschlüpft;Genetik;Gewicht g;gewogen am;Bemerkung
K1;Kornnatter;weiblich;14.06.2016;het Amel;652;25.03.2023;frißt „gut“ – 3 €
K2;Kornnatter;m;2017;het Amel;410;05.04.2023;
K3;Kornnatter;f;09.07.2022;Amel;200;06.04.2023;Müller's
"""


def semicolons(folder):
    """As Excel in Germany saves a list: semicolons, and the bytes of code page 1252."""
    path = folder / "list.csv"
    path.write_bytes(GERMAN.encode("cp1252"))
    return path


def two_headers(folder):
    """A row of groups, merged, over the row of headers."""
    book = Workbook()
    page = book.active
    page.title = "Collection 2024"
    page.append(["Animal", None, None, "Parents", None, "Latest", None, "Money"])
    page.append(["Tag", "Called", "Gender", "Mum", "Dad", "Grams", "On", "Bought for"])
    for area in ("A1:C1", "D1:E1", "F1:G1"):
        page.merge_cells(area)
    page.append(["A1", "Luna", "Female", None, None, 652, date(2023, 3, 25), 120])
    page.append(["A2", "Bruno", "Male", None, None, 410, date(2023, 4, 5), None])
    page.append(["A3", "Kit", "F", "A1", "A2", 200, date(2023, 4, 6), 1200])
    book.save(folder / "headers.xlsx")
    return folder / "headers.xlsx"


def titles(folder):
    """A title across the sheet, a remark below it, a total below the table, a word beside it."""
    book = Workbook()
    page = book.active
    page["A1"] = "My corn snakes, spring 2024"
    page.merge_cells("A1:H1")
    page["A2"] = "updated every month"
    page.append([])
    page.append(["Snake name", "Sex?", "Hatch date", "Morph", "Breeder paid", "Shed last", "Notes to self"])
    page.append(["Luna", "1.0", "2016", "Amel het Anery", "120 EUR", "March", "shy"])
    page.append(["Bruno", "0.1", "2017-05-01", "normal"])
    page.append(["Kit", "0.0.1", "July 2022", "Snow?", "gift", None, "bites"])
    page.append([])
    page.append(["Total", 3])
    page["J5"] = "side note: buy mice"
    book.save(folder / "titles.xlsx")
    return folder / "titles.xlsx"


PASSED = ("Start here", "Settings", "Totals", "Lists")
"""Pages of the new book that hold nothing of the old list."""


def brought(old):
    """The rows of each sheet of the new book, by header, and all its text."""
    new = old.with_name("new.xlsx")
    write_brought(bring(old, "Corn snake", ()), new)
    book = load_workbook(new, read_only=True)
    pages = {page.title: list(page.iter_rows(values_only=True)) for page in book if page.title not in PASSED}
    book.close()
    rows = {
        title: [
            {head: cell for head, cell in zip(found[0], row, strict=False) if cell is not None}
            for row in found[1:]
        ]
        for title, found in pages.items()
    }
    words = "\n".join(
        str(cell) for found in pages.values() for row in found for cell in row if cell is not None
    )
    return rows, words


@pytest.mark.parametrize("made", [semicolons, two_headers, titles])
def test_bring__no_word_of_an_odd_list_is_lost(tmp_path, made):
    old = made(tmp_path)
    if old.suffix == ".csv":
        cells = [cell for line in GERMAN.splitlines() for cell in line.split(";") if cell]
    else:
        page = load_workbook(old).active
        cells = [str(cell.value) for row in page.iter_rows() for cell in row if cell.value is not None]
    _, words = brought(old)
    assert [cell for cell in cells if cell not in words] == []


def test_bring__semicolons_and_umlauts(tmp_path):
    rows, _ = brought(semicolons(tmp_path))
    animals = [row for row in rows["Animals"] if row]
    assert [row["ID"] for row in animals] == ["K1", "K2", "K3"]
    assert "frißt „gut“ – 3 €" in animals[0]["Notes"] and "Müller's" in animals[2]["Notes"]


def test_bring__two_rows_of_headers(tmp_path):
    """The day under 'Latest' is the weighing's, not the animal's birthday."""
    rows, _ = brought(two_headers(tmp_path))
    animals = [row for row in rows["Animals"] if row]
    assert [(row["ID"], row["Name"], row["Sex"]) for row in animals] == [
        ("A1", "Luna", "F"),
        ("A2", "Bruno", "M"),
        ("A3", "Kit", "F"),
    ]
    assert (animals[2]["Dam"], animals[2]["Sire"], animals[2]["Paid"]) == ("A1", "A2", 1200)
    assert not any("Born" in row for row in animals)
    assert [row["Weight (g)"] for row in rows["Weights"] if row] == [652, 410, 200]


def test_bring__titles_totals_and_words_beside_the_table(tmp_path):
    rows, _ = brought(titles(tmp_path))
    animals = {row["Name"]: row for row in rows["Animals"] if "Name" in row}
    assert {"Luna", "Bruno", "Kit"} <= animals.keys()
    assert animals["Luna"]["Genes"] == "Amel het Anery"
