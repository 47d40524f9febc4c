"""Textbook risks (derived by exact fractions where no source is named), and what may honestly be written."""

from dataclasses import replace
from fractions import Fraction

import pytest

from pipeline.genetics.carriers.odds import carriers, trade_label
from pipeline.genetics.collection import Basis, Settings
from tests.genetics.carriers.books import CERTAIN, FOG, book

PARENTS = [("D", "F", "het Ash", None, None), ("S", "M", "het Ash", None, None)]
SISTER = ("X", "F", "normal", "S", "D")


def _carries(collection, animal):
    return next(o for o in carriers(collection).odds if o.animal == animal)


def test_carrier_odds__young_of_two_hets_two_thirds_of_het_and_normal_one_half():
    """Unaffected sib of an affected 2/3; Mendel's 2:1 among dominants (Mendel 1866) is the same ratio."""
    two = _carries(book([*PARENTS, SISTER]), "X")
    assert two.from_ancestors == pytest.approx(2 / 3)
    assert two.label == "66% het"
    one = _carries(book([("D", "F", "het Ash", None, None), ("S", "M", "normal", None, None), SISTER]), "X")
    assert (one.from_ancestors, one.label) == (pytest.approx(1 / 2), "50% het")


@pytest.mark.parametrize("n", range(7))
@pytest.mark.parametrize(
    ("partner", "prior", "risks"),
    [
        ("Ash", "2/3", "2/3 1/2 1/3 1/5 1/9 1/17 1/33"),
        (
            "Ash",
            "1/2",
            "1/2 1/3 1/5 1/9 1/17 1/33 1/65",
        ),  # 3 unaffected -> 1/9: a university genetics handout
        ("het Ash", "2/3", "2/3 3/5 9/17 27/59 81/209 243/755 729/2777"),
        ("het Ash", "1/2", "1/2 3/7 9/25 27/91 81/337 243/1267 729/4825"),
    ],
)
def test_carrier_odds__fall_with_every_unaffected_young(n, partner, prior, risks):
    sire = ("S", "M", "het Ash" if prior == "2/3" else "normal", None, None)
    animals = [PARENTS[0], sire, SISTER, ("T", "M", partner, None, None)]
    young = [("P", "normal", n)] if n else []
    found = _carries(book(animals, [("P", "X", "T")], young), "X")
    assert found.p_one == pytest.approx(float(Fraction(risks.split()[n])), abs=1e-12)
    assert found.young_scored == n
    assert found.from_ancestors == pytest.approx(float(Fraction(prior)))


def test_carrier_odds__both_parents_in_doubt():
    """Both 2/3, one unaffected child: each 5/8, the child 1/2."""
    animals = [*PARENTS, SISTER, ("Y", "M", "normal", "S", "D"), ("Z", "F", "normal", "Y", "X")]
    found = book(animals)
    assert _carries(found, "X").p_one == pytest.approx(5 / 8)
    assert _carries(found, "Z").p_one == pytest.approx(1 / 2)
    assert _carries(found, "X").from_ancestors == pytest.approx(2 / 3)


def test_carrier_odds__x_linked_carrier_with_two_unaffected_sons():
    """Prior 1/2, two unaffected sons: 1/5 (Encyclopaedia Britannica, 'Human genetic disease: Bayes's theorem')."""
    animals = [
        ("D", "F", "het Fog", None, None),
        ("S", "M", "normal", None, None),
        ("X", "F", "normal", "S", "D"),
        ("T", "M", "normal", None, None),
    ]
    sons = [("P", "normal", 2, {"sex": "M"})]
    found = _carries(book(animals, [("P", "X", "T")], sons, catalogue=FOG), "X")
    assert found.p_one == pytest.approx(1 / 5)


def test_carrier_odds__a_lethal_gene_on_the_sex_chromosome_shows_in_missing_sons():
    """Of a carrier's living young 2 in 3 are daughters (Morgan & Bridges 1916, p. 32): twelve and no son, 1/2 (4/3)^12."""
    fog = replace(FOG, genes=(replace(FOG.genes[0], lethal=True),))
    animals = [PARENTS[0], ("S", "M", "normal", None, None), ("X", "F", "normal", "S", "D")]
    animals = [(name, sex, label.replace("Ash", "Fog"), *rest) for name, sex, label, *rest in animals]
    young = [("P", None, 12, {"sex": "F"})]
    found = _carries(book(animals, [("P", "X", "S")], young, catalogue=fog), "X")
    assert found.p_one == pytest.approx((4 / 3) ** 12 / ((4 / 3) ** 12 + 1))
    kept = [*animals, *((f"K{i}", "F", "normal", "S", "X") for i in range(12))]
    assert _carries(book(kept, catalogue=fog), "X").p_one == pytest.approx(1 / 2)


