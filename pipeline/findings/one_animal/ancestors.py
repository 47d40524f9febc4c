"""The ancestors of one animal as a tree, sire before dam, with those on both sides marked."""

from collections.abc import Iterator
from dataclasses import dataclass

from pipeline.genetics.collection import Collection
from pipeline.genetics.genes import Sex
from pipeline.genetics.labels import write_label

GENERATIONS = 3


@dataclass(frozen=True)
class Ancestor:
    """One place of the tree: role ('sire', 'dam'), and the animal there; `id` None where the book names none.

    `label` is what the book says it shows and carries. `both_sides` says that sire and dam of the animal both descend
    from it (or are it). `parents` are its own sire and dam, empty in the last generation and above an unknown one.
    """

    role: str
    id: str | None
    name: str = ""
    sex: Sex | None = None
    label: str = ""
    both_sides: bool = False
    parents: tuple["Ancestor", ...] = ()


def ancestors(collection: Collection, id: str, generations: int = GENERATIONS) -> tuple[Ancestor, ...]:
    """Sire and dam of an animal, each with theirs, so many generations up."""
    animal = collection.animals[id]
    sides = (animal.sire, animal.dam)
    both = set.intersection(*(set(_line(collection, parent, generations)) for parent in sides))
    return tuple(
        _ancestor(collection, role, parent, generations, both)
        for role, parent in zip(("sire", "dam"), sides, strict=True)
    )


def _line(collection: Collection, id: str | None, generations: int) -> Iterator[str]:
    """An animal and its ancestors, as far up as the tree shows them."""
    animal = collection.animals.get(id) if id else None
    if animal is not None and generations:
        yield animal.id
        for parent in (animal.sire, animal.dam):
            yield from _line(collection, parent, generations - 1)


def _ancestor(
    collection: Collection, role: str, id: str | None, generations: int, both: set[str]
) -> Ancestor:
    animal = collection.animals.get(id) if id else None
    if animal is None:
        return Ancestor(role, None)
    parents = (("sire", animal.sire), ("dam", animal.dam)) if generations > 1 else ()
    label = write_label(animal.label, collection.catalogues[animal.species]) if animal.label else ""
    return Ancestor(
        role, animal.id, animal.name, animal.sex, label, animal.id in both,
        tuple(_ancestor(collection, own, parent, generations - 1, both) for own, parent in parents),
    )  # fmt: skip
