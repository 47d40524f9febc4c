"""All goals of a book: the tables goal_routes, goal_outlook and goal_notes."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

import pandas as pd

from pipeline.findings.frames import findings_frame
from pipeline.findings.pairs.breeding import Breeding
from pipeline.findings.pairs.goals import Goal, read_goals
from pipeline.findings.pairs.season import coming
from pipeline.findings.pairs.wishes import wishes
from pipeline.findings.routes.goals import GRANTED, OUT_OF_REACH, OWNED, answer_goal
from pipeline.findings.routes.steps import RUNS, Told
from pipeline.findings.routes.stock import Herd, herd
from pipeline.findings.routes.timing import Seasons, seasons
from pipeline.store.tables import GOAL_NOTES, GOAL_OUTLOOK, GOAL_ROUTES

_TAKEN = (
    "Every pairing is taken to give a typical litter; what goes wrong in real life makes a way longer. Of two parents "
    "whose genes are open, each gene is weighed by itself."
)
_ALL_GAMBLES = (
    "{} hangs on too many animals that may not carry what they should: of {:,} courses none got there. Prove some first."
)


@dataclass(frozen=True)
class RouteFindings:
    """The tables goal_routes, goal_outlook and goal_notes, without the column `book`."""

    routes: pd.DataFrame
    outlook: pd.DataFrame
    notes: pd.DataFrame

    @property
    def met(self) -> dict[str, str]:
        """The goals that animals of the book are already, each with the sentence that names them."""
        own = self.notes[self.notes["kind"] == OWNED]
        return dict(zip(own["goal"], own["note"], strict=True))


def route_findings(
    breeding: Breeding,
    records: Mapping[str, pd.DataFrame],
    growth: pd.DataFrame,
    *,
    as_of: date,
) -> RouteFindings:
    """The ways to the goals of one book, first wishes first.

    `records` are the book's own tables `species` and `goals`, `growth` its findings table. The spread is simulated from the
    book's seed.
    """
    goals = records["goals"]
    rows = _Rows(breeding, records["species"], growth, as_of)
    wanted = {row["goal"]: row for row in goals.to_dict("records")}
    asked = sorted(
        read_goals(goals, breeding.collection.catalogues), key=lambda goal: (-goal.weight, goal.name)
    )
    for goal in asked:
        rows.tell(goal, _wanted_by(wanted[goal.name]))
    return RouteFindings(
        findings_frame(GOAL_ROUTES, rows.routes),
        findings_frame(GOAL_OUTLOOK, rows.outlook),
        findings_frame(GOAL_NOTES, [*rows.notes, *rows.granted()]),
    )


class _Rows:
    """Collects the rows, goal by goal; what is the same for all goals of a species is worked out once."""

    def __init__(self, breeding: Breeding, species: pd.DataFrame, growth: pd.DataFrame, as_of: date) -> None:
        self.breeding, self.growth, self.as_of = breeding, growth, as_of
        self.collection = breeding.collection
        self.rules = {row["species"]: row for row in species.to_dict("records")}
        self.never = wishes(self.collection, coming(self.collection, as_of)).never
        self.known: dict[str, tuple[Seasons, Herd]] = {}
        self.routes: list[dict[str, Any]] = []
        self.outlook: list[dict[str, Any]] = []
        self.notes: list[dict[str, Any]] = []

    def tell(self, goal: Goal, wanted_by: date | None) -> None:
        """Add the rows of one goal."""
        when, own = self._species(goal.species)
        settings = self.collection.settings
        pedigree = self.breeding.kinship.pedigree
        answer = answer_goal(goal, own, when, pedigree, settings.inbreeding_at_most, self.never)
        ways = [
            Told(goal, answer, way, number, own, when, self.as_of, wanted_by, settings.seed)
            for number, way in enumerate(answer.ways, start=1)
        ]
        for told in ways:
            if told.arrives:
                self.outlook.append(told.outlook())
                self.routes += told.rows()
        notes = list(answer.notes)
        if ways and not any(told.arrives for told in ways):
            notes.append((OUT_OF_REACH, _ALL_GAMBLES.format(goal.name, RUNS)))
        for kind, note in notes:
            self.notes.append({"goal": goal.name, "species": goal.species, "kind": kind, "note": note})

    def granted(self) -> Iterator[dict[str, Any]]:
        """What was taken for granted of each species to which a way was found."""
        for name in dict.fromkeys(row["species"] for row in self.outlook):
            for note in (_TAKEN, *self.known[name][0].notes):
                yield {"goal": None, "species": name, "kind": GRANTED, "note": note}

    def _species(self, name: str) -> tuple[Seasons, Herd]:
        if name not in self.known:
            rule = self.rules.get(name, {})
            when = seasons(self.collection, name, rule, self.as_of)
            self.known[name] = when, herd(self.collection, name, self.breeding.odds, self.growth, when, rule)
        return self.known[name]


def _wanted_by(row: Mapping[str, Any]) -> date | None:
    """The last day of the wish: a bare year counts to its end."""
    if not pd.isna(row["wanted_by"]):
        return pd.Timestamp(row["wanted_by"]).date()
    return None if pd.isna(row["wanted_by_year"]) else date(int(row["wanted_by_year"]), 12, 31)
