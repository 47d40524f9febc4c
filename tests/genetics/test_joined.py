"""Collections that share animals, joined: what is worked out of the whole is that of the book they were cut from."""

from dataclasses import replace
from datetime import date

import pytest

from pipeline.genetics.carriers.odds import carriers
from pipeline.genetics.collection import Basis, Collection, Settings
from pipeline.genetics.joined import book_of, join
from pipeline.genetics.joined.view import View
from pipeline.workbook.checking import checked
from pipeline.workbook.reading import read_book
from pipeline.workbook.template import write_book
from tests.simulate.colony import AS_OF, colony


@pytest.fixture(scope="module")
def whole(tmp_path_factory) -> Collection:
    path = tmp_path_factory.mktemp("whole") / "whole.xlsx"
    write_book(path, colony(animals=36, hatch_rows=60, weights=0, prices=0, seed=5))
    return checked(read_book(path), AS_OF).collection


def cut(whole: Collection, book: str, seasons: set[int]) -> Collection:
    """The pairings of those seasons with their young, and every animal that they name, its parents left out if not named."""
    pairings = {name: pairing for name, pairing in whole.pairings.items() if pairing.season in seasons}
    young = tuple(one for one in whole.young if one.pairing in pairings)
    named = {
        one for pairing in pairings.values() for one in (pairing.dam, pairing.sire, *pairing.other_sires)
    }
    named |= {one.animal for one in young if one.animal}
    animals = {
        name: replace(
            animal,
            sire=animal.sire if animal.sire in named else None,
            dam=animal.dam if animal.dam in named else None,
        )
        for name, animal in whole.animals.items()
        if name in named
    }
    return replace(whole, book=book, animals=animals, pairings=pairings, young=young)


@pytest.fixture(scope="module")
def parts(whole) -> list[Collection]:
    seasons = sorted({pairing.season for pairing in whole.pairings.values()})
    middle = len(seasons) // 2
    return [cut(whole, "old.xlsx", set(seasons[:middle])), cut(whole, "new.xlsx", set(seasons[middle:]))]


def shared_of(parts: list[Collection]) -> list[dict[str, str]]:
    both = set(parts[0].animals) & set(parts[1].animals)
    return [{part.book: name for part in parts} for name in sorted(both)]


def test_join__odds_are_those_of_the_book_that_was_cut(whole, parts):
    """Animals of neither part have no pairing and no kin, so they say nothing but as possible sires; they go to one part."""
    old, new = parts
    rest = {name: a for name, a in whole.animals.items() if name not in {**old.animals, **new.animals}}
    new = replace(new, animals={**new.animals, **rest})
    shared = shared_of([old, new])
    assert len(shared) > 3
    joined = join([old, new], shared)
    names = {own: name for book in joined.animals.values() for own, name in book.items()}
    found = {(odds.animal, odds.gene): odds for odds in carriers(joined.collection).odds}
    for odds in carriers(whole).odds:
        same = found[names[odds.animal], odds.gene]
        assert (same.p_none, same.p_one, same.p_two) == pytest.approx(
            (odds.p_none, odds.p_one, odds.p_two), abs=1e-9
        )


def test_join__does_not_depend_on_the_order_of_the_books(parts):
    shared = shared_of(parts)
    assert join(parts, shared) == join(parts[::-1], shared[::-1])


def test_join__calls_an_animal_by_its_book_unless_it_is_shared(parts):
    joined = join(parts, shared_of(parts)[:1])
    (first,) = shared_of(parts)[:1]
    assert joined.animals["old.xlsx"][first["old.xlsx"]] == first["old.xlsx"]
    other = next(name for name in parts[1].animals if name != first["new.xlsx"])
    assert joined.animals["new.xlsx"][other] == f"{other} (new.xlsx)"


def test_join__the_higher_error_rates_and_the_lower_bar_hold(parts):
    strict = replace(parts[0], settings=Settings(misread=0.002, wrong_sire=0.05, report_suspicion_from=0.8))
    settings = join([strict, parts[1]], []).collection.settings
    assert (settings.misread, settings.wrong_sire, settings.report_suspicion_from) == (0.01, 0.05, 0.5)


def test_join__a_shared_animal_has_the_surer_label_and_whatever_any_book_knows(parts):
    (shared, *_) = shared_of(parts)
    name = shared["old.xlsx"]
    old, new = (replace(part, animals=dict(part.animals)) for part in parts)
    old.animals[name] = replace(old.animals[name], basis=Basis.SELLER, born=date(2017, 5, 4), sire=None)
    new.animals[name] = replace(new.animals[name], basis=Basis.PROVED, born=None, born_year=None)
    animal = join([old, new], [shared]).collection.animals[name]
    assert (animal.label, animal.basis, animal.born) == (
        new.animals[name].label,
        Basis.PROVED,
        date(2017, 5, 4),
    )
    assert book_of(animal.row) == "new.xlsx" and book_of(7) == ""


def test_view__speaks_the_book_s_own_words(parts):
    (shared, *_) = shared_of(parts)
    renamed = {"old.xlsx": shared["old.xlsx"], "new.xlsx": "N-9"}
    own = parts[1]
    animals = {("N-9" if n == shared["new.xlsx"] else n): a for n, a in own.animals.items()}
    animals["N-9"] = replace(animals["N-9"], id="N-9")
    swap = {shared["new.xlsx"]: "N-9"}
    animals = {
        n: replace(a, sire=swap.get(a.sire, a.sire), dam=swap.get(a.dam, a.dam)) for n, a in animals.items()
    }
    pairings = {
        n: replace(p, dam=swap.get(p.dam, p.dam), sire=swap.get(p.sire, p.sire), other_sires=())
        for n, p in own.pairings.items()
    }
    young = tuple(replace(y, animal=swap.get(y.animal, y.animal)) for y in own.young)
    own = replace(own, animals=animals, pairings=pairings, young=young)
    joined = join([parts[0], own], [renamed])
    view = View(joined, "old.xlsx")
    assert view.text("N-9 (new.xlsx) and A2 (old.xlsx), not XN-9 (new.xlsx) or A3 (new.xlsx)") == (
        f"{shared['old.xlsx']} and A2, not XN-9 (new.xlsx) or A3 (new.xlsx)"
    )
    assert {book_of(pairing.row) for pairing in view.collection.pairings.values()} == {"old.xlsx"}
    assert view.collection.animals.keys() == view.animal_of.keys() < joined.collection.animals.keys()
