"""Old lists, invented, brought into a book of ours and read back."""

import hashlib
import re
from datetime import date, datetime, time
from itertools import chain
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook
from openpyxl.comments import Comment

from pipeline.errors import BookError, RequestError
from pipeline.workbook.bringing.bring import Brought, bring, write_brought
from pipeline.workbook.bringing.carrying import Carrier
from pipeline.workbook.bringing.left_over import account_page, left_over_page
from pipeline.workbook.bringing.wording import words_of
from pipeline.workbook.checking import checked
from pipeline.workbook.reading import read_book
from pipeline.workbook.sheets import SHEETS, Kind


def test_bring__a_csv_with_decimal_commas_becomes_animals_and_weighings(semicolons, new_tables):
    tables = new_tables(bring(semicolons))
    animals = tables["animals"].set_index("id")
    assert list(animals.index) == ["Luna", "Bruno", "Kit"]
    assert (
        animals.loc["Luna", "born"].date() == date(2019, 6, 14) and animals.loc["Bruno", "born_year"] == 2018
    )
    assert (animals.loc["Kit", "sire"], animals.loc["Kit", "dam"], animals.loc["Kit", "paid"]) == (
        "Bruno",
        "Luna",
        1200,
    )
    assert list(tables["weights"]["weight"]) == [652, 410, 200]
    assert list(tables["weights"]["date"].dt.month) == [3, 4, 4]


def test_bring__what_finds_no_place_goes_to_notes_with_its_header(semicolons, new_tables):
    notes = new_tables(bring(semicolons))["animals"]["notes"]
    assert list(notes) == ["shy; Vet: ok", "eats; well", "=1+1; Vet: teeth"]


def test_bring__a_breeding_list_gives_pairings_and_young(three_sheets, new_tables):
    tables = new_tables(bring(three_sheets))
    assert list(tables["pairings"]["pairing"]) == ["2022-01", "2023-01"]
    assert list(tables["pairings"]["season"]) == [2022, 2023]
    young = tables["hatch_results"][["pairing", "genes", "count", "outcome"]].fillna("")
    assert young.to_records(index=False).tolist() == [
        ("2022-01", "Amel", 6, "live"), ("2022-01", "", 2, "slug"), ("2022-01", "normal", 5, "live"),
        ("2023-01", "Amel", 4, "live"), ("2023-01", "", 0, "slug"),
    ]  # fmt: skip


def test_bring__weighings_under_their_days_and_names_for_ids(three_sheets, new_tables):
    weights = new_tables(bring(three_sheets))["weights"]
    assert list(weights["animal"]) == ["K3", "K3", "K3", "K1", "K1"]
    assert list(weights["weight"]) == [12, 15, 19, 600, 610]
    assert list(weights["date"].dt.month) == [8, 9, 10, 8, 10]


def test_bring__says_what_it_made_up(three_sheets, semicolons):
    assert any("made from the animal's name" in saying for saying in bring(semicolons).gathered.sayings)
    sayings = bring(three_sheets).gathered.sayings
    assert sayings["animals referred to by name are now referred to by ID"] == 4
    assert any("names of pairings made up" in saying for saying in sayings)


def test_bring__numbers_animals_without_id_and_name(brought):
    found = brought(
        {"Animals": [["Species", "Sex", "Genes"], ["Boa", "M", "Motley"], ["Boa", "F", "normal"]]}, asked=()
    )
    assert found.tables[0].topic == ""
    named = brought(
        {
            "Animals": [
                {"Name": "Ada", "Species": "Boa"},
                {"Name": "Ada", "Species": "Boa"},
                {"Name": "A001", "Species": "Boa"},
            ]
        }
    )
    assert [animal["ID"] for animal in named.gathered.records["Animals"]] == ["A002", "A003", "A001"]


def test_bring__genes_to_fill_in_are_errors_of_the_check(semicolons, tmp_path):
    write_brought(bring(semicolons), tmp_path / "new.xlsx")
    problems = checked(read_book(tmp_path / "new.xlsx"), date(2025, 1, 1)).problems
    assert [str(p.place.cell) for p in problems if p.message.startswith("Inheritance is empty")] == [
        "D2",
        "D3",
    ]


def test_bring__a_book_of_ours_comes_back_as_it_was(tmp_path, new_tables):
    from pipeline.example.collection import write_example

    write_example(tmp_path / "ours.xlsx")
    tables = new_tables(bring(tmp_path / "ours.xlsx"))
    for name, frame in read_book(tmp_path / "ours.xlsx").tables.items():
        found = tables[name].drop(columns="book")
        assert found.equals(frame.drop(columns="book")), name


def test_bring__wishes_come_first(brought):
    found = brought(
        {"Animals": [{"ID": "B1", "Species": "Boa", "Sort": "Motley", "Name": "Ada"}]},
        asked=["sort=Animals.Genes", "Name=Notes"],
    )
    assert found.gathered.records["Animals"] == [
        {"ID": "B1", "Species": "Boa", "Genes": "Motley", "Notes": "Name: Ada"}
    ]


