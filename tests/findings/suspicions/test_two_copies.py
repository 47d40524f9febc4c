"""A gene recorded as incomplete dominant of which nobody ever saw two copies: they look like one, or they die."""

import re
from math import exp, log

import pytest

from pipeline.findings.suspicions import suspicion_findings
from pipeline.genetics.carriers.families import families
from pipeline.genetics.collection import Basis, Settings
from pipeline.genetics.genes import Catalogue, Gene, Inheritance, SexChromosomes
from pipeline.genetics.suspicions.alternatives import Fault, alternatives
from pipeline.genetics.suspicions.answer import searched, suspicions
from pipeline.genetics.suspicions.looks import doubled_in
from tests.genetics.carriers.books import book
from tests.mendel import MONOHYBRIDS

EMBER = Catalogue("Boa", (Gene("Ember", Inheritance.INCOMPLETE, "Ember"),))
SURE = Settings(background_carrier=0, misread=0, wrong_sire=0, wrong_label_proved=0)


def _between_two(young, settings=SURE):
    animals = [(name, sex, "Ember", None, None, Basis.PROVED) for name, sex in (("D", "F"), ("S", "M"))]
    return book(
        animals, [("P", "D", "S")], [("P", *row) for row in young], catalogue=EMBER, settings=settings
    )


def _chances(collection):
    """By fault, how likely it is; the gene's own record by None."""
    (own,) = suspicions(collection, 0.5).found
    return {getattr(rival, "fault", rival): chance for rival, chance in own.rivals}


@pytest.mark.parametrize(
    ("shows", "plain"),
    [MONOHYBRIDS[name] for name in ("White coat", "Constricted", "Yellow pod", "Dwarf")],
)
def test_suspicions__three_to_one_without_a_super_is_dominant(shows, plain):
    """Mendel 1866 (Bateson's translation of 1902, pp. 52-54): four of his dominant characters."""
    chances = _chances(_between_two([("Ember", shows), ("normal", plain)], Settings()))
    assert chances[Fault.INHERITANCE] > 0.99


def test_suspicions__two_to_one_without_a_super_is_lethal():
    """Castle & Little 1910 (from memory): yellow mice among themselves, 800 yellow and 435 not; no yellow bred true."""
    chances = _chances(_between_two([("Ember", 800), ("normal", 435)], Settings()))
    assert chances[Fault.LETHAL] > 0.99


def test_suspicions__the_odds_of_dominant_and_lethal_are_those_of_the_two_ratios():
    """48 to 16 from certain parents: (3/4 : 2/3)^48 (1/4 : 1/3)^16, the two kinds being as likely beforehand."""
    chances = _chances(_between_two([("Ember", 48), ("normal", 16)]))
    odds = chances[Fault.INHERITANCE] / chances[Fault.LETHAL]
    assert odds == pytest.approx(exp(48 * log(9 / 8) + 16 * log(3 / 4)), rel=1e-6)


def test_suspicions__a_keeper_who_writes_super_is_believed():
    """Of 48 that show it he calls 16 super, as 1 : 2 : 1 has it: a word that means nothing would be no likelier."""
    young = [("Ember", 32), ("Super Ember", 16), ("normal", 16)]
    assert suspicions(_between_two(young), 0.05).found == ()


def test_suspicions__supers_where_none_can_be_are_the_same_look():
    """Young of one that shows it and one that doesn't can't have two copies, whatever a third of them is called."""
    animals = [("D", "F", "normal", None, None, Basis.PROVED), ("S", "M", "Ember", None, None, Basis.PROVED)]
    young = [("P", "Ember", 20), ("P", "Super Ember", 10), ("P", "normal", 30)]
    found = suspicions(book(animals, [("P", "D", "S")], young, catalogue=EMBER, settings=SURE), 0.5).found
    assert [own.rivals[0][0].says for own in found] == ["Ember is dominant: one and two copies look alike"]


