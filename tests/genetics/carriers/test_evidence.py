"""What each record says, in the model's own words and numbers."""

import pytest

from pipeline.genetics.carriers.evidence import (
    background_odds,
    claim_odds,
    founder_odds,
    misread_at,
    readable,
    reading_odds,
)
from pipeline.genetics.genes import Catalogue, Gene, Inheritance, Locus
from pipeline.genetics.labels import read_label

ASH = Locus("Ash", (Gene("Ash", Inheritance.RECESSIVE, "Ash"),))
BARK = Locus("Bark", (Gene("Bark", Inheritance.DOMINANT, "Bark", misread=0.03),))
EMBER = Locus("Ember", (Gene("Ember", Inheritance.INCOMPLETE, "Ember", lethal=True),))
TONE = Locus(
    "tone", (Gene("Dim", Inheritance.RECESSIVE, "tone"), Gene("Pale", Inheritance.RECESSIVE, "tone"))
)
CATALOGUE = Catalogue("Boa", (*ASH.genes, *BARK.genes, *EMBER.genes, *TONE.genes))
RATES = {"error": 0.05, "misread": 0.01, "background": 0.02, "single": False}


def _label(text):
    return read_label(text, CATALOGUE)


def test_background_odds__each_allele_is_a_variant_with_half_the_background():
    odds = background_odds(ASH, 0.02, single=False)
    assert odds == pytest.approx({(0, 0): 0.99**2, (0, 1): 2 * 0.01 * 0.99, (1, 1): 0.01**2})
    assert background_odds(ASH, 0.02, single=True) == pytest.approx({(0,): 0.99, (1,): 0.01})


def test_background_odds__strikes_what_does_not_live():
    odds = background_odds(EMBER, 0.02, single=False)
    assert set(odds) == {(0, 0), (0, 1)}
    assert sum(odds.values()) == pytest.approx(1)


def test_founder_odds__what_shows_holds_but_for_the_error():
    odds = founder_odds(_label("Ash"), ASH, **RATES)
    assert odds[1, 1] == pytest.approx(0.95)
    assert odds[0, 1] == pytest.approx(0.05 * 0.0198 / (0.9801 + 0.0198))


def test_founder_odds__one_or_two_of_a_dominant_as_the_background_weighs_them():
    odds = founder_odds(_label("Bark"), BARK, **RATES)
    assert odds[0, 1] / odds[1, 1] == pytest.approx(2 * 0.99 / 0.01)
    assert founder_odds(_label("super Bark"), BARK, **RATES)[1, 1] == pytest.approx(0.95)


@pytest.mark.parametrize(
    ("label", "one"), [("het Ash", 0.95), ("66% het Ash", 0.95 * 2 / 3), ("not Ash", 0.05)]
)
def test_founder_odds__claims_of_what_does_not_show(label, one):
    odds = founder_odds(_label(label), ASH, **RATES)
    assert odds == pytest.approx({(0, 0): 1 - one, (0, 1): one, (1, 1): 0}, abs=0.004)


def test_founder_odds__a_gene_left_out_is_background_times_the_reading():
    odds = founder_odds(_label("Bark"), ASH, **RATES)
    assert odds == pytest.approx({(0, 0): 0.9801 * 0.99, (0, 1): 0.0198 * 0.99, (1, 1): 0.0001 * 0.01})
    assert founder_odds(None, ASH, **RATES) == background_odds(ASH, 0.02, single=False)


def test_founder_odds__a_label_that_nothing_living_has_is_wrong_with_its_error():
    """Two copies of a lethal gene, whether they look like one copy or not: the label has its e, spread by the background."""
    bark = Locus("Bark", (Gene("Bark", Inheritance.DOMINANT, "Bark", lethal=True),))
    said = read_label("super Bark", Catalogue("Boa", bark.genes))
    for odds in (founder_odds(said, bark, **RATES), founder_odds(_label("super Ember"), EMBER, **RATES)):
        assert odds == pytest.approx({(0, 0): 0.05 * 0.9801 / 0.9999, (0, 1): 0.05 * 0.0198 / 0.9999})


def test_founder_odds__het_of_one_of_a_series_leaves_the_other_to_the_background():
    odds = founder_odds(_label("het Dim"), TONE, **RATES)
    assert odds[0, 1] / sum(odds.values()) == pytest.approx(0.95, abs=0.001)
    assert odds[1, 2] / odds[0, 1] == pytest.approx((0.01 / 0.99) * (0.01 / 3 / 0.99))


def test_reading_odds__the_true_class_and_the_others():
    odds = reading_odds(_label("Dim"), TONE, misread=0.03, single=False)
    classes = 4  # wild type, Dim, Pale, both
    assert odds[1, 1] == pytest.approx(0.97)
    assert {g: odds[g] for g in ((0, 0), (0, 1), (2, 2), (1, 2))} == pytest.approx(
        dict.fromkeys(((0, 0), (0, 1), (2, 2), (1, 2)), 0.03 / (classes - 1))
    )


def test_reading_odds__a_look_that_nothing_living_has_says_nothing():
    assert set(reading_odds(_label("super Ember"), EMBER, misread=0.01, single=False).values()) == {1.0}


def test_reading_odds__a_look_that_only_the_other_sex_has_was_misread():
    """One copy kills the sex that has just one: a son seen to show it was misread as any class may be."""
    fog = Locus("Fog", (Gene("Fog", Inheritance.INCOMPLETE, "Fog", lethal=True, sex_linked=True),))
    said = read_label("Fog", Catalogue("Boa", fog.genes))
    assert reading_odds(said, fog, misread=0.01, single=True) == {(0,): 0.01}
    assert founder_odds(said, fog, **RATES | {"single": True}) == {(0,): 0.05}
    assert reading_odds(said, fog, misread=0.01, single=False) == {(0, 0): 0.01, (0, 1): 0.99}


def test_reading_odds__two_copies_in_the_sex_with_one_were_misread_at_a_linked_locus_too():
    """What is linked to a sex-linked locus lies on the sex chromosome, whether its own row of the Genes sheet says so or not."""
    haze = Locus(
        "Haze", (Gene("Haze", Inheritance.INCOMPLETE, "Haze", linked_locus="Fog", recombination=0.1),)
    )
    said = read_label("super Haze", Catalogue("Boa", haze.genes))
    assert reading_odds(said, haze, misread=0.01, single=True) == {(0,): 0.005, (1,): 0.005}


def test_claim_odds__agree_or_not():
    odds = claim_odds(_label("het Ash"), ASH, error=0.001, percents=False, single=False)
    assert odds == pytest.approx({(0, 0): 0.001, (0, 1): 0.999, (1, 1): 0.001})
    assert set(claim_odds(_label("66% het Ash"), ASH, error=0.1, percents=False, single=False).values()) == {
        1.0
    }
    weighed = claim_odds(_label("66% het Ash"), ASH, error=0.1, percents=True, single=False)
    assert weighed[0, 1] == pytest.approx(0.6)


def test_misread_at__the_gene_before_the_setting():
    assert (misread_at(BARK, 0.01), misread_at(ASH, 0.01)) == (0.03, 0.01)


def test_readable__not_where_a_gene_shows_later_or_is_marked():
    later = Locus("Ash", (Gene("Ash", Inheritance.RECESSIVE, "Ash", later=True),))
    assert readable(ASH, ()) and not readable(ASH, {"Ash"}) and not readable(later, ())