def test_bring__species_of_rows_that_name_none(brought):
    found = brought({"Animals": [{"ID": "B1", "Sex": "M"}]}, species="Boa")
    assert found.gathered.records["Animals"][0]["Species"] == "Boa"


@pytest.mark.parametrize(
    ("wish", "message"),
    [
        ("Colour=Animals.Genes", "no column 'Colour'; it has ID, Species"),
        ("ID=Animals.Mood", "There is no column 'Animals.Mood'; Animals has ID, Name"),
        ("ID=Moods.ID", "There is no column 'Moods.ID'; write Sheet.Column"),
        ("Species", "'Species' names no place; write"),
        ("Species=Genes.Notes", "'Species' can't go to Genes.Notes: sheet 'Animals' is read as a list of animals, which fills Animals, Weights, Prices"),
    ],
)
def test_bring__names_a_wish_that_can_not_be_met(brought, wish, message):
    with pytest.raises(RequestError, match=message):
        brought({"Animals": [{"ID": "B1", "Species": "Boa"}]}, asked=[wish])


def test_bring__refuses_formulas_without_a_value(brought):
    with pytest.raises(BookError, match="has 1 formulas without a stored value on sheet 'Animals'; open it"):
        brought({"Animals": [{"ID": "B1", "Species": "=A1"}]})


def test_bring__keeps_notes_on_cells_titles_and_unknown_tables(tmp_path, three_sheets):
    book = load_workbook(three_sheets)
    book["My snakes"]["B5"].comment = Comment("bites", "keeper")
    book.save(tmp_path / "noted.xlsx")
    write_brought(bring(tmp_path / "noted.xlsx"), tmp_path / "new.xlsx")
    words = {
        words_of(cell)
        for row in load_workbook(tmp_path / "new.xlsx")["Left over"].values
        for cell in row
        if cell is not None
    }
    assert {"bites", "note on B5", "My collection, printed in May", "bedding", "2 bags", "mice"} <= words


def test_bring__merged_cells_hold_for_each_row(tmp_path, new_tables):
    book = Workbook()
    page = book.active
    page.title = "Clutches"
    for row in (
        ["Dam", "Sire", "Season", "Genes", "Count"],
        ["A", "B", 2024, "Motley", 3],
        [None, None, None, "normal", 4],
    ):
        page.append(row)
    for column in "ABC":
        page.merge_cells(f"{column}2:{column}3")
    book.save(tmp_path / "old.xlsx")
    assert list(new_tables(bring(tmp_path / "old.xlsx"))["hatch_results"]["pairing"]) == [
        "2024-01",
        "2024-01",
    ]


def test_write_brought__never_writes_over_a_file_nor_touches_the_old_one(semicolons, tmp_path):
    before = hashlib.sha256(semicolons.read_bytes()).digest()
    (tmp_path / "new.xlsx").write_text("mine")
    with pytest.raises(RequestError, match="exists already and is never written over"):
        write_brought(bring(semicolons), tmp_path / "new.xlsx")
    assert hashlib.sha256(semicolons.read_bytes()).digest() == before


HEADERS = ["ID", "Name", "Species", "Sex", "DOB", "Morph", "Mother", "Father", "Wt (kg)", "Weighed", "Price", "Sold on", "Sold for", "Notes", "Comments",
           "Female", "Male", "Pairing", "Season", "Hatched", "Live", "Slugs", "Count", "Genes", "Inheritance", "Setting", "Value", "2024-05-01"]  # fmt: skip
WORDS = ["B1", "B2", "M", "female", "unsexed", "2024", "05/06/2024", "25/06/2024", "14.06.2019", "1,2 kg", "850,5", "€ 50", "Motley het Albino", "3 normal",
         "=1+1", "-", "?", "none", "#N/A", "Boa", "12", "0", "007", "Luna", "yes", "x" * 33_000]  # fmt: skip
TEXTS = st.one_of(
    st.sampled_from(WORDS),
    st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Cn"]), max_size=12),
)
VALUES = st.one_of(st.none(), TEXTS, st.integers(-5, 60_000), st.floats(0, 3000).map(lambda x: round(x, 2)), st.dates(date(1950, 1, 1), date(2090, 1, 1)), st.booleans())  # fmt: skip


@st.composite
def tables(draw):
    width = draw(st.integers(1, 9))
    headers = draw(
        st.lists(
            st.one_of(st.sampled_from(HEADERS), TEXTS.filter(lambda t: len(t) < 99), st.none()),
            min_size=width,
            max_size=width,
        )
    )
    return [headers, *draw(st.lists(st.lists(VALUES, min_size=width, max_size=width), max_size=6))]


def squeezed(value) -> str:
    if isinstance(value, datetime) and value.time() == time():
        value = value.date()
    return re.sub(r"\s+", "", words_of(value))


