"""What a keeper's cells may hold at worst: words made to break out of a page, a query, a formula or a folder; values beyond sense."""

import re
import zipfile
from datetime import datetime

import duckdb
import pytest
from openpyxl import Workbook, load_workbook

from pipeline.season import run_season
from pipeline.workbook.sheets import SHEETS, Kind, snake
from pipeline.workbook.template import write_book
from tests.endtoend.small import AS_OF, SMALL, small_book
from tests.hostile.bounds import run

EVIL = (
    "<script>alert(1)</script>", "</script><script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "{{ 7*7 }}{% raw %}",
    "'; DROP TABLE findings.growth; --", "=HYPERLINK(\"http://127.0.0.1:9\",\"x\")", "@SUM(1+1)*cmd|' /C calc'!A0", "../../evil", "..\\..\\evil",
    "CON", "a/b:c*d?e", "\u202egnp.exe", "datum.x'] || alert(1) || ['", "%s%n%d", "${jndi}", "`touch evil`",
)  # fmt: skip
"""Payloads of the common kinds: script, template, SQL, formula, path, reserved name, direction, expression, format, shell."""


def renamed(value, names):
    """The value with every name in it replaced."""
    if not isinstance(value, str):
        return value
    for old, new in names.items():
        value = re.sub(rf"\b{re.escape(old)}\b", lambda _: new, value)  # noqa: B023
    return value


def rows_with(evil):
    """The small collection, its species, animals, pairings and notes named by a payload."""
    names = {"Common boa": f"boa {evil}", "B1": f"1{evil}", "B2": f"2{evil}", "P23": f"P{evil}"}
    book = {
        sheet: [{field: renamed(value, names) for field, value in row.items()} for row in rows]
        for sheet, rows in SMALL.items()
    }
    for row in book["Animals"]:
        row["Name"] = row["Notes"] = evil
    book["Genes"][0]["Welfare note"] = evil
    book["Settings"] = [{"Setting": "Keeper", "Value": evil}]
    return book


@pytest.mark.parametrize("evil", EVIL)
def test_season__words_stay_words(tmp_path, evil):
    write_book(tmp_path / "book.xlsx", rows_with(evil))
    folder = run_season([tmp_path / "book.xlsx"], tmp_path / "season", as_of=AS_OF).folder
    assert sorted(path.name for path in tmp_path.iterdir()) == ["book.xlsx", "season"]
    page = (folder / "report.html").read_text(encoding="utf-8")
    assert "<script>alert" not in page and "<img src=x" not in page
    assert len(re.findall(r"</script", page)) == len(re.findall(r"<script[\s>]", page))
    for tab in load_workbook(folder / "findings.xlsx").worksheets:
        cells = [cell for row in tab.iter_rows() for cell in row if cell.data_type == "f"]
        assert all(
            re.fullmatch(r"=(HYPERLINK|SUBTOTAL|COUNT\w*|SUM)\(.*", str(cell.value)) is None
            or evil not in str(cell.value)
            for cell in cells
        )
    with duckdb.connect(str(folder / "season.duckdb"), read_only=True) as store:
        assert store.execute("SELECT count(*) FROM findings.growth").fetchone()[0] > 0
        assert {
            name for (name,) in store.execute("SELECT DISTINCT species FROM findings.ratio_tests").fetchall()
        } == {" ".join(f"boa {evil}".split())}
    for drawing in (folder / "charts").glob("*.svg"):
        assert "<script" not in drawing.read_text(encoding="utf-8")


@pytest.mark.parametrize("evil", [word for word in EVIL if "/" not in word] + ["ü" * 60, "a b&c#d%20"])
def test_season__the_book_s_own_name_stays_a_name(tmp_path, evil):
    book = tmp_path / f"{evil}.xlsx"
    write_book(
        book, {name: SMALL[name] for name in ("Species", "Genes", "Animals", "Pairings", "Hatch results")}
    )
    folder = run_season([book], as_of=AS_OF).folder
    assert folder.parent == tmp_path
    page = (folder / "report.html").read_text(encoding="utf-8")
    assert "<script>alert" not in page and "<img src=x" not in page
    with duckdb.connect(str(folder / "season.duckdb"), read_only=True) as store:
        assert store.execute("SELECT DISTINCT book FROM findings.ratio_tests").fetchall() == [(book.name,)]


