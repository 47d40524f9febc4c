"""Numbers, units, IDs and text as keepers type them."""

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.workbook.cells import (
    BLANKS,
    CellFault,
    amount,
    identifier,
    names,
    number,
    percentage,
    shown,
    text,
    tidy,
    unit_of_header,
    whole,
)

SMALL = st.decimals(min_value=0, max_value=999_999, places=2, allow_nan=False, allow_infinity=False)


@pytest.mark.parametrize(
    ("typed", "grams"),
    [
        (850, 850), (850.5, 850.5), ("850", 850), ("850g", 850), (" 850 g ", 850), ("850\u00a0grams", 850), ("1.2 kg", 1200),
        ("1,2 Kg.", 1200), ("1,250 g", 1250), ("1.250 kg", 1250), ("1,250kg", 1250), ("1.250,5", 1250.5), ("1,250.5 g", 1250.5),
        ("1 250 g", 1250), ("1'250", 1250), ("0,850 kg", 850), ("12,5", 12.5), ("1,250,000", 1_250_000), ("+5", 5), ("−5", -5), (".5", 0.5),
    ],
)  # fmt: skip
def test_number__reads_weights_with_their_unit(typed, grams):
    assert number(typed, "g") == pytest.approx(grams)


@pytest.mark.parametrize(
    ("typed", "unit", "value"),
    # The international yard and pound agreement of 1959: a pound is 0.45359237 kg, a yard 0.9144 m, both exactly.
    [
        ("1 lb", "g", 453.59237), ("2 lbs 3 oz", "g", 2 * 453.59237 + 3 * 453.59237 / 16), ("16 oz", "g", 453.59237),
        ("36 in", "cm", 91.44), ("5' 3\"", "cm", 63 * 91.44 / 36), ("5ft 3in", "cm", 63 * 91.44 / 36), ("3'", "cm", 91.44),
        ("1.85 m", "cm", 185), ("1,850 mm", "cm", 185), ("3.5 years", "months", 42), ("2 years 6 months", "months", 30),
    ],
)  # fmt: skip
def test_number__converts_by_exact_factors(typed, unit, value):
    assert number(typed, unit) == pytest.approx(value, rel=1e-12)


def test_number__takes_the_unit_of_the_header_for_bare_numbers_only():
    assert number(1.2, "g", "kg") == pytest.approx(1200)
    assert number("1,2", "g", "kg") == pytest.approx(1200)
    assert number("850 g", "g", "kg") == 850


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("1.250", "may mean 1250 or 1.250"), ("1.250 g", "may mean 1250 or 1.250"), ("1,250 oz", "may mean"), ("850 ml", "'ml', which is no unit"),
        ("12o", "'o', which is no unit"), ("1200-1300", "not one plain number"), ("ca. 1200", "not one plain number"),
        ("1 2", "not one plain number"), ("1.2.3", "not one plain number"), ("1,25,000", "not one plain number"), ("3 oz 2 lb", "not one plain number"),
        ("#REF!", "an error of Excel's"), (True, "a yes or no"), (datetime(2024, 5, 1), "a date or time"), ("9" * 41, "not one plain number"),
    ],
)  # fmt: skip
def test_number__says_what_is_wrong(typed, message):
    with pytest.raises(CellFault, match=message) as caught:
        number(typed, "g")
    assert caught.value.hint.endswith(".")


@pytest.mark.parametrize("blank", sorted(BLANKS) + ["N/A", " \u00a0 "])
def test_number__takes_words_for_nothing_as_blank(blank):
    assert number(blank, "g") is None


@given(SMALL)
def test_amount__reads_back_english_and_continental_writing(value):
    english = f"{value:,.2f}"
    continental = english.translate(str.maketrans(",.", ".,"))
    spaced = english.replace(",", " ")
    assert amount(english) == amount(continental) == amount(spaced) == pytest.approx(float(value))


@given(st.text(alphabet="0123456789.,' +-kglbozm°x", max_size=12))
def test_number__never_fails_but_by_a_cell_fault(typed):
    try:
        found = number(typed, "g")
    except CellFault:
        return
    assert found is None or isinstance(found, float)


@given(st.integers(-10_000, 10_000))
def test_whole__takes_any_writing_of_a_whole_number(value):
    assert whole(value) == whole(float(value)) == whole(str(value)) == whole(f"{value}.0") == value


def test_whole__refuses_a_fraction_with_its_neighbours():
    with pytest.raises(CellFault, match="is not a whole number") as caught:
        whole("3.5")
    assert caught.value.hint == "Write 3 or 4."


@pytest.mark.parametrize("typed", [5, 5.0, "5", "5%", "5 %", " 5\u00a0% "])
def test_percentage__is_a_plain_number(typed):
    assert percentage(typed) == 5


@given(st.integers(0, 10**12))
def test_identifier__makes_one_of_number_and_text(value):
    assert identifier(value) == identifier(float(value)) == identifier(f" {value} ") == str(value)


def test_identifier__keeps_leading_zeros_and_spelling():
    assert identifier("007") == "007"
    assert identifier("B\u00a0 12") == "B 12"
    assert identifier(12.5) == "12.5"
    assert identifier("unknown") is None


def test_identifier__refuses_what_excel_made_a_date_of():
    with pytest.raises(CellFault, match="is a date, which Excel makes of an ID such as 3-24"):
        identifier(datetime(2024, 3, 1))


@pytest.mark.parametrize("typed", ["A;B", "A ; B;", "A, B", "A\nB", "A; B; A"])
def test_names__are_canonical(typed):
    assert names(typed) == "A; B"


def test_names__takes_a_single_number():
    assert names(12.0) == "12"
    assert names(" ; ") is None


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("  a \u200b b ", "a b"),
        ("\u200bB\u200d-1\u200c\ufeff", "B -1"),
        ("👩🏽\u200d🌾 1, 🏳️\u200d🌈\u200d", "👩🏽\u200d🌾 1, 🏳️\u200d🌈"),
        ("می\u200cخواهم", "می\u200cخواهم"),
        (12.0, "12"),
        (0.1, "0.1"),
        (True, "yes"),
        (datetime(2024, 5, 1), "2024-05-01"),
        (" \u00a0", None),
        (timedelta(hours=1), "1:00:00"),
    ],
)
def test_text__is_tidy(value, words):
    assert text(value) == words


def test_text__refuses_errors_of_excel_but_not_numbers_with_a_hash():
    with pytest.raises(CellFault, match="error of Excel's"):
        text("#N/A")
    assert text("#12") == "#12"


@given(st.text(max_size=30))
def test_tidy__is_settled_after_one_pass(words):
    assert tidy(tidy(words)) == tidy(words)


def test_shown__cuts_long_values_and_drops_midnight():
    assert shown("x" * 80) == "x" * 57 + "…"
    assert shown(datetime(2024, 5, 1)) == "2024-05-01"
    assert shown(date(2024, 5, 1)) == "2024-05-01"


def test_unit_of_header__knows_the_columns_units():
    assert unit_of_header("Kg", "g") == "kg"
    assert unit_of_header("EUR", "") == ""
    with pytest.raises(CellFault, match="'stone', which is no unit"):
        unit_of_header("stone", "g")


@pytest.mark.parametrize(("typed", "word"), [("3 young", "young"), ("2nd", "nd")])
def test_whole__names_the_word_beside_a_number(typed, word):
    with pytest.raises(CellFault, match=f"has '{word}' beside the number") as found:
        whole(typed)
    assert found.value.hint == "Type the number alone."
