"""The whole season, top to bottom: books in, a folder of answers out. Who reads only this file knows the pipeline."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import pandas as pd

from pipeline.errors import RequestError
from pipeline.findings.carriers import carrier_findings
from pipeline.findings.changes import change_findings
from pipeline.findings.growth import growth_findings
from pipeline.findings.kin import kin_findings
from pipeline.findings.pairs import pair_findings
from pipeline.findings.prices import label_prices, price_findings, season_value
from pipeline.findings.ratios import ratio_findings
from pipeline.findings.routes import route_findings
from pipeline.findings.seasons import season_summary
from pipeline.findings.sex_ratios import sex_ratios
from pipeline.findings.suspicions import suspicion_findings
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

Findings = dict[str, pd.DataFrame]
Say = Callable[[str], None]


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
) -> SeasonResult:
    """Analyse the books and leave report.html, findings.xlsx, season.duckdb and charts/ in `out`.

    `out` defaults to BOOK-season beside the first book, `season` to the latest, `seed` to each book's setting.
    `watched` (--watch alone) numbers the run, and has its page load anew when a run of another number takes its place.
    Raises BookError for a file that can't be read, RequestError for a season without pairings, a folder that is not
    ours to replace, or two books of one name; in either case, and when killed, the last complete folder stays as it was.
    """
    folder = out or paths[0].with_name(f"{paths[0].stem}-season")
    _refuse_twins(paths)
    say("Reading")
    books = [checked(read_book(path), as_of) for path in paths]
    if seed is not None:
        books = [_seeded(book, seed) for book in books]
    with swapped_in(folder) as making, Drawing() as drawing:
        earlier = earlier_findings(folder / "season.duckdb")
        with Store(making / "season.duckdb") as store:
            for book in books:
                store.load(book.book.tables)
                for name, frame in answers(book, store, as_of, say):
                    store.save(name, frame.assign(book=book.book.name))
                for name, frame in change_findings(earlier, store.findings(), book.book.name, as_of).items():
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
    book = checked(read_book(path), as_of)
    if seed is not None:
        book = _seeded(book, seed)
    with Store() as store:
        store.load(book.book.tables)
        return {name: frame.assign(book=book.book.name) for name, frame in plan_answers(book, store, as_of, say)}


def answers(book: Checked, store: Store, as_of: date, say: Say = lambda step: None) -> Iterator[tuple[str, pd.DataFrame]]:
    """Every findings table of one loaded book, in the order it is computed; each is to be saved before the next is asked for."""
    collection, settings = book.collection, book.collection.settings
    here = {"book": book.book.name}

    yield "season_summary", season_summary(store.query("season_summary", **here))
    yield "sex_ratios", sex_ratios(store.query("sex_counts", **here), settings.level)

    say("Testing ratios")
    ratios = ratio_findings(collection, store.query("young_counts", **here, as_of=as_of), seed=settings.seed)
    yield "ratio_tests", ratios.tests
    yield "ratio_classes", ratios.classes
    yield "ratio_resolutions", ratios.resolutions
    yield "ratio_parts", ratios.parts
    yield "heterogeneity", ratios.heterogeneity

    yield from plan_answers(book, store, as_of, say)
    yield "record_places", store.query("record_places", **here)


def plan_answers(
    book: Checked, store: Store, as_of: date, say: Say = lambda step: None
) -> Iterator[tuple[str, pd.DataFrame]]:
    """The tables that next season's plan and the way to the goals rest on, and these themselves."""
    collection, settings = book.collection, book.collection.settings
    here = {"book": book.book.name}
    calendar = store.query("calendar", **here)
    yield "calendar", calendar

    say("Weighing who carries what")
    odds = carrier_findings(collection, book.book.columns.get("animals", {}).get("genes"))
    yield "carrier_odds", odds.odds
    kin = kin_findings(collection)
    yield "inbreeding", kin.inbreeding
    yield "kinship", kin.kinship
    yield "problems", problems_frame([*book.problems, *odds.problems, *kin.problems])

    say("Fitting growth")
    records = {table: store.records(table, **here) for table in ("animals", "species", "weights", "prices", "goals")}
    growth = growth_findings(
        records["animals"], records["species"], records["weights"], calendar,
        as_of=as_of, season_starts=settings.season_starts,
    )  # fmt: skip
    yield "growth", growth.growth
    yield "growth_curves", growth.curves
    yield "growth_points", growth.points
    yield "growth_alerts", growth.alerts

    say("Asking which record is wrong")
    doubted = suspicion_findings(collection, growth.growth, as_of=as_of)
    yield "suspicions", doubted.suspicions
    yield "suspicion_rivals", doubted.rivals

    say("Following prices")
    prices = price_findings(records["prices"], collection.catalogues, settings, as_of)
    yield "price_trends", prices.trends
    yield "price_points", prices.points
    yield "price_bands", prices.bands
    yield "gene_premiums", prices.premiums
    yield "price_factors", prices.factors
    yield "price_outliers", prices.outliers
    yield "label_prices", label_prices(collection, prices)
    yield "season_value", season_value(collection, records["animals"], prices)

    say("Planning next season")
    pairs = pair_findings(collection, odds.carriers, records, growth.growth, prices, as_of=as_of)
    yield "season_plan", pairs.plan
    yield "season_plan_alternatives", pairs.alternatives
    yield "season_plan_notes", pairs.notes
    yield "pair_options", pairs.options
    yield "pair_outcomes", pairs.outcomes
    yield "holdbacks", pairs.holdbacks

    say("Finding the way to the goals")
    ways = route_findings(collection, odds.carriers, records, growth.growth, as_of=as_of)
    yield "goal_outlook", ways.outlook
    yield "goal_routes", ways.routes
    yield "goal_notes", ways.notes


def _refuse_twins(paths: Sequence[Path]) -> None:
    """Answers are kept by the book's file name, and a book given twice would count its young twice."""
    for path in paths:
        same = [other for other in paths if other.name == path.name]
        if len({other.resolve() for other in same}) < len(same):
            raise RequestError(f"{path} is given twice; name every book once.")
        if len(same) > 1:
            raise RequestError(f"{same[0]} and {same[1]} have the same name; rename one of them, to tell them apart.")


def _seeded(book: Checked, seed: int) -> Checked:
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
