"""The plan as a keeper reads it: reasons, wishes, limits, and a clear sentence where nothing can be planned."""

from datetime import date
from random import Random

import pandas as pd
import pytest

from pipeline.genetics.collection import Collection
from tests.findings.pair_books import animal, book, growth_of, hatched, pairing, pairs_of
from tests.findings.route_books import routes_of

GOAL = [("Grey", "Ash", 1)]
HERD = (
    animal("D1", "F", "Ash"), animal("D2", "F", "het Ash"), animal("D3", "F", "normal"),
    animal("S1", "M", "Ash"), animal("S2", "M", "het Ash"),
)  # fmt: skip


def planned(found):
    return list(zip(found.plan["dam"], found.plan["sire"], strict=True))


def notes(found):
    return list(found.notes["note"])


def test_season_plan__pairs_each_female_once_with_the_male_that_serves_best():
    found = pairs_of(book(*HERD), goals=GOAL)
    assert planned(found) == [("D1", "S1"), ("D2", "S1")]
    reason = found.plan.set_index("dam")["reason"]
    assert (
        reason["D1"]
        == "Grey: 100 % of young, 100 % of litters have one (+60). Her next best is S2, 60 points."
    )
    assert (
        reason["D2"]
        == "Grey: 50 % of young, 99.6 % of litters have one (+60). Her next best is S2, 54 points."
    )


def test_season_plan__a_goal_that_is_met_earns_nothing_and_leaves_the_points_to_the_others():
    herd = book(*HERD, animal("D4", "F", "het Fog"), animal("S3", "M", "het Fog"))
    ways = routes_of(herd, ("Grey", "Ash"), ("Pale", "Fog"))
    found = pairs_of(herd, met=ways.met, goals=[*GOAL, ("Pale", "Fog", 2)])
    assert notes(found)[0] == (
        "Goal Grey is met, so no pair earns points for it: D1 (100 %) and S1 (100 %) are Grey already, by all records."
    )
    points = found.options.set_index(["dam", "sire"])["goal_points"]
    # Of two het parents a quarter is Fog: a litter of eight has one with 1 - (3/4)^8, all 60 points being the open goal's
    assert points["D1", "S1"] == 0 and points["D4", "S3"] == pytest.approx(60 * (1 - 0.75**8))
    assert set(found.options["goal"].dropna()) == {"Pale"}


def test_season_plan__young_are_kept_for_a_goal_that_is_met_as_for_any():
    herd = book(*HERD, animal("Y", "F", "Ash", dam="D2", sire="S2", born=date(2026, 7, 1)))
    asked = {"goals": GOAL, "ages": (36, 24)}
    met = routes_of(herd, ("Grey", "Ash")).met
    assert met and pairs_of(herd, met=met, **asked).holdbacks.equals(pairs_of(herd, **asked).holdbacks)


def test_season_plan__a_full_male_gives_way_where_it_costs_least():
    found = pairs_of(book(*HERD, pairs_per_male=1), goals=GOAL)
    assert set(planned(found)) == {("D1", "S2"), ("D2", "S1")}
    reason = found.plan.set_index("dam")["reason"]["D1"]
    assert "With S1 she would earn" in reason
    assert "S1 has as many pairs as the Settings allow (1)" in reason


def test_season_plan__hatchling_places_are_shared():
    found = pairs_of(book(*HERD, hatchling_places=8), goals=GOAL, litter=8)
    assert planned(found) == [("D1", "S1")]
    left = found.alternatives
    why = left[left["kind"] == "with"]["why"].dropna()
    assert any("the 8 hatchling places" in text.lower() or "has her one litter" in text for text in why)


