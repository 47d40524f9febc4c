"""The blank book: what Excel finds in it, and what stays when LibreOffice has saved it."""

import datetime as dt

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from pipeline.errors import RequestError
from pipeline.workbook.reading import read_book
from pipeline.workbook.sheets import OWN_SHEETS, SETTINGS, SHEETS
from pipeline.workbook.template import write_book
from tests.workbook.blank_books import TWO_SPECIES


def test_write_book__has_every_sheet_of_the_registry_with_its_headers(blank):
    assert blank.sheetnames == ["Start here", *(sheet.name for sheet in SHEETS), "Totals", "Lists"]
    for sheet in SHEETS:
        headers = [cell.value for cell in blank[sheet.name][1]][: len(sheet.columns)]
        assert headers == [column.header for column in sheet.columns]


def test_write_book__freezes_and_filters_every_header_row(blank):
    for sheet in SHEETS:
        page = blank[sheet.name]
        assert page.freeze_panes in ("A2", "B2")
        assert page.auto_filter.ref.startswith("A1:")


def test_write_book__notes_on_headers_say_meaning_and_allowed_values(blank):
    text = blank["Animals"]["J1"].comment.text
    assert text.startswith("Where the animal is now.")
    assert "Allowed: keeping, for sale, sold, on loan, died." in text
    assert "Blank means keeping." in text
    assert "Must be filled." in blank["Animals"]["A1"].comment.text


def test_write_book__required_headers_look_unlike_the_others(blank):
    for sheet in SHEETS:
        for cell, column in zip(blank[sheet.name][1], sheet.columns, strict=False):
            assert cell.font.b
            assert (cell.font.color.rgb == "00FFFFFF") == column.required, f"{sheet.name}!{cell.coordinate}"


def test_write_book__headers_fit_their_columns(blank):
    for sheet in SHEETS:
        for cell, column in zip(blank[sheet.name][1], sheet.columns, strict=False):
            width = blank[sheet.name].column_dimensions[cell.column_letter].width
            assert width >= max(map(len, column.header.split())) + 4
            assert 2 * (width - 3) >= len(column.header), f"{column.header} needs more than two lines"


def test_write_book__lists_every_setting_with_default_and_meaning(blank):
    rows = list(blank["Settings"].iter_rows(min_row=2, max_col=3, values_only=True))
    assert rows == [(s.name, None if s.default == "" else s.default, s.meaning) for s in SETTINGS]


def test_write_book__settings_of_rows_replace_defaults_and_add_rates(tmp_path):
    rows = {"Settings": [{"Setting": "Currency", "Value": "CHF"}, {"Setting": "Rate EUR", "Value": 0.95}]}
    write_book(tmp_path / "book.xlsx", rows)
    page = load_workbook(tmp_path / "book.xlsx")["Settings"]
    values = dict(page.iter_rows(min_row=2, max_col=2, values_only=True))
    assert (values["Currency"], values["Rate EUR"], values["Seed"]) == ("CHF", 0.95, 1)
    assert len(values) == len(SETTINGS) + 1


def test_write_book__keeps_dates_and_bare_years_apart(tmp_path):
    births = [{"ID": "B1", "Born": dt.date(2021, 6, 14)}, {"ID": "B2", "Born": 2019}]
    write_book(tmp_path / "book.xlsx", {"Animals": births})
    page = load_workbook(tmp_path / "book.xlsx")["Animals"]
    assert page["E2"].value == dt.datetime(2021, 6, 14)
    assert page["E3"].value == 2019
    assert "yyyy" in page.column_dimensions["E"].number_format


def test_write_book__ids_are_text_cells_so_that_no_program_takes_them_for_dates(blank):
    assert blank["Pairings"].column_dimensions["A"].number_format == "@"


def test_write_book__is_read_back_without_a_single_remark(tmp_path):
    write_book(tmp_path / "book.xlsx", TWO_SPECIES)
    book = read_book(tmp_path / "book.xlsx")
    assert book.problems == ()
    assert list(book.tables["genes"]["gene"]) == ["Amel", "Motley", "Anery"]
    assert list(book.tables["pairings"]["pairing"]) == ["24-03"]