def test_carrier_odds__two_hundred_young_do_not_underflow():
    """A visual sire: 100 of each prove the dam, 2,000 normals clear her."""
    animals = [("D", "F", "normal", None, None), ("S", "M", "Ash", None, None)]
    settings = Settings()
    found = _carries(
        book(animals, [("P", "D", "S")], [("P", "Ash", 100), ("P", "normal", 100)], settings=settings), "D"
    )
    assert found.p_one > 1 - 1e-6
    found = _carries(book(animals, [("P", "D", "S")], [("P", "normal", 2000)], settings=settings), "D")
    assert found.p_none > 0.999  # what is left: a wrong sire


def test_carrier_odds__evidence_beyond_floating_point_on_both_sides():
    """Het: 6,200 young at 1/2, ln P = -4297. None: 600 misread at 0.001, 5,600 not, ln P = -4150."""
    animals = [("D", "F", "normal", None, None), ("S", "M", "Ash", None, None), ("T", "M", "Ash", None, None)]
    young = [("P", "Ash", 600), ("P", "normal", 600), ("Q", "normal", 5000)]
    settings = replace(CERTAIN, background_carrier=0.01, misread=0.001)
    found = _carries(book(animals, [("P", "D", "S"), ("Q", "D", "T")], young, settings=settings), "D")
    assert found.p_none + found.p_one + found.p_two == pytest.approx(1)
    assert found.p_none > 1 - 1e-12


def test_carrier_odds__a_proved_het_with_recorded_parents_counts_another_basis_does_not():
    for basis, p in [(Basis.PROVED, 0.999), (Basis.BRED_HERE, 0.5)]:
        animals = [PARENTS[0], ("S", "M", "normal", None, None), ("X", "F", "het Ash", "S", "D", basis)]
        settings = replace(CERTAIN, wrong_label_proved=0.001)
        assert _carries(book(animals, settings=settings), "X").p_one == pytest.approx(p)


def test_carrier_odds__one_recorded_parent_draws_the_other_from_the_background():
    animals = [("D", "F", "Ash", None, None), ("X", "F", None, None, "D")]
    found = _carries(book(animals, settings=replace(CERTAIN, background_carrier=0.1)), "X")
    assert (found.p_one, found.p_two) == (pytest.approx(0.95), pytest.approx(0.05))


def test_carrier_odds__a_young_with_a_row_of_its_own_is_one_look_and_the_label_counts():
    animals = [*PARENTS, ("X", "F", "normal", None, None)]
    young = [("P", "Ash", 1, {"animal": "X"})]
    found = _carries(book(animals, [("P", "D", "S")], young), "X")
    assert (found.p_one, found.p_two) == (pytest.approx(2 / 3), 0)
    assert _carries(book(animals, [("P", "D", "S")], young), "D").young_scored == 1


def test_carriers__contradiction_names_the_records_that_clash_and_answers_the_rest():
    animals = [
        *PARENTS,
        ("V", "F", "Ash", "S", "D"),
        ("W", "M", "Ash", None, None),
        ("Q", "F", "normal", "W", "V"),
    ]
    far = [
        ("E", "F", "het Ash", None, None),
        ("F", "M", "normal", None, None),
        ("G", "F", "normal", "F", "E"),
    ]
    found = carriers(book([*animals, *far], [("P", "V", "W")], [("P", "normal", 3)]))
    assert {record for clash in found.clashes for record in clash.records} >= {
        ("animal", "W", 0),
        ("animal", "V", 0),
    }
    odds = {o.animal: o for o in found.odds}
    assert odds["G"].p_one == pytest.approx(1 / 2)
    assert odds["D"].p_none + odds["D"].p_one + odds["D"].p_two == pytest.approx(1)


@pytest.mark.parametrize(
    ("chance", "label"),
    [(0.99, "100% het"), (0.945, "100% het"), (2 / 3, "66% het"), (0.5, "50% het"), (0.4, "")],
)
def test_trade_label__steps(chance, label):
    assert trade_label(chance) == label


def test_carrier_odds__do_not_depend_on_the_order_of_rows():
    animals = [*PARENTS, SISTER, ("Y", "M", "normal", "S", "D"), ("Z", "F", "normal", "Y", "X")]
    rows = [("P", "normal", 3), ("P", "Ash", 1)]
    there = {
        o.animal: o.p_one for o in carriers(book(animals, [("P", "X", "Y")], rows, settings=Settings())).odds
    }
    back = book([animals[i] for i in (1, 0, 3, 2, 4)], [("P", "X", "Y")], rows[::-1], settings=Settings())
    for odds in carriers(back).odds:
        assert odds.p_one == pytest.approx(there[odds.animal], abs=1e-12)
