"""The demo season knows who carries what: planted labels are seen through, sound ones stand, and each problem is told once."""

import pandas as pd
import pytest

from pipeline.example.collection import example_rows
from pipeline.genetics.pedigree import Pedigree

FALSE_HET, HIDDEN = (fault for fault in example_rows()[1] if fault.kind == "label")


def of(demo, animal, gene):
    odds = demo.findings["carrier_odds"]
    (row,) = odds[(odds["animal"] == animal) & (odds["gene"] == gene)].itertuples()
    return row


def test_season__sees_through_the_false_het(demo):
    row = of(demo, FALSE_HET.subject, *FALSE_HET.genes)
    assert (row.book_label, row.says, row.settled) == ("100% het", "too much", "ruled out")
    assert row.p_none > 0.98 and row.from_ancestors == pytest.approx(0.95, abs=0.01)


def test_season__finds_the_hidden_carrier(demo):
    row = of(demo, HIDDEN.subject, *HIDDEN.genes)
    assert row.p_one + row.p_two > 0.99 and row.settled == "proved"
    assert (row.book_label, row.label, row.says) == ("", "100% het", "too little")
    assert row.from_ancestors < 0.02


def test_season__blames_no_label_for_a_wrong_gene_record(demo):
    """What claims too much is the planted false het alone; a wrong record of Motley or Frost is named beside the odds."""
    odds = demo.findings["carrier_odds"]
    too_much = odds[odds["says"] == "too much"]
    assert list(zip(too_much["animal"], too_much["gene"], strict=True)) == [
        (FALSE_HET.subject, *FALSE_HET.genes)
    ]
    row = of(demo, "B17", "Motley")
    assert (row.book_label, row.label, row.says) == ("Motley", "Motley", "fair")
    assert row.doubt.startswith("the record of Motley may be wrong (")


def test_season__every_animal_and_gene_has_odds_that_sum_to_one(demo):
    odds = demo.findings["carrier_odds"]
    total = odds[["p_none", "p_one", "p_two"]].sum(axis=1)
    assert total.to_numpy() == pytest.approx(1)
    animals = {row["ID"]: row["Species"] for row in example_rows()[0]["Animals"]}
    genes = pd.DataFrame(example_rows()[0]["Genes"]).query("Inheritance != 'line-bred'")
    genes = genes.groupby("Species")["Gene"].nunique()
    assert len(odds) == sum(genes[species] for species in animals.values())


def test_season__one_row_for_each_problem(demo):
    problems = demo.findings["problems"]
    assert not problems.duplicated().any()


def test_season__inbreeding_is_that_of_the_book_s_own_pedigree(demo):
    parents = {row["ID"]: (row.get("Sire"), row.get("Dam")) for row in example_rows()[0]["Animals"]}
    found = demo.findings["inbreeding"].set_index("animal")["f"]
    assert dict(found) == pytest.approx(Pedigree(parents).inbreeding())
    assert found.max() == 0.25  # the second generation of each project came of full sibs


def test_season__the_page_tells_of_both(demo):
    page = demo.season.page.read_text(encoding="utf-8")
    assert "more than the records bear out" in page and "inbred beyond your limit" in page
    assert f"{FALSE_HET.subject} (Anery)" in page
