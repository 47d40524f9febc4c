"""Problems that say the same of many cells: one line, the count, and the first cells."""

import pandas as pd

from pipeline.problems import Place, Problem, Severity
from pipeline.report.alike import times, together
from pipeline.report.context import Context, complete
from pipeline.report.problem_text import problems_text
from pipeline.report.sections.problems import problems
from pipeline.workbook.problem_table import problems_frame
from tests.report.invented import HEAD

BOOK = HEAD.books[0]
DATES = [
    Problem(Severity.WARNING, Place(BOOK, "Weights", row, "B"), "The date is no date.", "Type 2026-05-03.", value)
    for row, value in enumerate(("May", "June", "May", "soon", "soon"), start=2)
]
ODD = Problem(Severity.WARNING, Place(BOOK, "Weights", 4, "C"), "The weight is odd.", "Weigh again.", "7")


def shown(*found: Problem) -> list[tuple[str, ...]]:
    tables = complete({"problems": problems_frame(found)})
    return problems(Context(tables, HEAD)).values["table"].texts


def test_together__keeps_the_order_and_parts_the_few():
    assert together("abacaadb") == [[0, 2, 4, 5], [1], [3], [6], [7]]


def test_times__names_the_first_three():
    assert times(["B2", "B3", "B4", "B5"]) == "4 times: B2, B3, B4 and 1 more"


def test_problems_text__tells_many_alike_in_one_line_and_counts_them_all():
    lines = problems_text([*DATES, ODD]).splitlines()
    assert lines[1:] == [
        "  warning B2      The date is no date. Type 2026-05-03. (5 times: B2, B3, B4 and 2 more.)",
        "  warning C4      The weight is odd. Weigh again.",
        "0 errors (what stands there is left out), 6 warnings (used, and doubted), 0 notes.",
    ]


def test_problems__of_many_cells_are_one_row_and_counted_one_by_one():
    alike, odd = shown(*DATES, ODD)
    assert alike[:2] == ("warning", "Weights, 5 times: B2, B3, B4 and 2 more") and alike[-1] == ""
    assert odd[:2] == ("warning", "Weights, C4") and odd[-1] == "7"
    tables = complete({"problems": problems_frame([*DATES, ODD])})
    assert problems(Context(tables, HEAD)).highlights[0].text == "6 cells of the book to look at."


def test_problems__few_or_of_different_books_stay_apart():
    other = [Problem(one.severity, Place("b.xlsx", "Weights", 2, "B"), one.message, one.hint) for one in DATES[:1]]
    assert len(shown(*DATES[:3], *other)) == 4


def test_problems__an_empty_list_says_so():
    grid = problems(Context(complete({"problems": pd.DataFrame()}), HEAD)).values["table"]
    assert not grid and grid.empty == "No problem was found in the book."
