"""What a collection's rows say of themselves, and what they refuse to say."""

import pytest

from pipeline.genetics.collection import Animal, Young
from pipeline.genetics.statements import Statement


def test_known_sex__is_the_recorded_one():
    assert Animal("A1", "Corn snake", sex="F").known_sex == "F"


def test_known_sex__is_asked_of_no_animal_without_one():
    with pytest.raises(LookupError, match="sex of A1 is not recorded"):
        _ = Animal("A1", "Corn snake").known_sex


@pytest.mark.parametrize("row", [Animal("A1", "Corn snake"), Young("P1", None)], ids=["animal", "young"])
def test_known_label__is_asked_of_nothing_unseen(row):
    with pytest.raises(LookupError, match="nobody has looked at"):
        _ = row.known_label


def test_known_label__may_say_nothing_special():
    assert Young("P1", Statement()).known_label == Statement()
