"""Kin: genes of two relatives weighed together, inbreeding and ancestors named, the limit kept."""

import numpy as np
import pytest

from pipeline.findings.pairs.kin_couples import joint_odds
from pipeline.findings.pairs.spaces import odds_by_animal
from pipeline.genetics.carriers.odds import carriers
from tests.findings.pair_books import animal, book, pairs_of

SIBS = (
    animal("Dad", "M", "50% het Ash", status="sold"), animal("Mum", "F", "normal", status="sold"),
    animal("Sis", "F", "normal", sire="Dad", dam="Mum"), animal("Bro", "M", "normal", sire="Dad", dam="Mum"),
)  # fmt: skip


def test_joint_odds__siblings_of_a_possible_het_are_alike():
    """Father het with 1/2: each child het with 1/4, both with 1/2 x 1/4 = 1/8, twice what independence gives."""
    collection = book(*SIBS)
    tables = joint_odds(carriers(collection), collection, [("Sis", "Bro"), ("Mum", "Bro")])
    both = tables["Sis", "Bro"][0]
    assert both == pytest.approx(np.array([[5 / 8, 1 / 8, 0], [1 / 8, 1 / 8, 0], [0, 0, 0]]))


def test_joint_odds__leave_each_animal_its_own_odds():
    collection = book(*SIBS, wrong_sire=0.1, misread=0.02, background_carrier=0.05, wrong_label_seller=0.05)
    found = carriers(collection)
    odds = odds_by_animal(found, collection)
    (tables,) = joint_odds(found, collection, [("Sis", "Bro")]).values()
    for group, table in enumerate(tables):
        assert table.sum(axis=1) == pytest.approx(odds["Sis"][group])
        assert table.sum(axis=0) == pytest.approx(odds["Bro"][group])


def test_joint_odds__strangers_are_left_to_themselves():
    collection = book(animal("D", "F", "Ash"), animal("S", "M", "het Ash"))
    assert joint_odds(carriers(collection), collection, [("D", "S")]) == {}


def test_pair_options__a_sib_pair_is_worked_out_together():
    """One in four young of two hets shows it: 1/8 x 1/4; with independent odds it would be 1/64."""
    found = pairs_of(book(*SIBS, inbreeding_at_most=0.3), goals=[("Ash", "Ash", 1)])
    (option,) = found.options.to_dict("records")
    assert option["basis"] == "together"
    assert option["goal_probability"] == pytest.approx(1 / 32)
    shares = found.outcomes.set_index("label")["probability"]
    assert shares["Ash"] == pytest.approx(1 / 32)


def test_pair_options__names_inbreeding_and_the_ancestors_it_comes_from():
    found = pairs_of(book(*SIBS))
    (option,) = found.options.to_dict("records")
    assert option["f_young"] == pytest.approx(0.25)
    assert option["common_ancestors"] == "Dad 12.5 %, Mum 12.5 %"
    assert option["kin_points"] == pytest.approx(-25)
    assert option["limit"] == "inbreeding"
    assert "inbred by 25 %, more than the 12.5 % set as the most" in option["cautions"]
    assert "inbred by 25 % (-25)" in option["why"]


def test_season_plan__says_that_every_pair_is_too_close_kin():
    found = pairs_of(book(*SIBS))
    assert found.plan.empty
    assert list(found.notes["note"]) == [
        "Every pair of Boa is closer kin than the 12.5 % of inbreeding that the Settings allow: none is planned."
    ]
