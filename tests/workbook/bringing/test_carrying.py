from datetime import date

import pytest

from pipeline.workbook.bringing.carrying import Carrier, date_order
from pipeline.workbook.sheets import ANIMALS, WEIGHTS


def carried(column, values, unit=""):
    carrier = Carrier(column, unit, values)
    return [carrier.carry(value) for value in values]


def test_carry__dates_become_dates_and_bare_years_stay_years():
    found = carried(ANIMALS.column("born"), ["14.06.2019", "2018", date(2020, 1, 2), "June 2020"])
    assert found == [date(2019, 6, 14), 2018, date(2020, 1, 2), "June 2020"]


def test_carry__a_date_of_two_readings_follows_its_column():
    assert carried(WEIGHTS.column("date"), ["03/25/2024", "04/05/2024"]) == [
        date(2024, 3, 25),
        date(2024, 4, 5),
    ]
    assert carried(WEIGHTS.column("date"), ["25/03/2024", "04/05/2024"]) == [
        date(2024, 3, 25),
        date(2024, 5, 4),
    ]


def test_carry__a_date_of_two_readings_stays_text_where_the_column_does_not_tell():
    assert carried(WEIGHTS.column("date"), ["03/05/2024", "04/05/2024"]) == ["03/05/2024", "04/05/2024"]


def test_date_order__columns_that_contradict_themselves_tell_nothing():
    assert date_order(["25/03/2024", "03/25/2024"]) is None


@pytest.mark.parametrize(
    ("value", "unit", "expected"),
    [("0,652", "kg", 652), ("1.2 kg", "", 1200), ("850,5", "", 850.5), ("heavy", "", "heavy")],
)
def test_carry__weights_become_grams(value, unit, expected):
    assert carried(WEIGHTS.column("weight"), [value], unit) == [expected]


def test_carry__words_of_a_list_become_its_own_and_blanks_in_words_stay():
    assert carried(ANIMALS.column("sex"), ["female", "♂", "unsexed", "perhaps"]) == [
        "F",
        "M",
        "unsexed",
        "perhaps",
    ]


def test_carry__money_with_a_currency_stays_as_typed():
    assert carried(ANIMALS.column("paid"), ["1.200,00", "€ 50"]) == [1200, "€ 50"]


def test_carry__ids_and_labels_are_text():
    assert carried(ANIMALS.column("id"), [12.0, "007"]) == ["12", "007"]
