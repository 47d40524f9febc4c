"""How many young settle a test, and what the young of a clutch are told to look like."""

import re
from collections import Counter
from math import ceil, log

import pytest

from pipeline.findings.suspicions import suspicion_findings
from pipeline.findings.suspicions.counts import looks_text, times
from pipeline.findings.suspicions.sizes import both_counts, findings_needed, telling_counts, young_needed
from pipeline.findings.suspicions.stable import Stable
from pipeline.genetics.collection import Basis, Settings
from pipeline.genetics.genes import Catalogue, Gene, Inheritance
from tests.genetics.carriers.books import ASH, FOG, book


@pytest.mark.parametrize(
    ("miss", "sure", "young"),
    [(1 / 2, 0.95, 5), (1 / 2, 0.99, 7), (3 / 4, 0.95, 11), (3 / 4, 0.99, 17)],
)
def test_young_needed__agrees_with_the_textbook_numbers(miss, sure, young):
    """Test crosses for a recessive at 95 and 99 %: 5 and 7 on a homozygote, 11 and 17 on a carrier (animal breeding texts, from memory)."""
    assert young_needed(miss, sure) == young
    assert miss**young <= 1 - sure < miss ** (young - 1)


def test_both_counts__says_both():
    assert both_counts(3 / 4) == "11 young make it 95 % sure, 17 make it 99 %"


def test_telling_counts__needs_more_young_the_closer_the_shares():
    assert telling_counts(0.08, 0.5).startswith("about 8 young")
    near, far = (int(telling_counts(share, 0.5).split()[1]) for share in (0.4, 0.1))
    assert near > 10 * far


def test_looks_text__tells_the_commonest_first():
    assert looks_text(Counter({"Hypo": 3, "Normal": 9})) == "9 Normal, 3 Hypo"


@pytest.mark.parametrize(
    ("factor", "words"),
    [(1.26, "1.3 times"), (34, "34 times"), (3188, "some 3,200 times"), (5e9, "more than a million times")],
)
def test_times__rounds_to_what_is_known(factor, words):
    assert times(factor) == words


def test_suspicion_findings__no_test_cross_with_close_kin():
    """A daughter with a label that her young gainsay: her sire shows the gene, yet the unrelated male is named."""
    animals = [
        ("D", "F", "normal", None, None), ("S", "M", "Ash", None, None), ("Z", "M", "Ash", None, None),
        ("K", "F", "normal, not Ash", "S", "D"), ("N", "M", "normal", None, None),
    ]  # fmt: skip
    stable = Stable(book(animals).animals, frozenset({"S"}), most_kin=0.125)
    assert [stable.close("K", other) for other in ("S", "D", "Z")] == [True, True, False]
    kin = {one.id: one for one in stable.animals.values()}
    assert stable.mate_of(kin["K"], stable.mates("Boa", "M", ["Ash"], "K")).id == "Z"
    assert stable.mate_of(kin["K"], [kin["S"], kin["D"]]) is None
    assert [(f.id, m.id) for f, m in stable.pairs([([kin["K"], kin["D"]], [kin["S"]])])] == [("D", "S")]


def test_plain__takes_mates_labelled_not_first_and_carriers_never():
    animals = [
        ("A", "M", "normal", None, None), ("B", "M", "normal, not Ash", None, None), ("C", "M", "het Ash", None, None),
        ("D", "M", "Ash", None, None), ("E", "M", "normal", None, None),
    ]  # fmt: skip
    stable = Stable(book(animals).animals, frozenset({"A", "B"}))
    assert [own.id for own in stable.plain("Boa", "M", "Ash")] == ["B", "A", "E"]


@pytest.mark.parametrize(
    ("chance", "sure", "young"),
    [(0.5, 0.95, 5), (0.5, 0.99, 7), (0.8, 0.95, 3), (0.96, 0.95, 0), (1, 0.99, 0)],
)
def test_findings_needed__is_how_many_heads_show_a_coin_with_two(chance, sure, young):
    """A coin that may have two heads (a textbook example of Bayes' rule, from memory): from even odds 5 heads give 32 to 1."""
    assert findings_needed(chance, 2, sure) == young
    if young > 0:
        odds = chance / (1 - chance) * 2.0**young
        assert odds / (1 + odds) >= sure > odds / 2 / (1 + odds / 2)


