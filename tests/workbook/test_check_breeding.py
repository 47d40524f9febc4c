"""Pedigree, pairings and hatch results: what can't be, and what is doubtful."""

import re
from datetime import date

import pytest

from pipeline.problems import Severity
from pipeline.workbook.checking import checked

AS_OF = date(2025, 1, 1)


def one(lines, pattern):
    """The only complaint, which the pattern fits."""
    assert len(lines) == 1, lines
    assert re.search(pattern, lines[0]), lines[0]


def boa(id, sex=None, **more):
    return {"id": id, "species": "Boa", "sex": sex} | more


PAIR = [boa("D", "F", born=2010), boa("S", "M", born=2010)]


@pytest.mark.parametrize(
    ("animals", "pattern"),
    [
        ([boa("A", sire="A")], r"error Animals H2: Animal A is among its own ancestors: A → A; the sire of A counts as not recorded"),
        ([*PAIR, boa("A", sire="D")], r"error Animals H4: The sire of animal A, D, is recorded as female \(row 2\).*move it to the column Dam"),
        ([*PAIR, boa("A", dam="S")], r"error Animals I4: The dam of animal A, S, is recorded as male \(row 3\)"),
        ([*PAIR, boa("A", sire="S", species="Corn snake")], r"error Animals H4: Animal A is a Corn snake, but its sire S \(row 3\) is a Boa"),
        ([*PAIR, boa("A", sire="S", born="2009-05-01")], r"error Animals H4: The sire .* is younger than its young: S was born 2010, A 2009-05-01"),
        ([boa("S", born="2020-01-01"), boa("A", sire="S", born="2020-01-01")], r"error Animals H3: .* is younger than its young"),
        ([boa("S", born="2020-01-01"), boa("A", sire="S", born="2020-06-01")], r"warning Animals H3: .* less than six months older"),
        ([*PAIR, boa("A", sire="S", dam="S")], r"error Animals H4: Animal A has S as its sire and its dam; neither counts"),
        ([*PAIR, boa("A", sire="ben"), boa("B7", "M", name="Ben")], r"warning Animals H4: .*'ben', is not on .*That is the name of B7; write the ID, 'B7'"),
        ([boa("A", sire="Ben"), boa("B7", "M", name="Ben"), boa("B9", name="Ben")], r"warning Animals H2: .*That is the name of B7 and B9; write the ID, 'B7' or 'B9'"),
        ([boa("A", born="2025-06-01")], r"warning Animals E2: Animal A is born in the future: 2025-06-01 is after 2025-01-01"),
    ],
)  # fmt: skip
def test_check_pedigree__says_what_cannot_be(complaints, animals, pattern):
    one(complaints(animals=animals), pattern)


def test_check_pedigree__a_loop_is_shown_and_every_link_of_it_cut(book_of):
    animals = [boa("A", sire="B"), boa("B", dam="C"), boa("C", sire="A", dam="X"), boa("X")]
    result = checked(book_of(animals=animals), AS_OF)
    errors = [p for p in result.problems if p.severity is Severity.ERROR]
    assert [p.place.cell for p in errors] == ["H2", "I3", "H4"]
    assert all("A → B → C → A" in p.message for p in errors)
    assert {a.id: (a.sire, a.dam) for a in result.collection.animals.values()}["C"] == (None, "X")
    assert result.book.tables["animals"]["sire"].isna().all()


def test_check_pedigree__birth_dates_single_out_the_wrong_link_of_a_loop(complaints):
    animals = [boa("A", sire="C", born=2010), boa("B", dam="A", born=2013), boa("C", dam="B", born=2016)]
    one(
        complaints(animals=animals),
        r"error Animals H2: Animal A is among its own ancestors: A → C → B → A; the sire of A counts",
    )


@pytest.mark.parametrize("born", [(2020, 2021), (2020, 2020), (2020, "2020-12-01"), (None, 2020)])
def test_check_pedigree__bare_years_are_given_the_benefit_of_the_doubt(complaints, born):
    old, young = born
    assert complaints(animals=[boa("S", born=old), boa("A", sire="S", born=young)]) == []


