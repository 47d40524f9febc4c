"""Collections that share animals as one collection, as if their keepers had kept one book."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, TypeVar

from pipeline.genetics.collection import Animal, Basis, Collection, Pairing, Settings, Young
from pipeline.genetics.genes import Sex
from pipeline.genetics.joined.catalogues import Translation, joined_catalogues
from pipeline.genetics.joined.same_genes import GeneKeys
from pipeline.genetics.pedigree import parents_first

_RATES = (
    "background_carrier", "misread", "wrong_sire", "wrong_label_proved", "wrong_label_bred_here", "wrong_label_seller",
    "wrong_gene_record",
)  # fmt: skip
_SURER = (Basis.SELLER, Basis.BRED_HERE, Basis.PROVED)


class BookRow(int):
    """The number of a row, which knows its book."""

    book: str

    def __new__(cls, row: int, book: str) -> "BookRow":
        """Row 0 (none) stays a row of the book."""
        own = super().__new__(cls, row)
        own.book = book
        return own


def book_of(row: int) -> str:
    """The book of a row; '' where the row does not know."""
    return row.book if isinstance(row, BookRow) else ""


@dataclass(frozen=True)
class Joined:
    """The whole, and what it calls each book's animals and pairings (`names[book][ID]`), species and genes."""

    collection: Collection
    books: Mapping[str, Collection]
    animals: Mapping[str, Mapping[str, str]]
    pairings: Mapping[str, Mapping[str, str]]
    words: Mapping[str, Translation]
    twice: tuple[tuple[Pairing, Pairing], ...] = ()
    """Pairings that two books record: the one that counts, and the one left out with its young."""

    @cached_property
    def pairings_of(self) -> Mapping[str, list[Pairing]]:
        """The pairings of the whole, by the book that records them."""
        return _by_book(self.collection.pairings.values())

    @cached_property
    def young_of(self) -> Mapping[str, list[Young]]:
        """The young of the whole, by the book that records them."""
        return _by_book(self.collection.young)


_Record = TypeVar("_Record", Pairing, Young)


def _by_book(records: Iterable[_Record]) -> dict[str, list[_Record]]:
    found: dict[str, list[_Record]] = {}
    for record in records:
        found.setdefault(book_of(record.row), []).append(record)
    return found


def join(collections: Sequence[Collection], shared: Iterable[Mapping[str, str]]) -> Joined:
    """The collections as one. `shared` are animals that several books have: their IDs by book.

    Their records must agree (see workbook/pooling). Of a shared animal the label with the surer basis counts, of two
    alike that of the book whose name comes first; all else is whatever any book says. A pairing that two books record
    counts once. Of the settings the higher error rates hold, and the lower bar for a suspicion.
    """
    own = {one.book: one for one in sorted(collections, key=lambda one: one.book)}
    groups = list(shared)
    animals = _animal_names(own, groups)
    pairings = {
        book: {pairing: f"{pairing} ({book})" for pairing in one.pairings} for book, one in own.items()
    }
    keys = GeneKeys({s: c.genes for s, c in one.catalogues.items()} for one in own.values())
    catalogues, words = joined_catalogues(own, keys)
    renamed = {book: _renamed(one, animals[book], pairings[book], words[book]) for book, one in own.items()}
    twice = _twice(renamed)
    out = {left.id for _, left in twice}
    whole = Collection(
        " + ".join(own),
        catalogues,
        _merged(renamed, groups, animals),
        {name: own for one in renamed.values() for name, own in one.pairings.items() if name not in out},
        tuple(young for one in renamed.values() for young in one.young if young.pairing not in out),
        _settings([one.settings for one in own.values()]),
        _months(renamed.values()),
    )
    return Joined(whole, own, animals, pairings, words, twice)


def _animal_names(
    own: Mapping[str, Collection], groups: Iterable[Mapping[str, str]]
) -> dict[str, dict[str, str]]:
    names = {book: {animal: f"{animal} ({book})" for animal in one.animals} for book, one in own.items()}
    taken: set[str] = set()
    for group in groups:
        first = min(group)
        alike = len({animal.casefold() for animal in group.values()}) == 1 and group[first] not in taken
        name = group[first] if alike else f"{group[first]} ({first})"
        taken.add(name)
        for book, animal in group.items():
            names[book][animal] = name
    return names


