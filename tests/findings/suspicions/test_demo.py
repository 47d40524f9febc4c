"""Every fault planted in the demo collection is named, as the right kind and subject; nothing else is accused."""

import pytest

from pipeline.example.collection import AS_OF, example_rows
from pipeline.findings.suspicions import suspicion_findings
from pipeline.workbook.checking import checked
from pipeline.workbook.reading import read_book
from pipeline.workbook.template import write_book

PLANTED = example_rows()[1]


@pytest.fixture(scope="module")
def found(tmp_path_factory):
    path = tmp_path_factory.mktemp("demo") / "demo.xlsx"
    write_book(path, example_rows()[0])
    return suspicion_findings(checked(read_book(path), AS_OF).collection)


@pytest.mark.parametrize("fault", PLANTED, ids=lambda fault: fault.subject)
def test_suspicion_findings__name_each_planted_fault(found, fault):
    rows = found.suspicions
    (row,) = rows[(rows["kind"] == fault.kind) & (rows["subject"] == fault.subject)].itertuples()
    assert row.probability > 0.9
    assert row.bayes_factor > 100


def test_suspicion_findings__accuse_nothing_else(found):
    named = set(zip(found.suspicions["kind"], found.suspicions["subject"], strict=True))
    assert named == {(fault.kind, fault.subject) for fault in PLANTED}


@pytest.mark.parametrize(
    ("subject", "truth"),
    [
        ("B26-4", "sired by B16"),
        ("C26-2", "sired by C01, her mate of 2025"),
        ("B23-2", "no sire at all (young of an unmated female)"),
        ("B21-2", "sired by a male not in the book"),
        ("B18", "no copy of Anery"),
        ("B20", "one copy of Leopard"),
        ("C26-3", "not Amel"),
        ("Motley", "young with two copies of Motley die"),
        ("Ladder", "Ladder shows in one copy (dominant or incomplete dominant)"),
        ("Motley, Stripe", "Motley and Stripe are alleles of one locus"),
        ("Albino Amber, Albino Rose", "Albino Amber and Albino Rose are no alleles of one locus"),
    ],
)
def test_suspicion_findings__tell_what_is_likelier(found, subject, truth):
    rows = found.suspicions
    assert list(rows.loc[rows["subject"] == subject, "likelier"]) == [truth]


def test_suspicion_findings__weigh_the_record_against_its_rivals(found):
    """Each suspicion's explanations are told apart and come to certainty together."""
    for rank, own in found.rivals.groupby("rank"):
        assert own["probability"].sum() == pytest.approx(1, abs=0.02), rank
        assert own["explanation"].is_unique


def test_suspicion_findings__count_the_young_and_name_a_test_cross(found):
    rows = found.suspicions.set_index("subject")
    assert rows.loc["B18", "evidence"].startswith(
        "B18 (Normal, het Anery) has 29 young by B01 (Anery): 29 Normal."
    )
    assert (
        "pair B18 with B01 (Anery): if none shows Anery, 5 young make it 95 % sure, 7 make it 99 %"
        in rows.loc["B18", "next_step"]
    )
    assert "two copies die: of such animals" in rows.loc["Motley", "next_step"]


def test_suspicion_findings__fold_symptoms_under_their_cause(found):
    """Two loci taken for one make a label and a sire look wrong; neither is accused beside the cause."""
    rows = found.suspicions.set_index("subject")
    assert "parentage of C24-4" in rows.loc["Motley, Stripe", "folded"]
    assert "C24-4" not in rows.index
