"""The blank book: what Excel finds in it, and what stays when LibreOffice has saved it."""

import datetime as dt
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook

from pipeline.errors import RequestError
from pipeline.example.collection import write_example
from pipeline.workbook.reading import read_book
from pipeline.workbook.sheets import OWN_SHEETS, SETTINGS, SHEETS, Kind
from pipeline.workbook.template import write_book
from tests.libreoffice import SOFFICE, saved_by_libreoffice

TWO_SPECIES = {
    "Genes": [
        {"Species": "Corn snake", "Gene": "Amel", "Inheritance": "recessive"},
        {"Species": "Common boa", "Gene": "Motley", "Inheritance": "incomplete dominant"},
        {},
        {"Species": "Corn snake", "Gene": "Anery", "Inheritance": "recessive"},
    ],
    "Morph names": [{"Species": "Corn snake", "Name": "Snow", "Genes": "Amel Anery"}],
    "Animals": [
        {"ID": "B1", "Species": "Common boa", "Genes": "Motley"},
        {"ID": "C1", "Species": "Corn snake", "Genes": "Snow"},
    ],
    "Pairings": [{"Pairing": "24-03", "Season": 2024, "Dam": "C1", "Sire": "B1"}],
    "Hatch results": [{"Pairing": "24-03", "Genes": "Amel", "Count": 4}],
}


@pytest.fixture(scope="module")
def blank(tmp_path_factory) -> Workbook:
    path = tmp_path_factory.mktemp("blank") / "book.xlsx"
    write_book(path)
    return load_workbook(path)


def rule_at(worksheet, cell):
    """The data validation that governs a cell, or None."""
    return next((r for r in worksheet.data_validations.dataValidation if cell in r.sqref), None)


def offered(book: Workbook, rule) -> list[str]:
    """The words of a drop-down whose source is the name of a fixed range."""
    sheet, cells = next(book.defined_names[rule.formula1].destinations)
    return [cell.value for (cell,) in book[sheet][cells]]


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


def test_write_book__choices_are_drop_downs_that_refuse_other_words(blank):
    for sheet in SHEETS:
        for cell, column in zip(blank[sheet.name][1], sheet.columns, strict=False):
            if column.kind is Kind.CHOICE:
                rule = rule_at(blank[sheet.name], f"{cell.column_letter}2")
                assert tuple(offered(blank, rule)) == column.choices
                assert rule.showErrorMessage and (rule.errorStyle or "stop") == "stop"


def test_write_book__references_offer_the_ids_and_allow_new_ones(blank):
    for cell, name in (
        ("Animals!H2", "Animals_id"),
        ("Weights!A2", "Animals_id"),
        ("Prices!B2", "Species_species"),
    ):
        sheet, place = cell.split("!")
        rule = rule_at(blank[sheet], place)
        assert (rule.type, rule.formula1, rule.errorStyle) == ("list", name, "information")


def test_write_book__labels_and_lists_of_several_are_never_questioned(blank):
    for cell in ("Animals!F2", "Hatch results!D2", "Hatch results!I2", "Pairings!E2", "Morph names!C2"):
        sheet, place = cell.split("!")
        rule = rule_at(blank[sheet], place)
        assert rule.type == "list" and not rule.showErrorMessage


def test_write_book__bounds_numbers(blank):
    rule = rule_at(blank["Genes"], "K2")
    assert (rule.type, rule.formula1, rule.formula2) == ("decimal", "0", "50")
    assert "Recombination is a number 0 to 50." in rule.error


def test_write_book__a_weight_with_its_unit_is_questioned_not_refused(blank):
    assert rule_at(blank["Weights"], "C2").errorStyle == "warning"


def test_write_book__validations_keep_to_what_excel_opens(blank):
    """Excel's limits: 255 characters a formula and an error text, 32 a title (Microsoft, 'Data validation' limits, from memory)."""
    for page in blank:
        cells = [str(rule.sqref) for rule in page.data_validations.dataValidation]
        assert len(cells) == len(set(cells))
        for rule in page.data_validations.dataValidation:
            assert len(rule.formula1) <= 255 and "!" not in rule.formula1
            assert len(rule.error or "") <= 225 and len(rule.errorTitle or "") <= 32


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


@pytest.fixture(scope="module")
def through_libreoffice(tmp_path_factory):
    """Saves a workbook anew with LibreOffice, by a profile of its own, and loads it, with values where asked."""
    if SOFFICE is None:
        pytest.skip("LibreOffice (soffice) is not installed")
    folder = tmp_path_factory.mktemp("libreoffice")

    def convert(path: Path, *, values: bool = False) -> Workbook:
        (saved,) = saved_by_libreoffice(folder, path)
        return load_workbook(saved, data_only=values)

    return convert


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


@pytest.mark.program
def test_write_book__drop_downs_of_labels_follow_the_species_of_the_row(tmp_path, through_libreoffice):
    """LibreOffice computes what each drop-down's formula offers; the hatch row takes the species of the pairing's dam."""
    write_book(tmp_path / "source.xlsx", TWO_SPECIES)
    book = load_workbook(tmp_path / "source.xlsx")
    sources = {name: rule_at(book[name.split("!")[0]], name.split("!")[1]).formula1 for name in OFFERED}
    page = book.create_sheet("Offered")
    for row, (name, source) in enumerate(sources.items(), start=1):
        formula = source.replace("$A2", f"'{name.split('!')[0]}'!$A$2").replace("$C2", "Animals!$C$2")
        page.append([f"=ROWS({formula})", *(f'=IFERROR(INDEX({formula},{n}),"")' for n in range(1, 5))])
        assert page.cell(row, 1).data_type == "f"
    book.save(tmp_path / "offered.xlsx")
    rows = through_libreoffice(tmp_path / "offered.xlsx", values=True)["Offered"].iter_rows(values_only=True)
    assert dict(zip(OFFERED, [list(row[1 : row[0] + 1]) for row in rows], strict=True)) == OFFERED


