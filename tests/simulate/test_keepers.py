"""The generator of clubs."""

import subprocess
import sys
from datetime import date
from random import Random

from pipeline.workbook.checking import checked
from pipeline.workbook.reading import read_book
from tests.simulate.colony import CATALOGUE, Colony, Errors
from tests.simulate.keepers import ANIMALS, SMALLEST, YOUNG, keeper, sizes, write_keepers


def test_sizes__add_up_and_spread():
    found = sizes(1000, seed=1)
    assert sum(found) == 1000 * ANIMALS and min(found) >= SMALLEST
    assert sizes(1, seed=7) == [ANIMALS]
    large = sorted(found)[-100:]
    assert 2 * 100 * ANIMALS < sum(large) < 4 * 100 * ANIMALS


def test_keeper__has_as_many_animals_and_young_as_asked():
    for animals in (SMALLEST, ANIMALS, 1400):
        book = keeper(animals, seed=1)
        assert len(book["Animals"]) == animals
        assert sum(row.get("Count", 1) for row in book["Hatch results"]) == animals * YOUNG // ANIMALS
        assert len({row["Season"] for row in book["Pairings"]}) > 5


def test_write_keepers__books_are_sound(tmp_path):
    for path in write_keepers(3, tmp_path, seed=5):
        result = checked(read_book(path), date(2025, 12, 31))
        assert not [p for p in result.problems if p.severity == "error"]
        assert result.collection.pairings and len(result.book.tables["goals"]) == 1


def test_write_keepers__the_same_seed_writes_the_same_bytes(tmp_path):
    one, two = ([p.read_bytes() for p in write_keepers(2, tmp_path / n, seed=3)] for n in "ab")
    assert one == two
    assert one != [p.read_bytes() for p in write_keepers(2, tmp_path / "c", seed=4)]


def test_main__says_what_it_wrote(tmp_path):
    command = [sys.executable, "-m", "tests.simulate", "--keepers", "2", "--out", str(tmp_path / "club")]
    said = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    assert said == f"2 books in {tmp_path / 'club'}\n"
    assert sorted(p.name for p in (tmp_path / "club").iterdir()) == ["keeper-0001.xlsx", "keeper-0002.xlsx"]


def test_colony__errs_as_often_as_it_is_told():
    """Young of two normals, every second gene misread: of 7 genes 3.5 show on average."""
    grown = Colony(Random(1), 1, CATALOGUE, Errors(reading=0.5, dead=0.5))
    dam, sire = (grown.founder(date(2010, 7, 1), "normal", sex, "proved") for sex in "FM")
    rows = grown.breed(dam, [sire], 2016, keep=0, size=2000)
    shown = sum(row["Count"] * len([g for g in CATALOGUE.genes if g.name in row["Genes"]]) for row in rows)
    dead = sum(row["Count"] for row in rows if row["Outcome"] == "stillborn")
    assert abs(shown / 2000 - 3.5) < 0.15 and abs(dead / 2000 - 0.5) < 0.05


def test_colony__labels_err_by_what_they_rest_on():
    grown = Colony(Random(1), 1, CATALOGUE, Errors(label={"seller": 0.2}))
    for _ in range(500):
        grown.founder(date(2010, 7, 1), "het Albino", "F", "seller")
        grown.founder(date(2010, 7, 1), "het Albino", "M", "proved")
    locus = [locus.name for locus in CATALOGUE.loci].index("Albino")
    lacking = [p.sex for p in grown.real.values() if ((0,), (0,)) in p.groups[locus]]
    assert abs(lacking.count("F") / 500 - 0.2) < 0.06 and "M" not in lacking


def test_colony__another_male_may_be_the_father():
    grown = Colony(Random(1), 1, CATALOGUE, Errors(sire=1.0))
    dam = grown.founder(date(2010, 7, 1), "Albino", "F", "proved")
    males = [grown.founder(date(2010, 7, 1), label, "M", "proved") for label in ("normal", "Albino")]
    litters = [grown.breed(dam, males, 2016, keep=0, size=10) for _ in range(40)]
    recorded = [row["Sire"] for row in grown.pairings]
    albino = ["Albino" in rows[0]["Genes"] for rows in litters]
    wrong = [shows != (sire == males[1]) for shows, sire in zip(albino, recorded, strict=True)]
    assert 10 < sum(wrong) < 30


def test_colony__a_gene_that_cannot_be_told_is_not_shown():
    grown = Colony(Random(1), 1, CATALOGUE, Errors(unreadable=1.0))
    dam, sire = (grown.founder(date(2010, 7, 1), "Albino Anery", sex, "proved") for sex in "FM")
    rows = [row for _ in range(30) for row in grown.breed(dam, [sire], 2016, keep=1, size=5)]
    assert {row["Unreadable"] for row in rows} == {gene.name for gene in CATALOGUE.genes}
    assert not [row for row in rows if row["Unreadable"] in row["Genes"].split()]
