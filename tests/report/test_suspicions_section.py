"""The suspicions on the page: cards that lead it, bars of rivals, and an honest silence."""

from dataclasses import replace

import pandas as pd

from tests.report.invented import BOOK, HEAD, findings
from tests.report.test_page import written


def suspicions(*chances):
    return pd.DataFrame(
        {
            "book": BOOK, "rank": rank, "species": "Corn snake", "kind": "parentage", "subject": "P001", "pairing": "P001",
            "gene": "Amel", "recorded": "sired by S1", "likelier": "sired by S2, her mate of 2025", "probability": chance,
            "bayes_factor": 900.0, "evidence": "16 young of D1 and S1: 9 Amel, 7 Normal.",
            "next_step": "Pair D1 with S1 alone.", "folded": "label of S1" if rank == 1 else None, "method": "exact",
        }
        for rank, chance in enumerate(chances, start=1)
    )  # fmt: skip


def rivals(*ranks):
    rows = [(rank, 1, "S2, her mate of 2025", 0.93) for rank in ranks] + [
        (rank, 2, "S1", 0.07) for rank in ranks
    ]
    return pd.DataFrame(rows, columns=["rank", "place", "explanation", "probability"]).assign(book=BOOK)


def page(tmp_path, *chances):
    frames = findings() | {
        "suspicions": suspicions(*chances),
        "suspicion_rivals": rivals(*range(1, len(chances) + 1)),
    }
    return written(frames, tmp_path)


def test_suspicions__lead_the_page(tmp_path):
    text, _ = page(tmp_path, 0.93)
    assert text.index('id="suspicions"') < text.index('id="ratios"')
    assert "Parentage of P001: likely wrong (93" in text


def test_suspicions__tell_evidence_rivals_and_what_to_do(tmp_path):
    text, _ = page(tmp_path, 0.93)
    assert "16 young of D1 and S1: 9 Amel, 7 Normal." in text
    assert "It also accounts for: label of S1." in text
    assert "Pair D1 with S1 alone." in text
    assert 'style="width:93.0%"' in text and 'style="width:7.0%"' in text


def test_suspicions__two_of_one_pairing_have_places_of_their_own(tmp_path):
    _, outline = page(tmp_path, 0.93, 0.71)
    assert len(outline.ids) == len(set(outline.ids))


def test_suspicions__say_how_likely_the_likelier_reading_is_where_others_could_be(tmp_path):
    frames = findings() | {"suspicions": suspicions(0.99, 0.93), "suspicion_rivals": rivals(1, 2)}
    text, _ = written(frames, tmp_path)
    assert "likely wrong (99\u202f%); likelier: sired by S2, her mate of 2025 (93\u202f%)." in text
    assert "likely wrong (93\u202f%); likelier: sired by S2, her mate of 2025." in text
    assert "<strong>sired by S2, her mate of 2025</strong> (93\u202f%)." in text


def test_suspicions__count_those_that_have_no_card(tmp_path):
    text, _ = page(tmp_path, *[0.9] * 50)
    assert "46 more records are likely wrong." in text and "10 more suspicions stand in findings.xlsx." in text


def test_suspicions__never_claim_certainty(tmp_path):
    text, _ = page(tmp_path, 0.99999)
    assert "likely wrong (&gt;\u202f99\u202f%)" in text
    assert "100\u202f% likely wrong" not in text


def test_suspicions__say_so_when_nothing_stands_out(tmp_path):
    text, _ = written(findings(), tmp_path)
    assert "No record of the book is likely to be wrong once all of them are weighed together." in text


def test_suspicions__of_several_books_name_the_book(tmp_path):
    """B 07 of one keeper and B 07 of another are two animals."""
    other = suspicions(0.9).assign(book="other.xlsx")
    frames = findings() | {"suspicions": pd.concat([suspicions(0.93), other]), "suspicion_rivals": rivals(1)}
    text, _ = written(frames, tmp_path, replace(HEAD, books=(BOOK, "other.xlsx")))
    assert (
        f"Parentage of P001 in {BOOK}: likely" in text and "Parentage of P001 in other.xlsx: likely" in text
    )
