"""Problems that say the same of many cells, told once: a column filled in one wrong way is one thing to mend."""

from collections.abc import Hashable, Iterable, Sequence

TOGETHER = 4
"""So many cells of which the same is said are told in one line."""
_NAMED = 3


def together(said: Iterable[Hashable]) -> list[list[int]]:
    """The places of what is said, in their order; TOGETHER or more that are equal stand together, at the first of them."""
    places: dict[Hashable, list[int]] = {}
    for at, one in enumerate(said):
        places.setdefault(one, []).append(at)
    parts = [own if len(own) >= TOGETHER else [at] for own in places.values() for at in own]
    return sorted({part[0]: part for part in parts}.values())


def times(cells: Sequence[str]) -> str:
    """'100 times: F12, F13, F14 and 97 more'."""
    more = len(cells) - _NAMED
    return f"{len(cells):,} times: {', '.join(cells[:_NAMED])}" + (f" and {more:,} more" if more > 0 else "")
