"""The whole season, top to bottom: books in, a folder of answers out. Who reads only this file knows the pipeline."""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

import pandas as pd

from pipeline.errors import RequestError
from pipeline.findings.changes import change_findings
from pipeline.findings.seasons import season_summary
from pipeline.findings.sex_ratios import sex_ratios
from pipeline.problems import Problem
from pipeline.report.book_links import ways_from
from pipeline.report.chart_files import write_charts
from pipeline.report.chosen_charts import chosen_charts
from pipeline.report.drawing import Drawing
from pipeline.report.findings_book import write_findings_book
from pipeline.report.head import PageHead
from pipeline.report.page import write_page
from pipeline.report.watched import write_stamp
from pipeline.store.database import Store, earlier_findings
from pipeline.store.swap import swapped_in
from pipeline.workbook.checking import Checked, checked
from pipeline.workbook.problem_table import problems_frame
from pipeline.workbook.reading import read_book

if TYPE_CHECKING:
    from pipeline.findings.carriers import CarrierFindings
    from pipeline.findings.growth import GrowthFindings
    from pipeline.findings.prices import PriceFindings

Findings = dict[str, pd.DataFrame]
Say = Callable[[str], None]
Tables = Iterator[tuple[str, pd.DataFrame]]
"""Findings tables by name."""


@dataclass(frozen=True)
class SeasonResult:
    """Where the answers lie, and the page's first sentences."""

    folder: Path
    page: Path
    headlines: tuple[str, ...]


def run_season(
    paths: Sequence[Path],
    out: Path | None = None,
    *,
    season: int | None = None,
    as_of: date,
    seed: int | None = None,
    watched: int = 0,
    say: Say = lambda step: None,
    questions: Collection[str] | None = None,
) -> SeasonResult:
    """Analyse the books and leave report.html, findings.xlsx, season.duckdb and charts/ in `out`.

    `out` defaults to BOOK-season beside the first book, `season` to the latest, `seed` to each book's setting,
    `questions` to all (names of QUESTIONS; for measuring: the page doesn't say what was left out).
    `watched` (--watch alone) numbers the run, and has its page load anew when a run of another number takes its place.
    Raises BookError for a file that can't be read, RequestError for a season without pairings, a folder that is not
    ours to replace, or two books of one name; in either case, and when killed, the last complete folder stays as it was.
    """
    folder = out or paths[0].with_name(f"{paths[0].stem}-season")
    _refuse_twins(paths)
    say("Reading")
    books = [_book(path, as_of, seed) for path in paths]
    with swapped_in(folder) as making, Drawing() as drawing:
        earlier = earlier_findings(folder / "season.duckdb")
        with Store(making / "season.duckdb") as store:
            for book in books:
                store.load(book.book.tables)
                for name, frame in answers(book, store, as_of, say, questions):
                    store.save(name, frame.assign(book=book.book.name))
            answered = store.findings()
            for book in books:
                for name, frame in change_findings(earlier, answered, book.book.name, as_of).items():
                    store.save(name, frame.assign(book=book.book.name))
            findings = store.findings()
        say("Writing the report")
        head = replace(_head(books, findings, season, as_of), watched=watched)
        chosen = chosen_charts(findings, head)
        write_charts(chosen.pictures, making / "charts", drawing=drawing)
        headlines = write_page(findings, head, making / "report.html", chosen)
        if watched:
            write_stamp(making, watched)
        ways = ways_from(folder, {path.name: path for path in paths})
        write_findings_book(findings, making / "findings.xlsx", as_of=as_of, books=ways)
    return SeasonResult(folder, folder / "report.html", tuple(headlines))


def run_plan(path: Path, *, as_of: date, seed: int | None = None, say: Say = lambda step: None) -> Findings:
    """Next season's pairs and the way to the goals of one book, alone: their findings tables by name; nothing is written.

    Raises BookError for a file that can't be read.
    """
    say("Reading")
    book = _book(path, as_of, seed)
    with Store() as store:
        store.load(book.book.tables)
        found = answers(book, store, as_of, say, ("plan", "goals"))
        return {name: frame.assign(book=book.book.name) for name, frame in found}


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
    def odds(self) -> "CarrierFindings":
        from pipeline.findings.carriers import carrier_findings

        self.say("Weighing who carries what")
        found = carrier_findings(self.collection, self.book.book.columns.get("animals", {}).get("genes"))
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

    growth = run.growth.growth
    run.say("Asking which record is wrong")
    found = suspicion_findings(run.collection, growth, as_of=run.as_of)
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

    carriers, growth, prices = run.odds.carriers, run.growth.growth, run.prices
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

    carriers, growth = run.odds.carriers, run.growth.growth
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


def _refuse_twins(paths: Sequence[Path]) -> None:
    """Answers are kept by the book's file name, and a book given twice would count its young twice."""
    for path in paths:
        same = [other for other in paths if other.name == path.name]
        if len({other.resolve() for other in same}) < len(same):
            raise RequestError(f"{path} is given twice; name every book once.")
        if len(same) > 1:
            raise RequestError(
                f"{same[0]} and {same[1]} have the same name; rename one of them, to tell them apart."
            )


def _book(path: Path, as_of: date, seed: int | None) -> Checked:
    """The book read and checked; a seed asked for takes the place of its setting."""
    book = checked(read_book(path), as_of)
    if seed is None:
        return book
    settings = replace(book.collection.settings, seed=seed)
    return replace(book, collection=replace(book.collection, settings=settings))


def _head(books: Sequence[Checked], findings: Findings, season: int | None, as_of: date) -> PageHead:
    seasons = set(findings["season_summary"]["season"].dropna().astype(int))
    if season is not None and season not in seasons:
        known = ", ".join(map(str, sorted(seasons))) or "none at all"
        raise RequestError(f"The book has no pairing of season {season}; its seasons are {known}.")
    settings = books[0].collection.settings
    return PageHead(
        books=tuple(book.book.name for book in books),
        as_of=as_of,
        season=season if season is not None else max(seasons, default=None),
        keeper=settings.keeper,
        level=settings.level,
        seed=settings.seed,
    )
