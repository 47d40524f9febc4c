"""Files of an earlier run: of another version, damaged, another program's; read or rebuilt, never misread."""

from datetime import date

import duckdb
import pytest

from pipeline.errors import RequestError
from pipeline.season import run_season
from pipeline.store.database import Store
from pipeline.store.earlier import LAYOUT, earlier_findings, understood
from pipeline.workbook.template import write_book
from tests.endtoend.small import AS_OF, SMALL

BOOK = "small.xlsx"
REBUILT = "this run takes its place, with nothing to compare"
OLD = """
    CREATE SCHEMA findings;
    CREATE TABLE findings.runs (book VARCHAR, as_of DATE, compared_with DATE);
    INSERT INTO findings.runs VALUES ('small.xlsx', DATE '2025-10-01', NULL);
    CREATE TABLE findings.growth (book VARCHAR, species VARCHAR, animal VARCHAR, blocked_by VARCHAR, score INTEGER);
    INSERT INTO findings.growth VALUES ('small.xlsx', 'Common boa', 'B3', 'nothing', 7);
"""
"""As a version before the stamp made it, without most of today's tables and columns, and with one that is gone."""


@pytest.fixture
def made(tmp_path):
    """made(SQL, …): a season.duckdb of these statements, in a folder with a page beside it."""

    def build(*statements: str):
        path = tmp_path / "small-season" / "season.duckdb"
        path.parent.mkdir(exist_ok=True)
        (path.parent / "report.html").write_text("<html>")
        path.unlink(missing_ok=True)
        with duckdb.connect(str(path)) as connection:
            for statement in statements:
                connection.execute(statement)
        return path

    return build


@pytest.fixture
def season(tmp_path):
    """season(): the small book's season in the folder beside it, and what it says of the earlier run."""
    write_book(tmp_path / BOOK, SMALL)

    def run():
        result = run_season([tmp_path / BOOK], as_of=AS_OF)
        with duckdb.connect(str(result.folder / "season.duckdb"), read_only=True) as connection:
            told = connection.execute("SELECT compared_with, remark FROM findings.runs").fetchone()
        return (*told, result)

    return run


def test_understood__a_file_of_ours(tmp_path):
    with Store(tmp_path / "season.duckdb"):
        pass
    assert understood(tmp_path / "season.duckdb") == ""
    assert (
        understood(tmp_path / "none.duckdb") == ""
        and earlier_findings(tmp_path / "none.duckdb", BOOK) is None
    )


def test_run_season__compares_with_a_version_before_the_stamp(made, season):
    made(OLD)
    compared_with, remark, result = season()
    assert (compared_with, remark) == (date(2025, 10, 1), None)
    assert any("Since the run as of 1 October 2025" in line for line in result.headlines)


@pytest.mark.parametrize(("number", "version"), [(LAYOUT + 1, "a later"), (LAYOUT - 1, "an earlier")])
def test_run_season__another_layout_is_not_misread(made, season, number, version):
    made(OLD, f"CREATE TABLE main.layout AS SELECT 'proveout' AS program, {number} AS number")
    compared_with, remark, result = season()
    assert (compared_with, remark) == (
        None,
        f"The earlier results were made by {version} version of proveout; {REBUILT}.",
    )
    assert remark in result.headlines and remark in result.page.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "change",
    [
        "ALTER TABLE findings.runs DROP as_of", "ALTER TABLE findings.runs RENAME as_of TO day", "DROP TABLE findings.runs",
        "ALTER TABLE findings.runs ALTER as_of TYPE VARCHAR", "ALTER TABLE findings.runs DROP book",
    ],
)  # fmt: skip
def test_run_season__a_version_that_did_not_keep_its_day_is_rebuilt(made, season, change):
    made(OLD, change)
    compared_with, remark, _ = season()
    assert compared_with is None
    assert (
        remark
        == f"The earlier results were made by a version of proveout that did not say of which day they speak; {REBUILT}."
    )


def test_earlier_findings__a_column_of_another_type_is_not_read(made):
    path = made(OLD, "ALTER TABLE findings.growth ALTER blocked_by TYPE INTEGER USING 1")
    assert understood(path) == ""
    assert list(earlier_findings(path, BOOK)["growth"].columns) == ["book", "species", "animal"]


def test_earlier_findings__a_table_without_its_book_is_not_read(made):
    path = made(OLD, "ALTER TABLE findings.growth DROP book")
    assert set(earlier_findings(path, BOOK)) == {"runs"}
    assert earlier_findings(path, "another.xlsx")["runs"].empty


def test_run_season__a_day_that_is_blank_counts_as_no_run(made, season):
    made(OLD, "UPDATE findings.runs SET as_of = NULL")
    assert season()[:2] == (None, None)


DAMAGE = {
    "truncated": lambda data: data[: len(data) // 2],
    "cut in its head": lambda data: data[:5000],
    "empty": lambda data: b"",
    "no database": lambda data: b"no database at all" * 1000,
    "bytes turned": lambda data: data[:9000] + bytes(byte ^ 0xFF for byte in data[9000:9100]) + data[9100:],
    "every block turned": lambda data: data[:12288] + bytes(byte ^ 0x55 for byte in data[12288:]),
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_run_season__a_damaged_file_is_rebuilt(made, season, damage):
    path = made(OLD)
    path.write_bytes(DAMAGE[damage](path.read_bytes()))
    compared_with, remark, _ = season()
    assert (compared_with, remark) == (None, f"The earlier results are damaged; {REBUILT}.")
    assert season()[:2] == (None, remark), "a rerun says the same"


@pytest.mark.parametrize(
    "theirs", ["CREATE TABLE letters (dear VARCHAR)", "SELECT 1", "CREATE TABLE layout (number INTEGER)"]
)
def test_run_season__another_program_s_database_is_left_alone(made, season, theirs):
    path = made(theirs)
    before = path.read_bytes()
    with pytest.raises(
        RequestError, match="was made by another program; name a folder of its own with --out"
    ):
        season()
    assert path.read_bytes() == before


def test_run_season__a_damaged_file_alone_may_be_anybody_s(made, season):
    path = made(OLD)
    (path.parent / "report.html").unlink()
    path.write_bytes(b"dear diary" * 1000)
    with pytest.raises(
        RequestError, match="can't be read and may not be ours; name another folder with --out, or delete it"
    ):
        season()
    assert path.read_bytes().startswith(b"dear diary")


def test_store__leaves_no_log_beside_its_file(tmp_path):
    """A database closed in peace is whole in its one file: no log lies beside it."""
    with Store(tmp_path / "season.duckdb") as store:
        store.connection.execute(
            "INSERT INTO findings.runs (book, as_of) VALUES ('a.xlsx', DATE '2025-01-01')"
        )
    assert [path.name for path in tmp_path.iterdir()] == ["season.duckdb"]
