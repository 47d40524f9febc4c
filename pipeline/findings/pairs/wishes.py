"""What the keeper has decided already: pairs of the coming season that are in the book, and pairs ruled out.

A row on the sheet Pairings for the coming season, without young yet, fixes that pair. The line 'Never pair' on the sheet
Settings rules pairs out: 'B1 x B2; B3 x B4'.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta

from pipeline.findings.pairs.season import Coming
from pipeline.genetics.collection import Collection
from pipeline.genetics.ruled_out import ruled_out

Pair = tuple[str, str]
_EARLY = timedelta(days=92)


@dataclass(frozen=True)
class Wishes:
    """`fixed` names the pairing of each (dam, sire); `never` holds pairs in either order; `unread` are parts of the line
    that could not be read, with what is wrong."""

    fixed: Mapping[Pair, str]
    never: frozenset[frozenset[str]]
    unread: tuple[str, ...] = ()


def wishes(collection: Collection, when: Coming) -> Wishes:
    """The keeper's wishes for the coming season."""
    never, unread = ruled_out(collection.settings.never_pair, collection.animals)
    return Wishes(_fixed(collection, when), never, tuple(part.message for part in unread))


def _fixed(collection: Collection, when: Coming) -> dict[Pair, str]:
    """A season that starts after January may be named for the year in which it starts or ends."""
    years = {when.year} | ({when.year + 1} if when.starts.month > 1 else set())
    hatched = {young.pairing for young in collection.young}
    found: dict[Pair, str] = {}
    for pairing in sorted(collection.pairings.values(), key=lambda p: p.id):
        old = pairing.first_paired is not None and pairing.first_paired < when.starts - _EARLY
        if pairing.season in years and pairing.id not in hatched and not old:
            found.setdefault((pairing.dam, pairing.sire), pairing.id)
    return found
