"""Which young to keep: nearer a goal than the grown animals here; the rest with the label that may be claimed."""

from datetime import date

import pandas as pd
import pytest

from tests.findings.pair_books import animal, book, hatched, pairing, pairs_of

GOAL = [("Grey Fog", "Ash Fog", 1)]
YOUNG = {"born": date(2026, 7, 1), "sire": "S", "dam": "D"}
PARENTS = (animal("D", "F", "het Ash Fog"), animal("S", "M", "het Ash Fog"))
LITTER = [pairing("26-1", "D", "S", 2026)]


def kept(found):
    return found.holdbacks[found.holdbacks["keep"] == "keep"]


def test_holdbacks__keeps_the_nearest_of_each_sex_and_one_in_case():
    young = [animal(f"Y{i}", "F", "Ash", **YOUNG) for i in range(3)] + [animal("Z", "M", "normal", **YOUNG)]
    found = pairs_of(book(*PARENTS, *young), goals=GOAL)
    assert list(kept(found)["animal"]) == ["Y0", "Y1"]
    row = kept(found).iloc[0]
    # Ash twice for sure, Fog once with 2/3, as they don't show it
    assert row["nearness"] == pytest.approx(0.5 * (1 + 2 / 3) / 2 + 0.5 * (2 + 2 / 3) / 4)
    assert row["best_here"] == pytest.approx(0.75)
    assert row["why"] == "Of Grey Fog: Ash, Fog (67 %); nearer than any grown female here (67 %)."
    rest = found.holdbacks.set_index("animal")
    assert rest.loc["Y2", "why"] == "Of Grey Fog: Ash, Fog (67 %); two young females are nearer or as near."
    assert rest.loc["Z", "why"].endswith("S, grown, is likely as near or nearer.")


def test_holdbacks__one_of_unknown_sex_is_held_against_the_sex_that_comes_less_near():
    grown = animal("D", "F", "Ash Fog"), animal("S", "M", "het Ash Fog")
    found = pairs_of(book(*grown, pairings=LITTER, young=[hatched("26-1", "Ash Fog")]), goals=GOAL)
    (row,) = found.holdbacks.to_dict("records")
    assert (row["keep"], row["why"]) == ("keep", "Of Grey Fog: Ash, Fog; nearer than any grown male here.")


def test_holdbacks__claims_what_the_records_bear_out():
    """An unaffected young of two hets is a het with 2/3: '66 % het'."""
    other = pairs_of(book(*PARENTS, animal("Y", "F", "normal", **YOUNG)), goals=GOAL)
    assert other.holdbacks["label"].tolist() == ["Normal, 66% het Ash Fog"]


def test_holdbacks__young_without_a_row_of_their_own_are_there_with_their_count():
    rows = [
        hatched("26-1", "Ash", 3, sex="F"),
        hatched("26-1", "normal", 5),
        hatched("26-1", "Ash", 1, sex="F"),
    ]
    found = pairs_of(book(*PARENTS, pairings=LITTER, young=rows), goals=GOAL)
    table = found.holdbacks.set_index("label")
    assert table["count"].to_dict() == {"Ash, 66% het Fog": 4, "Normal, 66% het Ash Fog": 5}
    assert table.loc["Ash, 66% het Fog", "keep"] == "keep"
    assert table.loc["Ash, 66% het Fog", "why"].endswith("One or two of the 4 will do.")
    assert table["pairing"].tolist() == ["26-1", "26-1"]


def test_holdbacks__grown_sold_and_dead_animals_are_no_young():
    gone = [animal(f"Y{status}", "F", "Ash", status=status, **YOUNG) for status in ("sold", "died")]
    old = animal("O", "F", "Ash", sire="S", dam="D", born=date(2021, 7, 1))
    assert pairs_of(book(*PARENTS, *gone, old), goals=GOAL, ages=(36, 24)).holdbacks.empty


def test_holdbacks__below_breeding_age_counts_where_the_species_sheet_tells_it():
    half_grown = animal("Y", "F", "Ash", sire="S", dam="D", born=date(2024, 7, 1))
    assert pairs_of(book(*PARENTS, half_grown), goals=GOAL, ages=(36, 24)).holdbacks["animal"].tolist() == [
        "Y"
    ]
    assert pairs_of(book(*PARENTS, half_grown), goals=GOAL, ages=(24, 24)).holdbacks.empty


def test_holdbacks__without_a_goal_nothing_is_kept_and_the_price_is_told():
    young = animal("Y", "F", "Ash", **YOUNG)
    found = pairs_of(
        book(*PARENTS, young), prices=[("Ash, 66% het Fog", price) for price in (90, 100, 110)], ages=(36, 24)
    )
    (row,) = found.holdbacks.to_dict("records")
    assert (row["keep"], row["why"]) == ("may go", "No goal of Boa on the sheet Goals.")
    assert row["price"] == pytest.approx(100, rel=0.02)
    assert pd.isna(row["goal"])
