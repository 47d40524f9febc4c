"""The section on next season: says what the findings say, and says so where there is nothing."""

from datetime import date

import pytest

from pipeline.report.context import Context, complete
from pipeline.report.head import PageHead
from pipeline.report.sections.plan import plan
from tests.findings.pair_books import animal, book, growth_of, pairing, pairs_of

HEAD = PageHead(("book",), date(2026, 11, 1), 2026, "", 0.05, 1)
YOUNG = animal("Y", "F", "Ash", sire="S1", dam="D2", born=date(2026, 7, 1))
HERD = (
    animal("D1", "F", "Ash"),
    animal("D2", "F", "het Ash"),
    animal("S1", "M", "Ash"),
    animal("S2", "M", "normal"),
    YOUNG,
)
COLLECTION = book(*HERD, pairings=[pairing("27-1", "D2", "S1")], inbreeding_at_most=0.3)


def section(found=None):
    tables = {
        "season_plan": "plan", "season_plan_alternatives": "alternatives", "season_plan_notes": "notes",
        "pair_options": "options", "pair_outcomes": "outcomes", "holdbacks": "holdbacks",
    }  # fmt: skip
    frames = (
        {name: getattr(found, field).assign(book="book") for name, field in tables.items()} if found else {}
    )
    return plan(Context(complete(frames), HEAD))


@pytest.fixture(scope="module")
def told():
    return section(pairs_of(COLLECTION, growth_of(COLLECTION, Y=0.0), goals=[("Grey", "Ash", 1)]))


def cells(grid):
    return [[str(text) for text in texts] for texts in grid.texts]


def test_plan__lists_the_pairs_with_their_reason(told):
    rows = cells(told.values["plan"])
    assert {row[0] for row in rows} == {"D1\u00a0x\u00a0S1", "D2\u00a0x\u00a0S1"}
    assert any("In the book already as pairing 27-1" in text for row in rows for text in row)
    assert told.values["season"] == "2027"


def test_plan__tells_the_young_of_planned_pairs_and_of_the_best_others(told):
    young, others = cells(told.values["young"]), cells(told.values["other_young"])
    planned = [row[0] for row in cells(told.values["plan"])]
    assert list(dict.fromkeys(row[0] for row in young)) == planned
    assert {row[0] for row in others} == {"D1\u00a0x\u00a0S2", "D2\u00a0x\u00a0S2"}
    assert next(row for row in young if row[0] == "D1\u00a0x\u00a0S1")[1] == "Ash"


def test_plan__counts_pairs_and_names_young_in_the_first_answer(told):
    texts = [one.text for one in told.highlights]
    assert texts[0].startswith("2 pairs proposed for 2027, by points: D1 x S1")


def test_plan__of_nothing_says_what_to_fill():
    empty = section()
    assert not empty.values["plan"] and "fill Sex and Genes" in empty.values["plan"].empty
    assert empty.highlights == ()


def test_plan__repeats_the_sentence_that_says_why_nothing_is_planned():
    told = section(pairs_of(book(*HERD[2:4])))
    assert told.values["notes"] == ["The book has no female of Boa that is kept or on loan."]
