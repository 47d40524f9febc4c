"""Several books in one season: told apart by name, one's trouble kept from the others, the same in one process or two."""

import re
import shutil
from pathlib import Path

import duckdb
import openpyxl
import pytest
from click.testing import CliRunner

from pipeline import season
from pipeline.cli import main
from pipeline.club import reading
from pipeline.errors import BookError
from pipeline.season import SeasonResult, run_season
from pipeline.store.tables import FINDINGS
from pipeline.workbook.template import write_book
from tests.endtoend.small import AS_OF, BOA, SMALL


@pytest.fixture(scope="module")
def three(kept, tmp_path_factory) -> list[Path]:
    """Two good books and one that is none, each of a keeper of its own; not to be changed."""
    folder = tmp_path_factory.mktemp("three")
    books = [shutil.copy(kept, folder / name) for name in ("small.xlsx", "broken.xlsx", "cleo.xlsx")]
    books[1].write_bytes(books[1].read_bytes()[:500])
    return books


@pytest.fixture(scope="module")
def club(three) -> SeasonResult:
    """Their season, in a folder beside them."""
    return run_season(three, three[0].with_name("club"), as_of=AS_OF, jobs=1)


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


def test_run_season__a_broken_book_is_told_and_stops_no_other(club, finished):
    assert answers_of(club.folder, "small.xlsx") == answers_of(finished, "small.xlsx")
    assert [(one.book, "cut short" in one.sentence) for one in club.troubles] == [("broken.xlsx", True)]
    books = rows(club.folder, "SELECT book, answered, errors FROM findings.books")
    assert books == [("small.xlsx", True, 0), ("cleo.xlsx", True, 0), ("broken.xlsx", False, 1)]


def test_season__exits_with_2_and_a_sentence_for_each_book_that_cannot_be_read(three, tmp_path):
    command = [
        "season",
        *map(str, three),
        "--out",
        str(tmp_path / "all"),
        "--as-of",
        AS_OF.isoformat(),
        "--jobs",
        "1",
    ]
    result = CliRunner().invoke(main, command)
    assert result.exit_code == 2
    assert result.stderr.startswith("proveout: broken.xlsx: broken.xlsx is broken or was cut short")
    assert "Report:" in result.stdout


def test_season__says_once_that_a_book_was_given_twice(kept, tmp_path):
    book = str(shutil.copy(kept, tmp_path / "ann.xlsx"))
    command = ["season", book, book, book, "--out", str(tmp_path / "out"), "--as-of", AS_OF.isoformat()]
    result = CliRunner().invoke(main, command)
    assert result.exit_code == 0
    assert result.stderr.splitlines() == ["proveout: ann.xlsx was given more than once; it was read once."]


def test_run_season__nothing_is_written_where_no_book_can_be_read(three, tmp_path):
    shutil.copy(three[1], tmp_path / "worse.xlsx")
    with pytest.raises(BookError, match=r"None of the 2 books can be answered\. broken.xlsx: "):
        run_season([three[1], tmp_path / "worse.xlsx"], tmp_path / "all", as_of=AS_OF, jobs=1)
    assert not (tmp_path / "all").exists()


def test_run_season__a_fault_of_ours_keeps_its_traceback_and_costs_one_book(three, tmp_path, monkeypatch):
    sound = reading.checked

    def faulty(book, as_of):
        if book.name == "cleo.xlsx":
            raise KeyError("a slip of ours")
        return sound(book, as_of)

    monkeypatch.setattr(reading, "checked", faulty)
    result = run_season([three[0], three[2]], tmp_path / "all", as_of=AS_OF, jobs=1)
    (trouble,) = result.troubles
    assert trouble.book == "cleo.xlsx" and "KeyError: 'a slip of ours'" in trouble.traceback
    assert rows(result.folder, "SELECT book FROM findings.runs") == [("small.xlsx",)]


def test_run_season__a_label_that_cannot_be_read_costs_no_book_of_several(kept, tmp_path):
    misspelt = {"ID": "B4", "Species": BOA, "Genes": "het Anrey"}
    write_book(tmp_path / "ben.xlsx", SMALL | {"Animals": [*SMALL["Animals"], misspelt]})
    result = run_season([kept, tmp_path / "ben.xlsx"], tmp_path / "all", as_of=AS_OF, jobs=1)
    assert not result.troubles
    told = "SELECT book, cell FROM findings.problems WHERE severity = 'error'"
    assert rows(result.folder, told) == [("ben.xlsx", "F5")]


def test_run_season__a_lone_book_s_faults_are_raised(three, tmp_path, monkeypatch):
    monkeypatch.setattr(reading, "checked", lambda book, as_of: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        run_season(three[:1], tmp_path / "one", as_of=AS_OF)


def test_run_season__books_of_one_name_go_by_their_folders(kept, tmp_path):
    for folder in ("ann", "ben"):
        (tmp_path / folder).mkdir()
        shutil.copy(kept, tmp_path / folder / "boas.xlsx")
    books = [tmp_path / folder / "boas.xlsx" for folder in ("ann", "ben")]
    folder = run_season([*books, books[0]], tmp_path / "all", as_of=AS_OF, jobs=1).folder
    assert rows(folder, "SELECT book FROM findings.runs") == [("ann/boas.xlsx",), ("ben/boas.xlsx",)]
    told = rows(folder, "SELECT book, severity, message FROM findings.problems WHERE sheet = '' ORDER BY ALL")
    assert told == [
        ("ann/boas.xlsx", "note", "Several books are called boas.xlsx; this one goes by ann/boas.xlsx here."),
        ("ann/boas.xlsx", "warning", "ann/boas.xlsx was given more than once; it was read once."),
        ("ben/boas.xlsx", "note", "Several books are called boas.xlsx; this one goes by ben/boas.xlsx here."),
    ]


def test_run_season__leaves_the_same_files_in_one_process_or_two(three, club):
    one, two = club.folder, run_season(three, three[0].with_name("two"), as_of=AS_OF, jobs=2).folder
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
    result = run_season([three[0], three[2], three[1]], tmp_path / "all", as_of=AS_OF, jobs=1)
    page = result.page.read_text(encoding="utf-8")
    odds = rows(result.folder, "SELECT count(*) FROM findings.carrier_odds")[0][0]
    (shown,) = re.findall(rf"<li>Who carries what: (\d+) of {odds} rows</li>", page)
    assert 0 < int(shown) < odds
    assert result.headlines[0] == "1 book could not be answered: broken.xlsx."
    contents = openpyxl.load_workbook(result.folder / "findings.xlsx")["Contents"]
    said = [str(row[2].value) for row in contents.iter_rows(min_row=5)]
    assert any(text.startswith(f"The most telling of {odds} rows; season.duckdb has all.") for text in said)


def test_run_season__the_page_begins_with_a_table_of_the_books(club, finished):
    page = club.page.read_text(encoding="utf-8")
    assert page.index('<section id="books"') < page.index('<section id="changes"')
    assert '<section id="books"' not in (finished / "report.html").read_text(encoding="utf-8")
