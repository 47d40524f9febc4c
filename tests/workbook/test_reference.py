"""The reference of columns: complete, and sound Markdown."""

from pipeline.workbook.reference import column_reference
from pipeline.workbook.sheets import SETTINGS, SHEETS


def section(name: str) -> list[str]:
    """The lines of the reference below a sheet's heading, up to the next one."""
    text = column_reference().split(f"### {name}\n", 1)[1]
    return text.split("\n### ", 1)[0].splitlines()


def test_column_reference__has_a_row_for_every_column_of_every_sheet():
    for sheet in SHEETS:
        rows = [line for line in section(sheet.name) if line.startswith("| ")][2:]
        assert [row.split(" | ")[0].removeprefix("| ") for row in rows] == [c.header for c in sheet.columns]
        assert all(column.meaning in row for column, row in zip(sheet.columns, rows, strict=True))


def test_column_reference__every_row_has_as_many_cells_as_its_head():
    lines = column_reference().splitlines()
    for above, line in zip(lines, lines[1:], strict=False):
        if above.startswith("|") and line.startswith("|"):
            assert above.count("|") == line.count("|")


def test_column_reference__lists_settings_with_defaults_and_bounds():
    rows = [line for line in section("The settings") if line.startswith("| ")][2:]
    assert len(rows) == len(SETTINGS)
    assert "| Wrong label, proved (%) | percentage, as a plain number | 0.1 | 0 to 50 |" in rows[6]
    assert "| Hatchling places | whole number | (blank) | from 0 |" in rows[13]


def test_column_reference__states_allowed_words_and_what_a_row_is_known_by():
    text = "\n".join(section("Genes"))
    assert "| recessive, incomplete dominant, dominant, line-bred |" in text
    assert "A row is known by its Species and Gene." in text
    assert "| ID on the Animals sheet |" in "\n".join(section("Weights"))