CONVERTED = {
    (column.kind, column.unit, column.choices): column
    for sheet in SHEETS
    for column in sheet.columns
    if column.kind in (Kind.CHOICE, Kind.INTEGER, Kind.NUMBER, Kind.PERCENT, Kind.DATE, Kind.YEAR)
}


def forms(value, column_of) -> set[str]:
    """The text itself, and what each kind of column makes of it."""
    if len(words_of(value)) > 1000:
        return {squeezed(value)}
    carriers = [
        Carrier(column, unit, column_of)
        for column in CONVERTED.values()
        for unit in ("", "kg")[: 1 + (column.unit == "g")]
    ]
    return {squeezed(value), *(squeezed(carrier.carry(value)) for carrier in carriers)}


def cells_of(brought: Brought) -> set[str]:
    """What the new book is made of: its records and the two pages that account for the old list."""
    records = (cell for rows in brought.gathered.records.values() for row in rows for cell in row.values())
    pages = (account_page(brought.tables, brought.gathered), left_over_page(brought.tables, brought.gathered))
    return {
        squeezed(c)
        for c in chain(records, *(row for page in pages for row in page.rows))
        if c not in (None, "")
    }


def lost(rows, cells: set[str]) -> list:
    """Cells of the old table that stand nowhere in the new book: not as a cell, nor as 'Header: value' in Notes."""
    long = {cell[:1000] for cell in cells if len(cell) > 1000}
    missing = []
    for row in rows:
        for position, value in enumerate(row):
            if (
                value is None
                or not squeezed(value)
                or squeezed(value) in cells
                or squeezed(value)[:1000] in long
            ):
                continue
            possible = forms(value, [line[position] for line in rows[1:]])
            noted = any(
                f":{form}" in cell or cell.startswith(f"{form};") for form in possible for cell in cells
            )
            if not possible & cells and not noted:
                missing.append(value)
    return missing


def write_old(rows, name: str, path: Path) -> None:
    book = Workbook()
    book.active.title = name
    for number, row in enumerate(rows, start=1):
        for position, value in enumerate(row, start=1):
            cell = book.active.cell(number, position, value)
            if isinstance(value, str):
                cell.data_type = "s"
    book.save(path)


@settings(max_examples=60, suppress_health_check=list(HealthCheck), deadline=None)
@given(
    tables(),
    st.booleans(),
    st.sampled_from(["Animals", "Clutches", "Weights", "Prices", "Genes", "Settings", "Lists", "Sheet1"]),
)
def test_bring__nothing_is_lost(tmp_path_factory, rows, unlike, name):
    """`unlike` makes every text of the table another one, so that no cell can stand in for one that is gone."""
    if unlike:
        rows = [rows[0]] + [
            [f"{v} q{n}w{m}" if isinstance(v, str) else v for m, v in enumerate(row)]
            for n, row in enumerate(rows[1:])
        ]
    old = tmp_path_factory.mktemp("lost") / "old.xlsx"
    write_old(rows, name, old)
    if any(isinstance(value, (int, float, date)) or (value or "").strip() for row in rows for value in row):
        assert lost(rows, cells_of(bring(old))) == []


@settings(max_examples=5, suppress_health_check=list(HealthCheck), deadline=None)
@given(tables(), st.sampled_from(["Animals", "Clutches", "Genes"]))
def test_write_brought__any_list_makes_a_book_that_can_be_checked(tmp_path_factory, rows, name):
    """The file holds what it was made of, and the check comes through."""
    folder = tmp_path_factory.mktemp("whole")
    write_old([["ID", "Name", "Species"], ["B1", "Ada", "Boa"], *rows], name, folder / "old.xlsx")
    brought = bring(folder / "old.xlsx")
    write_brought(brought, folder / "new.xlsx")
    checked(read_book(folder / "new.xlsx"), date(2025, 1, 1))
    pages = [page.values for page in load_workbook(folder / "new.xlsx")]
    assert cells_of(brought) <= {
        squeezed(cell) for page in pages for row in page for cell in row if cell is not None
    }


def test_write_brought__rows_are_as_high_as_their_notes(brought, tmp_path):
    """LibreOffice grows no row by itself; a line of 11 points takes 15, and no row of Excel is higher than 409 (its limit)."""
    remarks = ["shy", "word " * 40, "one\ntwo\nthree", "word " * 4_000]
    animals = [{"ID": f"B{n}", "Sex": "F", "Remarks": text} for n, text in enumerate(remarks)]
    write_brought(brought({"Animals": animals}), tmp_path / "new.xlsx")
    page = load_workbook(tmp_path / "new.xlsx")["Animals"]
    heights = [page.row_dimensions[row].height for row in range(2, 6)]
    assert heights[0] is None and heights[1] >= 5 * 15 and heights[2] >= 3 * 15 and heights[3] == 409
