"""The carrier odds as a table, and the warnings that go with it."""

from dataclasses import replace

import pytest

from pipeline.findings.carriers import carrier_findings
from pipeline.genetics.carriers.network import TooTangled
from pipeline.genetics.collection import Basis, Settings
from pipeline.genetics.genes import Catalogue, Gene, Inheritance
from pipeline.genetics.suspicions.answer import searched
from pipeline.problems import Severity
from pipeline.store.tables import CARRIER_ODDS
from tests.genetics.carriers.books import CERTAIN, book

PARENTS = [("D", "F", "het Ash", None, None), ("S", "M", "het Ash", None, None)]


def test_carrier_findings__columns_are_the_registrys():
    found = carrier_findings(book(PARENTS))
    assert list(found.odds) == CARRIER_ODDS.names[1:]
    assert found.problems == ()


def test_carrier_findings__the_books_label_beside_the_honest_one():
    animals = [
        *PARENTS,
        ("X", "F", "66% het Ash", "S", "D"),
        ("Y", "M", "Ash", "S", "D"),
        ("Z", "F", None, "S", "D"),
    ]
    odds = carrier_findings(book(animals)).odds.set_index("animal")
    assert odds.loc["X", ["book_label", "label"]].tolist() == ["66% het", "66% het"]
    assert odds.loc["Y", ["book_label", "label"]].tolist() == ["Ash", "Ash"]
    assert odds.loc["Z", "book_label"] == ""
    assert odds["settled"].to_dict() == {
        "D": "proved",
        "S": "proved",
        "X": "open",
        "Y": "proved",
        "Z": "open",
    }


def test_carrier_findings__an_overclaim_is_a_warning_by_cell():
    animals = [*PARENTS, ("X", "F", "het Ash", "S", "D")]
    (problem,) = carrier_findings(book(animals), "F").problems
    assert problem.severity is Severity.WARNING
    assert (problem.place.sheet, problem.place.cell, problem.value) == ("Animals", "F4", "100% het")
    assert problem.message == "X is written as 100% het Ash; its ancestors give 67 %."
    assert problem.hint.startswith("Write 66% het Ash, or set Label basis to proved")


@pytest.mark.parametrize("label", ["66% het Ash", "50% het Ash", "possible het Ash", "normal", None])
def test_carrier_findings__what_the_ancestors_bear_out_is_no_overclaim(label):
    assert carrier_findings(book([*PARENTS, ("X", "F", label, "S", "D")])).problems == ()


def test_carrier_findings__a_possible_het_of_parents_without_the_gene_is_an_overclaim():
    animals = [
        ("D", "F", "normal", None, None),
        ("S", "M", "normal", None, None),
        ("X", "F", "ph Ash", "S", "D"),
    ]
    (problem,) = carrier_findings(book(animals)).problems
    assert "Write nothing of Ash" in problem.hint


def test_carrier_findings__a_proved_label_is_no_overclaim():
    animals = [*PARENTS, ("X", "F", "het Ash", "S", "D", Basis.PROVED)]
    assert carrier_findings(book(animals, settings=replace(CERTAIN, wrong_label_proved=0.001))).problems == ()


def test_carrier_findings__records_that_clash_are_named_with_their_rows():
    animals = [("D", "F", "Ash", None, None), ("S", "M", "Ash", None, None)]
    found = carrier_findings(book(animals, [("P", "D", "S")], [("P", "normal", 3)]))
    (problem,) = found.problems
    assert problem.message == (
        "Ash: the label of D, the label of S and the young of pairing P, clutch 1 in row 2 "
        "can't all be right when no record is ever wrong."
    )
    assert (problem.place.sheet, problem.place.row) == ("Hatch results", 2)
    told = found.odds[["animal", "settled", "says", "doubt"]].itertuples(index=False)
    assert list(map(tuple, told)) == [(name, "open", "", "its label clashes with other records") for name in "DS"]


def test_carrier_findings__say_where_sires_were_weighed_clutch_by_clutch(monkeypatch):
    monkeypatch.setattr("pipeline.genetics.carriers.solving.FULL_SUM", 1)
    collection = book(PARENTS, [("P", "D", "S")], [("P", "normal", 3)], settings=Settings())
    found = carrier_findings(collection)
    assert set(found.odds["method"]) == {"clutch by clutch"}
    assert [p.severity for p in found.problems] == [Severity.NOTE]
    assert found.problems[0].message.startswith(
        "1 of the book's families, the largest 2 animals related to D, could be sired in too many ways"
    )


@pytest.mark.parametrize("sampled", [True, False])
def test_carrier_findings__say_where_a_pedigree_is_too_tangled(sampled, monkeypatch):
    monkeypatch.setattr("pipeline.genetics.carriers.solving.summed", _too_tangled)
    if not sampled:
        monkeypatch.setattr("pipeline.genetics.carriers.solving.summed_by_clutch", _too_tangled)
    found = carrier_findings(book(PARENTS, [("P", "D", "S")], [("P", "normal", 3)]))
    (problem,) = found.problems
    assert problem.message.startswith(
        "The 2 animals related to D are too tangled to weigh exactly (99,000,000 table"
    )
    assert ("are sampled, with a standard error of" in problem.message) is sampled
    assert found.odds["p_one"].isna().all() != sampled
    assert found.odds["from_ancestors"].notna().all()


def _too_tangled(*_, **__):
    raise TooTangled(99_000_000)


MOTLEY = Catalogue("Boa", (Gene("Motley", Inheritance.INCOMPLETE, "Motley"),))


def _motleys(dead):
    """Two Motleys of known parents and their clutches, in which two copies die or not."""
    animals = [(name, sex, "Motley", None, None) for name, sex in (("D", "F"), ("S", "M"))]
    young = [("P", "Motley", 24), ("P", "normal", 12), *([] if dead else [("P", "Super Motley", 12)])]
    young.append(("P", "Motley", 1, {"animal": "X"}))
    rows = [*animals, ("X", "F", "Motley", "S", "D")]
    return book(rows, [("P", "D", "S")], young, catalogue=MOTLEY, settings=Settings())


def _averaged(collection):
    return carrier_findings(collection, "F", searched(collection))


def test_carrier_findings__say_that_a_genes_own_record_is_in_doubt():
    """24 : 12 and none with two copies: they die. Under the record the parents would hardly both be what they show."""
    collection = _motleys(dead=True)
    plain, found = (
        own.odds.set_index("animal") for own in (carrier_findings(collection), _averaged(collection))
    )
    assert set(plain["doubt"]) == {""}
    assert found.loc[["D", "S", "X"], "says"].tolist() == ["fair"] * 3
    assert found["p_one"].min() > plain["p_one"].min() + 0.05
    moved = found.index[(found["p_one"] - plain["p_one"]).abs() >= 0.05]
    assert (
        found.loc[moved, "doubt"]
        .str.fullmatch(r"the record of Motley may be wrong \((over 99|\d\d) %\)")
        .all()
    )


def test_carrier_findings__of_a_clean_book_are_those_of_the_record():
    collection = _motleys(dead=False)
    plain, found = carrier_findings(collection).odds, _averaged(collection).odds
    numbers = ["from_ancestors", "p_none", "p_one", "p_two"]
    assert found[numbers].to_numpy() == pytest.approx(plain[numbers].to_numpy(), abs=1e-2)
    assert set(found["doubt"]) == {""}


def test_carrier_findings__a_book_without_animals_is_an_empty_table():
    found = carrier_findings(book([]))
    assert len(found.odds) == 0
    assert found.problems == ()
