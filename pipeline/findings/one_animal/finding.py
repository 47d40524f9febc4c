"""Which animal of the book is meant by what was typed."""

from collections.abc import Iterable

from pipeline.errors import RequestError
from pipeline.genetics.collection import Animal, Collection

_CLOSE = 50.0
"""Short codes differ in one sign of two or three (0 to 100, edit similarity)."""
_MOST = 60
"""Letters of a strange ID that an error repeats."""


def find_animal(collection: Collection, asked: str, rows: Iterable[str] = ()) -> Animal:
    """The animal of that ID, whatever its case and the spaces around it.

    `rows` are the IDs of every row that could be read, so that an animal whose row was left out is told from one that
    is not there. Raises RequestError for either, the second with the nearest ID.
    """
    wanted = asked.strip().casefold()
    known = {id.casefold(): animal for id, animal in collection.animals.items()}
    found = collection.animals.get(asked.strip()) or known.get(wanted)
    if found:
        return found
    if not wanted:
        raise RequestError("Name an animal by its ID, as the Animals sheet has it.")
    shown = asked.strip()[:_MOST]
    if wanted in {str(id).strip().casefold() for id in rows}:
        raise RequestError(
            f"The row of {shown} on the Animals sheet had to be left out; `proveout check` says what is wrong with it."
        )
    raise RequestError(f"The book has no animal {shown}{_nearest(shown, collection.animals)}.")


def _nearest(asked: str, known: Iterable[str]) -> str:
    """'; the nearest ID is X' where something is close."""
    from rapidfuzz import fuzz, process

    best = process.extractOne(
        asked, sorted(known), scorer=fuzz.ratio, processor=str.lower, score_cutoff=_CLOSE
    )
    return f"; the nearest ID is {best[0]}" if best else "; its IDs stand on the Animals sheet"
