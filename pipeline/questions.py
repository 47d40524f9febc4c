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
from pipeline.workbook.checking import Checked
from pipeline.workbook.problem_table import problems_frame

if TYPE_CHECKING:
    from pipeline.findings.carriers import CarrierFindings
    from pipeline.findings.growth import GrowthFindings
    from pipeline.findings.prices import PriceFindings
    from pipeline.genetics.carriers.odds import Carriers
    from pipeline.genetics.suspicions.faults import Structures

Say = Callable[[str], None]
Tables = Iterator[tuple[str, pd.DataFrame]]
"""Findings tables by name."""


def answers(
    book: Checked,
    store: Store,
    as_of: date,
    say: Say = lambda step: None,
    questions: Collection[str] | None = None,
) -> Iterator[tuple[str, pd.DataFrame]]:
    """The findings tables of one loaded book, in the order they are computed; each is to be saved before the next is asked for.

    `questions` are names of QUESTIONS to answer (None: all); what an answer rests on is computed, but told only if asked.
    """
    asked = QUESTIONS if questions is None else questions
    run = _Run(book, store, as_of, say)
    yield "season_summary", season_summary(run.query("season_summary"))
    yield "sex_ratios", sex_ratios(run.query("sex_counts"), run.settings.level)
    yield "calendar", run.calendar
    for name, tables in QUESTIONS.items():
        if name in asked:
            yield from tables(run)
    yield "problems", problems_frame([*book.problems, *run.problems])
    yield "record_places", run.query("record_places")


class _Run:
    """One book on its way through the season: what several questions rest on is computed once, when first needed.

    What answers a question is imported where it is asked: their rooms take as long to enter as some answers take.
    """

    def __init__(self, book: Checked, store: Store, as_of: date, say: Say) -> None:
        self.book, self.store, self.as_of, self.say = book, store, as_of, say
        self.collection, self.settings = book.collection, book.collection.settings
        self.problems: list[Problem] = []
        """Of the keeper's records, found while the questions were answered."""

    def query(self, name: str, **parameters: object) -> pd.DataFrame:
        """The result of one statement of store/sql/ for this book."""
        return self.store.query(name, book=self.book.book.name, **parameters)

    @cached_property
    def calendar(self) -> pd.DataFrame:
        return self.query("calendar")

    @cached_property
    def records(self) -> dict[str, pd.DataFrame]:
        tables = ("animals", "species", "weights", "prices", "goals")
        return {table: self.store.records(table, book=self.book.book.name) for table in tables}

    @cached_property
    def carriers(self) -> "Carriers":
        """With every gene record right: what a plan starts from."""
        from pipeline.genetics.carriers.odds import carriers_untold
        from pipeline.genetics.carriers.solving import solve

        self.say("Weighing who carries what")
        return carriers_untold(solve(self.collection))

    @cached_property
    def structures(self) -> "tuple[Structures, ...]":
        from pipeline.genetics.suspicions.answer import searched

        solved = self.carriers.solved
        self.say("Asking which record is wrong")
        return searched(self.collection, solved)

    @cached_property
    def odds(self) -> "CarrierFindings":
        from pipeline.findings.carriers import carrier_findings

        column = self.book.book.columns.get("animals", {}).get("genes")
        found = carrier_findings(self.collection, column, self.structures, self.carriers.solved)
        self.problems += found.problems
        return found

    @cached_property
    def growth(self) -> "GrowthFindings":
        from pipeline.findings.growth import growth_findings

        self.say("Fitting growth")
        return growth_findings(
            self.records["animals"], self.records["species"], self.records["weights"], self.calendar,
            as_of=self.as_of, season_starts=self.settings.season_starts,
        )  # fmt: skip

    @cached_property
    def prices(self) -> "PriceFindings":
        from pipeline.findings.prices import price_findings

        self.say("Following prices")
        return price_findings(self.records["prices"], self.collection.catalogues, self.settings, self.as_of)


def _ratios(run: _Run) -> Tables:
    from pipeline.findings.ratios import ratio_findings

    run.say("Testing ratios")
    found = ratio_findings(run.collection, run.query("young_counts", as_of=run.as_of), seed=run.settings.seed)
    yield "ratio_tests", found.tests
    yield "ratio_classes", found.classes
    yield "ratio_resolutions", found.resolutions
    yield "ratio_parts", found.parts
    yield "heterogeneity", found.heterogeneity


def _carriers(run: _Run) -> Tables:
    yield "carrier_odds", run.odds.odds


def _kin(run: _Run) -> Tables:
    from pipeline.findings.kin import kin_findings

    found = kin_findings(run.collection)
    run.problems += found.problems
    yield "inbreeding", found.inbreeding
    yield "kinship", found.kinship


def _growth(run: _Run) -> Tables:
    yield "growth", run.growth.growth
    yield "growth_curves", run.growth.curves
    yield "growth_points", run.growth.points
    yield "growth_alerts", run.growth.alerts


def _suspicions(run: _Run) -> Tables:
    from pipeline.findings.suspicions import suspicion_findings

    found = suspicion_findings(run.collection, run.growth.growth, as_of=run.as_of, structures=run.structures)
    yield "suspicions", found.suspicions
    yield "suspicion_rivals", found.rivals


def _prices(run: _Run) -> Tables:
    from pipeline.findings.prices import label_prices, season_value

    yield "price_trends", run.prices.trends
    yield "price_points", run.prices.points
    yield "price_bands", run.prices.bands
    yield "gene_premiums", run.prices.premiums
    yield "price_factors", run.prices.factors
    yield "price_outliers", run.prices.outliers
    yield "label_prices", label_prices(run.collection, run.prices)
    yield "season_value", season_value(run.collection, run.records["animals"], run.prices)


def _plan(run: _Run) -> Tables:
    from pipeline.findings.pairs import pair_findings

    carriers, growth, prices = run.carriers, run.growth.growth, run.prices
    run.say("Planning next season")
    found = pair_findings(run.collection, carriers, run.records, growth, prices, as_of=run.as_of)
    yield "season_plan", found.plan
    yield "season_plan_alternatives", found.alternatives
    yield "season_plan_notes", found.notes
    yield "pair_options", found.options
    yield "pair_outcomes", found.outcomes
    yield "holdbacks", found.holdbacks


def _goals(run: _Run) -> Tables:
    from pipeline.findings.routes import route_findings

    carriers, growth = run.carriers, run.growth.growth
    run.say("Finding the way to the goals")
    found = route_findings(run.collection, carriers, run.records, growth, as_of=run.as_of)
    yield "goal_outlook", found.outlook
    yield "goal_routes", found.routes
    yield "goal_notes", found.notes


QUESTIONS: Mapping[str, Callable[[_Run], Tables]] = {
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