def test_season_plan__keeps_what_the_keeper_fixed_and_drops_what_he_ruled_out():
    fixed = pairing("27-1", "D3", "S2")
    found = pairs_of(book(*HERD, pairings=[fixed], never_pair="s1 X d1; D2 × S1"), goals=GOAL)
    assert ("D3", "S2") in planned(found)
    assert not {("D1", "S1"), ("D2", "S1")} & set(planned(found))
    row = found.plan.set_index("dam").loc["D3"]
    assert (row["pairing"], row["reason"][:44]) == ("27-1", "In the book already as pairing 27-1, so it i")
    limits = found.options.set_index(["dam", "sire"])["limit"]
    assert limits["D1", "S1"] == limits["D2", "S1"] == "ruled out"


def test_season_plan__a_pairing_that_hatched_or_is_of_another_season_fixes_nothing():
    rows = [pairing("26-1", "D3", "S2", 2026), pairing("27-1", "D3", "S1")]
    found = pairs_of(book(*HERD, pairings=rows, young=[hatched("27-1", "normal", 3)]), goals=GOAL)
    assert found.plan["pairing"].isna().all()


def test_season_plan__a_fixed_pair_is_kept_though_the_dam_is_not_ready():
    collection = book(*HERD, pairings=[pairing("27-1", "D3", "S2")])
    found = pairs_of(collection, growth_of(collection, D3=0.1), goals=GOAL)
    assert ("D3", "S2") in planned(found)
    options = set(zip(found.options["dam"], found.options["sire"], strict=True))
    assert ("D3", "S2") in options and ("D3", "S1") not in options
    cautions = found.plan.set_index("dam")["cautions"]["D3"]
    assert "D3 is ready by 2027-01-01 with a chance of 10 %" in cautions


def test_season_plan__says_which_words_of_never_pair_it_could_not_use():
    found = pairs_of(book(*HERD, never_pair="D1 x D9; D1 and S1"), goals=GOAL)
    assert notes(found) == [
        "Never pair: D9 of 'D1 x D9' is not on the Animals sheet, so that pair is not ruled out.",
        "Never pair: 'D1 and S1' is no pair. Write two IDs with an x between: B1 x B2; B3 x B4.",
    ]


def test_season_plan__names_a_fixed_pair_it_can_not_reckon_with():
    rows = (*HERD[1:], animal("D1", "F", "Ash", status="sold"))
    found = pairs_of(book(*rows, pairings=[pairing("27-1", "D1", "S1")]), goals=GOAL)
    assert (
        "Pairing 27-1 (D1 x S1) is in the book for the coming season, but is not reckoned with"
        in notes(found)[0]
    )


@pytest.mark.parametrize(
    ("animals", "settings", "asked", "sentence"),
    [
        (HERD[3:], {}, {}, "The book has no female of Boa that is kept or on loan."),
        (HERD[:3], {}, {}, "The book has no male of Boa that is kept or on loan."),
        (
            (*HERD[3:], animal("X", None, "Ash")), {}, {},
            "The book has no female of Boa that is kept or on loan; 1 of unknown sex could be: fill Sex on the sheet Animals.",
        ),
        (HERD, {"pairs_per_male": 0}, {}, "Pairs per male is 0 on the sheet Settings: no pair of Boa is planned."),
        (
            HERD, {"hatchling_places": 5}, {},
            "The 5 hatchling places hold no litter of Boa (8 young): none is planned.",
        ),
        (
            HERD, {"hatchling_places": 20}, {"litter": None},
            "How many young a litter of Boa has is not known, so the 20 hatchling places can't be shared out: fill Typical litter on the sheet Species.",
        ),
        (
            HERD, {"never_pair": "; ".join(f"D{i} x S{j}" for i in (1, 2, 3) for j in (1, 2))}, {},
            "Every pair of Boa is ruled out by the line 'Never pair' on the sheet Settings: none is planned.",
        ),
        (
            (animal("D", "F", "normal"), animal("S", "M", "normal")), {}, {"goals": []},
            "No pair of Boa is worth planning: the best earns 0.0 points, and it takes 5.",
        ),
    ],
)  # fmt: skip
def test_season_plan__says_why_nothing_can_be_planned(animals, settings, asked, sentence):
    found = pairs_of(book(*animals, **settings), **({"goals": GOAL} | asked))
    assert found.plan.empty
    assert sentence in notes(found)


