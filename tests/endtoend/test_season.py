"""What `season` leaves behind: from whole books, from parts of books, and when it fails or is killed."""

import re
import shutil

import duckdb
import pytest

from pipeline.errors import RequestError
from pipeline.season import run_season
from pipeline.store.earlier import earlier_findings
from pipeline.workbook.template import write_book
from tests.endtoend.running import findings_of
from tests.endtoend.small import AS_OF, BOA, FOR_GROWTH, FOR_PRICES, FOR_RATIOS, SMALL, small_book
from tests.faults.standing import STEPS, fingerprint


@pytest.fixture
def earlier(finished, tmp_path):
    """A copy of it in a folder of its own, and its fingerprint."""
    folder = shutil.copytree(finished, tmp_path / "season")
    return folder, fingerprint(folder)


def test_run_season__says_each_step(kept, tmp_path):
    said = []
    run_season([kept], tmp_path / "season", as_of=AS_OF, say=said.append)
    assert sorted(set(said)) == STEPS
    assert (said[0], said[-1]) == ("Reading", "Writing the report")


def test_run_season__leaves_what_the_contract_names(earlier):
    folder, files = earlier
    assert {name for name in files if "/" not in name} == {"report.html", "findings.xlsx", "season.duckdb"}
    assert any(name.startswith("charts/") and name.endswith(".svg") for name in files)
    assert [path.name for path in folder.parent.iterdir()] == ["season"]


def test_run_season__a_second_run_replaces_the_first(earlier, tmp_path):
    folder, files = earlier
    other = tmp_path / "prices.xlsx"
    write_book(other, {name: SMALL[name] for name in FOR_PRICES})
    run_season([other], folder, as_of=AS_OF)
    assert fingerprint(folder) != files
    with duckdb.connect(str(folder / "season.duckdb"), read_only=True) as store:
        assert store.execute("SELECT count(*) FROM records.animals").fetchone() == (0,)


def test_run_season__a_folder_of_somebody_elses_is_refused(kept, tmp_path):
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "diary.txt").write_text("dear diary")
    with pytest.raises(RequestError, match="holds other files; name a folder of its own with --out"):
        run_season([kept], tmp_path / "mine", as_of=AS_OF)
    assert (tmp_path / "mine" / "diary.txt").read_text() == "dear diary"


def test_run_season__a_season_without_pairings_names_those_there_are(kept, tmp_path):
    with pytest.raises(RequestError, match="no pairing of season 1999; its seasons are 2023, 2025"):
        run_season([kept], tmp_path / "season", season=1999, as_of=AS_OF)
    assert not (tmp_path / "season").exists()


PARTS = {  # the sheets that are there: the findings they give, and those they can't
    FOR_RATIOS: (["ratio_tests", "ratio_classes", "season_summary"], ["growth", "price_trends"]),
    FOR_GROWTH: (["growth", "growth_points"], ["ratio_tests", "price_trends", "season_summary"]),
    FOR_PRICES: (["price_trends", "price_points"], ["ratio_tests", "growth", "season_summary"]),
}


@pytest.mark.parametrize("sheets", PARTS, ids=["ratios", "growth", "prices"])
def test_run_season__only_the_sheets_a_question_needs(make_book, tmp_path, sheets):
    path = make_book(small_book(*sheets))
    filled, empty = PARTS[sheets]
    found = findings_of(path, AS_OF)
    assert [name for name in filled if found[name].empty] == []
    if sheets is not FOR_RATIOS:
        assert [name for name in empty if not found[name].empty] == []
    assert not (found["problems"]["severity"] == "error").any()
    page = run_season([path], tmp_path / "season", as_of=AS_OF).page
    assert "</html>" in page.read_text(encoding="utf-8")


@pytest.mark.parametrize("sheets", PARTS, ids=["ratios", "growth", "prices"])
def test_run_season__a_part_answers_as_the_whole_does(make_book, finished, sheets):
    part = findings_of(make_book(small_book(*sheets)), AS_OF)
    whole = earlier_findings(finished / "season.duckdb", "small.xlsx")
    name = PARTS[sheets][0][0]
    assert part[name]["n"].tolist() == whole[name]["n"].tolist()


@pytest.mark.parametrize("genes", [[], [{"Species": BOA, "Gene": "Anery", "Inheritance": None}]])
def test_run_season__labels_of_a_species_without_genes_are_passed_over(make_book, genes):
    """As in a book brought in from an old list, whose Genes sheet is still to be filled."""
    rows = small_book() | {"Genes": genes} | {"Goals": [{"Goal": "grey", "Species": BOA, "Genes": "Anery"}]}
    found = findings_of(make_book(rows), AS_OF)
    assert found["ratio_tests"].empty and not found["season_summary"].empty and not found["growth"].empty
    assert (
        found["problems"]["message"]
        .str.contains("lists no gene of Common boa that can be used|Inheritance is empty")
        .any()
    )


def test_run_season__a_blank_book_says_what_to_fill(tmp_path):
    write_book(tmp_path / "blank.xlsx")
    result = run_season([tmp_path / "blank.xlsx"], as_of=AS_OF)
    assert result.folder == tmp_path / "blank-season"
    page = " ".join(re.sub(r"<[^>]+>", " ", result.page.read_text(encoding="utf-8")).split())
    for sheets in ("Genes, Animals, Pairings and Hatch results", "Animals, Species", "Prices"):
        assert re.search(rf"fill the sheets? {sheets}", page)
    with duckdb.connect(str(result.folder / "season.duckdb"), read_only=True) as store:
        assert store.execute("SELECT count(*) FROM findings.ratio_tests").fetchone() == (0,)


def test_run_season__several_books_stay_apart(make_book, tmp_path):
    one, two = (make_book(small_book(*FOR_RATIOS), name) for name in ("one.xlsx", "two.xlsx"))
    folder = run_season([one, two], tmp_path / "season", as_of=AS_OF).folder
    with duckdb.connect(str(folder / "season.duckdb"), read_only=True) as store:
        rows = store.execute(
            "SELECT book, count(*) FROM findings.ratio_tests GROUP BY book ORDER BY book"
        ).fetchall()
    assert [name for name, _ in rows] == ["one.xlsx", "two.xlsx"]
    assert rows[0][1] == rows[1][1] > 0