def pairing(**more):
    return {"pairing": "P1", "season": 2020, "dam": "D", "sire": "S"} | more


SPECIES = [
    {
        "species": "Boa",
        "days_to_young": 110,
        "typical_litter": 20,
        "female_breeding_age": 30,
        "male_breeding_age": 18,
    }
]


@pytest.mark.parametrize(
    ("row", "pattern"),
    [
        (pairing(dam="D9"), r"error Pairings C2: The dam of pairing P1, 'D9', is not on the Animals sheet"),
        (pairing(sire="Z"), r"error Pairings D2: The sire of pairing P1, 'Z', is not on the Animals sheet"),
        (pairing(sire=None), r"error Pairings D2: Pairing P1 has no sire"),
        (pairing(dam="S", sire="D"), r"error Pairings C2: Pairing P1 has dam and sire the wrong way round: S is male, D is female.*Swap the two"),
        (pairing(sire="D"), r"error Pairings D2: Pairing P1 names D as dam and as sire"),
        (pairing(sire="D2"), r"error Pairings D2: The sire of pairing P1, D2, is recorded as female \(Animals, row 4\)"),
        (pairing(sire="K"), r"error Pairings D2: Pairing P1 joins two species: D is a Boa, K a Corn snake"),
        (pairing(sire="Y"), r"warning Pairings D2: The sire of pairing P1, Y, was not yet born: born 2022"),
        (pairing(dam="Q", first_paired="2020-01-10"), r"warning Pairings C2: .*Q, was at most 19 months old; the Species sheet breeds females from 30"),
        (pairing(other_sires="D2"), r"warning Pairings E2: 'D2' can't be another sire of pairing P1: it is recorded as female"),
        (pairing(other_sires="S"), r"warning Pairings E2: 'S' can't be .*it is named already"),
        (pairing(other_sires="S8"), r"warning Pairings E2: 'S8' can't be .*not on the Animals sheet"),
        (pairing(first_paired="2020-03-01", last_paired="2020-02-01"), r"warning Pairings G2: Pairing P1 ends before it begins"),
        (pairing(first_paired="2020-03-01", ovulated_or_laid="2020-02-01"), r"warning Pairings H2: Pairing P1 ovulated or laid before"),
        (pairing(first_paired="2018-03-01"), r"warning Pairings B2: Pairing P1 counts for the season 2020, but the pair was together 2018-03-01"),
        (pairing(season=2026, first_paired="2026-02-01", sire="G"), r"warning Pairings D2: .*G, is recorded as 'died', yet the pairing is still to come"),
    ],
)  # fmt: skip
def test_check_pairings__says_what_is_wrong(complaints, row, pattern):
    others = [
        boa("D2", "F"),
        boa("K", "M", species="Corn snake"),
        boa("Y", "M", born=2022),
        boa("Q", "F", born="2018-06-01"),
        boa("G", "M", status="died"),
    ]
    species = [*SPECIES, {"species": "Corn snake"}]
    one(complaints(species=species, animals=[*PAIR, *others], pairings=[row]), pattern)


def test_check_pairings__an_animal_of_unknown_sex_is_not_both_dam_and_sire(complaints):
    rows = [pairing(), pairing(pairing="P2", dam="D2", sire="D")]
    animals = [boa("D"), boa("S", "M"), boa("D2", "F")]
    one(
        complaints(animals=animals, pairings=rows),
        r"warning Pairings D3: D is a sire in pairing P2 and the dam of P1",
    )


@pytest.mark.parametrize(("starts", "day"), [("1", "2019-11-15"), ("10", "2019-10-20"), ("10", "2021-02-01")])
def test_check_pairings__a_season_may_begin_in_autumn(complaints, starts, day):
    settings = [{"setting": "Season starts (month)", "value": starts}]
    assert complaints(animals=PAIR, pairings=[pairing(first_paired=day)], settings=settings) == []


GENES = [{"species": "Boa", "gene": name, "inheritance": "recessive"} for name in ("Ash", "Birch")]
YOUNG = [boa("Y1", "F", born="2020-08-01", sire="S", dam="D"), boa("Y2"), boa("K", species="Corn snake")]
P1 = pairing(first_paired="2020-01-05", ovulated_or_laid="2020-04-10")


