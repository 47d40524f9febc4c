"""The marked copy: what it shows, what it keeps, and that the original stays as it is."""

import re
import zipfile
from collections import Counter
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.comments import Comment
from openpyxl.formatting.rule import CellIsRule
from openpyxl.styles import Font, PatternFill
from openpyxl.worksheet.datavalidation import DataValidation

from pipeline.errors import BookError, RequestError
from pipeline.problems import Place, Problem, Severity
from pipeline.workbook.marking import mark_copy
from pipeline.workbook.template import write_book
from tests.workbook.own_book import write_own_book


def problem(
    sheet,
    row=None,
    column=None,
    severity=Severity.ERROR,
    message="No such gene.",
    hint="Did you mean Motley?",
):
    return Problem(severity, Place("book.xlsx", sheet, row, column), message, hint)


@pytest.fixture
def book(tmp_path) -> Path:
    """A keeper's own book: styled, with a formula, a note, a drop-down, merged cells and a colour rule."""
    workbook = Workbook()
    page = workbook.active
    page.title = "hatch Results"
    page.append(["Pairing", "Genes", "Count", "Total"])
    page.append(["24-03", "Motely", 3, "=C2*2"])
    page["A2"].font, page["A3"] = Font(italic=True), "=text, no formula"
    page["A3"].data_type = "s"
    page["B2"].comment = Comment("Ask about this one.", "Keeper")
    page["B3"] = CellRichText("partly ", TextBlock(InlineFont(b=True), "bold"))
    page.merge_cells("C3:C4")
    rule = DataValidation("list", formula1='"M,F"')
    rule.add("E2:E9")
    page.add_data_validation(rule)
    page.conditional_formatting.add(
        "C2:C9", CellIsRule("greaterThan", ["9"], fill=PatternFill("solid", bgColor="FF0000"))
    )
    workbook.create_sheet("My notes")["A1"] = "own"
    workbook.save(tmp_path / "book.xlsx")
    return tmp_path / "book.xlsx"


def marked(book: Path, *problems: Problem):
    """The marked copy, loaded."""
    mark_copy(book, problems, book.with_name("copy.xlsx"))
    return load_workbook(book.with_name("copy.xlsx"), rich_text=True)


def test_mark_copy__fills_the_cell_and_notes_message_and_hint(book):
    cell = marked(book, problem("Hatch results", 2, "A"))["hatch Results"]["A2"]
    assert cell.fill.fill_type == "solid" and cell.fill.fgColor.rgb == "00EAAE7F"
    assert cell.comment.text == "Error: No such gene.\nDid you mean Motley?"
    assert cell.font.i and cell.value == "24-03"


def test_mark_copy__keeps_a_note_that_was_there_and_adds_below_it(book):
    comment = marked(book, problem("Hatch results", 2, "B"))["hatch Results"]["B2"].comment
    assert comment.text == "Ask about this one.\n\nError: No such gene.\nDid you mean Motley?"
    assert comment.author == "Keeper"


def test_mark_copy__several_problems_of_a_cell_share_it_and_the_worst_colours_it(book):
    note = problem("Hatch results", 2, "C", Severity.NOTE, "An odd count.", "")
    cell = marked(book, note, problem("Hatch results", 2, "C"))["hatch Results"]["C2"]
    assert cell.fill.fgColor.rgb == "00EAAE7F"
    assert cell.comment.text == "Error: No such gene.\nDid you mean Motley?\n\nNote: An odd count."


def test_mark_copy__counts_cells_not_problems(book, tmp_path):
    problems = [
        problem("Hatch results", 2, "C"),
        problem("Hatch results", 2, "C", message="Too many."),
        problem("Hatch results", 3),
    ]
    assert mark_copy(book, problems, tmp_path / "copy.xlsx") == 2


def test_mark_copy__a_row_problem_marks_the_first_cell_of_the_row(book):
    page = marked(book, problem("Hatch results", 3, message="Row is short."))["hatch Results"]
    assert "Row is short." in page["A3"].comment.text
    assert page["A3"].fill.fill_type == "solid" and page["B3"].fill.fill_type is None


