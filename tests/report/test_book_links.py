"""Links from findings.xlsx to the keeper's book: to the right cell, never a formula, never more than Excel bears."""

from datetime import date
from pathlib import Path

import pandas as pd
import pytest
from openpyxl import load_workbook

from pipeline.report import book_links
from pipeline.report.book_links import ways_from
from pipeline.report.findings_book import HEADER, write_findings_book
from pipeline.report.records import Records
from tests.report.invented import BOOK, findings

AS_OF = date(2026, 5, 3)


def places(**rows):
    """record_places of the invented book: kind_id=(sheet, first, last, records)."""
    listed = [(BOOK, *name.split("_", 1), *row) for name, row in rows.items()]
    frame = pd.DataFrame(listed, columns=["book", "kind", "id", "sheet", "first_row", "last_row", "records"])
    return frame.assign(species="Corn snake")


@pytest.fixture
def sheets(tmp_path):
    def written(frames, **options):
        path = tmp_path / "findings.xlsx"
        write_findings_book(frames, path, as_of=AS_OF, **options)
        return load_workbook(path)

    return written


def link_of(cell):
    return (cell.hyperlink.target, cell.hyperlink.location) if cell.hyperlink else None


def test_write_findings_book__an_animal_links_to_its_row(sheets):
    frames = {**findings(), "record_places": places(animal_A001=("Animals", 7, 7, 1))}
    rows = sheets(frames)["Growth and readiness"].iter_rows(min_row=HEADER + 2)
    links = {row[2].value: link_of(row[2]) for row in rows}
    assert links.pop("A001") == (rf"..\{BOOK}", "'Animals'!A7")
    assert set(links.values()) == {None}


def test_write_findings_book__a_problem_links_to_its_cell(sheets):
    row = next(sheets(findings())["Problems in the book"].iter_rows(min_row=HEADER + 2))
    assert row[3].value == "F12" and link_of(row[3]) == (rf"..\{BOOK}", "'Animals'!F12")


def test_write_findings_book__a_linked_number_stays_a_number(sheets):
    odd = {"book": BOOK, "species": "Corn snake", "morph": "Albino", "row": 31, "price": 900.0}
    frames = {
        "price_outliers": pd.DataFrame([odd]),
        "record_places": places(price_Albino=("PRICES", 4, 40, 9)),
    }
    cell = sheets(frames)["Prices out of line"].cell(HEADER + 2, 5)
    assert (cell.value, cell.data_type, link_of(cell)) == (31, "n", (rf"..\{BOOK}", "'PRICES'!A31"))


def test_write_findings_book__a_sum_links_to_the_rows_it_adds_up(sheets):
    frames = {**findings(), "record_places": places(season_2026=("Hatch results", 12, 480, 312))}
    rows = sheets(frames)["The seasons"].iter_rows(min_row=HEADER + 2)
    links = {row[1].value: link_of(row[1]) for row in rows}
    assert links == {2026: (rf"..\{BOOK}", "'Hatch results'!A12:A480"), 2025: None}


def test_write_findings_book__sexes_link_to_the_pairing_and_only_a_sum_to_what_it_adds_up(sheets):
    known = {"pairing_P001": ("Pairings", 2, 2, 1), "sexed_Corn snake": ("Young", 4, 90, 50)}
    rows = list(
        sheets({**findings(), "record_places": places(**known)})["Sexes"].iter_rows(min_row=HEADER + 2)
    )
    links = [[cell.hyperlink.location for cell in row if cell.hyperlink] for row in rows]
    assert links == [["'Young'!A4:A90"], ["'Pairings'!A2"]]


@pytest.mark.parametrize("sheet", ["It's #1", '=cmd|"C"!A0', "Tiere & <b>"])
def test_write_findings_book__a_strange_sheet_or_book_name_stays_a_name(sheets, sheet):
    frames = {**findings(), "record_places": places(animal_A001=(sheet, 7, 7, 1))}
    book = sheets(frames, books={BOOK: "../my #1 50% snakes/b [2].xlsx"})
    cell = next(
        r[2] for r in book["Growth and readiness"].iter_rows(min_row=HEADER + 2) if r[2].value == "A001"
    )
    target, location = link_of(cell)
    assert target == r"..\my%20%231%2050%25%20snakes\b%20%5b2%5d.xlsx"
    assert location == "'" + sheet.replace("'", "''") + "'!A7" and cell.data_type == "s"


def test_write_findings_book__beyond_excel_s_limit_text_stays_text(sheets, monkeypatch):
    monkeypatch.setattr(book_links, "MOST_LINKS", 2)
    rows = {f"animal_A{number:03d}": ("Animals", number, number, 1) for number in range(1, 8)}
    cells = [
        row[2]
        for row in sheets({**findings(), "record_places": places(**rows)})["Growth and readiness"].iter_rows(
            min_row=HEADER + 2
        )
    ]
    assert sum(cell.hyperlink is not None for cell in cells) == 2
    assert len({cell.value for cell in cells}) == 8


def test_ways_from__is_relative_to_the_folder_of_the_findings(tmp_path):
    ways = ways_from(tmp_path / "out" / "season", {BOOK: tmp_path / "books" / BOOK})
    assert ways == {BOOK: f"../../books/{BOOK}"}
    assert ((tmp_path / "out" / "season") / Path(ways[BOOK])).resolve() == (
        tmp_path / "books" / BOOK
    ).resolve()


def test_records__tell_every_row_behind_a_name():
    found = Records(
        places(
            young_P1=("Hatch results", 12, 15, 4),
            pairing_P1=("Pairings", 5, 5, 1),
            animal_A=("Animals", 3, 90, 2),
        )
    )
    assert found.of("pairing", BOOK, None, "P1").words == "Pairings, row 5; Hatch results, rows 12–15"
    assert found.of("sire", BOOK, "Corn snake", "A").words == "Animals, 2 rows from 3 to 90"
    assert (
        found.of("sire", BOOK, "Corn snake", "unknown") is None
        and found.of("verdict", BOOK, None, "A") is None
    )


def test_records__tell_an_animal_s_young_apart_from_its_own_rows():
    found = Records(
        places(offspring_A=("Young", 12, 40, 9), animal_A=("Animals", 3, 3, 1), hatched_A=("Young", 5, 5, 1))
    )
    assert (
        found.of("dam", BOOK, None, "A").words
        == "Animals, row 3; Young, row 5; Young, 9 rows from 12 to 40 (its young)"
    )


@pytest.mark.parametrize("season", [2026, 2026.0])
def test_records__know_a_season_by_its_number(season):
    found = Records(places(season_2026=("Pairings", 2, 5, 4)))
    assert found.of("season", BOOK, "Corn snake", season).words == "Pairings, rows 2–5"
    assert found.of("season", BOOK, "Common boa", season) is None


def test_records__a_suspicion_of_two_genes_has_two():
    found = Records(places(gene_Fire=("Genes", 2, 2, 1), gene_Ash=("Genes", 4, 4, 1)))
    names = [one.name for one in found.of_suspicion(BOOK, "gene record", "Corn snake", "Fire, Ash")]
    assert names == ["Fire", "Ash"]
    assert found.of_suspicion(BOOK, "gene record", "Common boa", "Fire") == []