def test_suspicions__a_bought_super_with_plain_young_is_no_sign_of_a_dominant():
    """One copy explains half plain young as well under either sheet, and either way the seller was wrong: prior odds."""
    animals = [("D", "F", "normal", None, None, Basis.PROVED), ("S", "M", "Super Ember", None, None)]
    told = book(
        animals, [("P", "D", "S")], [("P", "Ember", 5), ("P", "normal", 5)], catalogue=EMBER,
        settings=Settings(wrong_label_proved=0, wrong_sire=0, misread=0),
    )  # fmt: skip
    found = suspicions(told, 0.05, searched(told, least=float("-inf"))).found
    (own,) = (s for s in found if s.kind == "gene record")
    chances = {getattr(rival, "says", ""): chance for rival, chance in own.rivals}
    dominant = next(a for a in alternatives(EMBER, 0.01, 0) if "look alike" in a.says)
    assert chances[dominant.says] / chances[""] == pytest.approx(dominant.prior / 0.99, rel=1e-6)


def test_doubled__counts_the_young_that_could_be_written_either_way():
    """Males of an XY species have one copy of a sex-linked gene, and what shows two alleles has one of each."""
    genes = (
        Gene("Ember", Inheritance.INCOMPLETE, "tone", sex_linked=True),
        Gene("Coal", Inheritance.INCOMPLETE, "tone", sex_linked=True),
    )
    animals = [("D", "F", "Ember", None, None), ("S", "M", "Ember", None, None)]
    young = [
        ("P", "Super Ember", 10, {"sex": "F"}), ("P", "Ember", 15, {"sex": "F"}),
        ("P", "Ember", 20, {"sex": "M"}), ("P", "Ember Coal", 25, {"sex": "F"}), ("P", "Coal", 5, {"sex": "F"}),
    ]  # fmt: skip
    known = Catalogue("Boa", genes, SexChromosomes.XY)
    told = families(book(animals, [("P", "D", "S")], young, catalogue=known, settings=SURE))
    assert doubled_in(told, known) == {"Ember": 10 / 25}


def test_next_step__tells_dominant_from_lethal_by_young_of_two():
    """A visual of two hets of a dominant has two copies with 1/3 (textbook, from memory): each that has one counts 3/2."""
    animals = [
        ("D", "F", "Ember", None, None), ("S", "M", "Ember", None, None), ("K", "F", "Ember", "S", "D"),
        ("N", "M", "normal", None, None),
    ]  # fmt: skip
    young = [("P", "Ember", 48), ("P", "normal", 18)]
    told = book(animals, [("P", "D", "S")], young, catalogue=EMBER, settings=Settings())
    found = suspicion_findings(told)
    (row,) = found.suspicions.itertuples()
    assert "begin with K (Ember) and N (Normal)" in row.next_step
    chances = dict(zip(found.rivals["explanation"], found.rivals["probability"], strict=True))
    odds = (
        chances["young with two copies of Ember die"]
        / chances["Ember is dominant: one and two copies look alike"]
    )
    for said, sure in (("95", 19), ("99", 99)):
        (n,) = re.findall(rf"(\d+) make it {said} % sure", row.next_step)
        assert odds * 1.5 ** int(n) >= sure > odds * 1.5 ** (int(n) - 1)


def test_next_step__asks_no_more_of_a_death_that_is_out_of_the_question():
    """As many young as in Mendel's 705 to 224 leave lethal less than any chance that is told."""
    found = suspicion_findings(_between_two([("Ember", 705), ("normal", 224)], Settings()))
    (said,) = found.suspicions["next_step"]
    assert "one whose young all show Ember lives with two copies, 5 young make it 95 % sure" in said
    assert "two copies die" not in said and "kill" not in said


def test_suspicion_findings__a_locus_that_neither_sire_accounts_for_tells_nothing():
    """Nobody misreads, and K can't have two copies of parents of which one shows it: no sire makes that likelier."""
    animals = [
        ("D", "F", "normal", None, None),
        ("S", "M", "Ember", None, None),
        ("K", "F", "Super Ember", "S", "D"),
    ]
    both = Catalogue("Boa", (*EMBER.genes, Gene("Coal", Inheritance.INCOMPLETE, "Coal")))
    told = book(
        animals, [("P", "D", "S")], [("P", "normal", 8)], catalogue=both, settings=Settings(misread=0)
    )
    found = suspicion_findings(told).suspicions
    assert found["kind"].tolist() == ["gene record", "parentage"]
