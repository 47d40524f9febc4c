"""What a table of an old list is about."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pipeline.workbook.bringing.contents import distinct
from pipeline.workbook.bringing.matching import Known, Placing, columns_placed, placings
from pipeline.workbook.bringing.synonyms import TAB_WORDS
from pipeline.workbook.bringing.tabs import OldTab
from pipeline.workbook.bringing.targets import TOPICS, Target
from pipeline.workbook.bringing.wording import plain

_NAMED, _NEARLY_NAMED, _ALIKE = 2.0, 1.5, 88.0
_LEAST = 1.5
_FEW_ALIKE = 0.5
"""The share of names that differ, from which a list without IDs is one of animals."""
_SLID_GAINS = 1.0
"""Columns more that must find a place before headings are taken to have slipped."""

Placed = set[tuple[str, str]]


@dataclass(frozen=True)
class Matched:
    """A table, what it is about ('' where nothing of it is known), and where its columns go."""

    tab: OldTab
    topic: str
    placings: tuple[Placing, ...]


def matched(tab: OldTab, known: Known) -> Matched:
    """The topic under which most of the table's columns find a place; the tab's name weighs as two columns.

    Headings that slipped to the next column are put back where a column more finds its place so.
    """
    best, most = _best(tab, known)
    slid = tab.with_header_slid()
    other, score = _best(slid, known) if slid else (best, 0.0)
    return other if score >= most + _SLID_GAINS else best


def _best(tab: OldTab, known: Known) -> tuple[Matched, float]:
    best, most = Matched(tab, "", tuple(placings_of_nothing(tab))), _LEAST
    for topic in TOPICS:
        found = placings(tab, topic, known)
        placed, named = columns_placed(found), _named(tab.name, topic)
        score = named + sum(placing.confidence for placing in found if placing.target) / 100
        if score > most + 1e-9 and _SENSE[topic](placed, named > 0, known, tab, found):
            best, most = Matched(tab, topic, tuple(found)), score
    return best, most


def placings_of_nothing(tab: OldTab) -> list[Placing]:
    """Every column unplaced."""
    return [Placing(position, tab.title(position)) for position in tab.positions]


def _named(name: str, topic: str) -> float:
    from rapidfuzz import fuzz, process

    words = (*map(plain, TOPICS[topic]), *map(plain, TAB_WORDS[topic]))
    if plain(name) in words:
        return _NAMED
    near = process.extractOne(plain(name), words, scorer=fuzz.ratio, score_cutoff=_ALIKE)
    return _NEARLY_NAMED if near else 0.0


def _animals(placed: Placed, named: bool, known: Known, tab: OldTab, found: Sequence[Placing]) -> bool:
    """Animals by ID, or by a name that few share: a log names the same ones over and over."""
    own = {column for sheet, column in placed if sheet == "Animals"}
    names = [p.position for p in found if p.target == Target("Animals", "Name")]
    if "ID" not in own and any(distinct(tab.values(position)) < _FEW_ALIKE for position in names):
        return False
    return bool(own & {"ID", "Name"}) and bool(
        own & {"Species", "Sex", "Born", "Genes", "Sire", "Dam", "Status", "Paid"}
    )


def _pairings(placed: Placed, named: bool, known: Known, tab: OldTab, found: Sequence[Placing]) -> bool:
    """A pair, or a pairing's young; a table of animals with parents of their own is about those animals."""
    pair = {("Pairings", "Dam"), ("Pairings", "Sire")} <= placed
    young = ("Hatch results", "Pairing") in placed and bool(
        {("Hatch results", "Genes"), ("Hatch results", "Count"), ("Hatch results", "Animal")} & placed
    )
    return pair or young


def _needs(*columns: tuple[str, str], name: bool = False) -> Callable[..., bool]:
    def makes_sense(placed: Placed, named: bool, known: Known, tab: OldTab, found: Sequence[Placing]) -> bool:
        return set(columns) <= placed and (named or not name)

    return makes_sense


_SENSE: dict[str, Callable[..., bool]] = {
    "Animals": _animals,
    "Pairings": _pairings,
    "Weights": _needs(("Weights", "Animal"), ("Weights", "Weight")),
    "Prices": _needs(("Prices", "Price"), ("Prices", "Genes")),
    "Genes": _needs(("Genes", "Gene"), ("Genes", "Inheritance")),
    "Morph names": _needs(("Morph names", "Name"), ("Morph names", "Genes"), name=True),
    "Species": _needs(("Species", "Species"), name=True),
    "Goals": _needs(("Goals", "Genes"), ("Goals", "Goal")),
    "Settings": _needs(("Settings", "Setting"), ("Settings", "Value"), name=True),
}
"""What a table must hold to be about a topic at all."""
