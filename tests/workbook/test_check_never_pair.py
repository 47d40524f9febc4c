"""The pairs a keeper rules out: what can't be read is told by cell, the rest counts."""

import re
from datetime import date

import pytest

from pipeline.findings.pairs.season import coming
from pipeline.findings.pairs.wishes import wishes
from pipeline.workbook.checking import checked

ANIMALS = [
    {"id": name, "species": "Boa", "sex": sex} for name, sex in (("D1", "F"), ("S1", "M"), ("S2", "M"))
]


def line(words):
    return {"animals": ANIMALS, "settings": [{"setting": "never pair", "value": words}]}


@pytest.mark.parametrize(
    ("words", "pattern"),
    [
        ("D1 x S1; D1 x S11", r"warning Settings B2: Never pair: S11 of 'D1 x S11' is not on the Animals sheet.*Did you mean 'S1'"),
        ("D1 and S1", r"warning Settings B2: Never pair: 'D1 and S1' is no pair\. Write two IDs with an x between"),
        ("D1 x S1 x S2", r"warning Settings B2: Never pair: 'D1 x S1 x S2' is no pair"),
    ],
)  # fmt: skip
def test_check_never_pair__names_what_it_cannot_read(complaints, words, pattern):
    (said,) = complaints(**line(words))
    assert re.search(pattern, said), said


def test_check_never_pair__case_and_line_ends_are_free(complaints, book_of):
    words = "d1 X s1\nS2 × D1;"
    assert complaints(**line(words)) == []
    collection = checked(book_of(**line(words)), date(2025, 1, 1)).collection
    asked = wishes(collection, coming(collection, date(2025, 1, 1)))
    assert asked.never == {frozenset(("D1", "S1")), frozenset(("D1", "S2"))} and not asked.unread
