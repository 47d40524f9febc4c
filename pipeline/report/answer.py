"""The page's first answer: what each section has to say first, gathered under the section's word."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pipeline.report.context import Highlight
from pipeline.report.sections.part import Part, Section

MOST = 5
"""Sentences of one section at most; the section itself tells the rest."""


@dataclass(frozen=True)
class Point:
    """The first sentences of one section, urgent ones first; `more` counts those that were left to the section."""

    section: Section
    sentences: tuple[Highlight, ...]
    more: int

    @property
    def urgent(self) -> bool:
        """Whether any of its sentences can't wait."""
        return any(one.urgent for one in self.sentences)


def quiet(parts: Sequence[Part]) -> list[str]:
    """What the sections say where nothing stands out anywhere, also of what the first answer leaves to a section."""
    urgent = any(one.urgent for part in parts for one in part.highlights)
    return [] if urgent else [part.quiet for part in parts if part.quiet]


def points(parts: Iterable[tuple[Section, Part]]) -> list[Point]:
    """A point for each section that has something to say, the urgent ones first, else in the order of the page."""
    found = []
    for section, part in parts:
        told = sorted(part.highlights, key=lambda one: not one.urgent)
        if told:
            found.append(Point(section, tuple(told[:MOST]), max(0, len(told) - MOST)))
    return sorted(found, key=lambda point: not point.urgent)
