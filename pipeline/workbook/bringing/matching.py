"""Which column of an old table is which of ours, under one topic: by name first, then by content."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace

from pipeline.workbook.bringing import contents
from pipeline.workbook.bringing.tabs import OldTab
from pipeline.workbook.bringing.targets import Candidate, Target, candidates, meant, words_for
from pipeline.workbook.bringing.wording import day_of_header, plain, unit_of, words_of

BY_NAME, BY_LIKENESS, BY_CONTENT, AS_ASKED = "name", "name, nearly", "content", "as you asked"
_ALIKE, _LIKENESS_COSTS, _CONTENT_SURE, _DATE_HEADER_SURE = 86.0, 8.0, 60.0, 95.0
_LEAST_READABLE = 0.5
_NO = ("in", "un", "non", "non ", "not ")
_MOSTLY = 0.9
"""The share of a column's animals that must be of a parent's sex; one or another is sexed wrongly in most lists."""
_DATED, _UNDATED = frozenset({"Weight", "Length", "Price"}), "no day beside it"
"""What makes no record without its day, and the words for that."""


@dataclass(frozen=True)
class Placing:
    """Where one column of an old table goes: None for Notes and 'Left over'. `confidence` is 0 to 100."""

    position: int
    header: str
    target: Target | None = None
    confidence: float = 0.0
    why: str = ""


@dataclass(frozen=True)
class Known:
    """What other tables of the list say already: animals' IDs and genes (folded), and what the keeper asked for.

    `asked` maps a header in plain form to its target, None for Notes.
    """

    ids: frozenset[str] = frozenset()
    genes: frozenset[str] = frozenset()
    asked: Mapping[str, Target | None] = field(default_factory=dict)


def placings(tab: OldTab, topic: str, known: Known) -> list[Placing]:
    """Every column of the table, from left to right, no target twice; the surest pairs first."""
    found = {p.position: p for p in _asked(tab, topic, known)}
    _by_date_headers(tab, topic, found)
    _by_name(tab, topic, found)
    _by_content(tab, topic, known, found)
    _prune(topic, found)
    return [found.get(position, Placing(position, tab.title(position))) for position in tab.positions]


def _asked(tab: OldTab, topic: str, known: Known) -> list[Placing]:
    found = []
    for position in tab.positions:
        words = plain(tab.title(position))
        wished = known.asked.get(words)
        target = meant(topic, wished) if wished else None
        if target or (words in known.asked and not wished):
            found.append(Placing(position, tab.title(position), target, 100.0, AS_ASKED))
    return found


def _by_date_headers(tab: OldTab, topic: str, found: dict[int, Placing]) -> None:
    """Weighings that stand side by side, each column under its day."""
    if topic not in ("Animals", "Weights"):
        return
    for position in tab.positions:
        day = day_of_header(tab.headers[position])
        target = Target("Weights", "Weight", (("Date", day),))
        if day and position not in found and _fits(tab, position, target) >= _LEAST_READABLE:
            found[position] = Placing(position, tab.title(position), target, _DATE_HEADER_SURE, BY_NAME)


def _by_name(tab: OldTab, topic: str, found: dict[int, Placing]) -> None:
    taken = {placing.target for placing in found.values()}
    offers = []
    for position in (p for p in tab.positions if p not in found and isinstance(tab.headers[p], str)):
        for order, candidate in enumerate(candidates(topic)):
            sure, why = _likeness(plain(tab.headers[position]), candidate)
            fits = _fits(tab, position, candidate.target) if sure else 0.0
            if sure and fits >= _LEAST_READABLE:
                offers.append((-sure * (1 + fits) / 2, order, position, candidate.target, why))
    for loss, _, position, target, why in sorted(offers, key=lambda offer: offer[:3]):
        if position not in found and target not in taken:
            found[position] = Placing(position, tab.title(position), target, -loss, why)
            taken.add(target)


def _likeness(words: str, candidate: Candidate) -> tuple[float, str]:
    """0 to 100 and the reason: 100 for our own name, a little less for each word further down our list."""
    from rapidfuzz import fuzz, process

    if words in candidate.words:
        return 100.0 - min(9.0, candidate.words.index(words) / 2), BY_NAME
    if len(words) < 4:
        return 0.0, ""
    others = [other for other in candidate.words if not _opposite(words, other)]
    near = process.extractOne(words, others, scorer=fuzz.token_sort_ratio, score_cutoff=_ALIKE)
    return (near[1] - _LIKENESS_COSTS, BY_LIKENESS) if near else (0.0, "")


def _opposite(one: str, other: str) -> bool:
    """Whether one says what the other denies: 'fertile' is no 'infertile', however alike they look."""
    short, long = sorted((one, other), key=len)
    return long in [no + short for no in _NO]


def _fits(tab: OldTab, position: int, target: Target) -> float:
    """The share of the column's cells that can stand in the target; an ID must also be the animal's own."""
    column = target.registered
    header = tab.headers[position]
    unit = unit_of(header, column) if isinstance(header, str) else ""
    share = contents.readable(tab.values(position), column, unit)
    if target == Target("Animals", "ID"):
        share *= contents.distinct(tab.values(position)) > 0.9
    return share


def _by_content(tab: OldTab, topic: str, known: Known, found: dict[int, Placing]) -> None:
    """Offer what is left, column by column, to the targets that still have none."""
    for position in (p for p in tab.positions if p not in found):
        filled = list(tab.filled(position))
        taken = {placing.target for placing in found.values()}
        other = {Target("Animals", "Born")} if _is_of_weighing(tab, position) else set()
        free = [c.target for c in candidates(topic) if c.target not in taken | other and not c.target.given]
        fitting = [target for target in free if filled and _is_like(tab, filled, target, known, found)]
        if fitting:
            found[position] = Placing(position, tab.title(position), fitting[0], _CONTENT_SURE, BY_CONTENT)


def _is_of_weighing(tab: OldTab, position: int) -> bool:
    """Whether a column is headed as days of weighing are, in a table that has weights."""
    heads = [plain(header) if isinstance(header, str) else "" for header in tab.headers]
    return heads[position] in words_for("Weights.Date") and not words_for("Weights.Weight").isdisjoint(heads)


def _is_like(tab: OldTab, filled: list, target: Target, known: Known, found: Mapping[int, Placing]) -> bool:
    match (target.sheet, target.column):
        case ("Animals", "ID"):
            return contents.looks_like_codes(filled, len(tab.rows))
        case ("Animals", "Born") | ("Hatch results" | "Weights" | "Prices", "Date"):
            return contents.looks_like_dates(filled, target.registered)
        case (_, "Sex"):
            return contents.looks_like_sexes(filled)
        case (_, "Genes"):
            return contents.looks_like_labels(filled, known.genes)
        case ("Animals", "Sire" | "Dam" as parent):
            own = _sexes_by_id(tab, found)
            sexes = [sex for v in filled if (sex := own.get(words_of(v), "")) in ("M", "F")]
            alike = sexes.count("M" if parent == "Sire" else "F")
            return contents.refer_to(filled, own.keys()) and 0 < alike >= _MOSTLY * len(sexes)
        case ("Weights", "Animal") | ("Hatch results", "Animal"):
            return contents.refer_to(filled, known.ids)
        case ("Weights", "Weight"):
            return contents.looks_like_weights(filled)
        case ("Prices", "Price"):
            return contents.looks_like_prices(filled)
    return False


def _sexes_by_id(tab: OldTab, found: Mapping[int, Placing]) -> dict[str, str]:
    at = {placing.target: position for position, placing in found.items()}
    ids, sexes = at.get(Target("Animals", "ID")), at.get(Target("Animals", "Sex"))
    if ids is None or sexes is None:
        return {}
    return {
        words_of(row[ids]): words_of(row[sexes])[:1].upper()
        for row in tab.rows
        if row[ids] is not None and row[sexes] is not None
    }


def columns_placed(found: Collection[Placing]) -> set[tuple[str, str]]:
    """Sheet and column of every target that is taken."""
    return {(p.target.sheet, p.target.column) for p in found if p.target}


def _prune(topic: str, found: dict[int, Placing]) -> None:
    """A weight without its day is no weighing, a price without one no sale; a litter without parents no pairing."""
    placed = columns_placed(found.values())
    dated = ("Weights", "Date") in placed
    for position, placing in list(found.items()):
        target = placing.target
        if target is None:
            continue
        place = (target.sheet, target.column)
        if topic == "Animals" and target.sheet == "Weights":
            measured = {("Weights", "Weight"), ("Weights", "Length")} & placed
            keep = bool(measured) if place == ("Weights", "Date") else dated or bool(target.given)
        elif topic == "Animals" and target.sheet == "Prices":
            keep = {("Prices", "Date"), ("Prices", "Price")} <= placed
        elif topic == "Pairings" and not {("Pairings", "Dam"), ("Pairings", "Sire")} & placed:
            keep = target.sheet != "Pairings" or target.column in ("Pairing", "Notes")
            target = replace(target, sheet="Hatch results")
        else:
            keep = True
        found[position] = (
            replace(placing, target=target)
            if keep
            else Placing(position, placing.header, why=_UNDATED if target.column in _DATED else "")
        )
