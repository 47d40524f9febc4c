"""The sections on carriers and kin: what is told in full, what in a line, what is folded, and what is left out."""

import pandas as pd
import pytest

from pipeline.report.context import Context, complete
from pipeline.report.formats import bars, claims, odds, shares
from pipeline.report.sections.carriers import carriers
from pipeline.report.sections.kin import kin
from tests.report.invented import HEAD, carrier_odds, findings


def context(frames=None) -> Context:
    return Context(complete(findings() if frames is None else frames), HEAD)


def first_words(grid) -> list[str]:
    return [str(texts[0]) for texts in grid.texts]


def test_carriers__labels_that_claim_too_much_come_first_then_open_hets():
    part = carriers(context())
    assert first_words(part.values["open"]) == ["A002", "A001"]
    assert first_words(part.values["gone"]) == ["A008"]
    assert [one.text for one in part.highlights] == [
        "1 label of animals here says more than the records bear out: A002 (Albino).",
        "2 hets still open, in 2 animals here.",
    ]


def test_carriers__odds_of_each_number_of_copies_claim_no_certainty():
    frame = carrier_odds().iloc[[0, 1]].assign(p_none=[0.996, 0.88], p_one=[0.004, 0.12], p_two=0.0)
    (copies,) = [one.texts for one in carriers(context({"carrier_odds": frame})).values["open"].cells if one.column.field == "copies"]
    assert copies == ["88\u00a0·\u00a012\u00a0·\u00a00", ">99\u00a0·\u00a0<1\u00a0·\u00a00"]


def test_carriers__settled_ones_are_told_in_a_line():
    told = {
        texts[0]: [str(text) for text in texts[1:] if text]
        for texts in carriers(context()).values["settled"].texts
    }
    assert told == {
        "A003": ["100% het Albino", "keeping"],
        "A004": ["Albino", "keeping"],
        "A005": ["Albino 4\u202f%", "keeping"],
        "A006": ["Albino", "keeping"],
    }


def test_carriers__each_open_het_here_has_its_curve():
    at = context()
    grid = carriers(at).values["open"]
    numbers = grid.figures
    assert [at.figures.headings[number].title for number in numbers] == [
        "A002: het Albino?",
        "A001: het Albino?",
    ]
    assert not carriers(at).values["gone"].figures


def test_carriers__what_could_not_be_weighed_is_said():
    part = carriers(context())
    assert (part.values["tangled"], part.values["not_exact"]) == (1, 0)
    clutchwise = carrier_odds().assign(method="clutch by clutch")
    assert carriers(context({"carrier_odds": clutchwise})).values["not_exact"] == 8


def test_carriers__stays_small_for_two_thousand_animals():
    """Ten thousand open hets: the page shows a thousand and says how many more there are."""
    many = pd.concat([carrier_odds().iloc[:2].assign(animal=f"A{n:04d}") for n in range(1500)])
    part = carriers(context({"carrier_odds": many}))
    assert len(part.values["open"]) == 1000 and part.values["left_out"] == 2000


def test_kin__the_closest_pairs_first_and_inbred_animals_folded():
    part = kin(context())
    assert first_words(part.values["pairs"]) == ["A001", "A001"]
    assert [texts[2] for texts in part.values["pairs"].texts] == ["25\u202f%", "6.25\u202f%"]
    assert first_words(part.values["animals"]) == ["A002", "A001"]
    assert [one.text for one in part.highlights] == [
        "1 animal here inbred beyond your limit: A001 (25\u202f%)."
    ]


def test_kin__says_what_to_fill_where_nothing_is_known():
    part = kin(context({}))
    assert not part.values["asked"] and part.highlights == ()


@pytest.mark.parametrize(
    "value, text", [(0.0, "<\u202f1\u202f%"), (0.004, "<\u202f1\u202f%"), (0.66, "66\u202f%"), (0.999, ">\u202f99\u202f%")]
)  # fmt: skip
def test_odds__never_claim_certainty(value, text):
    assert odds(pd.Series([value])) == [text]
    assert str(bars(pd.Series([value]))[0]).endswith(
        "&gt;\u202f99\u202f%" if value > 0.99 else text.replace("<", "&lt;")
    )


def test_claims_and_shares__are_words_a_keeper_writes():
    assert claims(pd.Series(["", "66% het", None])) == ["nothing", "66%\u00a0het", "nothing"]
    assert shares(pd.Series([0.25, 0.140625, None])) == ["25\u202f%", "14.06\u202f%", ""]
