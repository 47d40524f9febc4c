"""Weights and prices, the table of problems, and what checking a large book costs."""

import re
import time
from datetime import date, timedelta

import pytest

from pipeline.problems import Place, Problem, Severity
from pipeline.store.tables import PROBLEMS
from pipeline.workbook.checking import checked
from pipeline.workbook.problem_table import problems_frame

ANIMALS = [{"id": "B1", "species": "Boa", "born": "2020-06-01"}, {"id": "B2", "species": "Boa", "born": 2020}]


def one(lines, pattern):
    """The only complaint, which the pattern fits."""
    assert len(lines) == 1, lines
    assert re.search(pattern, lines[0]), lines[0]


@pytest.mark.parametrize(
    ("row", "pattern"),
    [
        ({"animal": "B7"}, r"error Weights A3: Row 3 of Weights weighs the animal 'B7', which is not on .*Did you mean 'B1' or 'B2'"),
        ({"weight": 0.0}, r"error Weights C3: The weight of animal B1 in row 3 must be above zero"),
        ({"length": 0.0}, r"error Weights D3: The length of animal B1 in row 3 must be above zero"),
        ({"weight": None}, r"error Weights C3: Row 3 of Weights has neither a weight nor a length of animal B1"),
        ({"date": 2021}, r"error Weights B3: Weighing in row 3 needs a full date, not a bare year"),
        ({"date": "2020-05-31"}, r"error Weights B3: Animal B1 was weighed 2020-05-31, before it was born \(2020-06-01; Animals, row 2\)"),
        ({"date": "2025-03-01"}, r"warning Weights B3: Row 3 of Weights is dated after 2025-01-01"),
        ({"date": "2021-01-01", "weight": 90.0}, r"warning Weights C3: Animal B1 has two weights on 2021-01-01: 80 g \(row 2\) and 90 g \(row 3\)"),
        ({"date": "2021-01-01", "weight": None, "length": 40.0}, None),
    ],
)  # fmt: skip
def test_check_measurements__says_what_is_wrong(complaints, row, pattern):
    good = {"animal": "B1", "date": "2021-01-01", "weight": 80.0}
    lines = complaints(animals=ANIMALS, weights=[good, good | {"date": "2021-02-01"} | row])
    assert lines == [] if pattern is None else one(lines, pattern) is None


@pytest.mark.parametrize(
    ("breeding", "weights", "pattern"),
    [
        ({"female_breeding_weight": 2.5}, [1800.0, 2500.0, 3900.0], r"warning Species E2: The breeding weight of Boa, 2.5 g, is far below its heaviest weighing, 3900 g"),
        ({"male_breeding_weight": 0.7, "female_breeding_weight": 2500.0}, [900.0, 2500.0, 3900.0], r"warning Species F2: .* 0.7 g, is far below"),
        ({"male_breeding_weight": 700.0, "female_breeding_weight": 2500.0}, [1.8, 2.5, 3.9], r"warning Species E2: .* 2500 g, is far above its heaviest weighing, 3.9 g"),
        ({"female_breeding_weight": 2500.0}, [50.0, 60.0, 70.0], None),
        ({"female_breeding_weight": 2500.0}, [3.9], None),
    ],
)  # fmt: skip
def test_check_units__a_breeding_weight_in_another_unit(complaints, breeding, weights, pattern):
    rows = [
        {"animal": "B1", "date": f"202{n}-08-01", "weight": weight} for n, weight in enumerate(weights, 1)
    ]
    lines = complaints(animals=ANIMALS, weights=rows, species=[{"species": "Boa"} | breeding])
    assert lines == [] if pattern is None else one(lines, pattern) is None


def test_check_measurements__most_weighings_before_birth_put_the_birth_date_in_doubt(book_of):
    weights = [{"animal": "B2", "date": f"20{year}-01-01", "weight": 100.0 + year} for year in (17, 18, 22)]
    result = checked(book_of(animals=ANIMALS, weights=weights), date(2025, 1, 1))
    [doubt] = [p for p in result.problems if p.severity is not Severity.NOTE]
    assert (doubt.severity, doubt.place.cell) == (Severity.WARNING, "B2")
    assert doubt.message == "Most weighings of animal B2 are from before it was born (2020; Animals, row 3)."
    assert len(result.book.tables["weights"]) == 3


