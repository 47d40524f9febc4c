"""What a season asks of a book: the questions in their order, and what several of them rest on."""

from collections.abc import Callable, Collection, Iterator, Mapping
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

import pandas as pd

from pipeline.findings.seasons import season_summary
from pipeline.findings.sex_ratios import sex_ratios
from pipeline.problems import Problem
from pipeline.store.database import Store
from pipeline.weighing import Weighing
from pipeline.workbook.checking import Checked
from pipeline.workbook.problem_table import problems_frame

if TYPE_CHECKING:
    from pipeline.findings.growth import GrowthFindings
    from pipeline.findings.prices import PriceFindings
    from pipeline.findings.routes import RouteFindings

Say = Callable[[str], None]
Tables = Iterator[tuple[str, pd.DataFrame]]
"""Findings tables by name."""


def answers(
    book: Checked,
    store: Store,
    as_of: date,
    say: Say = lambda step: None,
    questions: Collection[str] | None = None,
) -> Tables:
    """The findings tables of one loaded book by itself (see `told`)."""
    return told(Run(book, store, as_of, say), questions)


def told(run: "Run", questions: Collection[str] | None = None) -> Tables:
    """The findings tables of one run, in the order they are computed; each is to be saved before the next is asked for.

    `questions` are names of QUESTIONS to answer (None: all); what an answer rests on is computed, but told only if asked.
    """
    asked = QUESTIONS if questions is None else questions
    yield "season_summary", season_summary(run.query("season_summary"))
    yield "sex_ratios", sex_ratios(run.query("sex_counts"), run.settings.level)
    yield "calendar", run.calendar
    for name, tables in QUESTIONS.items():
        if name in asked:
            yield from tables(run)
    yield "problems", problems_frame([*run.book.problems, *run.problems])
    yield "record_places", run.query("record_places")


class Run:
    """One book on its way through the season: what several questions rest on is computed once, when first needed.

    What answers a question is imported where it is asked: their rooms take as long to enter as some answers take.
    """

    def __init__(
        self, book: Checked, store: Store, as_of: date, say: Say = lambda step: None, *, alone: bool = True
    ) -> None:
        """`alone`: no other book was given; of one among several, fewer pairs are listed."""
        self.book, self.store, self.as_of, self.say = book, store, as_of, say
        self.collection, self.settings = book.collection, book.collection.settings
        self.alone = alone
        self.problems: list[Problem] = []
        """Of the keeper's records, found while the questions were answered."""

    def query(self, name: str, **parameters: object) -> pd.DataFrame:
        """The result of one statement of store/sql/ for this book."""
        return self.store.query(name, book=self.book.book.name, **parameters)

    @cached_property
    def calendar(self) -> pd.DataFrame:
        """When each pairing's young are due and came, and from when its dam has rested."""
        return self.query("calendar")

    @cached_property
    def records(self) -> dict[str, pd.DataFrame]:
        """The book's own rows of the sheets that the findings read as tables."""
        tables = ("animals", "species", "weights", "prices", "goals")
        return {table: self.store.records(table, book=self.book.book.name) for table in tables}

    @cached_property
    def named_records(self) -> dict[str, pd.DataFrame]:
        """The records with the names that the weighing goes by."""
        return {table: self.weighing.named(frame) for table, frame in self.records.items()}

    @cached_property
    def weighing(self) -> Weighing:
        """What rests on genes; a book that shares animals with others is given its part of them all instead."""
        letters = self.book.book.columns.get("animals", {}).get("genes")
        return Weighing(
            self.collection, lambda: self.growth.growth, as_of=self.as_of, say=self.say, genes_column=letters
        )

    @cached_property
    def growth(self) -> "GrowthFindings":
        """Fitted once, for its own tables, the plan and the suspicions alike."""
        from pipeline.findings.growth import growth_findings

        self.say("Fitting growth")
        return growth_findings(
            self.records["animals"], self.records["species"], self.records["weights"], self.calendar,
            as_of=self.as_of, season_starts=self.settings.season_starts,
        )  # fmt: skip

    @cached_property
    def prices(self) -> "PriceFindings":
        """Followed once, for their own tables and for what a plan's young would fetch."""
        from pipeline.findings.prices import price_findings

        self.say("Following prices")
        return price_findings(self.records["prices"], self.collection.catalogues, self.settings, self.as_of)

    @cached_property
    def ways(self) -> "RouteFindings":
        """The ways to the goals; next season's plan begins with them."""
        from pipeline.findings.routes import route_findings

        breeding, growth = self.weighing.breeding, self.weighing.named(self.growth.growth)
        self.say("Finding the way to the goals")
        return route_findings(breeding, self.named_records, growth, as_of=self.as_of)


