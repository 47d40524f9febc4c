"""Pairs that a keeper rules out, as typed on the sheet Settings: 'B1 x B2; B3 x B4'."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

_BETWEEN = re.compile(r"\s+[x×]\s+", re.IGNORECASE)


@dataclass(frozen=True)
class Unread:
    """A part of the line that could not be read: `strange` are its IDs that are none, () where it is no pair at all."""

    words: str
    strange: tuple[str, ...]

    @property
    def message(self) -> str:
        """What is wrong, in a sentence."""
        if not self.strange:
            return f"Never pair: '{self.words}' is no pair. Write two IDs with an x between: B1 x B2; B3 x B4."
        missing = f"{' and '.join(self.strange)} of '{self.words}'"
        return f"Never pair: {missing} is not on the Animals sheet, so that pair is not ruled out."


def ruled_out(line: str, animals: Iterable[str]) -> tuple[frozenset[frozenset[str]], tuple[Unread, ...]]:
    """The pairs of a line, in either order and spelt as the animals' IDs are, and what of it could not be read.

    Parts end at a semicolon or a line's end; case is ignored.
    """
    known = {animal.casefold(): animal for animal in animals}
    never, unread = set(), []
    for part in (part.strip() for part in re.split(r"[;\n]", line)):
        names = [name.strip() for name in _BETWEEN.split(part)]
        strange = tuple(name for name in names if name.casefold() not in known)
        if part and len(names) != 2:
            unread.append(Unread(part, ()))
        elif part and strange:
            unread.append(Unread(part, strange))
        elif part:
            never.add(frozenset(known[name.casefold()] for name in names))
    return frozenset(never), tuple(unread)
