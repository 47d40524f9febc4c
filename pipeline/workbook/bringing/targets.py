"""Where a column of an old list may go: a column of ours, under the topic of its tab."""

from dataclasses import dataclass
from functools import cache

from pipeline.workbook.bringing.synonyms import COLUMN_WORDS, NOTE_WORDS, SALE_WORDS, WEIGHING_WORDS
from pipeline.workbook.bringing.wording import plain
from pipeline.workbook.sheets import HATCH_RESULTS, Column, sheet

Given = tuple[tuple[str, object], ...]


@dataclass(frozen=True)
class Target:
    """A column of ours. `given` are further columns of the same record that the old header settles.

    A column 'Slugs' goes to Count, given that Outcome is slug; one headed by a date goes to Weight, given that Date.
    """

    sheet: str
    column: str
    given: Given = ()

    @property
    def registered(self) -> Column:
        """The column as the registry has it."""
        return next(column for column in sheet(self.sheet).columns if column.name == self.column)

    def __str__(self) -> str:
        settled = ", ".join(f"{name} {value}" for name, value in self.given)
        return f"{self.sheet}: {self.column}" + (f" ({settled})" if settled else "")


@dataclass(frozen=True)
class Candidate:
    """A target and the words by which old headers mean it, in plain form, the likeliest first."""

    target: Target
    words: tuple[str, ...]


TOPICS: dict[str, tuple[str, ...]] = {
    "Animals": ("Animals",),
    "Pairings": ("Pairings", "Hatch results"),
    "Weights": ("Weights",),
    "Prices": ("Prices",),
    "Genes": ("Genes",),
    "Morph names": ("Morph names",),
    "Species": ("Species",),
    "Goals": ("Goals",),
    "Settings": ("Settings",),
}
"""The topics of a tab, each with the sheets that its rows fill; a breeding list fills two."""


@cache
def candidates(topic: str) -> tuple[Candidate, ...]:
    """Every target of a topic, notes last. Young of a breeding list go by the pairing of their row."""
    found = [_candidate(Target(name, column.name)) for name in TOPICS[topic] for column in sheet(name).columns
             if column.name != "Notes" and (name, column.name) != ("Hatch results", "Pairing")]  # fmt: skip
    if topic == "Pairings":
        found += [_counted(outcome) for outcome in HATCH_RESULTS.column("outcome").choices]
    if topic == "Animals":
        found += [_beside(place, words) for place, words in (WEIGHING_WORDS | SALE_WORDS).items()]
    if topic == "Prices":
        found.append(_beside("Prices.Price", SALE_WORDS["Prices.Price"]))
    if any(column.name == "Notes" for column in sheet(topic).columns):
        found.append(Candidate(Target(topic, "Notes"), NOTE_WORDS))
    return tuple(found)


@cache
def words_for(*places: str) -> frozenset[str]:
    """The words of columns, given as 'Sheet.Column', where their heading settles nothing else."""
    every = (candidate for topic in TOPICS for candidate in candidates(topic) if not candidate.target.given)
    return frozenset(word for c in every if f"{c.target.sheet}.{c.target.column}" in places for word in c.words)


def meant(topic: str, wished: Target) -> Target | None:
    """Where a wish leads under a topic, with what goes without saying there; None where no row of it fills that column."""
    if wished.sheet in TOPICS.get(topic, ()):
        return wished
    places = (candidate.target for candidate in candidates(topic)) if topic else ()
    return next((t for t in places if (t.sheet, t.column) == (wished.sheet, wished.column)), None)


def _candidate(target: Target) -> Candidate:
    words = COLUMN_WORDS.get(f"{target.sheet}.{target.column}", ())
    return Candidate(target, tuple(dict.fromkeys(map(plain, (target.column, *words)))))


def _counted(outcome: str) -> Candidate:
    target = Target("Hatch results", "Count", (("Outcome", outcome),))
    return Candidate(target, tuple(map(plain, COLUMN_WORDS[f"Hatch results.Count of {outcome}"])))


def _beside(place: str, words: tuple[str, ...]) -> Candidate:
    name, _, column = place.partition(".")
    given: Given = (("Kind", "sold"),) if name == "Prices" else ()
    return Candidate(Target(name, column, given), tuple(map(plain, words)))