def test_season_plan__says_who_is_ready_first():
    collection = book(*HERD)
    growth = growth_of(collection, D1=0.0, D2=0.0, D3=0.0)
    late = growth["animal"].isin(["D1", "D2", "D3"])
    growth.loc[late, ["ready_on", "ready_early", "ready_late"]] = pd.Timestamp(2027, 8, 1)
    growth.loc[growth["animal"] == "D2", ["ready_on", "ready_early", "ready_late"]] = pd.Timestamp(2027, 5, 2)
    growth.loc[late, "blocked_by"] = "rest"
    assert notes(pairs_of(collection, growth, goals=GOAL)) == [
        "No female of Boa is likely ready by 2027-01-01: D2 is the first, on 2027-05-02 (waits for rest)."
    ]


def test_season_plan__names_a_goal_that_no_pair_brings_nearer():
    found = pairs_of(
        book(animal("D", "F", "Fog"), animal("S", "M", "Fog")), goals=[("Fog", "Fog", 2), ("Grey", "Ash", 1)]
    )
    assert notes(found) == ["Goal Grey: no pair of Boa that may be planned brings it nearer next season."]


def test_pair_options__an_animal_nobody_can_tell_of_counts_half_and_a_hatchling_not_at_all():
    baby = animal("B", "F", "Ash", born=date(2026, 7, 1))
    collection = book(*HERD, baby)
    growth = growth_of(collection, D1=None, B=None)
    found = pairs_of(collection, growth, goals=GOAL)
    assert "B" not in set(found.options["dam"])
    row = found.options.set_index(["dam", "sire"]).loc[("D1", "S1")]
    assert row["p_ready"] == pytest.approx(0.5)
    assert "Nothing in the book says when D1 is ready" in row["cautions"]


def test_pair_options__its_points_add_up_and_rank():
    found = pairs_of(book(*HERD), goals=GOAL, prices=[("Ash", 200), ("Ash", 210), ("Ash", 190)])
    parts = ["goal_points", "value_points", "information_points", "kin_points", "lost_points"]
    assert found.options[parts].sum(axis=1).to_list() == pytest.approx(found.options["score"].to_list())
    assert found.options["rank"].to_list() == list(range(1, 7))
    assert found.options["score"].is_monotonic_decreasing


def test_pair_options__beyond_those_listed_are_only_the_planned_and_a_note_says_so():
    whole, cut = (pairs_of(book(*HERD), goals=GOAL, **more) for more in ({}, {"listed": 1}))
    assert planned(whole) == planned(cut) == [("D1", "S1"), ("D2", "S1")]
    assert notes(whole) == []
    assert notes(cut) == [
        "Boa: 6 pairs could be. The plan chose among all of them; the 1 best are listed, and those planned. Given by itself, "
        "this book lists up to 10,000."
    ]
    kept = [(1, "D1", "S1"), *[row for row in _ranked(whole) if row[1:] == ("D2", "S1") and row[0] > 1]]
    assert _ranked(cut) == kept


def _ranked(found):
    columns = ["rank", "dam", "sire"]
    return list(found.options[columns].itertuples(index=False, name=None))


def test_pair_options__a_litter_is_worth_its_young_at_todays_prices():
    """Visual x het, six young: half Ash at 200, half hets, which no advert prices."""
    found = pairs_of(book(HERD[1], HERD[3]), prices=[("Ash", 200), ("Ash", 200), ("Ash", 200)], litter=6)
    (option,) = found.options.to_dict("records")
    assert option["expected_value"] == pytest.approx(600)
    assert option["priced"] == pytest.approx(0.5)
    # 80 % of binomial scatter alone: 200 x 1.2816 x sqrt(6 / 4)
    assert option["value_high"] - 600 == pytest.approx(200 * 1.2816 * (6 / 4) ** 0.5, rel=1e-3)
    assert pairs_of(book(HERD[1], HERD[3])).options["expected_value"].isna().all()