def test_next_step__sexes_the_young_before_a_season_is_spent():
    """Young of a het dam that are half visual, half plain: no sire at all, unless one of them is a male."""
    animals = [("D", "F", "het Ash", None, None), ("S", "M", "normal, not Ash", None, None, Basis.PROVED)]
    (row,) = _told(animals, [("P", "Ash", 15), ("P", "normal", 15)])
    assert "no sire" in row.likelier and row.next_step.startswith("Sex the young: one male proves a sire")
    sexed = [("P", "Ash", 15, {"sex": "F"}), ("P", "normal", 15, {"sex": "F"})]
    (row,) = _told(animals, sexed)
    assert "no sire" in row.likelier and row.next_step.startswith("Don't sell these young")


def test_likelier__is_never_the_record_itself():
    """The sire may be likelier than any other one cause and yet be doubted, where the rest outweigh him."""
    animals = [("D", "F", "het Ash", None, None), ("S", "M", "normal, not Ash", None, None)]
    (row,) = (r for r in _told(animals, [("P", "Ash", 15), ("P", "normal", 15)]) if r.kind == "parentage")
    assert row.likelier.startswith("no sire at all") and row.next_step.startswith("Sex the young")


def test_next_step__a_bought_super_is_tested_by_plain_young():
    """All young of two copies of a dominant show it, half those of one: 5 and 7 as for any test on a homozygote."""
    bark = Catalogue("Boa", (Gene("Bark", Inheritance.DOMINANT, "Bark"),))
    animals = [("D", "F", "normal", None, None), ("S", "M", "Super Bark", None, None)]
    told = book(
        animals, [("P", "D", "S")], [("P", "Bark", 5), ("P", "normal", 5)], catalogue=bark,
        settings=Settings(wrong_gene_record=0),
    )  # fmt: skip
    (row,) = suspicion_findings(told).suspicions.itertuples()
    assert (row.subject, row.likelier) == ("S", "one copy of Bark")
    assert "a young without Bark tells that it has not two copies" in row.next_step


@pytest.mark.parametrize(("dam", "young"), [("Ash", "5 young"), ("het Ash", "11 young")])
def test_next_step__a_sire_tried_again_is_told_by_what_he_can_give(dam, young):
    """Of a visual half the young of a carrier show it, of a het a quarter (textbook)."""
    animals = [
        ("D", "F", dam, None, None, Basis.PROVED), ("S", "M", "not Ash", None, None, Basis.PROVED),
        ("T", "M", "Ash", None, None),
    ]  # fmt: skip
    shown = [("P", "Ash", 12, {"sex": "M"})] + [("P", "normal", 12)] * (dam == "het Ash")
    (row,) = _told(animals, shown)
    assert row.likelier.startswith("sired by T")
    assert (
        f"a young that shows Ash tells that S can give it; if none does, {young} make it 95 % sure"
        in row.next_step
    )


def test_next_step__few_that_show_are_told_from_the_share_of_that_pair():
    """Of two hets a quarter should show: ln 19 over Wald's drift from a quarter to that part of it which does."""
    animals = [
        (n, s, "het Ash", None, None, Basis.PROVED)
        for n, s in (("D", "F"), ("S", "M"), ("E", "F"), ("T", "M"))
    ]
    young = [(p, look, n) for p in "PQ" for look, n in (("normal", 40), ("Ash", 3))]
    told = book(animals, [("P", "D", "S"), ("Q", "E", "T")], young, settings=Settings())
    row = next(r for r in suspicion_findings(told).suspicions.itertuples() if r.kind == "gene record")
    assert "does not always show" in row.likelier
    shares = [
        (percent - 0.5 + k / 10) / 400
        for percent in [int(re.search(r"(\d+)", row.likelier)[1])]
        for k in range(11)
    ]
    drifts = [p * log(p / 0.25) + (1 - p) * log((1 - p) / 0.75) for p in shares]
    assert int(re.search(r"about (\d+) young", row.next_step)[1]) in {
        ceil(log(19) / drift) for drift in drifts
    }


def test_next_step__a_sire_is_told_by_a_compound_of_two_alleles():
    """A visual gives her allele to each young and he his to half at least: the compound shows Ash and Oak, or the lower rank."""
    animals = [
        ("D", "F", "Oak", None, None, Basis.PROVED), ("S", "M", "Ash", None, None, Basis.PROVED),
        ("N", "M", "normal", None, None),
    ]  # fmt: skip
    for ranks, look in (((None, None), "Oak Ash"), ((1, 2), "Oak")):
        (row,) = _told(animals, [("P", "normal", 9, {"sex": "M"})], _oak_and_ash(*ranks))
        assert (
            f"a young that shows {look} tells that S can give Ash; if none does, 5 young make it"
            in row.next_step
        )


