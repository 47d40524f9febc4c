"""The way to the goals as tables: seasons, odds, words, and a sentence wherever there is no way."""

from dataclasses import replace
from datetime import date

import pandas as pd
import pytest

from pipeline.findings.pairs.season import coming
from tests.findings.pair_books import AS_OF, BOA, animal, book, gene, pairing
from tests.findings.route_books import SPECIES, growth, notes_of, routes_of

ASH, FOG = animal("F1", "F", "Ash"), animal("M1", "M", "Fog")
DOUBLE = ("Double", "Ash Fog", 2034)


def test_route_findings__seasons_of_two_visuals_to_the_double():
    """Hand-made: paired 2027, young grown for 2030 (24 months, male) and 2031 (36 months, female), a litter each second year."""
    found = routes_of(book(ASH, FOG), DOUBLE)
    steps = found.routes
    assert steps[["dam", "sire"]].to_numpy().tolist() == [
        ["F1", "M1"],
        ["F1", "M1"],
        ["young of step 1", "young of step 2"],
    ]
    assert steps["season"].tolist() == [2027, 2027, 2031]
    assert steps["ready"].tolist()[:2] == [2031, 2030] and pd.isna(steps["ready"].iloc[2])
    assert steps["keep_label"].tolist() == ["Normal, het Ash Fog", "Normal, het Ash Fog", "Ash Fog"]
    assert steps["keep_sex"].tolist()[:2] == ["F", "M"]
    assert steps["probability_one"].tolist() == [0.5, 0.5, 1 / 16]
    assert steps["young_for_95"].tolist() == [5, 5, 47]
    assert steps["probability_by_litter"].iloc[2] == pytest.approx(1 - (15 / 16) ** 15)


def test_route_findings__outlook_tells_the_spread():
    """P(F2 in the first litter) = 0.62, by the second 0.856, by the third 0.945: nine in ten by 2035."""
    (row,) = routes_of(book(ASH, FOG), DOUBLE).outlook.to_dict("records")
    assert (row["season"], row["way"], row["p_ever"]) == (2031, "quickest", 1.0)
    assert row["years_high"] - row["years_low"] == pytest.approx(4, abs=0.01)
    assert row["p_by_wanted"] == pytest.approx(1 - (15 / 16) ** 30, abs=0.02)
    assert row["f_most"] == 0.25


def test_route_findings__second_way_keeps_within_the_limit():
    """Another pair of visuals, ready two years later: one double het from each pair, and no inbreeding at all."""
    late = growth(F2="2028-11-01", M2="2028-11-01")
    herd = book(ASH, FOG, animal("F2", "F", "Ash"), animal("M2", "M", "Fog"), inbreeding_at_most=0.0)
    found = routes_of(herd, DOUBLE, weighed=late)
    assert found.outlook["way"].tolist() == ["quickest", "within the inbreeding limit"]
    assert found.outlook["f_most"].tolist() == [0.25, 0.0]
    assert set(found.routes.loc[found.routes["route"] == 2, "f_young"]) == {0.0}


def test_route_findings__equally_quick_without_kin_is_the_only_way():
    herd = book(ASH, FOG, animal("F2", "F", "Ash"), animal("M2", "M", "Fog"))
    (way,) = routes_of(herd, DOUBLE).outlook["way"]
    assert way == "within the inbreeding limit"


def test_route_findings__growth_dates_decide_the_first_season():
    found = routes_of(book(ASH, FOG), DOUBLE, weighed=growth(F1="2029-08-01", M1="2020-01-01"))
    assert found.routes["season"].iloc[0] == 2030


@pytest.mark.parametrize("field", ["last_paired", "ovulated_or_laid"])
def test_route_findings__ready_by_the_usual_pairing_day_counts_for_the_season_as_in_the_plan(field):
    herd = book(ASH, FOG, pairings=[pairing("P1", "F1", "M1", 2025, **{field: date(2025, 4, 10)})])
    assert coming(herd, AS_OF).pairing_days["Boa"] == date(2027, 4, 10)
    for day, season in (("2027-04-10", 2027), ("2027-04-11", 2028)):
        assert routes_of(herd, DOUBLE, weighed=growth(F1=day)).routes["season"].iloc[0] == season


def test_route_findings__gamble_is_named_with_its_odds():
    herd = book(animal("F1", "F", "66% het Ash"), animal("M1", "M", "66% het Ash"))
    found = routes_of(herd, ("Visual", "Ash"))
    (row,) = found.outlook.to_dict("records")
    assert row["p_ever"] == pytest.approx(4 / 9, abs=0.03)
    assert "A gamble: F1 carries Ash (66 %)." in found.routes["note"].iloc[0]
    assert (
        row["note"].startswith("A gamble: with a chance of 5") and row["years_low"] <= row["years"] <= row["years_high"]
    )


def test_route_findings__unsure_young_say_so():
    herd = book(animal("F1", "F", "het Ash"), animal("M1", "M", "normal"))
    first = routes_of(herd, ("Visual", "Ash")).routes.iloc[0]
    assert (first["keep_label"], first["right_share"]) == ("Normal, 50% het Ash", 0.5)
    assert "their look does not tell" in first["note"]