def _renamed(
    one: Collection, animals: Mapping[str, str], pairings: Mapping[str, str], words: Translation
) -> Collection:
    """One book in the names of the whole; its rows know the book."""
    return replace(
        one,
        animals={animals[own.id]: _animal(own, one.book, animals, words) for own in one.animals.values()},
        pairings={
            pairings[own.id]: _pairing(own, one.book, animals, pairings, words)
            for own in one.pairings.values()
        },
        young=tuple(_young(own, one, animals, pairings, words) for own in one.young),
        breeding_months={(words.species[s], sex): months for (s, sex), months in one.breeding_months.items()},
    )


def _animal(own: Animal, book: str, names: Mapping[str, str], words: Translation) -> Animal:
    return replace(
        own,
        id=names[own.id],
        species=words.species[own.species],
        label=words.statement(own.species, own.label),
        sire=names.get(own.sire or ""),
        dam=names.get(own.dam or ""),
        row=BookRow(own.row, book),
    )


def _pairing(
    own: Pairing, book: str, animals: Mapping[str, str], pairings: Mapping[str, str], words: Translation
) -> Pairing:
    return replace(
        own,
        id=pairings[own.id],
        species=words.species[own.species],
        dam=animals[own.dam],
        sire=animals[own.sire],
        other_sires=tuple(animals[sire] for sire in own.other_sires),
        row=BookRow(own.row, book),
    )


def _young(
    own: Young, one: Collection, animals: Mapping[str, str], pairings: Mapping[str, str], words: Translation
) -> Young:
    species = one.pairings[own.pairing].species
    return replace(
        own,
        pairing=pairings[own.pairing],
        label=words.statement(species, own.label),
        animal=animals.get(own.animal or ""),
        unreadable=frozenset(words.gene(species, gene) for gene in own.unreadable),
        row=BookRow(own.row, one.book),
    )


def _merged(
    renamed: Mapping[str, Collection],
    groups: Iterable[Mapping[str, str]],
    names: Mapping[str, Mapping[str, str]],
) -> dict[str, Animal]:
    """Every animal once, parents first."""
    animals = {name: animal for one in renamed.values() for name, animal in one.animals.items()}
    for group in groups:
        name = names[min(group)][group[min(group)]]
        animals[name] = _one([renamed[book].animals[name] for book in sorted(group)])
    order = parents_first({animal.id: (animal.sire, animal.dam) for animal in animals.values()})
    return {name: animals[name] for name in order}


def _one(records: Sequence[Animal]) -> Animal:
    """One animal of several books' records: the surest label, and of all else the first that is given."""
    surest = max(records, key=lambda own: (own.label is not None, _SURER.index(own.basis)))
    given: dict[str, Any] = {
        field: next((value for own in (surest, *records) if (value := getattr(own, field))), None)
        for field in ("sex", "born", "born_year", "sire", "dam", "name")
    }
    if any(own.status == "keeping" for own in records):
        given["status"] = "keeping"
    return replace(surest, **{**given, "name": given["name"] or ""})


def _twice(renamed: Mapping[str, Collection]) -> tuple[tuple[Pairing, Pairing], ...]:
    """Pairings of one dam, sire and season in two books, which would count their young twice; the fuller one counts."""
    young: dict[str, int] = {}
    same: dict[tuple[str, str, int], dict[str, Pairing]] = {}
    for book, one in renamed.items():
        for hatched in one.young:
            young[hatched.pairing] = young.get(hatched.pairing, 0) + hatched.count
        for pairing in one.pairings.values():
            key = (pairing.dam, pairing.sire, pairing.season)
            fuller = same.setdefault(key, {}).get(book)
            if fuller is None or young.get(pairing.id, 0) > young.get(fuller.id, 0):
                same[key][book] = pairing
    found = []
    for books in same.values():
        best, *others = sorted(books.values(), key=lambda own: -young.get(own.id, 0))
        found += [(best, other) for other in others]
    return tuple(found)


def _settings(own: Sequence[Settings]) -> Settings:
    rates: dict[str, Any] = {rate: max(getattr(one, rate) for one in own) for rate in _RATES}
    return replace(own[0], **rates, report_suspicion_from=min(one.report_suspicion_from for one in own))


def _months(renamed: Iterable[Collection]) -> dict[tuple[str, Sex], float]:
    found: dict[tuple[str, Sex], float] = {}
    for one in renamed:
        for key, months in one.breeding_months.items():
            found.setdefault(key, months)
    return found


def rates_of(settings: Settings) -> dict[str, Any]:
    """The settings that inference rests on, by name: in a pool those of the whole hold."""
    return {rate: getattr(settings, rate) for rate in _RATES}