OFFERED = {
    "Animals!F2": ["Motley"],
    "Animals!H2": ["B1", "C1"],
    "Hatch results!A2": ["24-03"],
    "Hatch results!D2": ["Amel", "Anery", "Snow"],
    "Hatch results!I2": ["Amel", "Anery"],
}


def test_write_book__wants_the_ending_that_excel_opens(tmp_path):
    with pytest.raises(RequestError, match=r"book\.xls must end in \.xlsx.*; try book\.xlsx\."):
        write_book(tmp_path / "book.xls")
    assert list(tmp_path.iterdir()) == []


def test_write_book__first_header_s_note_shows_a_whole_row(blank):
    note = blank["Weights"]["A1"].comment.text
    assert note.endswith("An example row (invented)\nAnimal: B12\nDate: 2024-05-31\nWeight: 850")


WRONG = {
    "Species": [{"Species": "Corn snake"}],
    "Animals": [
        {"ID": "1", "Species": "Corn snake", "Sex": "F"},
        {"ID": "2", "Species": "Corn snake", "Sex": "M", "Born": 2019},
        {"ID": "2", "Species": "Corn", "Sex": "M", "Born": dt.date(2099, 1, 1)},
        {"ID": "4", "Species": "Corn snake", "Sire": "1", "Dam": "2"},
        {"Species": "Corn snake", "Name": "x"},
        {"ID": "6", "Species": "Corn snake", "Sire": "nobody", "Dam": "1", "Born": 2090},
    ],
    "Pairings": [
        {"Pairing": "24-03", "Season": 2024, "Dam": "1", "Sire": "2"},
        {"Pairing": "24-03", "Season": 2024, "Dam": "2", "Sire": "zz"},
    ],
    "Hatch results": [{"Pairing": "24-03", "Count": 4}, {"Pairing": "24-99", "Outcome": "slug"}],
    "Weights": [{"Animal": "9", "Date": dt.date(2099, 1, 1)}],
}
COLOURED = {
    "Animals": {"A4", "C4", "E4", "H5", "I5", "A6", "H7", "E7"},
    "Pairings": {"A3", "C3", "D3"},
    "Hatch results": {"A3"},
    "Weights": {"A2", "B2"},
}  # A6 waits to be filled, the others can't be so


def asked_of(formula: str, sheet: str, row: int) -> str:
    """A rule about row 2 as a question about another row, put from another sheet."""
    moved = re.sub(
        r"(:?)\$([A-Z]+)2\b", lambda m: m[1] + ("" if m[1] else f"'{sheet}'!") + f"${m[2]}{row}", formula
    )
    return moved.replace("ROW()", str(row))


@pytest.mark.program
def test_write_book__colours_what_can_not_be_and_what_is_missing(tmp_path, through_libreoffice):
    """LibreOffice computes every colour rule for the first rows, each as a formula on a sheet of its own."""
    write_book(tmp_path / "rules.xlsx", WRONG)
    book = load_workbook(tmp_path / "rules.xlsx")
    asked = book.create_sheet("Asked")
    for name in COLOURED:
        for area in book[name].conditional_formatting:
            letter = str(area.sqref)[0]
            for rule, row in ((rule, row) for rule in area.rules for row in range(2, 8)):
                asked.append([name, f"{letter}{row}", f"={asked_of(rule.formula[0], name, row)}"])
    book.save(tmp_path / "rules-asked.xlsx")
    found = through_libreoffice(tmp_path / "rules-asked.xlsx", values=True)["Asked"].values
    coloured = {name: set() for name in COLOURED}
    for name, cell, holds in found:
        assert holds in (True, False), (name, cell)
        if holds:
            coloured[name].add(cell)
    assert coloured == COLOURED


@pytest.mark.program
def test_write_book__colour_rules_survive_libreoffice(tmp_path, blank, through_libreoffice):
    write_book(tmp_path / "colours.xlsx")
    saved = through_libreoffice(tmp_path / "colours.xlsx")
    for sheet in SHEETS:
        kept, found = (
            {str(a.sqref): len(a.rules) for a in page.conditional_formatting}
            for page in (blank[sheet.name], saved[sheet.name])
        )
        assert found == kept and kept


def test_write_totals__values_stand_beside_the_formulas(tmp_path):
    write_book(tmp_path / "book.xlsx", TWO_SPECIES | {"Species": [{"Species": "Corn snake"}]})
    page = load_workbook(tmp_path / "book.xlsx", data_only=True)["Totals"]
    assert [cell.value for cell in page[5]][:3] == ["Corn snake", 1, 0]
    assert [cell.value for cell in page[19]][:3] == [2024, 1, 4]


@pytest.mark.program
def test_write_totals__a_spreadsheet_program_comes_to_the_same_values(tmp_path, through_libreoffice):
    """Of the demo collection; the stored values are taken out first, so that LibreOffice must count."""
    write_example(tmp_path / "demo.xlsx")
    stored = list(load_workbook(tmp_path / "demo.xlsx", data_only=True)["Totals"].values)
    load_workbook(tmp_path / "demo.xlsx").save(tmp_path / "bare.xlsx")
    counted = list(through_libreoffice(tmp_path / "bare.xlsx", values=True)["Totals"].values)
    assert sum(value or 0 for value in stored[19][2:6]) > 100
    assert [[value or None for value in row] for row in counted] == [
        [value or None for value in row] for row in stored
    ]