def _ratios(run: Run) -> Tables:
    from pipeline.findings.ratios import ratio_findings

    run.say("Testing ratios")
    found = ratio_findings(run.collection, run.query("young_counts", as_of=run.as_of), seed=run.settings.seed)
    yield "ratio_tests", found.tests
    yield "ratio_classes", found.classes
    yield "ratio_resolutions", found.resolutions
    yield "ratio_parts", found.parts
    yield "heterogeneity", found.heterogeneity


def _carriers(run: Run) -> Tables:
    yield "carrier_odds", run.weighing.odds.odds
    run.problems += run.weighing.odds.problems


def _kin(run: Run) -> Tables:
    found = run.weighing.kin
    run.problems += found.problems
    yield "inbreeding", found.inbreeding
    yield "kinship", found.kinship


def _growth(run: Run) -> Tables:
    yield "growth", run.growth.growth
    yield "growth_curves", run.growth.curves
    yield "growth_points", run.growth.points
    yield "growth_alerts", run.growth.alerts


def _suspicions(run: Run) -> Tables:
    found = run.weighing.suspicions
    run.problems += found.problems
    yield "suspicions", found.suspicions
    yield "suspicion_rivals", found.rivals


def _prices(run: Run) -> Tables:
    from pipeline.findings.prices import label_prices, season_value

    yield "price_trends", run.prices.trends
    yield "price_points", run.prices.points
    yield "price_bands", run.prices.bands
    yield "gene_premiums", run.prices.premiums
    yield "price_factors", run.prices.factors
    yield "price_outliers", run.prices.outliers
    yield "label_prices", label_prices(run.collection, run.prices)
    yield "season_value", season_value(run.collection, run.records["animals"], run.prices)


def _plan(run: Run) -> Tables:
    from pipeline.findings.pairs import LISTED, LISTED_OF_EACH, pair_findings

    weighing, prices, routes = run.weighing, run.prices, run.ways.routes
    breeding, growth = weighing.breeding, weighing.named(run.growth.growth)
    run.say("Planning next season")
    found = pair_findings(
        breeding, run.named_records, growth, prices,
        as_of=run.as_of, routes=routes, met=run.ways.met, listed=LISTED if run.alone else LISTED_OF_EACH,
    )  # fmt: skip
    yield "season_plan", weighing.own(found.plan)
    yield "season_plan_alternatives", weighing.own(found.alternatives)
    yield "season_plan_notes", weighing.own(found.notes)
    yield "pair_options", weighing.own(found.options)
    yield "pair_outcomes", weighing.own(found.outcomes)
    yield "holdbacks", weighing.own(found.holdbacks)


def _goals(run: Run) -> Tables:
    yield "goal_outlook", run.weighing.own(run.ways.outlook)
    yield "goal_routes", run.weighing.own(run.ways.routes)
    yield "goal_notes", run.weighing.own(run.ways.notes)


QUESTIONS: Mapping[str, Callable[[Run], Tables]] = {
    "ratios": _ratios,
    "carriers": _carriers,
    "kin": _kin,
    "growth": _growth,
    "suspicions": _suspicions,
    "prices": _prices,
    "plan": _plan,
    "goals": _goals,
}
"""What a season asks of a book, in this order: name, and the findings tables that answer it."""