def test_mark_copy__a_sheet_problem_is_a_note_on_a1_without_colour(book):
    cell = marked(book, problem("Hatch results", message="No column Outcome."))["hatch Results"]["A1"]
    assert cell.comment.text.startswith("Error: No column Outcome.")
    assert cell.fill.fill_type is None


def test_mark_copy__a_missing_sheet_is_noted_on_the_first_one(book):
    cell = marked(book, problem("Genes", 4, "B", message="Nothing there."))["hatch Results"]["A1"]
    assert cell.comment.text.startswith("Error: Genes: Nothing there.")


def test_mark_copy__a_merged_cell_is_marked_where_its_value_stands(book):
    page = marked(book, problem("Hatch results", 4, "C"))["hatch Results"]
    assert page["C3"].comment and page.merged_cells.ranges


def test_mark_copy__leaves_problems_of_other_books_alone(book, tmp_path):
    other = Problem(Severity.ERROR, Place("other.xlsx", "Hatch results", 2, "A"), "Not ours.")
    assert mark_copy(book, [other], tmp_path / "copy.xlsx") == 0
    assert load_workbook(tmp_path / "copy.xlsx")["hatch Results"]["A2"].comment is None


def test_mark_copy__keeps_formulas_text_rules_and_sheets(book):
    copy = marked(book, problem("Hatch results", 2, "A"))
    page = copy["hatch Results"]
    assert copy.sheetnames == ["hatch Results", "My notes"]
    assert (page["D2"].value, page["D2"].data_type) == ("=C2*2", "f")
    assert (page["A3"].value, page["A3"].data_type) == ("=text, no formula", "s")
    assert page["B3"].value[1].font.b
    assert page.data_validations.dataValidation[0].formula1 == '"M,F"'
    assert [str(area.sqref) for area in page.conditional_formatting] == ["C2:C9"]


def test_mark_copy__keeps_everything_of_our_own_template(tmp_path):
    write_book(tmp_path / "book.xlsx", {"Animals": [{"ID": "B1", "Species": "Boa", "Genes": "Motely"}]})
    old = load_workbook(tmp_path / "book.xlsx")
    new = marked(tmp_path / "book.xlsx", problem("Animals", 2, "F"))
    assert new["Animals"]["F2"].comment.text.startswith("Error: No such gene.")
    assert new["Animals"]["F1"].comment.text == old["Animals"]["F1"].comment.text
    assert set(new.defined_names) == set(old.defined_names)
    for page in old:
        assert rules(new[page.title]) == rules(page)
        assert new[page.title].freeze_panes == page.freeze_panes


def test_mark_copy__boxes_of_header_notes_stay_as_high_as_their_text(tmp_path):
    write_book(tmp_path / "book.xlsx")
    marked(tmp_path / "book.xlsx", problem("Animals", 2, "F"))
    old, new = (heights(tmp_path / name) for name in ("book.xlsx", "copy.xlsx"))
    assert old.total() > 80 and not old - new


def heights(path: Path) -> Counter:
    """The heights of all note boxes of a workbook."""
    with zipfile.ZipFile(path) as book:
        drawings = b"".join(book.read(name) for name in book.namelist() if name.endswith(".vml"))
    return Counter(re.findall(rb"height:(\d+)px", drawings))


def rules(page) -> set[tuple]:
    return {(str(r.sqref), r.type, r.formula1, r.errorStyle) for r in page.data_validations.dataValidation}


def test_mark_copy__marking_a_marked_copy_says_nothing_twice(book, tmp_path):
    mark_copy(book, [problem("Hatch results", 2, "A")], tmp_path / "once.xlsx")
    again = Problem(
        Severity.ERROR, Place("once.xlsx", "Hatch results", 2, "A"), "No such gene.", "Did you mean Motley?"
    )
    mark_copy(tmp_path / "once.xlsx", [again], tmp_path / "twice.xlsx")
    text = load_workbook(tmp_path / "twice.xlsx")["hatch Results"]["A2"].comment.text
    assert text == "Error: No such gene.\nDid you mean Motley?"


def test_mark_copy__never_touches_the_original(book, tmp_path):
    before = book.read_bytes()
    mark_copy(book, [problem("Hatch results", 2, "A")], tmp_path / "copy.xlsx")
    assert book.read_bytes() == before