@pytest.mark.parametrize(
    ("row", "pattern"),
    [
        ({"pairing": "P7"}, r"error Hatch results A2: Hatch row 2 belongs to pairing 'P7', which is not on"),
        ({"animal": "Y2", "count": 3}, r"error Hatch results F2: Hatch row 2 names the animal Y2 and counts 3 young"),
        ({"animal": "Y9"}, r"warning Hatch results H2: Hatch row 2 names the animal 'Y9', which is not on .*Did you mean 'Y1' or 'Y2'"),
        ({"animal": "K"}, r"warning Hatch results H2: Animal K is a Corn snake, but pairing P1 is of Boa"),
        ({"animal": "Y1", "sex": "M"}, r"warning Hatch results E2: Animal Y1 is male in its hatch row and female on the Animals sheet \(row 4\)"),
        ({"animal": "Y1", "date": "2020-07-20"}, r"warning Hatch results C2: Animal Y1 hatched 2020-07-20 by this row, but was born 2020-08-01"),
        ({"outcome": "slug", "genes": "Ash"}, r"warning Hatch results D2: .* is a slug and yet has genes, 'Ash'"),
        ({"genes": "Ahs"}, r"error Hatch results D2: Hatch row 2 \(pairing P1\): 'Ahs' is no gene .*Did you mean 'Ash'"),
        ({"genes": "normal", "unreadable": "Ash; Brich"}, r"error Hatch results I2: .*'Brich' under Unreadable is no gene of Boa.*Did you mean 'Birch'"),
        ({"genes": "Ash", "unreadable": "ash"}, r"warning Hatch results I2: .* calls Ash unreadable, yet its genes state it"),
        ({"date": "2020-01-02"}, r"warning Hatch results C2: Young of pairing P1 came 2020-01-02, before the pair was together \(2020-01-05\)"),
        ({"date": "2020-03-01"}, r"warning Hatch results C2: .*before the dam ovulated or laid \(2020-04-10\)"),
        ({"date": "2020-12-24"}, r"warning Hatch results C2: .* came 258 days after ovulation or laying; 110 are usual"),
        ({"date": 2019}, r"warning Hatch results C2: .*before the pair was together"),
        ({"count": 90}, r"warning Hatch results F2: Clutch 1 of pairing P1 has 90 young in all \(row 2\), more than 4 times the 20"),
    ],
)  # fmt: skip
def test_check_hatch__says_what_is_wrong(complaints, row, pattern):
    species = [*SPECIES, {"species": "Corn snake"}]
    lines = complaints(
        species=species,
        genes=GENES,
        animals=[*PAIR, *YOUNG],
        pairings=[P1],
        hatch_results=[{"pairing": "P1"} | row],
    )
    one(lines, pattern)


def hatch(complaints, *rows, **tables):
    sheets = {"species": SPECIES, "genes": GENES, "animals": [*PAIR, *YOUNG[:2]], "pairings": [P1]} | tables
    return complaints(**sheets, hatch_results=[{"pairing": "P1"} | row for row in rows])


def test_check_hatch__an_animal_hatches_once(complaints):
    one(
        hatch(complaints, {"animal": "Y2"}, {"animal": "Y2"}),
        r"error Hatch results H3: Animal Y2 hatched in row 2 and again in row 3",
    )


def test_check_hatch__a_tally_entered_twice_is_doubted_and_single_young_alike_are_not(complaints):
    tally, single = {"genes": "Ash", "count": 4}, {"genes": "Birch"}
    lines = hatch(complaints, tally, single, single, tally)
    one(lines, r"warning Hatch results F5: Hatch row 5 \(pairing P1\) repeats row 2 in every cell")


def test_check_hatch__rows_of_a_pairing_left_out_are_told_once(complaints):
    lines = hatch(
        complaints, {"genes": "Ash"}, {"genes": "Birch"}, pairings=[pairing(sire="Z"), pairing(pairing="P2")]
    )
    assert len(lines) == 2
    assert (
        "error Hatch results A2: Pairing P1 was left out for an error of its own, and with it its hatch rows 2 and 3."
        in lines[0]
    )


