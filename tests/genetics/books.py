"""Small invented collections, written as labels."""

from pipeline.genetics.collection import Animal, Collection, Settings
from pipeline.genetics.genes import Catalogue
from pipeline.genetics.labels import read_label
from pipeline.genetics.pedigree import parents_first


def animal(id: str, label: str | None, known: Catalogue, **fields: object) -> Animal:
    """An animal of the catalogue's species; label None: nobody looked."""
    return Animal(id, known.species, label=None if label is None else read_label(label, known), **fields)


def collection(
    *animals: Animal, catalogues: tuple[Catalogue, ...], settings: Settings | None = None
) -> Collection:
    """A book of these animals alone."""
    by_id = {entry.id: entry for entry in animals}
    order = parents_first({entry.id: (entry.sire, entry.dam) for entry in animals})
    return Collection(
        "book.xlsx",
        {c.species: c for c in catalogues},
        {i: by_id[i] for i in order},
        {},
        settings=settings or Settings(),
    )
