import pytest

from pipeline.workbook.bringing.wording import plain, unit_of
from pipeline.workbook.sheets import ANIMALS, WEIGHTS


@pytest.mark.parametrize(
    ("header", "expected"),
    [("Wt. (kg)", "wt"), ("weight in g", "weight"), ("Date_of  Birth?", "date of birth"), ("g", "g"), ("No.", "no"), ("M/F", "m f")],
)  # fmt: skip
def test_plain__sets_marks_and_units_aside(header, expected):
    assert plain(header) == expected


@pytest.mark.parametrize(
    ("header", "unit"), [("Wt (kg)", "kg"), ("weight lbs", "lb"), ("weight", ""), ("Weight (once)", "")]
)
def test_unit_of__finds_the_unit_in_brackets_or_at_the_end(header, unit):
    assert unit_of(header, WEIGHTS.column("weight")) == unit


def test_unit_of__a_currency_is_the_unit_of_money():
    assert unit_of("Paid EUR", ANIMALS.column("paid")) == "EUR"
    assert unit_of("Paid for it", ANIMALS.column("paid")) == ""