@pytest.mark.parametrize("name", ["book.xlsx", "taken.xlsx"])
def test_mark_copy__never_writes_over_a_file(book, tmp_path, name):
    (tmp_path / "taken.xlsx").write_text("mine")
    before = (tmp_path / name).read_bytes()
    with pytest.raises(
        RequestError, match="exists already and is never written over; give the marked copy another name"
    ):
        mark_copy(book, [], tmp_path / name)
    assert (tmp_path / name).read_bytes() == before


def test_mark_copy__asks_for_the_ending_of_the_book(book, tmp_path):
    with pytest.raises(RequestError, match=r"copy.xlsm must end in .xlsx, as the book does"):
        mark_copy(book, [], tmp_path / "copy.xlsm")


def test_mark_copy__says_what_to_do_with_a_broken_book(tmp_path):
    (tmp_path / "book.xlsx").write_bytes(b"PK nothing")
    with pytest.raises(BookError, match="book.xlsx is broken"):
        mark_copy(tmp_path / "book.xlsx", [], tmp_path / "copy.xlsx")


def rewrite(path: Path, new: Path, changes: dict[str, tuple[str, str]], more: dict[str, bytes]) -> None:
    """A copy of a zip archive with text replaced in some members and others added."""
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(new, "w") as out:
        for name in old.namelist():
            before, after = changes.get(name, ("", ""))
            out.writestr(name, old.read(name).decode().replace(before, after) if before else old.read(name))
        for name, content in more.items():
            out.writestr(name, content)


def test_mark_copy__keeps_macros(book, tmp_path):
    macros = b"a macro module, as far as this test goes"
    types = (
        "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main",
        "application/vnd.ms-excel.sheet.macroEnabled.main",
    )
    rewrite(book, tmp_path / "book.xlsm", {"[Content_Types].xml": types}, {"xl/vbaProject.bin": macros})
    where = Problem(Severity.WARNING, Place("book.xlsm", "Hatch results", 2, "A"), "Doubtful.")
    assert mark_copy(tmp_path / "book.xlsm", [where], tmp_path / "copy.xlsm") == 1
    with zipfile.ZipFile(tmp_path / "copy.xlsm") as copy:
        assert copy.read("xl/vbaProject.bin") == macros
        assert b"macroEnabled.main" in copy.read("[Content_Types].xml")
    assert load_workbook(tmp_path / "copy.xlsm")["hatch Results"]["A2"].comment.text == "Warning: Doubtful."


EXTENDED = """<extLst><ext uri="{CCE6A557-97BC-4b89-ADB6-D9C93CAAB3DF}"
 xmlns:x14="http://schemas.microsoft.com/office/spreadsheetml/2009/9/main"><x14:dataValidations count="1"
 xmlns:xm="http://schemas.microsoft.com/office/excel/2006/main"><x14:dataValidation type="list" allowBlank="1"
 showErrorMessage="1"><x14:formula1><xm:f>'My notes'!$A$1:$A$9</xm:f></x14:formula1><xm:sqref>A2:A9 C2</xm:sqref>
</x14:dataValidation></x14:dataValidations></ext></extLst></worksheet>"""


def test_mark_copy__keeps_drop_downs_that_draw_on_another_sheet(book, tmp_path):
    """Excel 2010 and later store such a drop-down in the sheet's extension list (shape: [MS-XLSX] 2.4.5)."""
    plain = book.rename(book.with_name("plain.xlsx"))
    rewrite(plain, book, {"xl/worksheets/sheet1.xml": ("</worksheet>", EXTENDED)}, {})
    mark_copy(book, [problem("Hatch results", 2, "A")], tmp_path / "copy.xlsx")
    with zipfile.ZipFile(tmp_path / "copy.xlsx") as copy:
        assert EXTENDED.encode() in copy.read("xl/worksheets/sheet1.xml")


DROPS = pytest.mark.filterwarnings("ignore:.*extension is not supported and will be removed")
"""The library that looks at the copy here reads no newer colour rules and no sparklines."""


@pytest.fixture
def rich(tmp_path) -> Path:
    write_own_book(tmp_path / "book.xlsx")
    return tmp_path / "book.xlsx"