@pytest.mark.parametrize(
    ("row", "pattern"),
    [
        ({"price": 0.0}, r"error Prices F2: The price in row 2 must be above zero, not 0"),
        (
            {"currency": "Euro"},
            r"error Prices G2: The currency of the price in row 2 must be three letters, not 'Euro'",
        ),
        ({"date": 2023}, r"error Prices A2: The price in row 2 needs a full date"),
        ({"date": "2026-01-01"}, r"warning Prices A2: Row 2 of Prices is dated after"),
    ],
)
def test_check_prices__says_what_is_wrong(complaints, row, pattern):
    one(
        complaints(prices=[{"date": "2024-01-01", "species": "Boa", "genes": "Ash", "price": 90.0} | row]),
        pattern,
    )


def test_check_prices__a_currency_without_a_rate_is_noted_once(book_of):
    prices = [
        {"date": "2024-01-01", "species": "Boa", "genes": "Ash", "price": 9.0, "currency": c}
        for c in ("EUR", "chf", "CHF", None)
    ]
    settings = [{"setting": "Rate EUR", "value": "1.1"}]
    result = checked(book_of(prices=prices, settings=settings), date(2025, 1, 1))
    notes = [p for p in result.problems if p.place.cell == "G3"]
    assert [(p.severity, p.message[:34]) for p in notes] == [
        (Severity.NOTE, "The book gives no rate for CHF, so")
    ]
    assert sum("no rate" in p.message for p in result.problems) == 1
    assert result.book.tables["prices"]["currency"].tolist()[1:] == ["CHF", "CHF", "EUR"]


def test_problems_frame__has_the_columns_of_the_findings_table():
    problems = [
        Problem(Severity.NOTE, Place("b.xlsx", "Genes"), "Listed."),
        Problem(Severity.ERROR, Place("b.xlsx", "Animals", 3, "F"), "Wrong.", "Mend it.", "Ahs"),
    ]
    frame = problems_frame(problems)
    assert set(frame.columns) == set(PROBLEMS.names)
    assert frame["cell"].tolist()[0] == "F3"
    assert frame["cell"].isna().tolist() == [False, True]
    assert problems_frame([]).columns.tolist() == frame.columns.tolist()


def large_book():
    """500 animals, 3,000 hatch rows, 5,000 weights and 3,000 prices, all sound."""
    labels = ["normal", "Ash", "het Ash", "Birch", "Super Birch", "Birch het Ash", "66% het Ash", "Ash Birch"]
    genes = [
        {"species": "Boa", "gene": "Ash", "inheritance": "recessive"},
        {"species": "Boa", "gene": "Birch", "inheritance": "incomplete dominant"},
    ]
    animals = [
        {"id": f"B{i}", "species": "Boa", "sex": "FM"[i % 2], "born": 2010 + i // 100, "genes": labels[i % 8]}
        for i in range(500)
    ]
    for i in range(200, 500):
        animals[i] |= {"dam": f"B{(i - 200) // 2 * 2}", "sire": f"B{(i - 200) // 2 * 2 + 1}"}
    pairings = [
        {"pairing": f"P{i}", "season": 2018, "dam": f"B{2 * i}", "sire": f"B{2 * i + 1}"} for i in range(150)
    ]
    hatch = [
        {"pairing": f"P{i % 150}", "genes": labels[i % 8], "clutch": 1 + i // 1500, "count": 1}
        for i in range(3000)
    ]
    days = [str(date(2020, 1, 1) + timedelta(days=i)) for i in range(1500)]
    weights = [
        {"animal": f"B{i % 500}", "date": days[i // 500 * 30], "weight": 100.0 + i} for i in range(5000)
    ]
    prices = [
        {"date": days[i % 1500], "species": "Boa", "genes": labels[i % 8], "price": 100.0 + i % 90}
        for i in range(3000)
    ]
    return {
        "genes": genes,
        "animals": animals,
        "pairings": pairings,
        "hatch_results": hatch,
        "weights": weights,
        "prices": prices,
    }


def test_checked__a_large_book_takes_well_under_half_a_second(book_of):
    book = book_of(**large_book())
    started = time.process_time()
    result = checked(book, date(2025, 1, 1))
    assert time.process_time() - started < 0.5
    assert [p for p in result.problems if p.severity is not Severity.NOTE] == []
    assert (len(result.collection.animals), len(result.collection.young)) == (500, 3000)
