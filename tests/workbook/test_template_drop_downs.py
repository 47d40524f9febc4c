"""What the blank book offers for a cell, asks about and refuses."""

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.worksheet.datavalidation import DataValidation

from pipeline.workbook.sheets import SHEETS, Kind
from pipeline.workbook.template import write_book
from tests.workbook.blank_books import TWO_SPECIES, rule_at

OFFERED = {
    "Animals!F2": ["Motley"],
    "Animals!H2": ["B1", "C1"],
    "Hatch results!A2": ["24-03"],
    "Hatch results!D2": ["Amel", "Anery", "Snow"],
    "Hatch results!I2": ["Amel", "Anery"],
}


def offered(book: Workbook, rule: DataValidation) -> list[str]:
    """The words of a drop-down whose source is the name of a fixed range."""
    sheet, cells = next(book.defined_names[rule.formula1].destinations)
    return [cell.value for (cell,) in book[sheet][cells]]


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
