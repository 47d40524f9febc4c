"""One book's part of the whole: its own animals, pairings and names again."""

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import cached_property

from pipeline.genetics.collection import Animal, Collection
from pipeline.genetics.joined.joining import Joined, rates_of


class View:
    """What a book of the whole calls its things, and the whole as this book plans with it."""

    def __init__(self, joined: Joined, book: str) -> None:
        self.joined, self.book = joined, book
        self.own = joined.books[book]
        self._animals, self._words = joined.animals[book], joined.words[book]
        self.animal_of = {name: animal for animal, name in self._animals.items()}
        """This book's IDs, by the whole's names."""
        self.species_of = {name: species for species, name in self._words.species.items()}
        self._genes = {(self._words.species[s], name): gene for (s, gene), name in self._words.genes.items()}

    def animal(self, name: str) -> Animal:
        """The book's own record of an animal of the whole; KeyError where it has none (see `animal_of`)."""
        return self.own.animals[self.animal_of[name]]

    def gene(self, species: str, name: str) -> str:
        """The book's name of a gene of the whole; the whole's where the book has none."""
        return self._genes.get((species, name), name)

    def has_gene(self, species: str, name: str) -> bool:
        """Whether the book lists the gene."""
        return (species, name) in self._genes

    def species(self, own: str) -> str:
        """The whole's name of a species of the book."""
        return self._words.species.get(own, own)

    def name(self, own: str) -> str:
        """The whole's name of an animal of the book."""
        return self._animals.get(own, own)

    def text(self, said: str) -> str:
        """Words about the whole in the words of this book: other books' animals keep their book's name."""
        return self._named.sub(lambda found: self._back.get(found[0], ""), said)

    @cached_property
    def _back(self) -> Mapping[str, str]:
        """Shared animals that this book has under another ID."""
        plain = f" ({self.book})"
        return {name: own for own, name in self._animals.items() if name not in (own, own + plain)}

    @cached_property
    def _named(self) -> re.Pattern[str]:
        other = [rf"(?<![\w-]){re.escape(name)}" for name in sorted(self._back, key=len, reverse=True)]
        return re.compile("|".join([*other, re.escape(f" ({self.book})")]))

    @cached_property
    def collection(self) -> Collection:
        """The book's part of the whole, to plan with: its own animals, pairings and young, as the whole has them."""
        whole, own = self.joined.collection, self.own
        catalogues = {name: replace(c, morphs=self._morphs(name)) for name, c in whole.catalogues.items()}
        return replace(
            whole,
            book=self.book,
            catalogues=catalogues,
            animals={name: self._as_here(whole.animals[name]) for name in self.animal_of},
            pairings={pairing.id: pairing for pairing in self.joined.pairings_of.get(self.book, ())},
            young=tuple(self.joined.young_of.get(self.book, ())),
            settings=replace(
                own.settings, **rates_of(whole.settings), never_pair=self._never(own.settings.never_pair)
            ),
        )

    def _as_here(self, animal: Animal) -> Animal:
        return replace(animal, status=self.animal(animal.id).status)

    def _morphs(self, species: str) -> Mapping[str, str]:
        own = self.own.catalogues.get(self.species_of.get(species, ""))
        return own.morphs if own else {}

    def _never(self, said: str) -> str:
        """The pairs that the keeper rules out, in the whole's names."""
        if not said:
            return said
        names = sorted(self._animals, key=len, reverse=True)
        ids = re.compile("|".join(rf"(?<![\w-]){re.escape(name)}(?![\w-])" for name in names), re.IGNORECASE)
        known = {name.casefold(): whole for name, whole in self._animals.items()}
        return ids.sub(lambda found: known[found[0].casefold()], said)
