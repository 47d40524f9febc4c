"""Inbreeding and kin pairs as tables: published pedigrees, regular systems of mating, and what is left out."""

import time
from random import Random

import pytest

from pipeline.findings.kin import CLOSEST, KinFindings, kin_findings
from pipeline.genetics.collection import Animal, Collection
from pipeline.genetics.genes import Catalogue
from tests.genetics.test_pedigree import MRODE, MRODE_A, SHORTHORNS

SNAKE = "Corn snake"
GENES = {SNAKE: Catalogue(SNAKE, ())}


def kin_of(parents, *, sex=lambda animal: None, status=lambda animal: "keeping") -> KinFindings:
    """Findings of a pedigree; founders get rows of their own."""
    named = {parent for pair in parents.values() for parent in pair if parent}
    rows = dict.fromkeys(sorted(named - set(parents)), (None, None)) | parents
    animals = {
        id: Animal(id, SNAKE, sex=sex(id), sire=sire, dam=dam, status=status(id))
        for id, (sire, dam) in rows.items()
    }
    return kin_findings(Collection("book.xlsx", GENES, animals, {}))


def by_animal(found: KinFindings):
    return found.inbreeding.set_index("animal")


def test_kin_findings__wright_1922_roan_gauntlet():
    """Wright 1922, Am. Nat. 56:330, as worked in Lynch & Walsh, ch. 7 ex. 1: F = 2(1/2)^4 + 2(1/2)^7 = 14.06 %."""
    row = by_animal(kin_of(SHORTHORNS)).loc["Roan Gauntlet"]
    assert row.f == 0.140625 and row.over_limit
    assert row.common_ancestors == "Champion 12.5 %, Lord Raglan 1.562 %"
    assert (row.dam, row.sire) == ("Princess Royal", "Royal Duke")


def test_kin_findings__full_sibs_for_ten_generations():
    """F(t) = (1 + 2 F(t-1) + F(t-2)) / 4, from memory: Falconer & Mackay, ch. 5."""
    parents = {f"{sex}{t}": (f"m{t - 1}", f"f{t - 1}") for t in range(1, 11) for sex in "mf"}
    found = by_animal(kin_of(parents))
    expected = [0, 0]
    for _ in range(9):
        expected.append((1 + 2 * expected[-1] + expected[-2]) / 4)
    assert [found.f[f"m{t}"] for t in range(11)] == expected
    assert found.generations_known["m3"] == 3


def test_kin_findings__pairs_are_mrode_s_relationships():
    """Mrode, Linear Models for the Prediction of Animal Breeding Values, 3rd ed., Table 2.1: F of the young is A / 2."""
    found = kin_of(MRODE, sex=lambda animal: "FM"[int(animal) % 2]).kinship
    told = {(row.dam, row.sire): row.f_young for row in found.itertuples()}
    expected = {
        (dam, sire): MRODE_A[int(dam) - 1][int(sire) - 1] / 2
        for dam in "246" for sire in "135" if MRODE_A[int(dam) - 1][int(sire) - 1]
    }  # fmt: skip
    assert told == pytest.approx(expected)


def test_kin_findings__a_pair_names_its_ancestors_and_the_limit():
    family = {"f": ("s", "d"), "m": ("s", "d"), "half": ("s", "e")}
    sexes = {"s": "M", "d": "F", "f": "F", "m": "M", "half": "M", "e": "F"}
    pairs = kin_of(family, sex=sexes.get).kinship.set_index(["dam", "sire"])
    assert pairs.common_ancestors["f", "m"] == "d 12.5 %, s 12.5 %" and pairs.over_limit["f", "m"]
    assert pairs.common_ancestors["f", "half"] == "s 12.5 %" and not pairs.over_limit["f", "half"]
    assert ("e", "m") not in pairs.index and pairs.generations_known["e", "half"] == 0


@pytest.mark.parametrize("status", ["sold", "died", "for sale"])
def test_kin_findings__pairs_are_kept_animals_alone(status):
    family = {"f": ("s", "d"), "m": ("s", "d")}
    sexes = {"s": "M", "d": "F", "f": "F", "m": "M"}
    found = kin_of(family, sex=sexes.get, status=lambda id: status if id == "m" else "keeping")
    assert "m" not in set(found.kinship["sire"]) and "m" in set(found.inbreeding["animal"])


def test_kin_findings__each_pair_equals_its_own_question():
    """Sibs are asked about once for all; the answer must be each one's own."""
    from pipeline.genetics.pedigree import kinship

    parents = closed(Random(3), generations=4, size=40)
    found = kin_of(parents, sex=lambda id: "FM"[int(id.split(".")[1]) % 2] if "." in id else None).kinship
    pairs = list(zip(found["dam"], found["sire"], strict=True))
    told = dict(zip(pairs, found["f_young"], strict=True))
    assert len(told) == len(pairs) > 500
    assert told == pytest.approx(kinship(parents, pairs), abs=1e-12)
    assert list(found["f_young"]) == sorted(found["f_young"], reverse=True)


def closed(random: Random, generations: int, size: int):
    """A closed colony of few breeders: every generation's young come of some couples of the last."""
    breeders, parents = [f"founder {i}" for i in range(10)], {}
    for generation in range(generations):
        couples = [tuple(random.sample(breeders, 2)) for _ in range(8)]
        young = {f"{generation}.{i}": couples[i % 8] for i in range(size)}
        parents |= young
        breeders = random.sample(sorted(young), 10)
    return parents


def test_kin_findings__says_how_many_pairs_it_leaves_out():
    parents = {f"{n}": ("s", "d") for n in range(300)}
    found = kin_of(parents, sex=lambda id: "FM"[int(id) % 2] if id.isdigit() else None)
    assert len(found.kinship) == CLOSEST
    (note,) = found.problems
    assert (
        note.message
        == f"{150 * 150 - CLOSEST:,} more pairs of {SNAKE} are kin than the {CLOSEST:,} closest that are told."
    )


def test_kin_findings__the_order_of_rows_does_not_matter():
    parents = closed(Random(4), generations=3, size=30)
    rows = list(parents.items())
    Random(5).shuffle(rows)
    sex = {id: "FM"[i % 2] for i, id in enumerate(sorted(parents))}.get
    one, other = kin_of(parents, sex=sex).kinship, kin_of(dict(rows), sex=sex).kinship
    assert one.to_dict("records") == other.to_dict("records")


@pytest.mark.benchmark
def test_kin_findings__ten_thousand_animals_within_a_second():
    parents = closed(Random(1), generations=10, size=1000)
    start = time.perf_counter()
    found = kin_of(parents, sex=lambda id: "FM"[int(id.split(".")[1]) % 2] if "." in id else None)
    assert time.perf_counter() - start < 1 and len(found.inbreeding) > 10_000
