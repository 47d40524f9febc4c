"""Odd books: no errors allowed, contradictions, nothing to weigh, clean ones."""

from dataclasses import replace

import pandas as pd
import pytest

from pipeline.findings.suspicions import suspicion_findings
from pipeline.genetics.carriers.families import families
from pipeline.genetics.carriers.solving import solve_family
from pipeline.genetics.carriers.stacks import stacks
from pipeline.genetics.collection import Basis, Settings
from pipeline.genetics.genes import Catalogue, Gene, Inheritance
from pipeline.genetics.suspicions.answer import NOBODY, Suspect, suspicions
from pipeline.genetics.suspicions.records import doubts
from pipeline.genetics.suspicions.unsired import without_sire
from tests.genetics.carriers.books import CERTAIN, book
from tests.genetics.carriers.random_books import random_book
from tests.mendel import MONOHYBRIDS

PAIR = [("D", "F", "Ash", None, None), ("S", "M", "Ash", None, None)]


def test_suspicions__are_none_where_nothing_is_ever_wrong():
    """Two visuals with a normal young contradict one another; with every rate at 0 no record can be blamed."""
    never = replace(CERTAIN, wrong_gene_record=0)
    assert suspicions(book(PAIR, [("P", "D", "S")], [("P", "normal", 3)], settings=never), 0.5).found == ()


def test_suspicions__blame_the_one_record_that_may_be_wrong():
    """Two visuals whose young are half normal: with all else certain, the gene must show in one copy."""
    found = suspicions(
        book(PAIR, [("P", "D", "S")], [("P", "normal", 3), ("P", "Ash", 3)], settings=CERTAIN), 0.5
    ).found
    assert [own.kind for own in found] == [Suspect.GENE_RECORD]
    assert found[0].probability == pytest.approx(1)


def test_suspicions__are_silent_on_a_clean_book():
    young = [("P", "normal", 7), ("P", "Ash", 8), ("Q", "normal", 30)]
    pairings = [("P", "D", "S"), ("Q", "D", "N")]
    animals = [PAIR[0], ("S", "M", "het Ash", None, None), ("N", "M", "normal", None, None)]
    assert suspicions(book(animals, pairings, young, settings=Settings()), 0.5).found == ()


@pytest.mark.parametrize(
    ("normal", "shows"),
    [MONOHYBRIDS[name] for name in ("Angular", "White coat", "Constricted", "Yellow pod", "Dwarf")],
)
def test_suspicions__are_silent_on_large_clean_rows(normal, shows):
    """Mendel 1866 (Bateson's translation of 1902, pp. 52-54): of so many young some are misread, but no row stands out."""
    young = [("P", "normal", normal), ("P", "Ash", shows)]
    animals = [(name, sex, "het Ash", None, None, Basis.PROVED) for name, sex in (("D", "F"), ("S", "M"))]
    assert suspicions(book(animals, [("P", "D", "S")], young, settings=Settings()), 0.5).found == ()


def test_suspicions__tell_a_row_of_several_young_that_does_not_fit():
    """Two visuals of one recessive: each of three normal young is misread, unless the gene's own record is wrong."""
    animals = [(*row, Basis.PROVED) for row in PAIR]
    young = [("P", "Ash", 40), ("P", "normal", 3)]
    found = suspicions(book(animals, [("P", "D", "S")], young, settings=Settings()), 0.5).found
    assert Suspect.READING in [own.kind for own in found]


def test_suspicion_findings__hold_all_columns_of_an_empty_answer():
    found = suspicion_findings(book([], settings=Settings()))
    assert found.suspicions.empty and found.rivals.empty
    assert {"rank", "kind", "subject", "evidence", "next_step"} <= set(found.suspicions.columns)


def _unmated(sex):
    """A proved visual whose young by a proved normal male all show what only she has."""
    animals = [("D", "F", "Ash", None, None, Basis.PROVED), ("S", "M", "normal", None, None, Basis.PROVED)]
    return book(animals, [("P", "D", "S")], [("P", "Ash", 8, {"sex": sex})], settings=Settings())


def test_suspicions__find_a_clutch_without_a_sire():
    found = suspicions(_unmated("F"), 0.5).found
    assert [(own.kind, own.subject) for own in found] == [(Suspect.PARENTAGE, "P")]
    assert found[0].rivals[0][0] == NOBODY


def test_suspicions__sons_have_a_sire():
    found = suspicions(_unmated("M"), 0.1).found
    assert found and all(rival != NOBODY for own in found for rival, _ in own.rivals)


