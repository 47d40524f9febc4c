"""Several books in one season: told apart by name, one's trouble kept from the others, the same in one process or two."""

import re
import shutil
from datetime import date
from pathlib import Path

import duckdb
import openpyxl
import pytest
from click.testing import CliRunner

from pipeline import season
from pipeline.cli import main
from pipeline.club import reading
from pipeline.errors import BookError
from pipeline.season import run_season
from pipeline.store.tables import FINDINGS
from pipeline.workbook.template import write_book
from tests.endtoend.small import AS_OF, SMALL

DAY = date(2025, 11, 1)


@pytest.fixture
def three(tmp_path) -> list[Path]:
    """Two good books and one that is none, each of a keeper of its own."""
    books = [tmp_path / name for name in ("ann.xlsx", "broken.xlsx", "cleo.xlsx")]
    for book in books:
        write_book(book, SMALL)
    books[1].write_bytes(books[1].read_bytes()[:500])
    return books


def rows(folder: Path, sql: str) -> list[tuple]:
    with duckdb.connect(str(folder / "season.duckdb"), read_only=True) as connection:
        return connection.execute(sql).fetchall()


def answers_of(folder: Path, book: str) -> dict[str, list[tuple]]:
    """Every findings table of one book but those that speak of the run."""
    names = [table.name for table in FINDINGS if table.name not in ("books", "problems")]
    return {
        name: rows(folder, f"SELECT * FROM findings.{name} WHERE book = '{book}' ORDER BY ALL")
        for name in names
    }


def test_run_season__a_broken_book_is_told_and_stops_no_other(three, tmp_path):
    alone = run_season(three[:1], tmp_path / "alone", as_of=DAY).folder
    result = run_season(three, tmp_path / "all", as_of=DAY, jobs=1)
    assert answers_of(result.folder, "ann.xlsx") == answers_of(alone, "ann.xlsx")
    assert [(one.book, "cut short" in one.sentence) for one in result.troubles] == [("broken.xlsx", True)]
    books = rows(result.folder, "SELECT book, answered, errors FROM findings.books")
    assert books == [("ann.xlsx", True, 0), ("cleo.xlsx", True, 0), ("broken.xlsx", False, 1)]


def test_season__exits_with_2_and_a_sentence_for_each_book_that_cannot_be_read(three, tmp_path):
    command = [
        "season",
        *map(str, three),
        "--out",
        str(tmp_path / "all"),
        "--as-of",
        "2025-11-01",
        "--jobs",
        "1",
    ]
    result = CliRunner().invoke(main, command)
    assert result.exit_code == 2
    assert result.stderr.startswith("proveout: broken.xlsx: broken.xlsx is broken or was cut short")
    assert "Report:" in result.stdout


def test_run_season__nothing_is_written_where_no_book_can_be_read(three, tmp_path):
    shutil.copy(three[1], tmp_path / "worse.xlsx")
    with pytest.raises(BookError, match=r"None of the 2 books can be answered\. broken.xlsx: "):
        run_season([three[1], tmp_path / "worse.xlsx"], tmp_path / "all", as_of=DAY, jobs=1)
    assert not (tmp_path / "all").exists()


def test_run_season__a_fault_of_ours_keeps_its_traceback_and_costs_one_book(three, tmp_path, monkeypatch):
    sound = reading.checked

    def faulty(book, as_of):
        if book.name == "cleo.xlsx":
            raise KeyError("a slip of ours")
        return sound(book, as_of)

    monkeypatch.setattr(reading, "checked", faulty)
    result = run_season([three[0], three[2]], tmp_path / "all", as_of=DAY, jobs=1)
    (trouble,) = result.troubles
    assert trouble.book == "cleo.xlsx" and "KeyError: 'a slip of ours'" in trouble.traceback
    assert rows(result.folder, "SELECT book FROM findings.runs") == [("ann.xlsx",)]


def test_run_season__a_lone_book_s_faults_are_raised(three, tmp_path, monkeypatch):
    monkeypatch.setattr(reading, "checked", lambda book, as_of: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        run_season(three[:1], tmp_path / "one", as_of=DAY)


def test_run_season__books_of_one_name_go_by_their_folders(tmp_path):
    for folder in ("ann", "ben"):
        (tmp_path / folder).mkdir()
        write_book(tmp_path / folder / "boas.xlsx", SMALL)
    books = [tmp_path / folder / "boas.xlsx" for folder in ("ann", "ben")]
    folder = run_season([*books, books[0]], tmp_path / "all", as_of=DAY, jobs=1).folder
    assert rows(folder, "SELECT book FROM findings.runs") == [("ann/boas.xlsx",), ("ben/boas.xlsx",)]
    told = rows(folder, "SELECT book, severity, message FROM findings.problems WHERE sheet = '' ORDER BY ALL")
    assert told == [
        ("ann/boas.xlsx", "note", "Several books are called boas.xlsx; this one goes by ann/boas.xlsx here."),
        ("ann/boas.xlsx", "warning", "The book was given more than once; it was read once."),
        ("ben/boas.xlsx", "note", "Several books are called boas.xlsx; this one goes by ben/boas.xlsx here."),
    ]


def test_run_season__leaves_the_same_files_in_one_process_or_two(three, tmp_path):
    for jobs in (1, 2):
        run_season(three, tmp_path / str(jobs), as_of=AS_OF, jobs=jobs)
    one, two = tmp_path / "1", tmp_path / "2"
    for name in ("report.html", "findings.xlsx"):
        assert (one / name).read_bytes() == (two / name).read_bytes(), name
    for schema, names in (
        ("findings", [t.name for t in FINDINGS]),
        ("records", ["animals", "hatch_results"]),
    ):
        for name in names:
            told = f"SELECT * FROM {schema}.{name}"
            assert rows(one, told) == rows(two, told), name


def test_run_season__a_club_too_long_for_a_page_says_what_it_shows(three, tmp_path, monkeypatch):
    monkeypatch.setattr(season, "PAGE_ROWS", 60)
    monkeypatch.setattr(season, "WORKBOOK_ROWS", 60)
    result = run_season([three[0], three[2], three[1]], tmp_path / "all", as_of=DAY, jobs=1)
    page = result.page.read_text(encoding="utf-8")
    odds = rows(result.folder, "SELECT count(*) FROM findings.carrier_odds")[0][0]
    (shown,) = re.findall(rf"<li>Who carries what: (\d+) of {odds} rows</li>", page)
    assert 0 < int(shown) < odds
    assert result.headlines[0] == "1 book could not be answered: broken.xlsx."
    contents = openpyxl.load_workbook(result.folder / "findings.xlsx")["Contents"]
    said = [str(row[2].value) for row in contents.iter_rows(min_row=5)]
    assert any(text.startswith(f"The most telling of {odds} rows; season.duckdb has all.") for text in said)


def test_run_season__the_page_begins_with_a_table_of_the_books(three, tmp_path):
    page = run_season([three[0], three[2]], tmp_path / "all", as_of=DAY, jobs=1).page.read_text(
        encoding="utf-8"
    )
    assert page.index('<section id="books"') < page.index('<section id="changes"')
    alone = run_season(three[:1], tmp_path / "one", as_of=DAY).page.read_text(encoding="utf-8")
    assert '<section id="books"' not in alone