def test_check_hatch__parents_that_disagree_with_the_pairing_are_named(complaints):
    animals = [*PAIR, boa("S2", "M", born=2011), boa("Y", sire="S2", dam="D")]
    lines = hatch(complaints, {"animal": "Y"}, animals=animals)
    one(
        lines,
        r"warning Hatch results H2: The Animals sheet \(row 5\) calls S2 the sire of Y, but pairing P1 has S;",
    )
    assert hatch(complaints, {"animal": "Y"}, animals=animals, pairings=[P1 | {"other_sires": "S2"}]) == []


def test_check_hatch__days_to_come_are_told_once(complaints):
    coming = pairing(season=2025, first_paired="2024-12-01")
    rows = [{"date": "2025-06-01", "genes": "Ash"}, {"date": "2025-06-02"}]
    one(
        hatch(complaints, *rows, pairings=[coming]),
        r"warning Hatch results C2: 2 rows of Hatch results \(rows 2 and 3\) are dated after 2025-01-01",
    )


def test_adopted_parents__a_pairing_that_makes_a_loop_is_told_at_the_hatch_row(book_of):
    book = book_of(
        animals=[boa("D", "F"), boa("S", "M")],
        pairings=[pairing()],
        hatch_results=[{"pairing": "P1", "animal": "D"}],
    )
    result = checked(book, AS_OF)
    [error] = [p for p in result.problems if p.severity is Severity.ERROR]
    assert (
        error.message
        == "Animal D is among its own ancestors: D → D; the dam of D counts as not recorded (taken from pairing P1)."
    )
    assert (error.place.sheet, error.place.cell) == ("Hatch results", "H2")
    assert len(result.collection.young) == 1


def test_adopted_parents__a_blank_half_is_filled_from_the_pairing(book_of):
    book = book_of(
        animals=[*PAIR, boa("Y", dam="D")],
        pairings=[pairing()],
        hatch_results=[{"pairing": "P1", "animal": "Y"}],
    )
    result = checked(book, AS_OF)
    assert (result.collection.animals["Y"].sire, result.collection.animals["Y"].dam) == ("S", "D")
    assert any("S is taken from pairing P1" in p.message for p in result.problems)
    assert result.book.tables["animals"]["sire"].isna().all()


def test_doubt_sexes__one_wrong_sex_is_told_once_and_costs_no_pairing(book_of):
    animals = [boa("D", "M"), boa("S", "M")]
    rows = [pairing(pairing=name) for name in ("P1", "P2", "P3")]
    result = checked(book_of(animals=animals, pairings=rows), AS_OF)
    [error] = [p for p in result.problems if p.severity is Severity.ERROR]
    assert (error.place.cell, error.value) == ("D2", "M")
    assert error.message.startswith(
        "Animal D is recorded as male, yet it is the dam of pairings P1, P2 and P3;"
    )
    assert (len(result.collection.pairings), result.collection.animals["D"].sex) == (3, None)


def test_doubt_births__one_wrong_birth_is_told_once_and_costs_no_parent(book_of):
    animals = [boa("D", "F", born=2030), *(boa(f"Y{i}", dam="D", born=2015 + i) for i in range(3))]
    result = checked(book_of(animals=animals), date(2031, 1, 1))
    [error] = [p for p in result.problems if p.severity is Severity.ERROR]
    assert error.message.startswith("Animal D is recorded as born 2030, which does not go with its young Y0,")
    assert [a.dam for a in result.collection.animals.values()] == [None, "D", "D", "D"]
    assert result.collection.animals["D"].born_year is None


def test_doubt_births__a_young_older_than_both_parents_is_the_one_at_fault(complaints):
    lines = complaints(animals=[*PAIR, boa("Y", sire="S", dam="D", born="2001-01-01")])
    one(
        lines,
        r"error Animals E4: Animal Y is recorded as born 2001-01-01, which does not go with its parent D and its parent S",
    )
