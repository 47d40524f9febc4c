"""Rows of an animal list: the animals, what they weighed last, what they were sold for."""

import re
from collections import Counter
from collections.abc import Iterable

from pipeline.workbook.bringing.records import Gathered, OldRow, Values
from pipeline.workbook.bringing.wording import words_of
from pipeline.workbook.sheets import ANIMALS
from pipeline.workbook.words import choice

_IDENTIFYING = frozenset({"ID", "Name", "Genes", "Born", "Sire", "Dam"})
_COPIED_TO_SALE = ("Species", "Genes", "Sex")
_OF_OTHERS = r"by|as|to me|her|his|its|their|all|some|most|(?:\d+ )?(?:eggs?|young|babies|hatchlings?|neonates?|clutch|litter|offspring)"
"""What makes such a word one of a seller, a label or the animal's young: 'Sold 3 hatchlings in May'."""
_STATUS = re.compile(
    rf"(sold|died|dead|deceased|for sale|available|on loan|loaned)\b(?! (?:{_OF_OTHERS})\b)", re.IGNORECASE
)
_LOANED = {"loaned": "on loan"}


class Identities:
    """IDs of the list's animals: as they are, else made from the name or by number; names lead to IDs."""

    def __init__(self, rows: Iterable[OldRow]) -> None:
        parts = [row.part("Animals") for row in rows]
        self.ids = {words_of(part["ID"]) for part in parts if "ID" in part}
        self._names = Counter(words_of(part["Name"]) for part in parts if "Name" in part)
        self._by_name: dict[str, str] = {}
        self._last = 0

    def of(self, animal: Values, gathered: Gathered) -> str:
        """The animal's ID, made up where it has none: its name where no other has it, else 'A001' and so on."""
        name = words_of(animal.get("Name", ""))
        if "ID" in animal:
            own = words_of(animal["ID"])
        elif name and self._names[name] == 1 and name not in self.ids:
            own = name
            gathered.say("IDs made from the animal's name, since the list gave none")
        else:
            own = self._next()
            gathered.say(
                "IDs made up (A001, A002, …), since the list gave neither an ID nor a name of its own"
            )
        self.ids.add(own)
        if name and self._names[name] == 1:
            self._by_name[name.casefold()] = own
        return own

    def _next(self) -> str:
        while True:
            self._last += 1
            own = f"A{self._last:03}"
            if own not in self.ids and own not in self._names:
                return own

    def meant(self, words: object, gathered: Gathered) -> object:
        """The ID of the animal that a cell names; the cell itself where it is an ID, or nobody's name."""
        own = self._by_name.get(words_of(words).casefold())
        if own is None or own == words or words_of(words) in self.ids:
            return words
        gathered.say("animals referred to by name are now referred to by ID")
        return own


def add_animals(rows: Iterable[OldRow], identities: Identities, gathered: Gathered, species: str) -> None:
    """Put down every animal, with its weighings and its sale. Rows that identify no animal are left over."""
    for row in rows:
        animal = row.part("Animals")
        if not _IDENTIFYING & animal.keys():
            gathered.leave(row)
            continue
        animal["ID"] = identities.of(animal, gathered)
        if species and "Species" not in animal:
            animal["Species"] = species
            gathered.say(f"animals without a species are entered as {species}, as you asked")
        if "Status" not in animal and (status := _status(row)):
            animal["Status"] = status
            gathered.say("Status read from words such as 'sold to …' or 'died 2023', which stay in Notes")
        gathered.add("Animals", animal)
        extra = [*_weighings(row, animal, gathered), *_sale(row, animal, gathered)]
        gathered.note(row, animal, "Animals", extra)


def name_parents(animals: Iterable[Values], identities: Identities, gathered: Gathered) -> None:
    """Give parents that the list calls by name their IDs, now that all its animals are known."""
    for animal in animals:
        for parent in ("Sire", "Dam"):
            if parent in animal:
                animal[parent] = identities.meant(animal[parent], gathered)


def _status(row: OldRow) -> str | None:
    """What became of the animal, where its remark or a cell without a place of its own begins with a word for it."""
    told = [value for _, value in row.unplaced] + [row.part("Animals").get("Notes", "")]
    found = (_STATUS.match(words_of(value)) for value in told)
    words = next((match[0].casefold() for match in found if match), None)
    return choice(_LOANED.get(words, words), ANIMALS.column("status").choices) if words else None


def _weighings(row: OldRow, animal: Values, gathered: Gathered) -> list[tuple[str, object]]:
    """Put down the row's weighings; a day without a measure comes back."""
    extra = []
    for (sheet, given), part in row.parts.items():
        if sheet != "Weights":
            continue
        if {"Weight", "Length"} & part.keys():
            gathered.add("Weights", {"Animal": animal["ID"], **dict(given), **part})
        else:
            extra += [(f"Weights {column}", value) for column, value in part.items()]
    return extra


def _sale(row: OldRow, animal: Values, gathered: Gathered) -> list[tuple[str, object]]:
    """Put down what the animal was sold for; a day without a price comes back."""
    given = (("Kind", "sold"),)
    part = row.part("Prices", given)
    if "Price" not in part:
        return [(f"Sale {column}", value) for column, value in part.items()]
    copied = {column: animal[column] for column in _COPIED_TO_SALE if column in animal}
    gathered.add("Prices", copied | part | dict(given))
    return []
