"""Which rows of the keeper's book stand behind what an answer names, and behind what it sums."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import pandas as pd

TOPICS = (
    "animal",
    "pairing",
    "gene",
    "goal",
    "price",
    "season",
    "parents",
    "sexed",
    "crosses",
    "market",
    "book",
)
"""What has records, in the order it is listed: first what an answer names, then what it sums, as record_places says."""
FIELDS = {
    "animal": "animal", "dam": "animal", "sire": "animal", "pairing": "pairing", "gene": "gene", "goal": "goal",
    "morph": "price",
}  # fmt: skip
"""The columns of findings tables that name something with records."""
_TOPIC_OF = {"hatched": "animal", "weights": "animal", "offspring": "animal", "young": "pairing"}
_SAID = {"offspring": " (its young)"}
_ORDER = ("animal", "hatched", "weights", "offspring", "pairing", "young", *TOPICS[2:])
_BY_SPECIES = ("gene", "price", "season", "parents", "sexed", "crosses", "market")
"""Names that two species may share."""
_SUBJECTS = {"label": "animal", "parentage": "pairing", "reading": "pairing", "gene record": "gene"}

Key = tuple[str, str, str, str]
"""Topic, book, species ('' where the name alone tells), name."""


@dataclass(frozen=True)
class Rows:
    """Rows of one sheet: `records` of them, from `first` to `last`, both counted; `said` is what they are, if not plain."""

    sheet: str
    first: int
    last: int
    records: int
    said: str = ""

    @property
    def words(self) -> str:
        """'Hatch results, rows 12–15', or '4 rows from 12 to 90' where others stand between."""
        return f"{self.sheet}, {self._span}{self.said}"

    @property
    def cells(self) -> str:
        """Their first cells as a spreadsheet names them: 'A12:A15', or 'A12' alone."""
        return f"A{self.first}" if self.first == self.last else f"A{self.first}:A{self.last}"

    @property
    def _span(self) -> str:
        if self.first == self.last:
            return f"row {self.first}"
        if self.records == self.last - self.first + 1:
            return f"rows {self.first}–{self.last}"
        return f"{self.records:,} rows from {self.first} to {self.last}"


@dataclass(frozen=True)
class Record:
    """One of TOPICS and its rows; `number` is its place in the page's list of records."""

    number: int
    topic: str
    book: str
    species: str
    name: str
    rows: tuple[Rows, ...]

    @property
    def anchor(self) -> str:
        """The id of its row in that list."""
        return f"record-{self.number}"

    @property
    def words(self) -> str:
        """Every sheet and row: 'Pairings, row 5; Hatch results, rows 12–15'."""
        return "; ".join(one.words for one in self.rows)


class Records:
    """The records behind the answers, by what the answers call them. `places` is the findings table record_places."""

    def __init__(self, places: pd.DataFrame) -> None:
        found: dict[Key, list[tuple[int, str, Rows]]] = {}
        for one in places.itertuples(index=False):
            said = _SAID.get(one.kind, "")
            rows = Rows(str(one.sheet), int(one.first_row), int(one.last_row), int(one.records), said)
            topic = _TOPIC_OF.get(one.kind, one.kind)
            species = "" if pd.isna(one.species) else str(one.species)
            key = (topic, str(one.book), species if topic in _BY_SPECIES else "", str(one.id))
            found.setdefault(key, []).append((_ORDER.index(one.kind), species, rows))
        order = sorted(found, key=lambda key: (TOPICS.index(key[0]), *key[1:]))
        self._found = {key: _record(at, key, found[key]) for at, key in enumerate(order, start=1)}

    def __iter__(self) -> Iterator[Record]:
        return iter(self._found.values())

    def of(self, field: str, book: str, species: Any, name: Any) -> Record | None:
        """The record of a topic, or of what a column (see FIELDS) names, in that book and species; None where there is none."""
        topic = FIELDS.get(field, field)
        if topic not in TOPICS or _missing(name):
            return None
        known = str(species) if topic in _BY_SPECIES and not _missing(species) else ""
        return self._found.get(
            (topic, str(book), known, f"{name:.0f}" if isinstance(name, float) else str(name))
        )

    def of_row(self, row: Mapping[str, Any], field: str) -> Record | None:
        """The record that a row of a findings table names in that column."""
        return self.of(field, row.get("book", ""), row.get("species"), row.get(field))

    def of_suspicion(self, book: str, kind: str, species: Any, subject: str) -> list[Record]:
        """The records that a suspicion doubts; two genes have two."""
        topic = _SUBJECTS.get(kind, "")
        whole = self.of(topic, book, species, subject)
        names = [subject] if whole else subject.split(", ")
        return [record for name in names if (record := self.of(topic, book, species, name))]


def _missing(value: Any) -> bool:
    """As pandas.isna for a single text or number, at a tenth of its price."""
    return value is None or value is pd.NA or value != value


def _record(number: int, key: Key, places: list[tuple[int, str, Rows]]) -> Record:
    """`places` are (order of the kind, species, rows)."""
    topic, book, _, name = key
    places = sorted(places, key=lambda place: (place[0], place[2].sheet))
    return Record(number, topic, book, places[0][1], name, tuple(rows for _, _, rows in places))
