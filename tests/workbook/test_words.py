"""Listed words as keepers vary them."""

import pytest

from pipeline.workbook.cells import CellFault
from pipeline.workbook.sheets import SHEETS
from pipeline.workbook.words import choice, nearest

SEX, OUTCOME, YES = ("M", "F"), ("live", "stillborn", "died in egg", "slug"), ("no", "yes")
INHERITANCE = ("recessive", "incomplete dominant", "dominant", "line-bred")


@pytest.mark.parametrize(
    ("typed", "choices", "word"),
    [
        ("m", SEX, "M"), ("Female", SEX, "F"), (" ♀ ", SEX, "F"), ("0.1", SEX, "F"), (0.1, SEX, "F"), ("?", SEX, None), ("unsexed", SEX, None), ("0.0.1", SEX, None),
        ("Y", YES, "yes"), (True, YES, "yes"), (False, YES, "no"), ("Died In Egg", OUTCOME, "died in egg"), ("still-born", OUTCOME, "stillborn"),
        ("Slugs", OUTCOME, "slug"), ("Incomplete-Dominant", INHERITANCE, "incomplete dominant"), ("co-dom", INHERITANCE, "incomplete dominant"),
        ("unknown", ("XY", "ZW", "unknown"), "unknown"), ("unknown", SEX, None), (" ", SEX, None),
    ],
)  # fmt: skip
def test_choice__finds_the_word_that_is_meant(typed, choices, word):
    assert choice(typed, choices) == word


def test_choice__names_the_nearest_word():
    with pytest.raises(CellFault, match="is not a word of the list") as caught:
        choice("recesive", INHERITANCE)
    assert caught.value.hint.startswith("Did you mean 'recessive'? Write recessive, incomplete dominant,")


def test_choice__lists_the_words_where_none_is_near():
    with pytest.raises(CellFault) as caught:
        choice("zzz", SEX)
    assert caught.value.hint == "Write M or F."


def test_choice__knows_every_word_of_the_registry():
    for column in (column for sheet in SHEETS for column in sheet.columns if column.choices):
        assert [choice(word.upper(), column.choices) for word in column.choices] == list(column.choices)


def test_nearest__ignores_case_and_stays_silent_on_strangers():
    assert nearest("wieghts", ["Weights", "Prices"]) == "Weights"
    assert nearest("qqq", ["Weights", "Prices"]) is None
