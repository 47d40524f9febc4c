"""The first lines of a page of several books: each ID with its book, each book in trouble told once."""

from dataclasses import replace

import pandas as pd
import pytest

from pipeline.report.context import Context, complete
from pipeline.report.figures import Figures
from pipeline.report.sections.books import books
from pipeline.report.sections.carriers import carriers
from pipeline.report.sections.growth import growth
from pipeline.report.sections.kin import kin
from pipeline.report.sections.plan import plan
from pipeline.report.sections.problems import problems
from pipeline.report.sections.ratios import ratios
from tests.report.invented import BOOK, HEAD, findings

OTHER = "other.xlsx"
CLUB = replace(HEAD, books=(BOOK, OTHER))


def of_two_books(**more: pd.DataFrame) -> Context:
    """The invented findings once for each of two keepers, who have the same IDs."""
    twice = {
        name: pd.concat([frame.assign(book=book) for book in CLUB.books], ignore_index=True)
        for name, frame in {**findings(animals=2), **more}.items()
    }
    return Context(complete(twice), CLUB, figures=Figures(several_books=True))


def said(part) -> str:
    return "\n".join(one.text for one in part.highlights)


@pytest.mark.parametrize("section", [ratios, carriers])
def test_highlights__name_the_book_of_every_id(section):
    text = said(section(of_two_books()))
    assert f" in {BOOK}" in text and f" in {OTHER}" in text


def test_highlights__of_kin_plan_and_growth_name_the_book():
    inbred = pd.DataFrame({"animal": ["A1"], "f": [0.25], "over_limit": [True], "status": ["keeping"]})
    pair = pd.DataFrame({"dam": ["D1"], "sire": ["S1"], "score": [9.0], "season": [2027]})
    unweighed = pd.DataFrame({"animal": ["A1"], "kind": ["not weighed"], "date": [HEAD.as_of], "message": ["Long ago."]})
    context = of_two_books(inbreeding=inbred, season_plan=pair, growth_alerts=unweighed)
    assert f"2 animals not weighed for long: A1 in {BOOK} and A1 in {OTHER}." in said(growth(context))
    assert f"A1 in {BOOK} (25\u202f%) and A1 in {OTHER} (25\u202f%)" in said(kin(context))
    assert f"D1 x S1 in {BOOK} and D1 x S1 in {OTHER}" in said(plan(context))


def test_figures__name_the_book_in_their_titles():
    context = of_two_books()
    ratios(context)
    titles = {heading.title.rpartition(" · ")[2] for heading in context.figures.headings}
    assert titles == {BOOK, OTHER}


def test_highlights__tell_a_book_that_cannot_be_read_once():
    found = pd.DataFrame({"book": [BOOK, OTHER], "answered": [True, False], "errors": [0, 1], "suspicions": 0, "departures": 0})
    trouble = pd.DataFrame({"book": [OTHER], "severity": "error", "sheet": "", "message": "It is cut short."})
    context = Context(complete({"books": found, "problems": trouble}), CLUB)
    lines = [*books(context).highlights, *problems(context).highlights]
    assert [one.text for one in lines] == [f"1 book could not be answered: {OTHER}."]
    told, untold = books(context).values["table"].texts
    assert (told, untold) == ((BOOK, "yes", "0", "0", "0"), (OTHER, "no", "", "", "1"))


def test_columns__name_the_row_first_and_then_its_book():
    def titles(context):
        return [column.title for column in context.columns("growth", "animal | Animal | words |\nnote | Note | prose |")]

    assert titles(of_two_books()) == ["Animal", "Book", "Note"]
    assert titles(Context(complete({}), HEAD)) == ["Animal", "Note"]