def parts(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as book:
        return {name: book.read(name) for name in book.namelist()}


def test_mark_copy__leaves_every_part_but_those_of_the_marks_as_it_was(rich, tmp_path):
    mark_copy(rich, [problem("Animals", 3, "B"), problem("Animals", 2)], tmp_path / "copy.xlsx")
    old, new = parts(rich), parts(tmp_path / "copy.xlsx")
    changed = {name for name in old if new[name] != old[name]}
    assert changed == {
        "xl/worksheets/sheet1.xml",
        "xl/styles.xml",
        "xl/comments1.xml",
        "xl/drawings/vmlDrawing1.vml",
    }
    assert old.keys() == new.keys()
    assert {"xl/charts/chart1.xml", "xl/media/image1.png"} <= old.keys() - changed


def test_mark_copy__changes_nothing_of_a_sheet_but_the_styles_of_marked_cells(rich, tmp_path):
    mark_copy(rich, [problem("Animals", 3, "B"), problem("Animals", 2)], tmp_path / "copy.xlsx")
    plain = (
        re.sub(rb'(<c r="(B3|A2)"[^>]*?) s="[0-9]+"', rb"\1", parts(path)["xl/worksheets/sheet1.xml"])
        for path in (rich, tmp_path / "copy.xlsx")
    )
    before, after = plain
    assert before == after and b"sparkline" in after and b"dataBar" in after


@DROPS
def test_mark_copy__a_sheet_without_notes_gets_its_first(rich, tmp_path):
    assert mark_copy(rich, [problem("Own", 1, "A"), problem("Animals", 2)], tmp_path / "copy.xlsx") == 2
    copy = load_workbook(tmp_path / "copy.xlsx")
    assert copy["Own"]["A1"].comment.text.startswith("Error: No such gene.")
    assert copy["Animals"]["A2"].comment.text.startswith("Bites.\n\nError: No such gene.")
    new = parts(tmp_path / "copy.xlsx")
    assert b"<drawing " in new["xl/worksheets/sheet2.xml"].split(b"<legacyDrawing ")[0]


@DROPS
def test_mark_copy__an_empty_cell_is_coloured_in_its_columns_format(rich, tmp_path):
    mark_copy(rich, [problem("Animals", 2, "C")], tmp_path / "copy.xlsx")
    cell = load_workbook(tmp_path / "copy.xlsx")["Animals"]["C2"]
    assert cell.value is None and cell.fill.fgColor.rgb == "00EAAE7F"
    assert cell.number_format == "#,##0.00 €"


@DROPS
def test_mark_copy__keeps_the_values_of_formulas(rich, tmp_path):
    mark_copy(rich, [problem("Animals", 6, "B")], tmp_path / "copy.xlsx")
    assert load_workbook(tmp_path / "copy.xlsx", data_only=True)["Animals"]["B6"].value == 1260
    assert load_workbook(tmp_path / "copy.xlsx")["Animals"]["B6"].value == "=SUM(B2:B4)"


PREFIXED = """<?xml version="1.0" encoding="utf-8"?><x:worksheet
 xmlns:x="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><x:sheetData><x:row><x:c t="str"><x:v>ID</x:v></x:c>
</x:row><x:row><x:c t="str" s="0"><x:v>B1 &gt; B2</x:v></x:c></x:row></x:sheetData></x:worksheet>"""


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_mark_copy__reads_sheets_as_other_programs_write_them(book, tmp_path, encoding):
    """With a prefix on every element, cells that don't say where they stand, and bytes two by two."""
    text = PREFIXED.replace("utf-8", encoding).encode(encoding)
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(tmp_path / "other.xlsx", "w") as new:
        for name in old.namelist():
            new.writestr(name, text if name == "xl/worksheets/sheet2.xml" else old.read(name))
    where = Problem(Severity.WARNING, Place("other.xlsx", "My notes", 2, "A"), "Doubtful.")
    missing = Problem(Severity.WARNING, Place("other.xlsx", "My notes", 2, "C"), "Empty.")
    assert mark_copy(tmp_path / "other.xlsx", [where, missing], tmp_path / "copy.xlsx") == 2
    page = load_workbook(tmp_path / "copy.xlsx")["My notes"]
    assert page["A2"].value == "B1 > B2" and page["A2"].comment.text == "Warning: Doubtful."
    assert page["A2"].fill.fgColor.rgb == page["C2"].fill.fgColor.rgb == "00F7F1A0"
