"""What the demo season leaves: its files, the words that its tables use, and numbers that are what they are said to be."""

import duckdb
import pytest

WORDS = {
    "problems.severity": {"error", "warning", "note"},
    "ratio_tests.scope": {"clutch", "pairing", "gene"},
    "ratio_tests.method": {"chi-square", "exact", "Monte Carlo"},
    "ratio_tests.verdict": {"fits", "strained", "departs", "impossible", "too few"},
    "ratio_classes.scope": {"clutch", "pairing", "gene"},
    "suspicions.kind": {"label", "parentage", "gene record", "reading"},
    "carrier_odds.settled": {"proved", "ruled out", "open"},
    "sex_ratios.scope": {"clutch", "pairing", "species"},
    "price_trends.direction": {"rising", "falling", "flat", "too few"},
    "goal_routes.keep_sex": {"F", "M"},
}
SHARES = {
    "success", "success_low", "success_high", "from_ancestors", "probability", "p", "q", "f", "f_young", "goal_probability",
    "goal_by_litter", "nearer_probability", "probability_one", "probability_by_litter", "right_share", "recombination",
}  # fmt: skip
"""Besides these, whatever begins with p_ is a probability."""


@pytest.fixture(scope="module")
def store(demo):
    with duckdb.connect(str(demo.season.folder / "season.duckdb"), read_only=True) as connection:
        yield connection


def test_season__leaves_a_page_a_workbook_a_database_and_charts(demo):
    left = sorted(path.name for path in demo.season.folder.iterdir())
    assert left == ["charts", "findings.xlsx", "report.html", "season.duckdb"]
    assert {path.suffix for path in (demo.season.folder / "charts").iterdir()} == {".svg"}


@pytest.mark.parametrize("place", WORDS)
def test_season__words_are_of_those_that_are_known(store, place):
    table, column = place.split(".")
    found = store.execute(f"SELECT DISTINCT {column} FROM findings.{table} WHERE {column} IS NOT NULL").fetchall()
    assert found and {word for (word,) in found} <= WORDS[place]


def numbers(store):
    """Every table and column of numbers."""
    return store.execute(
        "SELECT table_name, column_name FROM information_schema.columns WHERE table_schema = 'findings' AND data_type = 'DOUBLE'"
    ).fetchall()


def test_season__probabilities_lie_between_0_and_1(store):
    outside = [
        (table, column, store.execute(f"SELECT min({column}), max({column}) FROM findings.{table}").fetchone())
        for table, column in numbers(store)
        if (column in SHARES or column.startswith("p_"))
        and store.execute(f"SELECT count(*) FROM findings.{table} WHERE {column} NOT BETWEEN 0 AND 1").fetchone() != (0,)
    ]
    assert outside == []


def test_season__no_number_is_infinite_or_none(store):
    """What is not known is empty, in every table."""
    odd = [
        (table, column)
        for table, column in numbers(store)
        if store.execute(f"SELECT count(*) FROM findings.{table} WHERE NOT isfinite({column})").fetchone() != (0,)
    ]
    assert odd == []


def test_season__copies_and_outcomes_add_up_to_one(store):
    for total in (
        "SELECT p_none + p_one + p_two FROM findings.carrier_odds WHERE p_none IS NOT NULL",
        "SELECT sum(probability) FROM findings.pair_outcomes GROUP BY book, species, dam, sire",
    ):
        sums = [found for (found,) in store.execute(total).fetchall()]
        assert sums and sums == pytest.approx([1] * len(sums), abs=1e-6)