def test_without_sire__keeps_every_young_and_every_place():
    from pipeline.genetics.carriers.families import families

    (family,) = families(_unmated("F"))
    alone = without_sire(family, 0)
    assert len(alone.halves) == 8 and len(alone.clutches) == len(family.clutches)
    assert alone.clutches[0].tallies == ()


def test_suspicion_findings__name_ready_animals_first():
    animals = [
        ("H", "F", "het Ash", None, None),
        ("S", "M", "Ash", None, None, Basis.PROVED),
        ("A", "M", "Ash", None, None),
        ("B", "M", "Ash", None, None),
    ]
    collection = book(animals, [("P", "H", "S")], [("P", "normal", 14)], settings=Settings())
    growth = pd.DataFrame({"animal": ["B", "A"], "ready_on": pd.to_datetime(["2026-01-01", "2027-01-01"])})
    found = suspicion_findings(collection, growth, as_of=pd.Timestamp("2026-06-01").date())
    (row,) = found.suspicions.itertuples()
    assert (row.kind, row.subject) == ("label", "H")
    assert "air H with B (Ash; ready)" in row.next_step


def test_suspicion_findings__a_sire_in_doubt_where_no_locus_can_be_told_apart(monkeypatch):
    """As in a herd so inbred that each locus by itself is too tangled to sum over."""
    monkeypatch.setattr("pipeline.findings.suspicions.explain.telling_loci", lambda *asked: [])
    (found,) = suspicion_findings(_unmated("F")).suspicions.to_dict("records")
    assert pd.isna(found["gene"]) and found["evidence"].startswith("8 young of D (Ash) and S (Normal): 8 Ash")


def test_doubts__of_a_row_without_a_sire_hang_together_by_the_dam():
    """Two written normal, of a dam het with 0.95, one in ten misread. Of a het half are Ash: each is written normal with 0.5
    and then right with 0.9; of a plain dam 0.9 and 1. Neither is misread with (0.95 0.25 0.81 + 0.05 0.81) / 0.278."""
    told = book(
        [("D", "F", "het Ash", None, None), ("S", "M", "normal", None, None)], [("P", "D", "S")], [("P", "normal", 2)],
        settings=replace(CERTAIN, misread=0.1, wrong_label_seller=0.05),
    )  # fmt: skip
    (family,) = families(told)
    alone = without_sire(family, 0)
    solved = solve_family(alone, stacks(told.catalogues["Boa"], told.settings), told.settings, {})
    (row,) = (
        d for key, d in doubts(alone, solved.weighed, priors=False).items() if getattr(key, "tally", -1) == 0
    )
    assert row.probability == pytest.approx(
        1 - (0.95 * 0.25 * 0.81 + 0.05 * 0.81) / (0.95 * 0.25 + 0.05 * 0.81)
    )
    assert row.expected == pytest.approx(2 * 0.95 * 0.25 * 0.1 / (0.95 * 0.25 + 0.05 * 0.81))


def test_folded__is_told_of_a_cause_though_no_one_variant_of_it_beats_the_record():
    """A super with plain young: it shows in one copy only now and then, however often, or the male has one copy."""
    animals = [("D", "F", "normal", None, None, Basis.PROVED), ("S", "M", "Super Fir", None, None)]
    fir = Catalogue("Boa", (Gene("Fir", Inheritance.INCOMPLETE, "Fir"),))
    young = [("P", "normal", 6, {"sex": "M"}), ("P", "Fir", 5)]
    told = book(animals, [("P", "D", "S")], young, catalogue=fir, settings=Settings())
    (row,) = suspicion_findings(told).suspicions.itertuples()
    assert (row.kind, row.likelier[:24], row.folded) == (
        "gene record",
        "Fir does not always show",
        "label of S",
    )


def test_suspicions__records_that_clash_under_another_sheet_are_set_aside_in_its_words():
    """With every rate at 0 but that of gene records, a sheet under which the records clash is weighed without them."""
    clashing = random_book(431, "series")
    never = replace(CERTAIN, wrong_gene_record=0.01)
    found = suspicions(replace(clashing, settings=never), 0.5).found
    assert [(own.kind, own.animal) for own in found] == [(Suspect.READING, "A2")]