def test_season__no_text_of_any_sheet_is_more_than_text(tmp_path):
    """Every column of free text that may be left blank, its name in what it holds, so that it can be told whence it came."""
    book = {name: [dict(row) for row in rows] for name, rows in SMALL.items()}
    free = {
        sheet.name: [c.name for c in sheet.columns if c.kind is Kind.TEXT and not c.required and c.name != "Currency"]
        for sheet in SHEETS
    }
    for name, rows in book.items():
        for row in rows:
            row.update({column: f"=1+1|{column}</script><script>alert(1)</script>'; DROP SCHEMA findings; --" for column in free[name]})
    write_book(tmp_path / "book.xlsx", book)
    folder = run_season([tmp_path / "book.xlsx"], tmp_path / "season", as_of=AS_OF).folder
    assert "<script>alert" not in (folder / "report.html").read_text(encoding="utf-8")
    formulas = [
        cell.value
        for tab in load_workbook(folder / "findings.xlsx").worksheets
        for row in tab.iter_rows()
        for cell in row
        if cell.data_type == "f" and str(cell.value).startswith("=1+1")
    ]
    assert formulas == []
    with duckdb.connect(str(folder / "season.duckdb"), read_only=True) as store:
        for name in ("Animals", "Pairings"):
            for column in free[name]:
                kept = store.execute(f"SELECT DISTINCT {snake(column)} FROM records.{snake(name)}").fetchall()
                assert [text.startswith(f"=1+1|{column}<") for (text,) in kept] == [True], (name, column)


LONG = "x" * 32_767
BEYOND = {  # sheet and column: values that no record can have
    ("Animals", "Born"): (datetime(1899, 12, 31), "0001-01-01", "9999-12-31", datetime(9999, 12, 31), -5, 0, 2958465, 1e300, LONG),
    ("Animals", "Genes"): (LONG, "het " * 8000, "66% " * 8000, "9" * 5000 + "% het Anery", "9" * 32_000, "Motley, " * 4000, "’" * 32_000, "1 " * 16_000, "-" * 9000),
    ("Animals", "ID"): (LONG, "é" * 32_767, 1e300, True),
    ("Animals", "Sire"): (LONG, "B3", 1e300),
    ("Animals", "Paid"): (1e300, -1, "1e400", "nan", "inf", "∞", "9" * 400),
    ("Pairings", "Season"): (1e300, -1, 0, 10**30, "nan"),
    ("Hatch results", "Count"): (1e300, 1e18, 2**63, -1, 0.5, "nan", "inf", 10**15),
    ("Hatch results", "Clutch"): (1e300, 2**63, 2**31, 10**9),
    ("Hatch results", "Date"): (datetime(9999, 12, 31), datetime(1900, 1, 1), "9999", 2958466, 1e20),
    ("Weights", "Weight (g)"): (1e300, 1e-300, 5e-324, 1.7e308, "1e309", "nan", "NaN", "-inf", LONG),
    ("Weights", "Date"): (datetime(9999, 12, 31), datetime(1900, 1, 1), -1),
    ("Prices", "Price"): (1e300, 1e-300, 1.7e308, "1e309 USD", "NaN"),
    ("Genes", "Recombination (%)"): (1e300, "nan", -1),
    ("Genes", "Dominance rank"): (1e300, 1.5, "inf"),
    ("Genes", "Also written"): (LONG, ";" * 32_767, "a;" * 16_000),
    ("Species", "Days to young"): (1e300, 1e9, 0.001, "nan"),
    ("Species", "Rest between litters (months)"): (1e300, 1e9, 0),
    ("Species", "Female breeding age (months)"): (1e300, 1e9),
    ("Species", "Typical litter"): (1e300, 1e9, 0.001),
    ("Goals", "Priority"): (1e300, -1e300, "nan"),
    ("Goals", "Wanted by"): (datetime(9999, 12, 31), "9999"),
}  # fmt: skip
GOALS = [{"Goal": "both", "Species": "Common boa", "Genes": "Super Motley Anery"}]


def with_cells(rows, sound, column, values):
    """The rows, and a sound one over and over, a value of each kind in one of its cells."""
    return [*rows, *({**sound, column: value} for value in values)]