def _oak_and_ash(*ranks):
    genes = (
        Gene(n, Inheritance.RECESSIVE, "L", rank=rank) for n, rank in zip(("Oak", "Ash"), ranks, strict=True)
    )
    return Catalogue("Boa", tuple(genes))


def test_next_step__a_look_of_two_copies_is_tested_by_young_without():
    """The young of a visual shows as one; whether it has one copy or two, which half or all of its young by a visual tell."""
    animals = [
        ("D", "F", "not Ash", None, None, Basis.PROVED), ("S", "M", "Ash", None, None, Basis.PROVED),
        ("E", "F", "Oak", None, None), ("F", "F", "Ash", None, None), ("K", "M", "Ash", "S", "D"),
    ]  # fmt: skip
    (row,) = _told(animals, [("P", "normal", 9), ("P", "Ash", 1, {"animal": "K"})], _oak_and_ash(None, None))
    assert (row.kind, row.subject) == ("reading", "K")
    assert (
        "Pair K with F (Ash): a young without Ash tells that it has not two copies; if all show it, 5 young"
        in row.next_step
    )


def test_next_step__a_look_is_tested_though_its_locus_is_another_than_in_the_book():
    """Ash and Oak give normal young thrice, so are no alleles: K, written as Ash, is odd at a locus that the book hasn't got."""
    proved = [(n, s, look, None, None, Basis.PROVED) for n, s, look in (("D", "F", "Ash"), ("S", "M", "Oak"))]
    more = [(n, s, look, None, None, Basis.PROVED) for n, s, look in (("E", "F", "Ash"), ("T", "M", "Oak"))]
    told = book(
        [*proved, *more, ("K", "M", "Ash", "S", "D")], [("P", "D", "S"), ("Q", "E", "T"), ("R", "D", "T")],
        [(p, "normal", 12, {"sex": "M"}) for p in "PQR"] + [("P", "Ash", 1, {"animal": "K"})],
        catalogue=_oak_and_ash(None, None), settings=Settings(),
    )  # fmt: skip
    rows = suspicion_findings(told).suspicions.set_index("kind")
    assert (rows.subject["reading"], rows.gene["reading"]) == ("K", "Ash")
    assert rows.evidence["reading"] == "K is one of 13 young: 12 Normal, 1 Ash."
    assert "Pair K with E (Ash)" in rows.next_step["reading"]


def test_next_step__a_sex_linked_recessive_shows_in_half_the_sons_of_a_carrier():
    """Of X-linked recessives half of a carrier's sons are affected whoever the father is (textbook, from memory)."""
    animals = [("D", "F", "het Fog", None, None), ("S", "M", "normal", None, None, Basis.PROVED)]
    young = [("P", "normal", 8, {"sex": sex}) for sex in "FM"]
    (row,) = _told(animals, young, FOG)
    assert (row.kind, row.subject) == ("label", "D")
    told = "Pair D with S (Normal): if none of the sons shows Fog, 5 sons make it 95 % sure, 7 make it 99 % that it carries none."
    assert row.next_step == told


@pytest.mark.parametrize(
    ("genes", "pair", "odd"),
    [
        ("dominant dominant", "D (Elm Fir) with S (Normal) again", "both or neither of Elm and Fir tells that they are two loci; if there is none, 5 young"),
        ("dominant recessive", "D (Elm, het Fir) with S (Fir) again", "neither of Elm and Fir tells that they are two loci; if there is none, 11 young"),
    ],
)  # fmt: skip
def test_next_step__alleles_that_show_in_one_copy_are_told_by_both_or_neither(genes, pair, odd):
    """Of one copy of each, on two loci, a quarter of the young has both and a quarter neither (Mendel's gametes, 1:1:1:1); of
    two alleles each young has just one. With a recessive mate a compound of two alleles may look like both."""
    elm, fir = (Gene(n, Inheritance(own), n) for n, own in zip(("Elm", "Fir"), genes.split(), strict=True))
    both, mate = ("Elm Fir", "normal") if fir.inheritance == "dominant" else ("Elm, het Fir", "Fir")
    animals = [(n, s, look, None, None, Basis.PROVED) for n, s, look in (("D", "F", both), ("S", "M", mate))]
    young = [("P", look, 12, {"sex": sex}) for look, sex in (("Elm", "M"), ("Fir", "F"))]
    row = next(r for r in _told(animals, young, Catalogue("Boa", (elm, fir))) if r.kind == "gene record")
    assert row.likelier == "Elm and Fir are alleles of one locus"
    assert f"air {pair}: a young with {odd}" in row.next_step