@pytest.mark.parametrize(
    ("herd", "label", "words"),
    [
        ((ASH, FOG), "Ash Moss", "Double can't be reached: no animal kept carries Moss."),
        ((ASH, animal("F2", "F", "Fog")), "Ash Fog", "no male Boa is kept"),
        ((animal("M2", "M", "Ash"), FOG), "Ash Fog", "no female Boa is kept"),
        ((ASH, FOG), "super Frost", "No living Boa can be Double"),
        ((ASH, FOG), "normal", "names no gene that passes by Mendel's rules"),
    ],
)
def test_route_findings__no_way_is_one_clear_sentence(herd, label, words):
    found = routes_of(book(*herd), ("Double", label))
    assert found.routes.empty and found.outlook.empty
    assert words in " ".join(notes_of(found, "out of reach"))


def test_route_findings__animal_for_sale_that_carries_the_gene_is_named():
    sale = animal("F9", "F", "het Moss", status="for sale")
    found = routes_of(book(ASH, FOG, sale), ("Goal", "Ash Moss"))
    assert notes_of(found, "out of reach") == [
        "Goal can't be reached: no animal kept carries Moss. F9, for sale, may carry it: keep it back."
    ]


def test_route_findings__goal_owned_names_the_animal():
    found = routes_of(book(ASH, FOG, animal("F2", "F", "Ash Fog, het Moss")), DOUBLE)
    assert notes_of(found) == ["F2 (100 %) is Double already, by all records."]
    assert found.routes.empty and found.met == {"Double": notes_of(found)[0]}


def test_route_findings__goal_owned_by_one_for_sale_says_so():
    herd = book(ASH, FOG, animal("F2", "F", "Ash Fog"), animal("F3", "F", "Ash Fog", status="for sale"))
    assert notes_of(routes_of(herd, DOUBLE)) == [
        "F2 (100 %) and F3 (for sale, 100 %) are Double already, by all records."
    ]


def test_route_findings__goal_that_many_own_is_one_sentence():
    own = [animal(f"F{i}", "F", "Ash Fog") for i in range(2, 8)]
    sale = animal("F1", "F", "Ash Fog", status="for sale")
    assert notes_of(routes_of(book(sale, *own), DOUBLE)) == [
        "F2 (100 %), F3 (100 %), F4 (100 %), F5 (100 %), F6 (100 %) and 2 more are Double already, by all records."
    ]


def test_route_findings__animals_sold_dead_or_of_no_sex_are_left_out():
    herd = book(
        ASH,
        animal("M2", "M", "Fog", status="sold"),
        animal("M3", "M", "Fog", status="died"),
        animal("X", None, "Fog"),
    )
    assert "no male Boa is kept" in " ".join(notes_of(routes_of(herd, DOUBLE), "out of reach"))


def test_route_findings__welfare_lethal_and_late_genes_are_cautions():
    genes = (gene("Ash", later=True), *BOA.genes[1:])
    known = replace(BOA, genes=genes)
    herd = book(animal("F1", "F", "Ash", known=known), animal("M1", "M", "Frost", known=known), known=known)
    told = notes_of(routes_of(herd, ("Cold", "Ash Frost")), "caution")
    assert told == [
        "Ash shows late: young are told apart only once they have grown.",
        "Frost: Two copies die",
        "Two copies of Frost are lethal: never pair two that carry it.",
    ]


def test_route_findings__blank_species_cells_are_taken_for_granted_and_said():
    rule = {"species": "Boa", "young": "live", **dict.fromkeys(list(SPECIES)[2:])}
    found = routes_of(book(ASH, FOG), DOUBLE, rule=rule)
    told = " ".join(notes_of(found, "taken for granted"))
    assert "Female breeding age is blank on the Species sheet" in told and "no litter size" in told


def test_route_findings__goals_by_priority_and_in_any_row_order():
    herd = book(ASH, FOG, animal("M2", "M", "Moss"))
    one = routes_of(herd, ("B", "Ash Moss"), ("A", "Ash Fog"))
    assert one.outlook["goal"].drop_duplicates().tolist() == ["B", "A"]
    turned = replace(herd, animals=dict(reversed(herd.animals.items())))
    other = routes_of(turned, ("B", "Ash Moss"), ("A", "Ash Fog"))
    pd.testing.assert_frame_equal(one.routes, other.routes)


def test_route_findings__without_goals_nothing():
    found = routes_of(book(ASH, FOG))
    assert found.routes.empty and found.outlook.empty and found.notes.empty


def test_route_findings__pairs_ruled_out_are_not_on_the_way():
    herd = book(ASH, FOG, animal("M2", "M", "Fog"), never_pair="F1 x M1")
    dams_and_sires = routes_of(herd, DOUBLE).routes[["dam", "sire"]].to_numpy().tolist()
    assert ["F1", "M2"] in dams_and_sires and ["F1", "M1"] not in dams_and_sires
    alone = book(ASH, FOG, never_pair="F1 x M1")
    assert notes_of(routes_of(alone, DOUBLE), "out of reach") == [
        "No way to Double was found within 30 seasons."
    ]
