"""The section on the way to the goals."""

from dataclasses import replace

import pandas as pd

from pipeline.report.context import Context, complete
from pipeline.report.page import write_page
from pipeline.report.sections.routes import routes
from tests.charts.route_tables import outlook, steps
from tests.report.invented import BOOK, HEAD

NOTES = pd.DataFrame(
    [
        (BOOK, "Far", "Boa", "out of reach", "Far can't be reached: no animal kept carries Moss."),
        (BOOK, "Double", "Boa", "caution", "Ash: take care."),
        (BOOK, None, "Boa", "taken for granted", "A typical litter."),
    ],
    columns=["book", "goal", "species", "kind", "note"],
)
FINDINGS = {"goal_outlook": outlook(), "goal_routes": steps(), "goal_notes": NOTES}


def test_routes__one_block_a_goal_with_its_steps_and_words():
    part = routes(Context(complete(FINDINGS), HEAD))
    (block,) = part.values["ways"]
    (way,) = block["ways"]
    assert (block["goal"], block["cautions"]) == ("Double", ["Ash: take care."])
    assert len(way["steps"]) == 3 and way["notes"] == ["Step 3: A word."]
    assert "right_share" not in [cells.column.field for cells in way["steps"].cells]
    assert part.values["notes"] == [NOTES["note"][0]]


def test_routes__first_answer_says_when_and_what_is_out_of_reach():
    texts = [one.text for one in routes(Context(complete(FINDINGS), HEAD)).highlights]
    assert texts == ["Goals within reach: Double in about 5 years (likely 5 to 9).", "No way to 1 goal: Far."]


def test_routes__first_answer_says_how_sure_a_way_is():
    gamble = outlook().assign(p_ever=0.62, years_low=4.6)
    texts = [one.text for one in routes(Context(complete({"goal_outlook": gamble}), HEAD)).highlights]
    assert texts == [
        "Goals within reach: Double in about 5 years (likely 5 to 9, gets there at all: 62\u202f%)."
    ]


def test_routes__page_draws_the_way_and_survives_none(tmp_path):
    write_page(FINDINGS, HEAD, tmp_path / "page.html")
    page = (tmp_path / "page.html").read_text()
    assert "Double: quickest" in page and "Ash: take care." in page and "A typical litter." in page
    write_page({}, replace(HEAD, season=None), tmp_path / "empty.html")
    assert "No goal to reach yet" in (tmp_path / "empty.html").read_text()
