"""What a section hands to the page."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from pipeline.report.context import Context, Highlight


@dataclass(frozen=True)
class Part:
    """`values` fill the section's template; `highlights` go to the page's first answer.

    `quiet` is what the section says there when it looked and nothing stood out; '' where it had nothing to look at.
    """

    values: dict[str, Any] = field(default_factory=dict)
    highlights: tuple[Highlight, ...] = ()
    quiet: str = ""


@dataclass(frozen=True)
class Section:
    """One section of the page: its id (and template), its word in the contents, its heading, and what fills it.

    `club`: it is there only where there are several books.
    """

    id: str
    word: str
    title: str
    fill: Callable[[Context], Part]
    club: bool = False


def counted(number: int, noun: str, plural: str = "") -> str:
    """'1 pairing', '3 pairings', '2 clutches'."""
    return f"{number:,} {noun if number == 1 else plural or noun + 's'}"


def listed(names: list[str], most: int = 6) -> str:
    """'A, B and C', or 'A, B, C and 4 more' beyond `most`; semicolons where a name holds a comma."""
    comma = "; " if any("," in name for name in names) else ", "
    if len(names) > most:
        return f"{comma.join(names[:most])} and {len(names) - most:,} more"
    return " and ".join(filter(None, [comma.join(names[:-1]), *names[-1:]]))
