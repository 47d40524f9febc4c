"""What a column takes, and what its faults cost."""

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.problems import Severity
from pipeline.workbook.cells import CellFault, whole
from pipeline.workbook.columns import HARMLESS, check_bounds, convert, parser, severity
from pipeline.workbook.sheets import SHEETS, Kind, sheet


def column(table: str, field: str):
    return sheet(table).column(field)


@pytest.mark.parametrize(
    ("table", "field", "level"),
    [
        ("hatch_results", "count", Severity.ERROR), ("hatch_results", "outcome", Severity.ERROR), ("animals", "sex", Severity.WARNING), ("animals", "sire", Severity.ERROR),
        ("genes", "recombination", Severity.ERROR), ("weights", "state", Severity.ERROR), ("weights", "weight", Severity.ERROR), ("prices", "currency", Severity.ERROR),
        ("animals", "born", Severity.WARNING), ("animals", "paid", Severity.WARNING), ("weights", "length", Severity.WARNING),
        ("weights", "date", Severity.ERROR), ("hatch_results", "date", Severity.WARNING), ("morph_names", "name", Severity.ERROR), ("animals", "name", Severity.WARNING),
    ],
)  # fmt: skip
def test_severity__blanks_only_what_distorts_nothing(table, field, level):
    assert severity(column(table, field)) is level


def test_harmless__names_fields_of_the_registry_only():
    assert {each.field for one in SHEETS for each in one.columns} >= HARMLESS


def test_convert__parses_each_cell_and_keeps_the_places_of_faults():
    found = convert(["3", None, 3.5, 4, "x", 3.5], whole)
    assert found.values == [3, None, None, 4, None, None]
    assert {index: fault.message for index, fault in found.faults.items()} == {
        2: "is not a whole number",
        4: "is not one plain number",
        5: "is not a whole number",
    }


def test_convert__tells_true_from_one():
    found = convert([1, True, 1.0, None], whole)
    assert found.values == [1, None, 1, None]
    assert list(found.faults) == [1]


@pytest.mark.parametrize(
    ("table", "field", "typed", "value"),
    [
        ("animals", "id", 12.0, "12"), ("pairings", "other_sires", "B1,B2", "B1; B2"), ("animals", "sex", "male", "M"), ("hatch_results", "count", "3.0", 3),
        ("genes", "recombination", "12,5 %", 12.5), ("prices", "price", "€ 1.200", (1200.0, "EUR")), ("weights", "weight", "1.2 kg", 1200.0),
        ("pairings", "season", datetime(1905, 7, 16), 2024), ("prices", "currency", "eur", "EUR"), ("animals", "genes", " Motley,  het Albino ", "Motley, het Albino"),
    ],
)  # fmt: skip
def test_parser__suits_the_column(table, field, typed, value):
    assert parser(column(table, field))(typed) == value


@pytest.mark.parametrize(
    ("table", "field", "typed", "value"),
    [
        ("genes", "locus", "-", None),
        ("genes", "linked_locus", "n/a", None),
        ("genes", "gene", "Unknown", "Unknown"),
        ("animals", "genes", "?", None),
        ("animals", "genes", "none", "none"),
        ("animals", "sire", "unknown", None),
    ],
)
def test_parser__takes_a_dash_for_a_blank_where_it_names_nothing(table, field, typed, value):
    """Two genes with a dash for their locus are no alleles of one another."""
    assert parser(column(table, field))(typed) == value


@pytest.mark.parametrize(
    ("table", "field", "typed", "message"),
    [
        ("genes", "recombination", 60, "lies outside 0 to 50"), ("species", "female_breeding_age", 467383399, "lies outside 0 to 600"), ("hatch_results", "count", -1, "lies outside what it can be, 0 or more"), ("hatch_results", "clutch", 0, "1 or more"),
        ("prices", "price", 0, "is zero"), ("weights", "weight", "0 g", "is zero"), ("weights", "weight", -5, "0 or more"), ("weights", "weight", float("nan"), "is no number"),
    ],
)  # fmt: skip
def test_parser__keeps_the_bounds(table, field, typed, message):
    with pytest.raises(CellFault, match=message):
        parser(column(table, field))(typed)


def test_check_bounds__lets_blanks_and_zero_counts_pass():
    assert check_bounds(None, column("weights", "weight")) is None
    assert check_bounds(0, column("hatch_results", "count")) == 0


def test_parser__takes_the_currency_of_the_header_where_a_cell_names_none():
    parse = parser(column("prices", "price"), header_unit="EUR")
    assert parse(120) == (120, "EUR")
    assert parse("£120") == (120, "GBP")
    assert parse("-") is None


@pytest.mark.parametrize("kind", list(Kind))
@given(
    value=st.one_of(
        st.floats(),
        st.integers(-(10**18), 10**18),
        st.text(max_size=12),
        st.booleans(),
        st.datetimes(),
        st.times(),
        st.timedeltas(),
    )
)
def test_parser__never_fails_but_by_a_cell_fault(kind, value):
    """Whatever a file may hold in a cell, in whatever column."""
    for column in (column for each in SHEETS for column in each.columns if column.kind is kind):
        try:
            parser(column)(value)
        except CellFault as fault:
            assert fault.message