def test_season_plan_alternatives__tell_the_best_plan_without_and_with():
    found = pairs_of(book(*HERD, pairs_per_male=1), goals=GOAL)
    rows = found.alternatives
    assert len(rows) and set(rows["kind"]) <= {"with", "without"}
    assert rows.loc[rows["kind"] == "with", "why"].notna().all()
    best = found.plan["score"].sum()
    assert (rows["total"] <= best + 1e-6).all()
    assert (rows["within_5"] == (rows["total"] >= 0.95 * best)).all()


def test_season_plan_alternatives__plans_of_equal_points_are_two_plans():
    """Sisters alike in all: what costs one her best male costs the other as much."""
    herd = [animal(name, sex, "Ash") for name, sex in (("D1", "F"), ("D2", "F"), ("S1", "M"))]
    found = pairs_of(book(*herd, animal("S2", "M", "het Ash")), goals=GOAL)
    assert planned(found) == [("D1", "S1"), ("D2", "S1")]
    rows = found.alternatives
    assert rows["total"].nunique() == 1
    assert sorted(zip(rows["dam"], rows["sire"], rows["changes"], strict=True)) == [
        ("D1", "S2", "out: D1 x S1"),
        ("D2", "S2", "out: D2 x S1"),
    ]


def test_season_plan_alternatives__one_plan_is_told_once_whichever_pair_led_to_it():
    """Two males of one turn each can only change places: without either planned pair, or with either other."""
    found = pairs_of(book(*HERD, pairs_per_male=1), goals=GOAL)
    assert set(planned(found)) == {("D1", "S2"), ("D2", "S1")}
    (row,) = found.alternatives.to_dict("records")
    put = row["changes"].partition("in: ")[2]
    assert {f"{row['dam']} x {row['sire']}", put} == {"D1 x S1", "D2 x S2"}


def test_pair_findings__do_not_depend_on_the_order_of_the_rows():
    found = pairs_of(book(*HERD), goals=GOAL)
    mixed = book(*Random(3).sample(HERD, len(HERD)))
    again = pairs_of(Collection(**vars(mixed)), goals=GOAL)
    for name in ("options", "outcomes", "plan", "alternatives", "notes", "holdbacks"):
        pd.testing.assert_frame_equal(getattr(found, name), getattr(again, name))


def test_season_plan__names_the_step_of_the_way_that_a_pair_serves():
    herd = book(animal("F1", "F", "Ash"), animal("M1", "M", "Fog"), animal("M2", "M", "normal"))
    goal = ("Double", "Ash Fog", 1)
    ways = routes_of(herd, goal[:2]).routes
    told = pairs_of(herd, goals=[goal], routes=ways).plan.iloc[0]
    assert (told["dam"], told["sire"]) == ("F1", "M1")
    keep = "keep a daughter, Normal, het Ash Fog, and a son, Normal, het Ash Fog."
    assert told["reason"].startswith(f"Steps 1 and 2 of the way to Double: {keep}")
    alone = pairs_of(herd, goals=[goal]).plan.iloc[0]
    assert "the way to" not in alone["reason"] and alone["score"] <= told["score"]


def test_season_plan__says_why_a_pair_that_a_way_begins_with_is_left_out():
    herd = book(
        animal("F1", "F", "Ash"), animal("F2", "F", "Moss"), animal("M1", "M", "Fog"), pairs_per_male=1
    )
    goals = [("A", "Ash Fog", 1), ("B", "Moss Fog", 2)]
    found = pairs_of(herd, goals=goals, routes=routes_of(herd, *(goal[:2] for goal in goals)).routes)
    assert planned(found) == [("F1", "M1")]
    assert notes(found) == [
        "The way to B begins with F2 x M1, which is not planned: M1 has as many pairs as the Settings allow (1)."
    ]