def test_write_book__title_note_stands_below_the_title(tmp_path):
    write_book(tmp_path / "book.xlsx", title_note="An invented collection.")
    assert load_workbook(tmp_path / "book.xlsx")["Start here"]["B2"].value == "An invented collection."


@settings(max_examples=4, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(
    st.lists(
        st.text(st.characters(min_codepoint=32, max_codepoint=0x2FF), max_size=20).map("=".__add__),
        min_size=9,
    )
)
def test_write_book__text_that_begins_with_an_equals_sign_stays_text(tmp_path, texts):
    path = tmp_path / "book.xlsx"
    path.unlink(missing_ok=True)
    write_book(path, {"Animals": [{"ID": text, "Notes": text} for text in texts]})
    page = load_workbook(path)["Animals"]
    for row, text in enumerate(texts, start=2):
        for cell in (page.cell(row, 1), page.cell(row, 12)):
            assert (cell.data_type, cell.value) == ("s", text)


def test_write_book__first_header_s_note_shows_a_whole_row(blank):
    note = blank["Weights"]["A1"].comment.text
    assert note.endswith("An example row (invented)\nAnimal: B12\nDate: 2024-05-31\nWeight: 850")


@pytest.mark.program
def test_write_book__headers_notes_and_drop_downs_survive_libreoffice(tmp_path, blank, through_libreoffice):
    write_book(tmp_path / "blank.xlsx")
    saved = through_libreoffice(tmp_path / "blank.xlsx")
    assert saved.sheetnames == blank.sheetnames
    assert saved[OWN_SHEETS[1]].sheet_state == "hidden"
    for sheet in SHEETS:
        old, new = blank[sheet.name], saved[sheet.name]
        assert [cell.value for cell in new[1]] == [cell.value for cell in old[1]]
        assert [cell.comment.text for cell in new[1]] == [cell.comment.text for cell in old[1]]
        rules = (page.data_validations.dataValidation for page in (old, new))
        kept, found = ({(str(r.sqref)[:2], r.type, r.formula1) for r in rs} for rs in rules)
        assert found == kept


def test_write_book__never_writes_over_a_file(tmp_path):
    path = tmp_path / "book.xlsx"
    path.write_text("mine")
    with pytest.raises(
        RequestError, match="exists already and is never written over; give the new book another name"
    ):
        write_book(path)
    assert path.read_text() == "mine"
    assert list(tmp_path.iterdir()) == [path]


def test_write_book__names_the_folder_that_is_missing(tmp_path):
    with pytest.raises(RequestError, match="The folder .*nowhere does not exist; make it first"):
        write_book(tmp_path / "nowhere" / "book.xlsx")


def test_write_book__wants_the_ending_that_excel_opens(tmp_path):
    with pytest.raises(RequestError, match=r"book\.xls must end in \.xlsx.*; try book\.xlsx\."):
        write_book(tmp_path / "book.xls")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        ({"Animal": []}, "no sheet Animal"),
        ({"Animals": [{"Weight": 1}]}, "the sheet Animals has no column Weight"),
    ],
)
def test_write_book__refuses_names_the_book_lacks(tmp_path, rows, message):
    with pytest.raises(ValueError, match=message):
        write_book(tmp_path / "book.xlsx", rows)
    assert not list(tmp_path.iterdir())


def test_write_book__same_input_gives_the_same_bytes_at_another_time(tmp_path, monkeypatch):
    write_book(tmp_path / "one.xlsx", TWO_SPECIES)
    monkeypatch.setattr("time.localtime", lambda *_: dt.datetime(2031, 5, 6, 7, 8).timetuple())
    monkeypatch.setattr("openpyxl.writer.excel.datetime", _OtherClock)
    write_book(tmp_path / "two.xlsx", TWO_SPECIES)
    assert (tmp_path / "one.xlsx").read_bytes() == (tmp_path / "two.xlsx").read_bytes()


class _OtherClock:
    """Stands for the module datetime where the library asks for the time of saving."""

    timezone = dt.timezone

    class datetime:  # noqa: N801
        now = staticmethod(lambda tz=None: dt.datetime(2031, 5, 6, tzinfo=tz))
