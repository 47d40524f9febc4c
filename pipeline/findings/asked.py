"""Which animal of the book is meant by what was typed: its ID, or the name that it alone bears."""

from collections.abc import Iterable

from pipeline.errors import RequestError
from pipeline.genetics.collection import Animal, Collection

_CLOSE = 50.0
"""Short codes differ in one sign of two or three (0 to 100, edit similarity)."""
_MOST = 60
"""Letters of a strange ID that an error repeats."""


def with_id(collection: Collection, asked: str) -> Animal | None:
    """The animal of that ID as typed, else the one whose ID differs only in case and spaces."""
    exact = collection.animals.get(asked.strip())
    alike = [animal for id, animal in collection.animals.items() if _bare(id) == _bare(asked)]
    return exact or (alike[0] if len(alike) == 1 else None)


def with_name(collection: Collection, asked: str) -> Animal | None:
    """The animal of that name, whatever its case. RequestError where several bear it, with their IDs."""
    wanted = " ".join(asked.split()).casefold()
    same = [animal for animal in collection.animals.values() if animal.name.casefold() == wanted != ""]
    if len(same) > 1:
        ids = ", ".join(sorted(animal.id for animal in same)[:5])
        raise RequestError(
            f"{len(same)} animals are called {same[0].name} ({ids}); give the ID of the one you mean."
        )
    return same[0] if same else None


def find_animal(collection: Collection, asked: str, rows: Iterable[str] = ()) -> Animal:
    """The animal of that ID or name, whatever its case and the spaces in it.

    `rows` are the IDs of every row that could be read, so that an animal whose row was left out is told from one that
    is not there. Raises RequestError for either, the second with the nearest ID.
    """
    if not _bare(asked):
        raise RequestError("Name an animal by its ID, as the Animals sheet has it.")
    found = with_id(collection, asked) or with_name(collection, asked)
    if found:
        return found
    shown = asked.strip()[:_MOST]
    if _bare(asked) in {_bare(str(id)) for id in rows}:
        raise RequestError(
            f"The row of {shown} on the Animals sheet had to be left out; `proveout check` says what is wrong with it."
        )
    raise RequestError(f"The book has no animal {shown}{_nearest(shown, collection.animals)}.")


def _bare(id: str) -> str:
    return "".join(id.split()).casefold()


def _nearest(asked: str, known: Iterable[str]) -> str:
    """'; the nearest ID is X' where something is close."""
    from rapidfuzz import fuzz, process

    best = process.extractOne(
        asked, sorted(known), scorer=fuzz.ratio, processor=str.lower, score_cutoff=_CLOSE
    )
    return f"; the nearest ID is {best[0]}" if best else "; its IDs stand on the Animals sheet"
