"""An old list, invented, from its own words to a season report: brought in, completed by the keeper, analysed."""

import duckdb
import pytest
from openpyxl import load_workbook

from tests.endtoend.test_command import one_sentence, run

ANIMALS = """Snake;Kind;M/F;DOB;Genetics;Mother;Father;Wt (kg);Last weighed;Cost;Vet
Luna;Corn snake;female;14.06.2016;het Amel;;;0,652;25/03/2023;120,50;ok
Bruno;Corn snake;male;2017;het Amel;;;0,41;05/04/2023;;
Kit;Corn snake;female;2022-07-09;Amel;Luna;Bruno;0,2;06/04/2023;"1.200,00";teeth
"""
CLUTCHES = [
    [
        "Female",
        "Male",
        "Introduced",
        "Eggs laid on",
        "Hatched",
        "What hatched",
        "Live babies",
        "Slugs",
        "Incubator",
    ],
    ["Luna", "Bruno", "2022-02-03", "2022-05-01", "2022-07-09", "normal", 15, 1, "left one"],
    ["Luna", "Bruno", "2022-02-03", "2022-05-01", "2022-07-09", "Amel", 5, None, "left one"],
]


@pytest.fixture
def old(tmp_path, make_book):
    """The CSV file's table and a breeding list, in one workbook."""
    rows = [line.split(";") for line in ANIMALS.replace('"', "").splitlines()]
    return make_book({"My snakes": rows, "Breeding log": CLUTCHES}, "old.xlsx")


def complete(book):
    """The keeper fills in how each gene is inherited."""
    workbook = load_workbook(book)
    page = workbook["Genes"]
    for row in range(2, page.max_row + 1):
        if page.cell(row, 2).value:
            page.cell(row, 4).value = "recessive"
    workbook.save(book)


def test_new_from__an_old_list_comes_to_a_season_report(tmp_path, old):
    """15 normal and 5 Amel of two hets are 3:1 to the young: the chi-square is 0."""
    book = tmp_path / "new.xlsx"
    assert run("new", book, "--from", old).exit_code == 0
    complete(book)
    assert run("season", book, "--out", tmp_path / "out", "--as-of", "2023-06-01").exit_code == 0
    with duckdb.connect(tmp_path / "out" / "season.duckdb", read_only=True) as store:
        tests = store.execute(
            "SELECT n, chi_square, verdict FROM findings.ratio_tests WHERE scope = 'pairing' AND gene = 'Amel'"
        ).fetchall()
        weights = store.execute("SELECT weight FROM records.weights ORDER BY weight").fetchall()
    assert tests == [(20, pytest.approx(0), "fits")]
    assert weights == [(200,), (410,), (652,)]


def test_new_from__check_says_what_to_fill_in(tmp_path, old):
    run("new", tmp_path / "new.xlsx", "--from", old)
    found = run("check", tmp_path / "new.xlsx", "--as-of", "2023-06-01")
    assert found.exit_code == 1
    assert "Inheritance is empty; until then the gene is read on labels" in found.stdout
    assert "Left over" not in found.stdout and "Totals" not in found.stdout


def test_new_from__dry_run_shows_what_goes_where_and_writes_nothing(tmp_path, old):
    result = run("new", tmp_path / "new.xlsx", "--from", old, "--dry-run")
    assert (
        "Genetics" in result.stdout
        and "Animals: Genes" in result.stdout
        and "Notes and Left over" in result.stdout
    )
    assert "Nothing is written." in result.stdout
    assert not (tmp_path / "new.xlsx").exists()


def test_new_from__a_csv_file(tmp_path):
    (tmp_path / "old.csv").write_text(ANIMALS, encoding="utf-8")
    assert run("new", tmp_path / "new.xlsx", "--from", tmp_path / "old.csv").exit_code == 0
    assert load_workbook(tmp_path / "new.xlsx")["Weights"]["C2"].value == 652


def test_new_from__a_missing_list_is_one_sentence(tmp_path):
    assert "There is no file" in one_sentence(
        run("new", tmp_path / "new.xlsx", "--from", tmp_path / "none.xlsx")
    )


def test_new__options_of_bringing_in_need_a_list(tmp_path):
    result = run("new", tmp_path / "new.xlsx", "--dry-run")
    assert result.exit_code == 2 and "go with --from OLD" in result.stderr
