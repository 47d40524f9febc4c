"""Text as a page can bear it: short names untouched, endless ones cut, Hebrew and Arabic set apart."""

import pytest

from pipeline.report.readable import LONGEST_TEXT, readable, shortened


@pytest.mark.parametrize(
    "text", ["", "B12", "het Albino, 66% het Anery", "Großvater 🐍", "two\nlines", "x" * 80]
)
def test_readable__leaves_ordinary_text_alone(text):
    assert readable(text) == shortened(text) == text


@pytest.mark.parametrize(
    "text, tight",
    [
        ("7 make it 99 % sure", "7 make it 99\u202f% sure"),
        ("n = 16, p 0.03, q < 0.01", "n\u00a0=\u00a016, p\u00a00.03, q\u00a0<\u00a00.01"),
        ("B 12 % of 3 = x; map 5", "B 12\u202f% of 3 = x; map 5"),
    ],
)
def test_readable__ends_no_line_within_a_figure(text, tight):
    assert readable(text) == tight


def test_shortened__cuts_an_endless_word_and_says_how_long_it_was():
    said = shortened(f"Pairing P{'o' * 9_999}: too few")
    assert said.startswith("Pairing Poooo") and said.endswith("oo (10,000 characters): too few")
    assert len(said) < 110


def test_shortened__cuts_an_endless_text():
    said = shortened("one two " * 1_250)
    assert said.startswith("one two one") and said.endswith("… (10,000 characters)")
    assert len(said) < LONGEST_TEXT + 30


def test_shortened__drops_what_moves_a_cursor_or_turns_a_line():
    assert shortened("B1\x1b[2J\u202eevil\u2066x\x9b") == "B1[2Jevilx"


def test_readable__sets_right_to_left_names_apart_from_what_follows():
    assert readable("Pairing נחש אדום: 2 of 20") == "Pairing \u2068נחש אדום\u2069: 2 of 20"
    assert readable("het أحمر and אדום") == "het \u2068أحمر\u2069 and \u2068אדום\u2069"