def test_next_step__mends_a_gene_record_that_is_all_but_sure():
    """One in eighteen parts the two: linked, past doubt. Of the pair that told half the young are told apart by each gamete."""
    genes = Catalogue("Boa", tuple(Gene(n, Inheritance.RECESSIVE, n) for n in ("Elm", "Fir")))
    animals = [
        (n, s, look, None, None, Basis.PROVED)
        for n, s, look in (("D", "F", "double het Elm Fir"), ("S", "M", "Elm Fir"))
    ]
    (row,) = _told(
        animals, [("P", "normal", 17), ("P", "Elm Fir", 17), ("P", "Elm", 1), ("P", "Fir", 1)], genes
    )
    assert row.next_step.startswith("Mend the sheet Genes: Elm and Fir are linked (they part in about ")
    assert "To see for yourself: pair D (Normal, het Elm Fir) with S (Elm Fir) again: about" in row.next_step


@pytest.mark.parametrize(("dam", "young"), [("het Ash", "11 young"), ("Ash", "5 young")])
def test_next_step__an_odd_young_seen_again_asks_whether_its_parents_give_that_look(dam, young):
    """Of a carrier a quarter of the young by another show it, half by a visual (textbook)."""
    animals = [("D", "F", dam, None, None, Basis.PROVED), ("S", "M", "not Ash", None, None, Basis.PROVED)]
    (row,) = _told(animals, [("P", "normal", 19), ("P", "Ash", 1, {"sex": "M"})])
    assert row.kind == "reading"
    assert (
        f"pair D with S again: a second that shows Ash tells that they give it; if none does, {young}"
        in row.next_step
    )


def test_next_step__a_litter_that_may_be_of_two_males_is_to_be_parted_first():
    """A visual by a male without the gene and a visual one, both recorded: half and half, which neither alone gives."""
    animals = [
        ("D", "F", "Ash", None, None, Basis.PROVED), ("S", "M", "not Ash", None, None, Basis.PROVED),
        ("T", "M", "Ash", None, None, Basis.PROVED),
    ]  # fmt: skip
    young = [("P", "normal", 8, {"sex": "M"}), ("P", "Ash", 7, {"sex": "M"})]
    first = "P names 2 males, and is weighed as of one of them: if its young may be of several, have their parentage tested first."
    for males, said in ((["S", "T"], True), (["S"], False)):
        told = book(animals, [("P", "D", *males)], young, settings=Settings())
        (row,) = suspicion_findings(told).suspicions.itertuples()
        assert row.next_step.startswith(first) is said


def test_next_step__linkage_is_told_by_a_parent_in_whom_the_genes_can_part():
    """A visual of both by a plain mate gives plain young whatever is so; their son by a visual parts the genes."""
    genes = Catalogue("Boa", tuple(Gene(n, Inheritance.RECESSIVE, n) for n in ("Elm", "Fir")))
    animals = [
        ("A", "F", "Elm Fir", None, None, Basis.PROVED), ("B", "M", "normal", None, None, Basis.PROVED),
        ("C", "F", "Elm Fir", None, None, Basis.PROVED), ("S", "M", "double het Elm Fir", "B", "A"),
    ]  # fmt: skip
    young = [("P", "normal", 12), ("Q", "normal", 17), ("Q", "Elm Fir", 17), ("Q", "Elm", 1)]
    told = book(animals, [("P", "A", "B"), ("Q", "C", "S")], young, catalogue=genes, settings=Settings())
    (row,) = suspicion_findings(told).suspicions.itertuples()
    assert "pair C (Elm Fir) with S (Normal, het Elm Fir) again: about" in row.next_step


def _told(animals, young, catalogue=ASH):
    """The suspicions above even odds of one pairing of D and S."""
    told = book(animals, [("P", "D", "S")], young, catalogue=catalogue, settings=Settings())
    found = suspicion_findings(told).suspicions
    return list(found[found.probability > 0.5].itertuples())
