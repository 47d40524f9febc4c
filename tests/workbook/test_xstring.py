"""Characters written by their number: the examples are those of ECMA-376 part 1, 22.9.2.19, from memory."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.workbook.bringing.bring import bring, write_brought
from pipeline.workbook.reading import read_book
from pipeline.workbook.xstring import decoded, encoded


@pytest.mark.parametrize(
    ("held", "shown"),
    [
        ("_x0041__x0042_", "AB"), ("Ad_x0007_a", "Ada"), ("shy_x000D__x000A_eats", "shy\neats"), ("_x005F_x0041_", "_x0041_"),
        ("_x41_", "_x41_"), ("_xGGGG_", "_xGGGG_"), ("_xD800_", "_xD800_"), ("K_x1", "K_x1"),
    ],
)  # fmt: skip
def test_decoded__as_excel_shows_it(held, shown):
    assert decoded(held) == shown


@given(st.text(st.sampled_from("_x0041F5aA"), max_size=24))
def test_encoded__is_shown_as_it_stands(text):
    assert decoded(encoded(text)) == text


def test_read_book__an_id_with_an_unseen_character_is_the_id_that_is_seen(make_book):
    book = make_book({"Animals": [{"ID": "B_x0007_1", "Species": "Boa", "Notes": "a_x005F_x0041_"}]})
    animals = read_book(book).tables["animals"]
    assert list(animals["id"]) == ["B1"] and list(animals["notes"]) == ["a_x0041_"]


def test_bring__what_looks_like_such_a_character_is_carried_as_it_is_shown(make_book, tmp_path):
    old = make_book({"Animals": [{"Tag": "B_x0007_1", "Sex": "F", "Vet": "a_x005F_x0041_"}]}, "old.xlsx")
    write_brought(bring(old, "Boa"), tmp_path / "new.xlsx")
    animals = read_book(tmp_path / "new.xlsx").tables["animals"]
    assert list(animals["id"]) == ["B1"] and list(animals["notes"]) == ["Vet: a_x0041_"]
