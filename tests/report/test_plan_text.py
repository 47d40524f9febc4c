"""The plan and the ways to the goals as they are printed."""

import pandas as pd

from pipeline.report.plan_text import WIDTH, plan_text
from tests.charts.route_tables import outlook, steps

WAY = """\
Double: the quickest way
  Born in season 2031, in 4.7 years (8 of 10 within 4.7 to 8.7). By 2034, as
  wished: 86 %. Gets there at all: 97 %. Inbreeding at most 25 %.
  1. 2027   F1 x M1. Keep Normal, het Ash Fog, a daughter: 50 % of the young,
            100 % in a litter, 5 young for 95 %. Likely there in 2027, grown for
            2031."""


def plan(**more):
    row = {
        "season": 2027,
        "species": "Boa",
        "dam": "F1",
        "sire": "M1",
        "score": 12.0,
        "reason": "For Double.",
        **more,
    }
    return pd.DataFrame([{"cautions": None, **row}])


def test_plan_text__way_to_a_goal_step_by_step():
    text = plan_text({"goal_outlook": outlook(), "goal_routes": steps()})
    assert (
        WAY in text
        and "  3. 2031   young of step 1 x young of step 2. Keep Ash Fog, either sex: 6.2 %" in text
    )
    assert "47 young for 95 %. A word." in text.replace("\n            ", " ")


def test_plan_text__a_way_that_may_arrive_has_more_than_no_chance():
    text = plan_text({"goal_outlook": outlook().assign(p_ever=0.0003), "goal_routes": steps()})
    assert "Gets there at all: under 0.1 %." in " ".join(text.split())


def test_plan_text__ends_no_line_between_a_number_and_its_percent_sign():
    for fill in range(60, 75):
        lines = plan_text({"season_plan": plan(reason=f"{'x' * fill} 25 % of the young.")}).splitlines()
        assert any("25 %" in line for line in lines)


def test_plan_text__pairs_best_first_with_what_to_mind():
    rows = pd.concat([plan(), plan(dam="F2", score=30.0, cautions="Kin.")])
    text = plan_text({"season_plan": rows})
    assert text.index("F2 x M1") < text.index("F1 x M1")
    assert text.startswith("Boa: pairs proposed for 2027\n  F2 x M1   For Double.\n            Mind: Kin.\n")


def test_plan_text__keeps_to_80_columns():
    long = plan(dam="A very long name of an animal", reason="word " * 60, cautions="mind " * 60)
    text = plan_text({"season_plan": long, "goal_outlook": outlook(), "goal_routes": steps()})
    assert max(map(len, text.splitlines())) <= WIDTH


def test_plan_text__says_so_where_there_is_nothing():
    text = plan_text({})
    assert "No pair to propose" in text and "fill the sheet Goals" in text and "a reptile vet" in text


def test_plan_text__notes_under_their_goal_and_what_is_taken_for_granted():
    notes = pd.DataFrame({"goal": ["Far", None], "note": ["Far can't be reached.", "A typical litter."]})
    text = plan_text({"goal_notes": notes})
    assert "Far\n  Far can't be reached." in text and "Taken for granted\n  A typical litter." in text
