"""Inbreeding and kinship against published pedigrees and the tabular method."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.genetics.pedigree import (
    Parents,
    Pedigree,
    PedigreeLoop,
    common_ancestors,
    generations_known,
    inbreeding,
    kinship,
    loops,
    parents_first,
)

# Wright 1922, Am. Nat. 56:330-338, as worked in Lynch & Walsh, Genetics and Analysis of Quantitative Traits, ch. 7 ex. 1.
SHORTHORNS: Parents = {
    "Champion": ("Lancaster Comet", "Virtue"),
    "Duchess Gloster 9": ("Lord Raglan", "Duchess Gloster 6"),
    "Mistletoe": ("Lord Raglan", "Maidstone"),
    "Czar": ("Lord Raglan", "Corianda"),
    "Carmine": ("Czar", "Cressida"),
    "Grand Duke": ("Champion", "Duchess Gloster 9"),
    "Mimulus": ("Champion", "Mistletoe"),
    "Royal Duke": ("Grand Duke", "Mimulus"),
    "Princess Royal": ("Champion", "Carmine"),
    "Roan Gauntlet": ("Royal Duke", "Princess Royal"),
}
# Mrode, Linear Models for the Prediction of Animal Breeding Values, 3rd ed., Table 2.1; A recomputed from it.
MRODE: Parents = {"3": ("1", "2"), "4": ("1", None), "5": ("4", "3"), "6": ("5", "2")}
MRODE_A = [
    [1, 0, 0.5, 0.5, 0.5, 0.25],
    [0, 1, 0.5, 0, 0.25, 0.625],
    [0.5, 0.5, 1, 0.25, 0.625, 0.5625],
    [0.5, 0, 0.25, 1, 0.625, 0.3125],
    [0.5, 0.25, 0.625, 0.625, 1.125, 0.6875],
    [0.25, 0.625, 0.5625, 0.3125, 0.6875, 1.125],
]
SIBS: Parents = {"a": ("s", "d"), "b": ("s", "d"), "half": ("s", "e"), "u": ("p", "q"), "v": ("p", "q")}


def test_inbreeding__wright_1922_roan_gauntlet() -> None:
    f = inbreeding(SHORTHORNS)
    assert f["Roan Gauntlet"] == 0.140625 == 2 * 0.5**4 + 2 * 0.5**7
    assert f["Royal Duke"] == 0.15625
    assert f["Princess Royal"] == 0


def test_kinship__lynch_and_walsh_chapter_7_example_2() -> None:
    pairs = [("Grand Duke", "Carmine"), ("Mimulus", "Carmine"), ("Grand Duke", "Champion")]
    assert list(kinship(SHORTHORNS, pairs).values()) == pytest.approx([0.5**5, 0.5**5, 0.25], abs=1e-15)


def test_common_ancestors__wright_1922_paths() -> None:
    parts = common_ancestors(SHORTHORNS, "Royal Duke", "Princess Royal")
    assert parts == {"Champion": 2 * 0.5**4, "Lord Raglan": 2 * 0.5**7}


def test_kinship__mrode_table_2_1() -> None:
    ids = "123456"
    found = kinship(MRODE, [(one, other) for one in ids for other in ids])
    a = 2 * np.array(list(found.values())).reshape(6, 6)
    assert a == pytest.approx(np.array(MRODE_A), abs=1e-15)


@pytest.mark.parametrize(
    ("sire", "dam", "expected"),
    [  # textbook values, source from memory: Falconer & Mackay, Introduction to Quantitative Genetics, ch. 5
        ("a", "b", 0.25),  # full sibs
        ("s", "a", 0.25),  # parent and young
        ("a", "half", 0.125),  # half sibs
        ("b", "niece", 0.125),  # uncle and niece
        ("s", "niece", 0.125),  # grandparent and grandchild
        ("cousin 1", "cousin 2", 0.0625),  # first cousins
        ("double 1", "double 2", 0.125),  # double first cousins
        ("second 1", "second 2", 0.015625),  # second cousins
    ],
)
def test_inbreeding__textbook_matings(sire: str, dam: str, expected: float) -> None:
    family = SIBS | {
        "niece": ("a", "n"), "cousin 1": ("a", "x"), "cousin 2": ("b", "y"), "double 1": ("a", "u"), "double 2": ("b", "v"),
        "second 1": ("cousin 1", "z"), "second 2": ("cousin 2", "w"),
    }  # fmt: skip
    assert inbreeding(family | {"young": (sire, dam)})["young"] == expected
    assert kinship(family, [(sire, dam)])[sire, dam] == pytest.approx(expected, abs=1e-15)


def test_inbreeding__full_sib_mating_for_ten_generations() -> None:
    parents: dict = {}
    for t in range(1, 11):
        parents |= {f"{sex}{t}": (f"m{t - 1}", f"f{t - 1}") for sex in "mf"}
    f = inbreeding(parents)
    # F(t) = (1 + 2F(t-1) + F(t-2)) / 4, textbook recurrence (from memory: Falconer & Mackay ch. 5)
    expected = [0, 0, 0.25, 0.375, 0.5, 0.59375, 0.671875, 0.734375, 0.78515625, 0.826171875, 0.859375]
    assert [f[f"m{t}"] for t in range(11)] == expected


def test_inbreeding__backcrosses_to_one_parent() -> None:
    parents: dict = {"y0": ("old", "mate")} | {f"y{t}": ("old", f"y{t - 1}") for t in range(1, 7)}
    f = inbreeding(parents)
    assert [f[f"y{t}"] for t in range(7)] == [0, 0.25, 0.375, 0.4375, 0.46875, 0.484375, 0.4921875]


def test_inbreeding__a_female_without_a_mate_is_her_young_s_only_parent() -> None:
    assert inbreeding({"young": ("dam", "dam")})["young"] == 0.5


@st.composite
def pedigrees(draw: st.DrawFn) -> dict[str, tuple[str | None, str | None]]:
    """Up to 25 animals, each with parents among the earlier ones, unknown, or recorded only as a parent."""
    animals: dict[str, tuple[str | None, str | None]] = {}
    for number in range(draw(st.integers(1, 25))):
        pool = st.sampled_from([None, "outside", *animals])
        animals[f"a{number:02d}"] = draw(pool), draw(pool)
    return animals


def tabular(parents: Parents) -> tuple[list[str], np.ndarray]:
    """Kinship of all pairs by the tabular method (Emik & Terrill 1949, from memory): slow and plain."""
    ids = ["outside", *parents]
    k = np.zeros((len(ids), len(ids)))
    for i, animal in enumerate(ids):
        own = [ids.index(parent) for parent in parents.get(animal, (None, None)) if parent is not None]
        for j in range(i):
            k[i, j] = k[j, i] = sum(k[parent, j] for parent in own) / 2
        k[i, i] = (1 + (k[own[0], own[1]] if len(own) == 2 else 0)) / 2
    return ids, k


@given(pedigrees(), st.randoms(use_true_random=False))
@settings(max_examples=150, deadline=None)
def test_kinship__equals_the_tabular_method_in_any_row_order(parents: dict, random) -> None:
    ids, expected = tabular(parents)
    rows = list(parents.items())
    random.shuffle(rows)
    pairs = [(one, other) for one in parents for other in parents]
    pedigree = Pedigree(dict(rows))
    found, f = pedigree.kinship(pairs), pedigree.inbreeding()
    for one, other in pairs:
        i, j = ids.index(one), ids.index(other)
        assert found[one, other] == pytest.approx(expected[i, j], abs=1e-12)
        assert sum(pedigree.common_ancestors(one, other).values()) == pytest.approx(expected[i, j], abs=1e-12)
        assert f[one] == pytest.approx(2 * expected[i, i] - 1, abs=1e-12)


@given(pedigrees(), st.randoms(use_true_random=False))
@settings(max_examples=100, deadline=None)
def test_parents_first__parents_before_young_in_one_order_whatever_the_rows(parents: dict, random) -> None:
    rows = list(parents.items())
    random.shuffle(rows)
    order = parents_first(dict(rows))
    place = {animal: index for index, animal in enumerate(order)}
    assert set(order) == set(parents)
    assert all(place[p] < place[a] for a, pair in parents.items() for p in pair if p in parents)
    assert order == parents_first(parents)


def test_parents_first__names_the_loop() -> None:
    with pytest.raises(PedigreeLoop, match="A12 is its own ancestor: A12 → B3 → A12"):
        parents_first({"A12": ("B3", None), "B3": (None, "A12"), "C1": ("A12", "B3")})


def test_loops__each_loop_once_and_nothing_else() -> None:
    tangled: Parents = {
        "self": ("self", None), "b": ("c", None), "c": (None, "a"), "a": ("b", "d"), "d": ("a", None),
        "young": ("a", "b"), "bridge": ("self", "a"), "fine": (None, "outside"),
    }  # fmt: skip
    assert loops(tangled) == [("a", "b", "c"), ("a", "d"), ("self",)]
    assert loops(SHORTHORNS) == []


@given(st.dictionaries(st.sampled_from("abcdefgh"), st.tuples(*[st.sampled_from([None, *"abcdefgh"])] * 2)))
@settings(max_examples=200, deadline=None)
def test_loops__an_animal_is_on_one_where_it_is_its_own_ancestor(parents: dict) -> None:
    def ancestors(animal: str) -> set[str]:
        found: set[str] = set()
        queue = [animal]
        while queue:
            new = {p for p in parents.get(queue.pop(), ()) if p in parents} - found
            found |= new
            queue += new
        return found

    looped = loops(parents)
    assert {animal for loop in looped for animal in loop} == {a for a in parents if a in ancestors(a)}
    assert all(loop[(i + 1) % len(loop)] in parents[loop[i]] for loop in looped for i in range(len(loop)))


def test_generations_known__sums_known_ancestors() -> None:
    known = generations_known(SHORTHORNS)
    assert [known[a] for a in ("Virtue", "Champion", "Grand Duke", "Carmine")] == [0, 1, 2, 1.5]
    assert generations_known({"half": ("sire", None)})["half"] == 0.5


@pytest.mark.benchmark
def test_inbreeding__ten_thousand_animals_in_families_within_a_fifth_of_a_second() -> None:
    import time
    from random import Random

    random, parents, breeders = Random(1), {}, [f"founder {i}" for i in range(60)]
    for generation in range(10):
        couples = [(random.choice(breeders), random.choice(breeders)) for _ in range(50)]
        young = {f"{generation}.{i}": couples[i // 20] for i in range(1000)}
        parents |= young
        breeders = random.sample(list(young), 60)
    start = time.perf_counter()
    inbreeding(parents)
    assert time.perf_counter() - start < 0.2


def test_kinship__strangers_are_no_kin() -> None:
    assert kinship(SIBS, [("a", "nobody"), ("nobody", "nobody")]) == {
        ("a", "nobody"): 0.0,
        ("nobody", "nobody"): 0.5,
    }