@pytest.mark.parametrize("sheet", sorted({sheet for sheet, _ in BEYOND}))
def test_season__values_beyond_sense_cost_no_more_than_their_row(make_book, tmp_path, sheet):
    book = {**small_book(), "Goals": GOALS}
    sound = book[sheet][-1]
    for column in (column for where, column in BEYOND if where == sheet):
        book[sheet] = with_cells(book[sheet], sound, column, BEYOND[sheet, column])
    taken = run("season", make_book(book), "--out", tmp_path / "season", "--as-of", AS_OF)
    assert taken.code == 0 and "Traceback" not in taken.err, taken
    assert taken.seconds < 60 and taken.memory < 1_000, taken
    assert max(map(len, taken.out.splitlines())) < 3_000


def test_check__numbers_that_are_none(make_book, tmp_path):
    """NaN and infinities as a program may store them, in place of a number."""
    path = make_book(small_book())
    with zipfile.ZipFile(path) as old:
        parts = {name: old.read(name) for name in old.namelist()}
    weights = next(name for name in parts if b"<v>1300</v>" in parts[name])
    for number, stored in enumerate(
        (b"NaN", b"INF", b"-INF", b"Infinity", b"1e999", b"-1e999", b"0x10", b"1_000")
    ):
        parts[weights] = parts[weights].replace(
            [b"<v>70</v>", b"<v>240</v>", b"<v>520</v>", b"<v>900</v>", b"<v>1300</v>"][number % 5],
            b"<v>" + stored + b"</v>",
        )
        with zipfile.ZipFile(tmp_path / f"{number}.xlsx", "w") as new:
            for name, content in parts.items():
                new.writestr(name, content)
        taken = run("check", tmp_path / f"{number}.xlsx", "--as-of", AS_OF)
        assert "Traceback" not in taken.err and taken.code in (1, 2) and taken.out + taken.err, stored


TITLES = ("../../evil", "CON", "a" * 31, "'quoted'", "<b>bold</b>", "{{7*7}}", "Animals ", "animals")


def test_check__tabs_of_any_name(tmp_path):
    workbook = Workbook()
    workbook.remove(workbook.active)
    for number in range(len(TITLES)):
        tab = workbook.create_sheet("x")
        tab.title = f"t{number}"
        tab.append(["ID", "Species"])
    workbook.save(tmp_path / "plain.xlsx")
    with zipfile.ZipFile(tmp_path / "plain.xlsx") as old, zipfile.ZipFile(tmp_path / "book.xlsx", "w") as new:
        for name in old.namelist():
            content = old.read(name).decode()
            for number, title in enumerate(TITLES):
                escaped = title.replace("&", "&amp;").replace("<", "&lt;")
                content = content.replace(f'name="t{number}"', f'name="{escaped}"')
            new.writestr(name, content)
    taken = run("check", tmp_path / "book.xlsx", "--as-of", AS_OF)
    assert taken.code in (0, 1) and "Traceback" not in taken.err
    assert sorted(path.name for path in tmp_path.iterdir()) == ["book.xlsx", "plain.xlsx"]


def test_season__macros_and_links_to_elsewhere_are_left_alone(make_book, tmp_path):
    """A book with a macro project and a link to another book reads as one without, and neither reaches the results."""
    plain = make_book(small_book(), "plain.xlsx")
    with zipfile.ZipFile(plain) as old, zipfile.ZipFile(tmp_path / "book.xlsm", "w") as new:
        for name in old.namelist():
            new.writestr(name, old.read(name))
        new.writestr("xl/vbaProject.bin", b"Attribute VB_Name")
        new.writestr("xl/externalLinks/externalLink1.xml", '<externalLink xmlns="x"/>')
        new.writestr(
            "xl/externalLinks/_rels/externalLink1.xml.rels",
            '<Relationships xmlns="x"><Relationship Id="rId1" Target="http://127.0.0.1:9/x.xlsx" TargetMode="External"/></Relationships>',
        )
    folder = run_season([tmp_path / "book.xlsm"], tmp_path / "season", as_of=AS_OF).folder
    with zipfile.ZipFile(folder / "findings.xlsx") as findings:
        assert not [
            name for name in findings.namelist() if "vba" in name.lower() or "external" in name.lower()
        ]
    assert b"VB_Name" not in (folder / "findings.xlsx").read_bytes()
    assert "127.0.0.1" not in (folder / "report.html").read_text(encoding="utf-8")