def test_suspicion_findings__tell_a_look_that_only_another_sheet_knows():
    """A plain daughter: as recorded the gene kills what has it alone, so none shows it; if it doesn't, she may."""
    often = Settings(
        background_carrier=0.05, misread=0.03, wrong_sire=0.15, wrong_label_seller=0.1, wrong_gene_record=0.2,
        report_suspicion_from=0.05,
    )  # fmt: skip
    found = suspicion_findings(replace(random_book(38, "sex-linked, lethal twice, ZW"), settings=often))
    (row,) = (r for r in found.suspicions.itertuples() if (r.kind, r.subject) == ("reading", "A2"))
    assert (row.likelier, row.next_step) == ("Fog", "Look at A2 again in good light.")
    told = found.rivals[found.rivals["rank"] == row.rank]
    assert told.set_index("explanation")["probability"].to_dict() == pytest.approx(
        {"as read": 1 - row.probability, "Fog": row.probability}
    )


def test_suspicions__a_misreading_is_one_whatever_its_locus_is_taken_to_be():
    """Of 37 young of Ash and Oak one is written Ash: misread, whether Ash or Oak is the one that is no allele."""
    genes = tuple(Gene(name, Inheritance.RECESSIVE, "tone") for name in ("Ash", "Oak", "Smoke"))
    animals = [
        (name, sex, look, None, None, Basis.PROVED)
        for name, sex, look in (("D", "F", "Ash"), ("E", "F", "Ash"), ("S", "M", "Oak"), ("T", "M", "Oak"))
    ]
    young = [(p, "normal", 12, {"sex": "M"}) for p in "PQR"] + [("P", "Ash", 1, {"sex": "M"})]
    told = book(
        animals, [("P", "D", "S"), ("Q", "E", "T"), ("R", "D", "T")], young,
        catalogue=Catalogue("Boa", genes), settings=Settings(),
    )  # fmt: skip
    (reading,) = (own for own in suspicions(told, 0.5).found if own.kind is Suspect.READING)
    (gene_record, *_) = (own for own in suspicions(told, 0.5).found if own.kind is Suspect.GENE_RECORD)
    assert gene_record.probability < 0.9 < 0.99 < reading.probability


def test_suspicion_findings__advise_on_a_look_of_two_loci_that_may_be_one():
    """What is likelier may then be in the words of a locus that the book hasn't got."""
    often = Settings(
        background_carrier=0.05, misread=0.03, wrong_sire=0.15, wrong_label_seller=0.1, wrong_gene_record=0.2,
        report_suspicion_from=0.05,
    )  # fmt: skip
    found = suspicion_findings(replace(random_book(277, "recessive"), settings=often)).suspicions
    (row,) = found[found["kind"] == "reading"].query("likelier == 'Fog'").itertuples()
    assert row.gene == "Ash" and row.next_step.startswith(
        f"Look at {row.subject} again in good light. Pair {row.subject} with"
    )


def test_suspicion_findings__name_what_another_record_may_be_instead():
    """Of three alleles two give normal young, thrice: either may be the one that is no allele, as far as these tell."""
    genes = tuple(Gene(name, Inheritance.RECESSIVE, "tone") for name in ("Ash", "Oak", "Smoke"))
    animals = [
        (name, sex, look, None, None, Basis.PROVED)
        for name, sex, look in (("D", "F", "Ash"), ("E", "F", "Ash"), ("S", "M", "Oak"), ("T", "M", "Oak"))
    ]
    told = book(
        animals, [("P", "D", "S"), ("Q", "E", "T"), ("R", "D", "T")], [(p, "normal", 12, {"sex": "M"}) for p in "PQR"],
        catalogue=Catalogue("Boa", genes), settings=replace(Settings(), report_suspicion_from=0.4),
    )  # fmt: skip
    found = suspicion_findings(told)
    assert sorted(found.suspicions["likelier"]) == [
        "Ash is no allele of Oak, Smoke",
        "Oak is no allele of Ash, Smoke",
    ]
    for rank, likelier in zip(found.suspicions["rank"], found.suspicions["likelier"], strict=True):
        chances = found.rivals[found.rivals["rank"] == rank].set_index("explanation")["probability"]
        assert chances[likelier] == found.suspicions.set_index("rank")["probability"][rank]
        assert set(chances.index) == {*found.suspicions["likelier"], "as recorded"}


def test_suspicion_findings__name_labels_that_share_the_blame():
    """Two visuals with normal young: one label is wrong, and nothing tells which; each stays below one in two."""
    told = book(PAIR, [("P", "D", "S")], [("P", "normal", 12)], settings=Settings())
    found = suspicion_findings(told)
    (problem,) = found.problems
    assert found.suspicions.empty and problem.place.sheet == "Pairings"
    assert problem.message.startswith("What D and S are written as and their young hardly go together")
    assert "label of D (4" in problem.message and "label of S (4" in problem.message
    fine = book(PAIR, [("P", "D", "S")], [("P", "Ash", 12)], settings=Settings())
    assert suspicion_findings(fine).problems == ()
